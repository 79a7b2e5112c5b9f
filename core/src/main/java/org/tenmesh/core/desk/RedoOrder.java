package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.reduction.Run;

/**
 * A tray to be made again by one method. Always a whole tray: an order for single wells would tell which of them stood out.
 *
 * @param done whether a run that began after the order has read the tray
 */
public record RedoOrder(String tray, String method, Acted acted, boolean done) {

    /** The orders of the day, by tray; the newest for each tray and method. */
    public static List<RedoOrder> of(Desk desk) {
        TreeMap<String, RedoOrder> orders = new TreeMap<>();
        for (Cause cause : desk.judged().causes()) {
            for (RedoOrder order : of(desk, cause)) {
                orders.merge(
                        order.tray() + "\n" + order.method(),
                        order,
                        (a, b) -> a.acted().at().isAfter(b.acted().at()) ? a : b);
            }
        }
        return new ArrayList<>(orders.values());
    }

    /** The orders given for one cause; none when no redo is ordered for it now. */
    static List<RedoOrder> of(Desk desk, Cause cause) {
        List<RedoOrder> orders = new ArrayList<>();
        desk.decision(cause.id()).filter(d -> d.action() == Action.ORDER_REDO).ifPresent(decision -> {
            for (String method : cause.methods()) {
                List<LabNumber> touched = cause.touched().stream()
                        .filter(key -> key.method().equals(method))
                        .map(ResultKey::labNumber)
                        .toList();
                for (String tray : desk.traysOf(touched)) {
                    boolean done = readAfter(desk, tray, method, decision.acted());
                    orders.add(new RedoOrder(tray, method, decision.acted(), done));
                }
            }
        });
        return orders;
    }

    private static boolean readAfter(Desk desk, String tray, String method, Acted acted) {
        Set<String> inside = new HashSet<>();
        desk.tray(tray).ifPresent(t -> t.wells().forEach(p -> p.labNumber().ifPresent(l -> inside.add(l.text()))));
        for (Run run : desk.day().runs()) {
            if (!run.underWay()
                    && run.method().equals(method)
                    && run.startedAt().toInstant().isAfter(acted.at())
                    && run.readings().identities().stream().anyMatch(inside::contains)) {
                return true;
            }
        }
        return desk.readElsewhere(method, acted.at()).stream().anyMatch(inside::contains);
    }
}
