package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.Method;
import org.tenmesh.web.words.Words;

/**
 * What the order of a redo will make the bench do, before it is given.
 *
 * @param parts one for each method
 * @param portions to be taken in all
 */
public record OrderView(CauseCard card, List<Part> parts, int portions) {
    /**
     * One method's share.
     *
     * @param amount of soil and liquid for one portion; empty text where nothing is portioned
     * @param portions wells with soil in the trays, hidden controls and key wells with them
     */
    public record Part(String method, String amount, List<String> trays, int portions) {}

    public OrderView {
        parts = List.copyOf(parts);
    }

    public static OrderView of(Desk desk, Cause cause) {
        List<Part> parts = new ArrayList<>();
        int all = 0;
        for (String id : cause.methods()) {
            List<LabNumber> touched = cause.touched().stream()
                    .filter(key -> key.method().equals(id))
                    .map(ResultKey::labNumber)
                    .distinct()
                    .toList();
            List<String> trays = desk.traysOf(touched);
            Set<LabNumber> inside = new HashSet<>();
            trays.stream().flatMap(tray -> desk.tray(tray).stream()).forEach(tray -> inside.addAll(soils(tray)));
            if (trays.isEmpty()) {
                continue;
            }
            all += inside.size();
            parts.add(new Part(
                    desk.methodTitle(id),
                    desk.methods().find(id).map(OrderView::amount).orElse(""),
                    trays,
                    inside.size()));
        }
        return new OrderView(CauseCard.of(desk, cause), parts, all);
    }

    private static List<LabNumber> soils(Tray tray) {
        return tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .toList();
    }

    private static String amount(Method method) {
        String amount = method.description().amount();
        return amount.isEmpty()
                ? method.head()
                        .portion()
                        .map(p -> Words.plain(p.soilG()) + " g soil")
                        .orElse("")
                : amount;
    }
}
