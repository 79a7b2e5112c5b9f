package org.tenmesh.core.planning;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.orders.RunOrder.Place;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * What the laboratory reads beside soils by one method, as its newest run shows it: which solutions are standards, what is read before the
 * first soil and in which order. Certificates and bottles change; the run that was read last knows them best.
 *
 * @param head everything before the first soil, in order
 * @param check the check solution that is read along the run; empty where there is none
 * @param blank the blank; empty where there is none
 * @param wash what the baseline is read of; empty where there is none
 * @param controls open control soils, in turn
 * @param lanes how many probes, cells or lines read soils side by side, each calibrated by itself
 * @param ownCalibration whether the instrument calibrates itself and no signal of it was read
 */
public record Solutions(
        List<Place> head,
        Optional<String> check,
        Optional<String> blank,
        Optional<String> wash,
        List<String> controls,
        int lanes,
        boolean ownCalibration) {
    public Solutions {
        head = List.copyOf(head);
        controls = List.copyOf(controls);
    }

    /**
     * What the newest of these runs shows that read a soil by the method; empty when none did.
     *
     * @param runs of any method, oldest first
     */
    public static Optional<Solutions> of(Method method, List<Run> runs) {
        List<Run> own = runs.stream()
                .filter(run -> !run.underWay() && run.method().equals(method.id()) && firstSoil(run.readings()) > 0)
                .toList();
        if (own.isEmpty()) {
            return Optional.empty();
        }
        Set<String> controls = new LinkedHashSet<>();
        own.forEach(run -> places(run.readings()).values().stream()
                .filter(place -> place.role() == Role.CONTROL)
                .forEach(place -> controls.add(place.identity())));
        Run newest = own.get(own.size() - 1);
        Readings readings = newest.readings();
        int first = firstSoil(readings);
        Map<Integer, Place> places = places(readings);
        List<Place> head = new ArrayList<>();
        Map<String, Integer> checks = new HashMap<>();
        places.forEach((position, place) -> {
            if (position < first) {
                head.add(new Place(head.size() + 1, place.role(), place.identity()));
            }
            if (place.role() == Role.VERIFICATION
                    && !method.carryOverSolutions().contains(place.identity())) {
                checks.merge(place.identity(), position < first ? 1 : 1000, Integer::sum);
            }
        });
        return Optional.of(new Solutions(
                head,
                checks.entrySet().stream()
                        .max(Map.Entry.<String, Integer>comparingByValue().thenComparing(Map.Entry.comparingByKey()))
                        .map(Map.Entry::getKey),
                named(places, Role.BLANK),
                named(places, Role.WASH),
                List.copyOf(controls),
                lanes(method, readings),
                method.rawSignal()
                        .filter(quantity -> readings.quantityCode(quantity) < 0)
                        .isPresent()));
    }

    /** How many places an order that {@link NextRun} made reads side by side: so often each of its solutions stands in a row. */
    public static int lanes(RunOrder order) {
        int fewest = Integer.MAX_VALUE;
        int row = 0;
        String before = "";
        for (Place place : order.places()) {
            String own = place.role() + " " + place.identity();
            boolean soil = place.role() == Role.SAMPLE || place.role() == Role.DUPLICATE;
            if (!own.equals(before) && row > 0) {
                fewest = Math.min(fewest, row);
            }
            row = soil ? 0 : own.equals(before) ? row + 1 : 1;
            before = soil ? "" : own;
        }
        return Math.max(1, row > 0 ? Math.min(fewest, row) : fewest == Integer.MAX_VALUE ? 1 : fewest);
    }

    private static Optional<String> named(Map<Integer, Place> places, Role role) {
        return places.values().stream()
                .filter(place -> place.role() == role)
                .map(Place::identity)
                .findFirst();
    }

    private static int lanes(Method method, Readings readings) {
        if (method.channel().isEmpty()) {
            return 1;
        }
        Set<String> channels = new TreeSet<>();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.role(i) == Role.SAMPLE) {
                channels.add(readings.channel(i));
            }
        }
        return Math.max(1, channels.size());
    }

    private static int firstSoil(Readings readings) {
        int first = 0;
        for (int i = 0; i < readings.size(); i++) {
            if ((readings.role(i) == Role.SAMPLE || readings.role(i) == Role.DUPLICATE)
                    && (first == 0 || readings.position(i) < first)) {
                first = readings.position(i);
            }
        }
        return first;
    }

    private static Map<Integer, Place> places(Readings readings) {
        Map<Integer, Place> places = new LinkedHashMap<>();
        for (int i = 0; i < readings.size(); i++) {
            places.putIfAbsent(
                    readings.position(i), new Place(readings.position(i), readings.role(i), readings.identity(i)));
        }
        return places;
    }
}
