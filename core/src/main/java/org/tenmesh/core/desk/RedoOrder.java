package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Run;

/**
 * What somebody at the bench has to do with one tray by one method. A tray is made or read again as a whole, and a dilution is made of at
 * least {@value #FEWEST} soils of which at most half need it, drawn among the others of the tray: an order for single wells would tell which
 * of them stood out.
 *
 * @param labNumbers the soils that the order names, in well order, hidden controls among them as any other
 * @param dilution how many times the extract is to be diluted; 1 = not
 * @param begun whether a run that began after the order has read one of the soils that it names
 * @param done whether such runs have read every one of them and have ended
 */
public record RedoOrder(
        String tray,
        String method,
        Work work,
        List<LabNumber> labNumbers,
        double dilution,
        Acted acted,
        boolean begun,
        boolean done) {
    private static final int FEWEST = 4;
    /** A dilution brings what was over range to this share of the range at most. */
    private static final double SHARE_OF_RANGE = 0.8;

    public RedoOrder {
        labNumbers = List.copyOf(labNumbers);
    }

    /** The orders of the day, by tray; the newest for each tray, method and kind of work. */
    public static List<RedoOrder> of(Desk desk) {
        TreeMap<String, RedoOrder> orders = new TreeMap<>();
        Readers readers = new Readers(desk);
        for (Cause cause : desk.judged().causes()) {
            for (RedoOrder order : of(desk, cause, readers)) {
                orders.merge(
                        order.tray() + "\n" + order.method() + "\n"
                                + order.work().ordinal(),
                        order,
                        (a, b) -> a.acted().at().isAfter(b.acted().at()) ? a : b);
            }
        }
        return new ArrayList<>(orders.values());
    }

    /** The orders given for one cause; none when no redo is ordered for it now. */
    public static List<RedoOrder> of(Desk desk, Cause cause) {
        return of(desk, cause, new Readers(desk));
    }

    /** What an order for this cause would make the bench do, were it given now. */
    public static List<RedoOrder> asked(Desk desk, Cause cause, Acted acted) {
        return of(desk, cause, acted, new Readers(desk));
    }

    private static List<RedoOrder> of(Desk desk, Cause cause, Readers readers) {
        return desk.decision(cause.id())
                .filter(decision -> decision.action() == Action.ORDER_REDO)
                .map(decision -> of(desk, cause, decision.acted(), readers))
                .orElse(List.of());
    }

    private static List<RedoOrder> of(Desk desk, Cause cause, Acted acted, Readers readers) {
        List<RedoOrder> orders = new ArrayList<>();
        for (String id : cause.methods()) {
            Set<LabNumber> touched = new LinkedHashSet<>();
            cause.touched().stream()
                    .filter(key -> key.method().equals(id))
                    .forEach(key -> touched.add(key.labNumber()));
            Optional<Method> method = desk.methods().find(id);
            Work work = method.map(its -> Work.of(cause.kind(), its)).orElse(Work.REDO);
            double dilution = work == Work.DILUTION ? dilution(desk, cause, id) : 1;
            for (String tray : desk.traysOf(touched)) {
                List<LabNumber> read = readers.read(desk.tray(tray), id).stream()
                        .filter(one -> !desk.tooLittleFor(one, id))
                        .toList();
                List<LabNumber> named = work == Work.DILUTION ? among(read, touched, acted.cause() + " " + tray) : read;
                Set<String> asked = new HashSet<>();
                named.forEach(one -> asked.add(one.text()));
                boolean begun = readers.missing(id, acted, asked, true).size() < asked.size();
                boolean done = readers.missing(id, acted, asked, false).isEmpty();
                orders.add(new RedoOrder(tray, id, work, named, dilution, acted, begun, done));
            }
        }
        return orders;
    }

    /** The soils that need it with at least as many others of the tray, drawn by chance that the cause and the tray decide. */
    private static List<LabNumber> among(List<LabNumber> tray, Set<LabNumber> needed, String seed) {
        List<LabNumber> own = tray.stream().filter(needed::contains).toList();
        List<LabNumber> others = new ArrayList<>(tray);
        others.removeAll(own);
        Collections.shuffle(others, new Random(seed.hashCode()));
        int more = Math.min(others.size(), Math.max(own.size(), FEWEST - own.size()));
        Set<LabNumber> named = new HashSet<>(own);
        named.addAll(others.subList(0, more));
        return tray.stream().filter(named::contains).toList();
    }

    /** The least dilution that is made and brings the highest of the cause's results into the range. */
    private static double dilution(Desk desk, Cause cause, String method) {
        Set<ResultKey> touched = new HashSet<>(cause.touched());
        double most = 1;
        for (Result result : desk.judged().results()) {
            if (result.method().equals(method)
                    && result.amount() instanceof Amount.Above above
                    && touched.contains(ResultKey.of(result))
                    && above.limit() > 0) {
                most = Math.max(most, above.raw() / (SHARE_OF_RANGE * above.limit()));
            }
        }
        TreeSet<Double> made = new TreeSet<>();
        for (double one : desk.day().laboratory().policy().list(Setting.DILUTIONS_MADE)) {
            made.add(one);
        }
        Double enough = made.ceiling(Math.max(most, Math.nextUp(1.0)));
        return enough == null ? made.last() : enough;
    }

    /** Which runs read what, looked up once for all orders. */
    private static final class Readers {
        private final Desk desk;
        private final Map<String, Set<String>> byMethod = new HashMap<>();

        Readers(Desk desk) {
            this.desk = desk;
        }

        /** The soils of the tray that the method has read; all of them where it read none. */
        List<LabNumber> read(Optional<Tray> tray, String method) {
            List<LabNumber> all = tray.stream()
                    .flatMap(its -> its.wells().stream())
                    .flatMap(place -> place.labNumber().stream())
                    .toList();
            Set<String> read = byMethod.computeIfAbsent(method, id -> {
                Set<String> identities = new HashSet<>();
                desk.day().runs().stream()
                        .filter(run -> run.method().equals(id))
                        .forEach(run -> identities.addAll(run.readings().identities()));
                return identities;
            });
            List<LabNumber> own =
                    all.stream().filter(one -> read.contains(one.text())).toList();
            return own.isEmpty() ? all : own;
        }

        /** Which of these lab numbers no run of the method has read that began after the order; those under way count on request. */
        Set<String> missing(String method, Acted acted, Set<String> asked, boolean underWay) {
            Set<String> missing = new HashSet<>(asked);
            for (Run run : desk.day().runs()) {
                if ((underWay || !run.underWay())
                        && run.method().equals(method)
                        && run.startedAt().toInstant().isAfter(acted.at())) {
                    run.readings().identities().forEach(missing::remove);
                }
            }
            desk.readElsewhere(method, acted.at()).forEach(missing::remove);
            return missing;
        }
    }
}
