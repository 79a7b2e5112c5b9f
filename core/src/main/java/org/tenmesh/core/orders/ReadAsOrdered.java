package org.tenmesh.core.orders;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.reduction.Readings;

/**
 * What was read beside what was ordered.
 *
 * @param differences what does not agree, in the order of positions
 */
public record ReadAsOrdered(List<Difference> differences) {
    public ReadAsOrdered {
        differences = List.copyOf(differences);
    }

    /**
     * One position at which what was read is not what was ordered.
     *
     * @param position the position
     * @param ordered what was to be read there; "nothing" beyond the end of the order
     * @param read what was read there; "nothing" where the run has no reading
     */
    public record Difference(int position, String ordered, String read) {}

    /**
     * Compares role, identity and dilution at every position. A run that is still under way has not read its last positions yet.
     *
     * @param readings everything read by this order so far
     * @param complete whether nothing more is to come; else ordered positions after the last one read are no difference
     */
    public static ReadAsOrdered of(RunOrder order, Readings readings, boolean complete) {
        Map<Integer, String> told = new HashMap<>();
        Set<Integer> read = new HashSet<>();
        int last = 0;
        for (int i = 0; i < readings.size(); i++) {
            int position = readings.position(i);
            read.add(position);
            last = Math.max(last, position);
            String found = readings.role(i).word() + " " + readings.identity(i) + diluted(readings.dilution(i));
            String ordered = order.at(position).map(ReadAsOrdered::said).orElse("nothing");
            if (!found.equals(ordered)) {
                told.putIfAbsent(position, found);
            }
        }
        List<Difference> differences = new ArrayList<>();
        for (int position = 1; position <= Math.max(last, order.places().size()); position++) {
            String ordered = order.at(position).map(ReadAsOrdered::said).orElse("nothing");
            if (told.containsKey(position)) {
                differences.add(new Difference(position, ordered, told.get(position)));
            } else if (!read.contains(position) && order.at(position).isPresent() && (complete || position < last)) {
                differences.add(new Difference(position, ordered, "nothing"));
            }
        }
        return new ReadAsOrdered(differences);
    }

    private static String said(RunOrder.Place place) {
        return place.role().word() + " " + place.identity() + diluted(place.dilution());
    }

    private static String diluted(double times) {
        return times == 1
                ? ""
                : ", diluted " + BigDecimal.valueOf(times).stripTrailingZeros().toPlainString() + " times";
    }
}
