package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Exchange;
import org.tenmesh.core.agreement.Hypotheses;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.IgnitionMethod;

/** Orders of the same readings under which a method agrees better with the others: a turned tray, exchanged trays or neighbours, a shifted run. */
final class MovedReadings {
    /** By how many wells a tray is further on than its neighbour in an exchange that did not happen. */
    private static final int[] FURTHER = {3, 5, 7};
    /** How many places apart two soils are whose exchange did not happen: of neighbours, nearly all. */
    private static final int[] APART = {1, 2, 3};
    /** By how many places readings are moved in a shift that did not happen: one vessel, a group or a rack left out are other numbers. */
    private static final int[] SHIFTED_BY = {3, -3, 5, -5, 7, -7};

    /** Neighbours of a stretch read in pairs for each other lie as near as those of a shift: from the first or the second soil on. */
    private static final int PAIRINGS = 2;

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final Map<String, References> references;
    private final Policy policy;
    private final Reuse reuse;
    private final NotDry notDry;

    MovedReadings(DaySoils soils, List<RunStage> runs, Map<String, References> references, Policy policy, Reuse reuse) {
        this.soils = soils;
        this.runs = runs;
        this.references = references;
        this.policy = policy;
        this.reuse = reuse;
        notDry = new NotDry(soils, runs, references, policy);
    }

    private record Moved(List<Explanation> explanations) {}

    /**
     * Readings of one method that belong to other soils of their run.
     *
     * @param at rows to be looked at
     */
    List<Explanation> of(MethodSoils method, DayRelations.Learnt learnt, BitSet at) {
        String key = "";
        if (reuse.keeps()) {
            key = reuse.key(
                    "moved",
                    learnt.key(),
                    soils.layoutKey(),
                    soils.valuesKey(method),
                    method.placesKey(runs, reuse),
                    reuse.digestOf(references.get(method.method.id())),
                    at);
        }
        return reuse
                .piece(Moved.class, key, () -> new Moved(moved(method, learnt.agreement(), at)))
                .explanations()
                .stream()
                .map(one -> one.of(method))
                .toList();
    }

    /** Kinds of exchange of which there are others that no hand makes. */
    static final Set<CauseKind> WITH_DECOYS = Set.of(
            CauseKind.TRAY_TURNED, CauseKind.TRAYS_EXCHANGED, CauseKind.NEIGHBOURS_EXCHANGED, CauseKind.RUN_SHIFTED);

    /**
     * Exchanges that did not happen, like one of {@link #WITH_DECOYS}: wells of one half of a tray exchanged with those of the other, none
     * with its opposite; neighbouring and badly fitting trays exchanged with one of them further on by some wells; soils up to three places apart, of which nearly
     * none was exchanged; runs shifted by 3, 5 or 7 places, and stretches of them with neighbours in pairs for each other. No hand makes any but the
     * third, and they lie as near to each other as those that a hand makes, or nearly.
     */
    Decoys decoys(CauseKind kind, MethodSoils method, DayRelations.Learnt learnt) {
        String key = reuse.keeps()
                ? reuse.key(
                        "decoys",
                        kind,
                        learnt.key(),
                        soils.layoutKey(),
                        soils.valuesKey(method),
                        method.placesKey(runs, reuse),
                        reuse.digestOf(references.get(method.method.id())))
                : "";
        return reuse.piece(Decoys.class, key, () -> switch (kind) {
            case TRAY_TURNED -> turnedOtherwise(method, learnt.agreement());
            case TRAYS_EXCHANGED -> exchangedOtherwise(method, learnt.agreement());
            case RUN_SHIFTED -> shiftedOtherwise(method, learnt.agreement());
            default -> furtherApart(method, learnt.agreement());
        });
    }

    private int everySo(int possible) {
        return Math.max(1, possible / policy.whole(Setting.DECOYS_MOST));
    }

    private Decoys turnedOtherwise(MethodSoils method, Agreement agreement) {
        List<DaySoils.TrayRows> trays = trays(method, agreement);
        Decoys.Weighed decoys = new Decoys.Weighed();
        int half = Well.PER_TRAY / 2;
        int ways = half - 1;
        int every = everySo(trays.size() * ways);
        for (int k = 0; k < trays.size() * ways; k += every) {
            DaySoils.TrayRows tray = trays.get(k / ways);
            int[] other = new int[Well.PER_TRAY];
            for (int i = 0; i < half; i++) {
                int with = half + (half - 1 - i + 1 + k % ways) % half;
                other[i] = with;
                other[with] = i;
            }
            int[] wells = read(method, tray.wells());
            int row = Arrays.stream(wells).filter(one -> one >= 0).findFirst().orElse(-1);
            decoys.add(row, row, Exchange.permuted(agreement, wells, other, tray.key()));
        }
        return decoys.decoys();
    }

    private Decoys exchangedOtherwise(MethodSoils method, Agreement agreement) {
        List<DaySoils.TrayRows> trays = trays(method, agreement);
        List<DaySoils.TrayRows[]> pairs = new ArrayList<>();
        for (int t = 0; t + 1 < trays.size(); t++) {
            pairs.add(new DaySoils.TrayRows[] {trays.get(t), trays.get(t + 1)});
        }
        // The worst-fitting trays of a run gain by many exchanges; they are asked of each other, so they are decoys
        // too.
        pairs.addAll(worstOfEachRun(method, agreement, trays));
        Decoys.Weighed decoys = new Decoys.Weighed();
        int ways = FURTHER.length;
        int every = everySo(pairs.size() * ways);
        for (int k = 0; k < pairs.size() * ways; k += every) {
            int[] one = read(method, pairs.get(k / ways)[0].wells());
            int[] next = read(method, pairs.get(k / ways)[1].wells());
            int by = FURTHER[k % ways];
            int[] rotated = new int[next.length];
            int[] back = new int[one.length];
            for (int i = 0; i < one.length; i++) {
                rotated[i] = next[(i + by) % next.length];
                back[(i + by) % one.length] = one[i];
            }
            int first = Arrays.stream(one).filter(row -> row >= 0).findFirst().orElse(-1);
            int other = Arrays.stream(next).filter(row -> row >= 0).findFirst().orElse(-1);
            decoys.add(first, other, Exchange.log10Odds(agreement, concat(one, next), concat(rotated, back)));
        }
        return decoys.decoys();
    }

    private List<DaySoils.TrayRows[]> worstOfEachRun(
            MethodSoils method, Agreement agreement, List<DaySoils.TrayRows> trays) {
        Map<Integer, List<DaySoils.TrayRows>> byRun = new TreeMap<>();
        for (DaySoils.TrayRows tray : trays) {
            int[] wells = read(method, tray.wells());
            byRun.computeIfAbsent(
                            method.runOf[
                                    Arrays.stream(wells)
                                            .filter(row -> row >= 0)
                                            .findFirst()
                                            .orElseThrow()],
                            run -> new ArrayList<>())
                    .add(tray);
        }
        List<DaySoils.TrayRows[]> pairs = new ArrayList<>();
        for (List<DaySoils.TrayRows> of : byRun.values()) {
            double[] fit = of.stream()
                    .mapToDouble(tray -> Arrays.stream(read(method, tray.wells()))
                            .filter(row -> row >= 0 && agreement.predicts(row))
                            .mapToDouble(agreement::likelihood)
                            .average()
                            .orElse(0))
                    .toArray();
            double worst = worst(fit);
            for (int i = 0; i < fit.length; i++) {
                for (int j = i + 2; j < fit.length; j++) {
                    if (fit[i] <= worst && fit[j] <= worst) {
                        pairs.add(new DaySoils.TrayRows[] {of.get(i), of.get(j)});
                    }
                }
            }
        }
        return pairs;
    }

    private double worst(double[] fit) {
        double[] sorted = fit.clone();
        Arrays.sort(sorted);
        return sorted[(int) (policy.number(Setting.WORST_TRAYS_COMPARED) * (sorted.length - 1))];
    }

    private Decoys shiftedOtherwise(MethodSoils method, Agreement agreement) {
        List<int[]> orders =
                method.orders.values().stream().filter(MovedReadings::isRising).toList();
        Decoys.Weighed decoys = new Decoys.Weighed();
        int ways = SHIFTED_BY.length + PAIRINGS;
        int every = everySo(orders.size() * ways);
        for (int k = 0; k < orders.size() * ways; k += every) {
            int[] order = orders.get(k / ways);
            int way = k % ways;
            Exchange.Shift shift = way < SHIFTED_BY.length
                    ? Exchange.shifted(agreement, order, SHIFTED_BY[way])
                    : Exchange.exchangedInPairs(agreement, order, way - SHIFTED_BY.length);
            int last = Math.min(shift.to(), order.length - 1);
            int middle = Math.min((shift.from() + shift.to()) / 2, last);
            if (order.length > 0) {
                decoys.add(order[middle], order[last], shift.log10Odds());
            }
        }
        return decoys.decoys();
    }

    // Only such runs are looked at for a shift.
    private static boolean isRising(int[] order) {
        for (int i = 1; i < order.length; i++) {
            if (order[i] <= order[i - 1]) {
                return false;
            }
        }
        return true;
    }

    private Decoys furtherApart(MethodSoils method, Agreement agreement) {
        int possible =
                method.orders.values().stream().mapToInt(order -> order.length).sum() * APART.length;
        int every = everySo(possible);
        Decoys.Weighed decoys = new Decoys.Weighed();
        int k = 0;
        for (int[] order : method.orders.values()) {
            for (int i = 0; i < order.length; i++) {
                for (int apart : APART) {
                    if (k++ % every != 0 || i + apart >= order.length) {
                        continue;
                    }
                    int one = Math.min(order[i], order[i + apart]);
                    int other = Math.max(order[i], order[i + apart]);
                    decoys.add(
                            one,
                            other,
                            Hypotheses.of(agreement).mayHaveExchanged(one, other)
                                    ? Exchange.log10Odds(agreement, new int[] {one, other}, new int[] {other, one})
                                    : 0);
                }
            }
        }
        return decoys.decoys();
    }

    // Those of which enough soils are predicted.
    private List<DaySoils.TrayRows> trays(MethodSoils method, Agreement agreement) {
        return soils.trays().stream()
                .filter(tray -> Arrays.stream(tray.wells())
                                .filter(row -> row >= 0 && method.runOf[row] >= 0 && agreement.predicts(row))
                                .count()
                        >= policy.whole(Setting.TRAY_LEAST_SOILS))
                .toList();
    }

    private List<Explanation> moved(MethodSoils method, Agreement agreement, BitSet at) {
        List<Explanation> explanations = new ArrayList<>();
        trays(method, agreement, at, explanations);
        method.orders.forEach((run, order) -> {
            if (Arrays.stream(order).noneMatch(at::get)) {
                return;
            }
            shift(method, agreement, run, order, explanations);
            neighbours(method, agreement, order, at, explanations);
            if (method.method instanceof IgnitionMethod) {
                notDry.in(method, agreement, run, order).ifPresent(explanations::add);
            }
        });
        return explanations;
    }

    private void trays(MethodSoils method, Agreement agreement, BitSet at, List<Explanation> explanations) {
        Map<Integer, List<Integer>> byRun = new TreeMap<>();
        List<DaySoils.TrayRows> trays = soils.trays();
        double[] fit = new double[trays.size()];
        boolean[] looked = new boolean[trays.size()];
        for (int t = 0; t < trays.size(); t++) {
            int[] wells = trays.get(t).wells();
            int count = 0;
            int run = -1;
            for (int row : wells) {
                if (row >= 0 && method.runOf[row] >= 0) {
                    run = method.runOf[row];
                    if (agreement.predicts(row)) {
                        count++;
                        fit[t] += agreement.likelihood(row);
                    }
                }
            }
            if (count < policy.whole(Setting.TRAY_LEAST_SOILS)) {
                continue;
            }
            fit[t] /= count;
            byRun.computeIfAbsent(run, r -> new ArrayList<>()).add(t);
            looked[t] = Arrays.stream(wells).anyMatch(row -> row >= 0 && at.get(row));
            if (!looked[t]) {
                continue;
            }
            double odds =
                    Exchange.turned(agreement, read(method, wells), trays.get(t).key());
            if (odds > 0) {
                int[] turned = IntStream.range(0, wells.length)
                        .map(i -> wells[wells.length - 1 - i])
                        .toArray();
                explanations.add(explanation(
                        CauseKind.TRAY_TURNED,
                        method,
                        wells,
                        turned,
                        odds,
                        policy.number(Setting.TRAY_EVIDENCE),
                        "tray " + trays.get(t).name() + " was turned end for end for " + method.method.id(),
                        "Look where the key well of tray " + trays.get(t).name()
                                + " lies, put the tray right, take fresh portions and read them."));
            }
        }
        byRun.values().forEach(of -> pairs(method, agreement, of, fit, looked, explanations));
    }

    private void pairs(
            MethodSoils method,
            Agreement agreement,
            List<Integer> of,
            double[] fit,
            boolean[] looked,
            List<Explanation> explanations) {
        double worst = worst(of.stream().mapToDouble(t -> fit[t]).toArray());
        // A tray has one neighbour on each side, and any of the worst may be the other one where it lies further away.
        double far =
                Math.log10(Math.max(1, of.stream().filter(t -> fit[t] <= worst).count() - 1));
        for (int i = 0; i < of.size(); i++) {
            for (int j = i + 1; j < of.size(); j++) {
                boolean bothBad = fit[of.get(i)] <= worst && fit[of.get(j)] <= worst;
                if (j > i + 1 && !bothBad || !looked[of.get(i)] && !looked[of.get(j)]) {
                    continue;
                }
                DaySoils.TrayRows one = soils.trays().get(of.get(i));
                DaySoils.TrayRows other = soils.trays().get(of.get(j));
                double odds = Exchange.exchanged(agreement, read(method, one.wells()), read(method, other.wells()))
                        - (j > i + 1 ? far : 0);
                if (odds > 0) {
                    explanations.add(explanation(
                            CauseKind.TRAYS_EXCHANGED,
                            method,
                            concat(one.wells(), other.wells()),
                            concat(other.wells(), one.wells()),
                            odds,
                            policy.number(Setting.TRAY_EVIDENCE),
                            "trays " + one.name() + " and " + other.name() + " were exchanged for "
                                    + method.method.id(),
                            "Look at trays " + one.name() + " and " + other.name()
                                    + " and their labels, take fresh portions of both and read them."));
                }
            }
        }
    }

    // A well that this method did not take from holds nothing for it.
    private static int[] read(MethodSoils method, int[] wells) {
        return Arrays.stream(wells)
                .map(row -> row >= 0 && method.runOf[row] >= 0 ? row : -1)
                .toArray();
    }

    private static int[] concat(int[] one, int[] other) {
        int[] both = Arrays.copyOf(one, one.length + other.length);
        System.arraycopy(other, 0, both, one.length, other.length);
        return both;
    }

    private static Explanation explanation(
            CauseKind kind,
            MethodSoils method,
            int[] wells,
            int[] readings,
            double odds,
            double needed,
            String what,
            String action) {
        int[] kept = IntStream.range(0, wells.length)
                .filter(i -> wells[i] >= 0 && method.runOf[wells[i]] >= 0)
                .toArray();
        return new Explanation(
                kind,
                method,
                Arrays.stream(kept).map(i -> wells[i]).toArray(),
                Arrays.stream(kept)
                        .map(i -> readings[i] >= 0 && method.runOf[readings[i]] >= 0 ? readings[i] : -1)
                        .toArray(),
                odds,
                needed,
                what,
                action);
    }

    private void shift(MethodSoils method, Agreement agreement, int run, int[] order, List<Explanation> explanations) {
        if (!isRising(order)) {
            return;
        }
        Exchange.Shift shift = Exchange.shifted(agreement, order);
        if (!(shift.log10Odds() > 0)) {
            return;
        }
        int count = shift.to() - shift.from() + 1;
        int[] rows = Arrays.copyOfRange(order, shift.from(), shift.to() + 1);
        int[] readings = new int[count];
        for (int k = 0; k < count; k++) {
            int at = k - shift.by();
            readings[k] = at < 0 || at >= count ? -1 : rows[at];
        }
        String from = soils.labNumber(rows[0]).text();
        String whose = shift.by() > 0 ? "the next soil's" : "the soil's before";
        explanations.add(new Explanation(
                CauseKind.RUN_SHIFTED,
                method,
                rows,
                readings,
                shift.log10Odds(),
                policy.number(Setting.TRAY_EVIDENCE) + policy.number(Setting.SHIFT_MARGIN),
                "in run " + runs.get(run).name() + " from " + from + " at position " + method.positionOf[rows[0]]
                        + " on, each of " + count + " readings is " + whose,
                "Count the vessels from " + from + " on against the worksheet; read these soils again from the tray."));
    }

    private void neighbours(
            MethodSoils method, Agreement agreement, int[] order, BitSet at, List<Explanation> explanations) {
        for (int k = 0; k + 1 < order.length; k++) {
            int one = Math.min(order[k], order[k + 1]);
            int other = Math.max(order[k], order[k + 1]);
            if (!at.get(one) && !at.get(other) || !Hypotheses.of(agreement).mayHaveExchanged(one, other)) {
                continue;
            }
            double odds = Exchange.log10Odds(agreement, new int[] {one, other}, new int[] {other, one});
            if (odds > 0) {
                explanations.add(new Explanation(
                        CauseKind.NEIGHBOURS_EXCHANGED,
                        method,
                        new int[] {one, other},
                        new int[] {other, one},
                        odds,
                        policy.number(Setting.NEIGHBOUR_EVIDENCE),
                        soils.labNumber(one).text() + " and "
                                + soils.labNumber(other).text() + " were exchanged for "
                                + method.method.id(),
                        "Take fresh portions of both soils from the tray and read them."));
            }
        }
    }
}
