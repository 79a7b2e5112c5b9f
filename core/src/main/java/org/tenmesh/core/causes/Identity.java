package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Difference;
import org.tenmesh.core.agreement.Exchange;
import org.tenmesh.core.agreement.Hypotheses;
import org.tenmesh.core.agreement.KnownControls;
import org.tenmesh.core.agreement.Smoother;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.quantity.Times;

/**
 * Whether the soil under each lab number is the right one: a turned tray, exchanged trays, a run shifted along, exchanged neighbours.
 * Each is another order of the same readings; the order under which a method agrees best with the soils' other results is told with
 * its odds. What is found is put right in the table before anything else is asked of it.
 */
final class Identity {
    private static final int PASSES = 5;

    /** Natural logarithm of a gain from which a stretch is looked at more closely. */
    private static final double WORTH_A_LOOK = 4;
    /** Natural logarithm of a gain from which no stretch recovers: one that begins later does better. */
    private static final double HOPELESS = -8;
    /** Soils after a stretch whose forecasts it disturbs. */
    private static final int SOILS_AFTER = 8;

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final @Nullable String[] materials;
    private final Map<String, References> references;
    private final Policy policy;
    private final Reuse reuse;
    private final List<DayFinding> findings = new ArrayList<>();
    /** What was said of which reading. */
    private final Set<String> told = new HashSet<>();
    /** Readings that are not of the soil they are recorded under, as row and method. */
    private final Set<Misplaced> misplaced = new HashSet<>();

    private List<DaySoils.Learnt> agreements = List.of();
    /** For soils whose client or region has enough of a history, the relations that hold there. */
    private Map<BitSet, List<DaySoils.Learnt>> own = Map.of();

    /** A reading that belongs to another soil. */
    record Misplaced(String run, String labNumber) {}

    /** One explanation. {@code readings} says for each of the soils where its reading is recorded. */
    private record Suspect(
            CauseKind kind,
            DaySoils.MethodSoils method,
            int[] soils,
            int[] readings,
            double odds,
            double needed,
            String what,
            String gain,
            String action,
            Optional<Finding.RunnerUp> apart) {
        Suspect(
                CauseKind kind,
                DaySoils.MethodSoils method,
                int[] soils,
                int[] readings,
                double odds,
                double needed,
                String what,
                String action) {
            this(
                    kind,
                    method,
                    soils,
                    readings,
                    odds,
                    needed,
                    what,
                    ": the results then agree " + Times.text(odds) + " better with the soils' other results",
                    action,
                    Optional.empty());
        }

        /** The same of the same method on the table of another judging. */
        Suspect of(DaySoils.MethodSoils same) {
            return new Suspect(kind, same, soils, readings, odds, needed, what, gain, action, apart);
        }

        Set<Integer> rows() {
            Set<Integer> rows = new HashSet<>();
            for (int row : soils) {
                rows.add(row);
            }
            return rows;
        }
    }

    Identity(
            DaySoils soils,
            List<RunStage> runs,
            @Nullable String[] materials,
            Map<String, References> references,
            Policy policy,
            Reuse reuse) {
        this.reuse = reuse;
        this.soils = soils;
        this.runs = runs;
        this.materials = materials;
        this.references = references;
        this.policy = policy;
    }

    /** Looks, tells and puts right. */
    void settle() {
        agreements = learn();
        own = ofTheirOwn();
        BitSet everywhere = new BitSet();
        everywhere.set(0, soils.size());
        BitSet looked = everywhere;
        for (int pass = 0; pass < PASSES; pass++) {
            BitSet at = looked;
            List<Voices> voices = voices();
            List<Suspect> suspects = IntStream.range(0, agreements.size())
                    .parallel()
                    .mapToObj(m -> suspects(m, voices, at))
                    .flatMap(Collection::stream)
                    .sorted(Comparator.comparingDouble((Suspect suspect) -> -suspect.odds())
                            .thenComparing(suspect -> suspect.method().method.id())
                            .thenComparing(suspect -> suspect.soils()[0]))
                    .toList();
            List<Suspect> accepted = accept(suspects);
            if (accepted.isEmpty()) {
                return;
            }
            int moved = 0;
            for (Suspect suspect : accepted) {
                soils.move(suspect.method(), suspect.soils(), suspect.readings());
                moved += suspect.soils().length;
            }
            if (moved > policy.number(Setting.MOVED_SHARE_RELEARN) * soils.size()) {
                agreements = learn();
                own = ofTheirOwn();
                looked = everywhere;
            } else {
                agreements = again(agreements);
                own.replaceAll((rows, theirs) -> again(theirs));
                looked = ofTheirClients(accepted);
            }
        }
    }

    // What was put right changes what is forecast for soils of the same clients, and for nobody else's.
    private BitSet ofTheirClients(List<Suspect> accepted) {
        Set<Integer> clients = new HashSet<>();
        BitSet rows = new BitSet();
        for (Suspect suspect : accepted) {
            for (int row : suspect.soils()) {
                rows.set(row);
                clients.add(soils.client(row));
            }
        }
        clients.remove(-1);
        for (int row = 0; row < soils.size(); row++) {
            if (clients.contains(soils.client(row))) {
                rows.set(row);
            }
        }
        return rows;
    }

    private record Differences(@Nullable Difference[] each) {}

    /** Who says how a soil's results agree with each other: for each method the relations, and every soil's difference from what they predict. */
    private record Voices(BitSet rows, List<Agreement> agreements, List<@Nullable Difference[]> differences) {
        static Voices of(BitSet rows, List<DaySoils.Learnt> learnt, Reuse reuse) {
            return new Voices(
                    rows,
                    learnt.stream().map(DaySoils.Learnt::agreement).toList(),
                    learnt.parallelStream()
                            .map(one -> reuse.piece(
                                    Differences.class,
                                    reuse.key("differences", one.key()),
                                    () -> new Differences(Smoother.differences(one.agreement()))))
                            .map(Differences::each)
                            .toList());
        }
    }

    // All soils' relations speak for the soils that have no relations of their own.
    private List<Voices> voices() {
        List<Voices> voices = new ArrayList<>();
        BitSet rest = new BitSet();
        rest.set(0, soils.size());
        own.forEach((rows, theirs) -> {
            voices.add(Voices.of(rows, theirs, reuse));
            rest.andNot(rows);
        });
        voices.add(0, Voices.of(rest, agreements, reuse));
        return voices;
    }

    // A client with enough earlier soils is held against itself, another one against its region.
    private Map<BitSet, List<DaySoils.Learnt>> ofTheirOwn() {
        Map<BitSet, List<DaySoils.Learnt>> theirs = new LinkedHashMap<>();
        if (soils.earlier().isEmpty()) {
            return theirs;
        }
        BitSet left = new BitSet();
        for (int row = 0; row < soils.size(); row++) {
            left.set(row, soils.client(row) >= 0);
        }
        byName(left, row -> soils.origin(row).client())
                .forEach((client, rows) -> theirOwn(
                                rows, soils.earlier().of(soil -> soil.client().equals(client)))
                        .ifPresent(known -> {
                            theirs.put(rows, known);
                            left.andNot(rows);
                        }));
        byName(left, row -> soils.origin(row).region())
                .forEach((region, rows) -> theirOwn(
                                rows, soils.earlier().of(soil -> soil.region().equals(Optional.of(region))))
                        .ifPresent(known -> theirs.put(rows, known)));
        return theirs;
    }

    private static Map<String, BitSet> byName(BitSet rows, IntFunction<String> nameOf) {
        Map<String, BitSet> byName = new TreeMap<>();
        rows.stream().forEach(row -> {
            String name = nameOf.apply(row);
            if (!name.isEmpty()) {
                byName.computeIfAbsent(name, key -> new BitSet()).set(row);
            }
        });
        return byName;
    }

    // Methods of which too little is known go by everybody's relations.
    private Optional<List<DaySoils.Learnt>> theirOwn(BitSet rows, int[] kind) {
        List<Optional<DaySoils.Learnt>> found = IntStream.range(0, agreements.size())
                .parallel()
                .mapToObj(m -> soils.agreementOfTheirOwn(soils.methods().get(m), rows, kind, materials, references))
                .toList();
        if (found.stream().allMatch(Optional::isEmpty)) {
            return Optional.empty();
        }
        return Optional.of(IntStream.range(0, found.size())
                .mapToObj(m -> found.get(m)
                        .filter(its ->
                                its.agreement().isFitted() && agreement(m).isFitted())
                        .map(its -> new DaySoils.Learnt(
                                reuse.key(
                                        "outliers", its.key(), agreements.get(m).key()),
                                its.agreement().strayDensityFrom(agreement(m))))
                        .orElse(agreements.get(m)))
                .toList());
    }

    private Agreement agreement(int m) {
        return agreements.get(m).agreement();
    }

    private List<DaySoils.Learnt> learn() {
        soils.settleColumns();
        return soils.methods().parallelStream()
                .map(method -> soils.agreement(method, materials, references))
                .toList();
    }

    private List<DaySoils.Learnt> again(List<DaySoils.Learnt> learnt) {
        soils.settleColumns();
        return IntStream.range(0, learnt.size())
                .parallel()
                .mapToObj(m -> soils.again(soils.methods().get(m), learnt.get(m)))
                .toList();
    }

    List<DayFinding> findings() {
        return findings;
    }

    /** How each method agrees with the others after everything was put right, in the order of {@link DaySoils#methods()}. */
    List<DaySoils.Learnt> agreements() {
        return agreements;
    }

    boolean misplaced(String run, String labNumber) {
        return misplaced.contains(new Misplaced(run, labNumber));
    }

    private static String told(Suspect suspect, int row) {
        return suspect.method().method.id() + " " + suspect.kind().word() + " " + row;
    }

    private List<Suspect> accept(List<Suspect> suspects) {
        List<Suspect> accepted = new ArrayList<>();
        Set<Integer> taken = new HashSet<>();
        Set<Integer> clients = new HashSet<>();
        for (Suspect first : suspects) {
            Suspect suspect = first.odds() < first.needed() ? first : mostCoherent(first, suspects);
            Set<Integer> rows = suspect.rows();
            // What is still so after it was put right once was never so.
            boolean again = rows.stream().anyMatch(row -> told.contains(told(suspect, row)));
            // Wrong readings disturb what is forecast for the rest of their client's soils: those wait for the next
            // pass.
            if (suspect.odds() < suspect.needed()
                    || again
                    || rows.stream().anyMatch(row -> taken.contains(row) || clients.contains(soils.client(row)))) {
                continue;
            }
            taken.addAll(rows);
            rows.forEach(row -> told.add(told(suspect, row)));
            rows.stream().map(soils::client).filter(client -> client >= 0).forEach(clients::add);
            accepted.add(suspect);
            Optional<Suspect> next = suspects.stream()
                    .filter(other -> other != suspect && other.rows().stream().anyMatch(rows::contains))
                    .findFirst();
            tell(suspect, next);
        }
        return accepted;
    }

    // When one method's soils disagree with another's, either may be the one that is wrong. Putting the right one right
    // makes all
    // methods agree; putting the other right only moves the disagreement on.
    private Suspect mostCoherent(Suspect suspect, List<Suspect> suspects) {
        Set<Integer> rows = suspect.rows();
        List<Suspect> candidates = new ArrayList<>(List.of(suspect));
        Set<DaySoils.MethodSoils> seen = new HashSet<>(Set.of(suspect.method()));
        for (Suspect other : suspects) {
            long common = other.rows().stream().filter(rows::contains).count();
            if (other.soils().length > 1
                    && other.odds()
                            >= Math.max(other.needed(), policy.number(Setting.COMPARABLE_EVIDENCE) * suspect.odds())
                    && 2 * common >= Math.max(rows.size(), other.soils().length)
                    && seen.add(other.method())) {
                candidates.add(other);
            }
        }
        if (candidates.size() == 1) {
            return suspect;
        }
        Suspect best = suspect;
        double most = Double.NEGATIVE_INFINITY;
        for (Suspect candidate : candidates) {
            DaySoils.Kept kept = soils.keep(candidate.method(), candidate.soils());
            soils.move(candidate.method(), candidate.soils(), candidate.readings());
            double sum = 0;
            List<Agreement> then = IntStream.range(0, agreements.size())
                    .parallel()
                    .mapToObj(m -> agreement(m).refit(soils.methods().get(m).nothing))
                    .toList();
            for (int m = 0; m < then.size(); m++) {
                // A soil that was not read counts as an ordinary one.
                double ordinary = then.get(m).ordinaryLikelihood();
                for (int row : rows) {
                    double likelihood = then.get(m).likelihood(row);
                    sum += likelihood == 0 ? 0 : likelihood - ordinary;
                }
            }
            soils.restore(candidate.method(), candidate.soils(), kept);
            if (sum > most) {
                most = sum;
                best = candidate;
            }
        }
        return best;
    }

    private void tell(Suspect suspect, Optional<Suspect> next) {
        Map<Integer, Set<Integer>> byRun = new TreeMap<>();
        for (int i = 0; i < suspect.soils().length; i++) {
            int row = suspect.soils()[i];
            int run = suspect.method().runOf[row];
            if (run >= 0 && suspect.readings()[i] != row) {
                byRun.computeIfAbsent(run, r -> new LinkedHashSet<>()).add(row);
                if (suspect.kind() != CauseKind.PORTION_WRONG && suspect.kind() != CauseKind.DILUTION_MISMATCH) {
                    misplaced.add(
                            new Misplaced(runName(run), soils.labNumber(row).text()));
                }
            }
        }
        double lead = next.map(other -> suspect.odds() - other.odds()).orElse(suspect.odds());
        Optional<Finding.RunnerUp> other =
                next.filter(one -> one.odds() > 0).map(one -> new Finding.RunnerUp(one.kind(), lead));
        Optional<Finding.RunnerUp> runnerUp = suspect.apart()
                .filter(apart -> other.isEmpty() || apart.log10Odds() <= lead)
                .or(() -> other);
        String second = next.filter(one -> one.odds() > 0)
                .map(one -> ". Next best" + (lead < 1 ? ", and not distinguishable from it: " : ": ") + one.what())
                .orElse("");
        // What one soil's results alone say is looked at by a person first, unless it names a plain slip.
        boolean sure = suspect.kind() != CauseKind.IMPLAUSIBLE_TOGETHER
                && suspect.odds() >= suspect.needed() + policy.number(Setting.REDO_MARGIN);
        Verdict verdict = sure ? Verdict.REDO : Verdict.HOLD;
        byRun.forEach((run, rows) -> {
            int first = rows.stream()
                    .mapToInt(row -> suspect.method().positionOf[row])
                    .min()
                    .orElse(0);
            int last = rows.stream()
                    .mapToInt(row -> suspect.method().positionOf[row])
                    .max()
                    .orElse(0);
            Set<String> labNumbers = new LinkedHashSet<>();
            rows.forEach(row -> labNumbers.add(soils.labNumber(row).text()));
            findings.add(new DayFinding(
                    runName(run),
                    new Finding(
                            suspect.kind(),
                            verdict,
                            symbols(suspect.method()),
                            first,
                            last,
                            sentence(suspect.what() + suspect.gain() + second),
                            suspect.action(),
                            OptionalDouble.of(suspect.odds()),
                            runnerUp),
                    labNumbers));
        });
    }

    private static String sentence(String text) {
        return Character.toUpperCase(text.charAt(0)) + text.substring(1) + ".";
    }

    private String runName(int run) {
        return runs.get(run).name();
    }

    // Everything the method reports, the calculated analytes with it.
    private static List<String> symbols(DaySoils.MethodSoils method) {
        return method.method.head().analytes().stream().map(Analyte::symbol).toList();
    }

    private List<Suspect> suspects(int m, List<Voices> voices, BitSet at) {
        List<Suspect> suspects = new ArrayList<>();
        DaySoils.MethodSoils method = soils.methods().get(m);
        if (agreement(m).isFitted()) {
            for (Suspect moved : moved(m, at)) {
                suspects.add(moved.of(method));
            }
            voices.forEach(of -> single(m, of, at, suspects));
        }
        return suspects;
    }

    private record Moved(List<Suspect> suspects) {}

    /** Readings of one method that belong to other soils of their run. */
    private List<Suspect> moved(int m, BitSet at) {
        DaySoils.MethodSoils method = soils.methods().get(m);
        String key = "";
        if (reuse.keeps()) {
            key = reuse.key(
                    "moved",
                    agreements.get(m).key(),
                    soils.layoutKey(),
                    soils.valuesKey(method),
                    method.placesKey(runs, reuse),
                    reuse.digestOf(references.get(method.method.id())),
                    at);
        }
        return reuse.piece(Moved.class, key, () -> new Moved(moved(method, agreement(m), at)))
                .suspects();
    }

    private List<Suspect> moved(DaySoils.MethodSoils method, Agreement agreement, BitSet at) {
        List<Suspect> suspects = new ArrayList<>();
        trays(method, agreement, at, suspects);
        method.orders.forEach((run, order) -> {
            if (Arrays.stream(order).noneMatch(at::get)) {
                return;
            }
            shift(method, agreement, run, order, suspects);
            neighbours(method, agreement, order, at, suspects);
            if (method.method instanceof IgnitionMethod) {
                notDry(method, agreement, run, order, suspects);
            }
        });
        return suspects;
    }

    private void single(int m, Voices of, BitSet at, List<Suspect> suspects) {
        DaySoils.MethodSoils method = soils.methods().get(m);
        BitSet rows = (BitSet) at.clone();
        rows.and(of.rows());
        for (SingleSoils.Suspect one : SingleSoils.of(
                soils, method, of.agreements().get(m), of.differences().get(m), rows, policy)) {
            // A strange result of one method makes those of the others look strange too: only the strangest is told.
            if (SingleSoils.strangest(soils, of.agreements(), of.differences(), one.row()) == m) {
                suspects.add(new Suspect(
                        one.kind(),
                        method,
                        new int[] {one.row()},
                        new int[] {-1},
                        one.odds(),
                        policy.number(Setting.SOIL_EVIDENCE),
                        soils.labNumber(one.row()).text() + ": " + one.what(),
                        "",
                        one.action(),
                        one.runnerUp()));
            }
        }
    }

    private void trays(DaySoils.MethodSoils method, Agreement agreement, BitSet at, List<Suspect> suspects) {
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
                suspects.add(suspect(
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
        byRun.values().forEach(of -> pairs(method, agreement, of, fit, looked, suspects));
    }

    private void pairs(
            DaySoils.MethodSoils method,
            Agreement agreement,
            List<Integer> of,
            double[] fit,
            boolean[] looked,
            List<Suspect> suspects) {
        double[] sorted = of.stream().mapToDouble(t -> fit[t]).sorted().toArray();
        double worst = sorted[(int) (policy.number(Setting.WORST_TRAYS_COMPARED) * (sorted.length - 1))];
        for (int i = 0; i < of.size(); i++) {
            for (int j = i + 1; j < of.size(); j++) {
                boolean bothBad = fit[of.get(i)] <= worst && fit[of.get(j)] <= worst;
                if (j > i + 1 && !bothBad || !looked[of.get(i)] && !looked[of.get(j)]) {
                    continue;
                }
                DaySoils.TrayRows one = soils.trays().get(of.get(i));
                DaySoils.TrayRows other = soils.trays().get(of.get(j));
                double odds = Exchange.exchanged(agreement, read(method, one.wells()), read(method, other.wells()));
                if (odds > 0) {
                    suspects.add(suspect(
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
    private static int[] read(DaySoils.MethodSoils method, int[] wells) {
        return Arrays.stream(wells)
                .map(row -> row >= 0 && method.runOf[row] >= 0 ? row : -1)
                .toArray();
    }

    private static int[] concat(int[] one, int[] other) {
        int[] both = Arrays.copyOf(one, one.length + other.length);
        System.arraycopy(other, 0, both, one.length, other.length);
        return both;
    }

    private static Suspect suspect(
            CauseKind kind,
            DaySoils.MethodSoils method,
            int[] wells,
            int[] readings,
            double odds,
            double needed,
            String what,
            String action) {
        int[] kept = IntStream.range(0, wells.length)
                .filter(i -> wells[i] >= 0 && method.runOf[wells[i]] >= 0)
                .toArray();
        return new Suspect(
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

    private void shift(DaySoils.MethodSoils method, Agreement agreement, int run, int[] order, List<Suspect> suspects) {
        for (int i = 1; i < order.length; i++) {
            if (order[i] <= order[i - 1]) {
                return;
            }
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
        suspects.add(new Suspect(
                CauseKind.RUN_SHIFTED,
                method,
                rows,
                readings,
                shift.log10Odds(),
                policy.number(Setting.TRAY_EVIDENCE) + policy.number(Setting.SHIFT_MARGIN),
                "in run " + runName(run) + " from " + from + " at position " + method.positionOf[rows[0]]
                        + " on, each of " + count + " readings is " + whose,
                "Count the vessels from " + from + " on against the worksheet; read these soils again from the tray."));
    }

    /** A stretch of crucibles that held water when they were weighed dry. */
    private record Wet(int from, int length, double pct, double gain) {}

    // Water that was still there when the dry soil was weighed counts as loss: so much of the soil for each, not so
    // much of its loss.
    private void notDry(
            DaySoils.MethodSoils method, Agreement agreement, int run, int[] order, List<Suspect> suspects) {
        Wet best = new Wet(0, 0, 0, 0);
        for (int from = 0; from < order.length; from++) {
            for (double pct : policy.list(Setting.NOT_DRY_WATER)) {
                DoubleUnaryOperator dried = scaled -> method.scaled(0, method.unscaled(0, scaled) - pct);
                double[] gain = Hypotheses.of(agreement)
                        .gainWhenRighted(order, from, policy.whole(Setting.NOT_DRY_MOST_SOILS), 0, HOPELESS, dried);
                int most = policy.whole(Setting.NOT_DRY_LEAST_SOILS) - 1;
                for (int k = policy.whole(Setting.NOT_DRY_LEAST_SOILS); k < gain.length; k++) {
                    most = gain[k] > gain[most] ? k : most;
                }
                if (most >= gain.length || gain[most] < WORTH_A_LOOK) {
                    continue;
                }
                for (int length = Math.max(policy.whole(Setting.NOT_DRY_LEAST_SOILS), most - 1);
                        length <= Math.min(most + 3, gain.length);
                        length++) {
                    double[] whole = Hypotheses.of(agreement)
                            .gainWhenRighted(order, from, length, SOILS_AFTER, Double.NEGATIVE_INFINITY, dried);
                    double sum = whole[whole.length - 1] + controls(method, run, order, from, length, loi -> loi - pct);
                    if (sum > best.gain()) {
                        best = new Wet(from, length, pct, sum);
                    }
                }
            }
        }
        double odds = best.gain() / Math.log(10)
                - Math.log10((double) order.length
                        * policy.whole(Setting.NOT_DRY_MOST_SOILS)
                        * policy.list(Setting.NOT_DRY_WATER).length);
        if (odds <= 0) {
            return;
        }
        double hotter = 0;
        for (double share : policy.list(Setting.NOT_DRY_HOT_PLACES)) {
            double[] gain = Hypotheses.of(agreement)
                    .gainWhenRighted(
                            order,
                            best.from(),
                            best.length(),
                            SOILS_AFTER,
                            Double.NEGATIVE_INFINITY,
                            scaled -> scaled - Math.log1p(share));
            hotter = Math.max(
                    hotter,
                    gain[gain.length - 1]
                            + controls(method, run, order, best.from(), best.length(), loi -> loi / (1 + share)));
        }
        double lead = (best.gain() - hotter) / Math.log(10);
        if (lead < -1) {
            return;
        }
        int[] rows = Arrays.copyOfRange(order, best.from(), best.from() + best.length());
        int[] readings = new int[rows.length];
        Arrays.fill(readings, -1);
        suspects.add(new Suspect(
                CauseKind.NOT_DRY,
                method,
                rows,
                readings,
                odds,
                policy.number(Setting.TRAY_EVIDENCE) + policy.number(Setting.NOT_DRY_MARGIN),
                best.length() + " soils from " + soils.labNumber(rows[0]).text() + " at position "
                        + method.positionOf[rows[0]] + " on lose about " + text(best.pct(), 2)
                        + " % of their mass more than their other results and neighbours predict, as soil does that"
                        + " was not dry"
                        + (lead < 1 ? "; a hotter place in the furnace cannot be distinguished from it" : ""),
                "",
                "Look at the drying of this charge; dry, weigh and ash these soils again from the tray.",
                Optional.of(new Finding.RunnerUp(CauseKind.CONTROL_FAILED, Math.max(0, lead)))));
    }

    // Open control soils within a stretch went through the same.
    private double controls(
            DaySoils.MethodSoils method, int run, int[] order, int from, int length, DoubleUnaryOperator right) {
        int first = method.positionOf[order[from]];
        int last = method.positionOf[order[Math.min(order.length, from + length) - 1]];
        String analyte = method.analytes.get(0).symbol();
        double gain = 0;
        References known = references.get(method.method.id());
        for (ControlValue value : runs.get(run).judgement().controlValues()) {
            if (known != null
                    && !value.hidden()
                    && value.analyte().equals(analyte)
                    && value.position() > first
                    && value.position() < last) {
                Optional<Material> material = known.material(value.material(), analyte);
                gain += material.map(
                                m -> KnownControls.tOfKnown((right.applyAsDouble(value.value()) - m.mean()) / m.sd())
                                        - KnownControls.tOfKnown(value.z()))
                        .orElse(0.0);
            }
        }
        return gain;
    }

    private void neighbours(
            DaySoils.MethodSoils method, Agreement agreement, int[] order, BitSet at, List<Suspect> suspects) {
        for (int k = 0; k + 1 < order.length; k++) {
            int one = Math.min(order[k], order[k + 1]);
            int other = Math.max(order[k], order[k + 1]);
            if (!at.get(one) && !at.get(other) || !Hypotheses.of(agreement).mayHaveExchanged(one, other)) {
                continue;
            }
            double odds = Exchange.log10Odds(agreement, new int[] {one, other}, new int[] {other, one});
            if (odds > 0) {
                suspects.add(new Suspect(
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
