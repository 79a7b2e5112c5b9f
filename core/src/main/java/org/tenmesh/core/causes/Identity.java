package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.IntConsumer;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;

/**
 * Whether the soil under each lab number is the right one: a turned tray, exchanged trays, a run shifted along, exchanged neighbours.
 * Each is another order of the same readings; the order under which a method agrees best with the soils' other results is told with
 * its odds. What is found is put right in the table before anything else is asked of it.
 */
final class Identity {
    private static final int PASSES = 5;

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final Policy policy;
    private final OwnRecord ownRecord;
    private final Reuse reuse;
    private final Questions questions;
    private final DayRelations relations;
    private final MovedReadings movedReadings;
    private final List<DayFinding> findings = new ArrayList<>();
    /** What was said of which reading. */
    private final Set<String> told = new HashSet<>();
    /** Readings that are not of the soil they are recorded under, as row and method. */
    private final Set<Misplaced> misplaced = new HashSet<>();

    private List<DayRelations.Learnt> agreements = List.of();
    /** For soils whose client or region has enough of a history, the relations that hold there. */
    private Map<BitSet, List<DayRelations.Learnt>> own = Map.of();
    /** For each method what chance gives to each kind of explanation. */
    private final Map<Asked, Decoys> chance = new ConcurrentHashMap<>();

    /** What all methods together say of single soils. */
    private Decoys strange = Decoys.NONE;

    private record Asked(MethodSoils method, CauseKind kind) {}

    /** A reading that belongs to another soil. */
    record Misplaced(String run, String labNumber) {}

    Identity(
            DaySoils soils,
            List<RunStage> runs,
            @Nullable String[] materials,
            Map<String, References> references,
            Policy policy,
            OwnRecord own,
            Reuse reuse,
            Questions questions) {
        this.questions = questions;
        ownRecord = own;
        this.soils = soils;
        this.runs = runs;
        this.policy = policy;
        relations = new DayRelations(soils, runs, materials, references, policy, reuse, questions);
        movedReadings = new MovedReadings(soils, runs, references, policy, reuse);
        this.reuse = reuse;
    }

    /**
     * Looks, tells and puts right: first what each soil's first reading by each method says, then what was read again, each time with that
     * reading in the place of the one before. The table is left with the first readings, put right.
     *
     * @param readAgain called while the table has readings made again, put right: 1 when these are second ones
     */
    void settle(IntConsumer readAgain) {
        agreements = relations.learn();
        own = relations.ofTheirOwn(agreements);
        BitSet everywhere = new BitSet();
        everywhere.set(0, soils.size());
        settle(everywhere);
        int again = soils.timesReadAgain();
        if (again == 0) {
            return;
        }
        List<DayRelations.Learnt> ofFirst = agreements;
        DaySoils.Before before = soils.before();
        for (int time = 1; time <= again; time++) {
            BitSet changed = soils.takeAgain(time);
            agreements = relations.again(agreements);
            own.replaceAll((rows, theirs) -> relations.again(theirs));
            settle(withTheirClients(changed));
            readAgain.accept(time);
        }
        soils.restore(before);
        agreements = ofFirst;
    }

    private void settle(BitSet rows) {
        BitSet looked = rows;
        for (int pass = 0; pass < PASSES; pass++) {
            BitSet at = looked;
            List<Voices> voices = Voices.of(soils, agreements, own, reuse);
            List<List<Explanation>> seen = asked(m -> suspects(m, voices, at));
            if (at.cardinality() == soils.size()) {
                strange = ofAllMethods();
            }
            List<Explanation> suspects = asked(m -> weighed(m, seen.get(m))).stream()
                    .flatMap(Collection::stream)
                    .sorted(Comparator.comparingDouble((Explanation suspect) -> -suspect.ratio())
                            .thenComparing(suspect -> suspect.method().method.id())
                            .thenComparing(suspect -> suspect.soils()[0]))
                    .toList();
            List<Explanation> accepted = accept(suspects);
            if (accepted.isEmpty()) {
                return;
            }
            int readings = 0;
            BitSet moved = new BitSet();
            for (Explanation suspect : accepted) {
                MethodSoils method = suspect.method();
                MovedReadings.WITH_DECOYS.forEach(kind -> chance.remove(new Asked(method, kind)));
                soils.move(suspect.method(), suspect.soils(), suspect.readings());
                readings += suspect.soils().length;
                suspect.rows().forEach(moved::set);
            }
            if (readings > policy.number(Setting.MOVED_SHARE_RELEARN) * soils.size()) {
                agreements = relations.learn();
                own = relations.ofTheirOwn(agreements);
                looked = rows;
                chance.clear();
            } else {
                agreements = relations.again(agreements);
                own.replaceAll((of, theirs) -> relations.again(theirs));
                looked = withTheirClients(moved);
            }
        }
    }

    private List<List<Explanation>> asked(IntFunction<List<Explanation>> of) {
        return IntStream.range(0, agreements.size())
                .parallel()
                .mapToObj(m -> questions.ask(
                        "its readings are those of the soils they are recorded under",
                        RunStage.names(runs, soils.methods().get(m).method),
                        () -> of.apply(m),
                        List::<Explanation>of))
                .toList();
    }

    // A few soils unlike the rest show in every method that read them: what all methods say of single soils tells more
    // of the day's tail
    // than the few soils of one.
    private Decoys ofAllMethods() {
        return Decoys.together(soils.methods().stream()
                .map(method -> chance.getOrDefault(new Asked(method, CauseKind.IMPLAUSIBLE_TOGETHER), Decoys.NONE))
                .toList());
    }

    // What was put right changes what is forecast for soils of the same clients, and for nobody else's.
    private BitSet withTheirClients(BitSet of) {
        Set<Integer> clients = new HashSet<>();
        BitSet rows = (BitSet) of.clone();
        of.stream().map(soils::client).forEach(clients::add);
        clients.remove(-1);
        for (int row = 0; row < soils.size(); row++) {
            if (clients.contains(soils.client(row))) {
                rows.set(row);
            }
        }
        return rows;
    }

    private Agreement agreement(int m) {
        return agreements.get(m).agreement();
    }

    List<DayFinding> findings() {
        return findings;
    }

    /** How each method agrees with the others after everything was put right, in the order of {@link DaySoils#methods()}. */
    List<DayRelations.Learnt> agreements() {
        return agreements;
    }

    boolean misplaced(String run, String labNumber) {
        return misplaced.contains(new Misplaced(run, labNumber));
    }

    private double needed() {
        return Math.log10(policy.number(Setting.CARD_ODDS));
    }

    private boolean convinces(Explanation suspect) {
        return suspect.convinces(needed());
    }

    private static String told(Explanation suspect, int row) {
        return suspect.method().method.id() + " " + suspect.method().time() + " "
                + suspect.kind().word() + " " + row;
    }

    private List<Explanation> accept(List<Explanation> suspects) {
        List<Explanation> accepted = new ArrayList<>();
        Set<Integer> taken = new HashSet<>();
        Set<Integer> clients = new HashSet<>();
        for (Explanation first : suspects) {
            Explanation suspect = !convinces(first) ? first : mostCoherent(first, suspects);
            Set<Integer> rows = suspect.rows();
            // What is still so after it was put right once was never so.
            boolean again = rows.stream().anyMatch(row -> told.contains(told(suspect, row)));
            // Wrong readings disturb what is forecast for the rest of their client's soils: those wait for the next
            // pass.
            if (!convinces(suspect)
                    || again
                    || rows.stream().anyMatch(row -> taken.contains(row) || clients.contains(soils.client(row)))) {
                continue;
            }
            taken.addAll(rows);
            rows.forEach(row -> told.add(told(suspect, row)));
            rows.stream().map(soils::client).filter(client -> client >= 0).forEach(clients::add);
            accepted.add(suspect);
            Optional<Explanation> next = suspects.stream()
                    .filter(other -> other != suspect && other.rows().stream().anyMatch(rows::contains))
                    .findFirst();
            tell(suspect, next);
        }
        return accepted;
    }

    // When one method's soils disagree with another's, either may be the one that is wrong. Putting the right one right
    // makes all
    // methods agree; putting the other right only moves the disagreement on.
    private Explanation mostCoherent(Explanation suspect, List<Explanation> suspects) {
        Set<Integer> rows = suspect.rows();
        List<Explanation> candidates = new ArrayList<>(List.of(suspect));
        Set<MethodSoils> seen = new HashSet<>(Set.of(suspect.method()));
        for (Explanation other : suspects) {
            long common = other.rows().stream().filter(rows::contains).count();
            if (other.soils().length > 1
                    && convinces(other)
                    && other.ratio() >= policy.number(Setting.COMPARABLE_EVIDENCE) * suspect.ratio()
                    && 2 * common >= Math.min(rows.size(), other.soils().length)
                    && seen.add(other.method())) {
                candidates.add(other);
            }
        }
        if (candidates.size() == 1) {
            return suspect;
        }
        Set<Integer> all = new HashSet<>();
        candidates.forEach(candidate -> all.addAll(candidate.rows()));
        double[] agreeing = new double[candidates.size()];
        for (int k = 0; k < agreeing.length; k++) {
            Explanation candidate = candidates.get(k);
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
                for (int row : all) {
                    double likelihood = then.get(m).likelihood(row);
                    sum += likelihood == 0 ? 0 : likelihood - ordinary;
                }
            }
            soils.restore(candidate.method(), candidate.soils(), kept);
            agreeing[k] = sum;
        }
        // Of those after which all agree as well, within ten to one, the one with the most evidence.
        double enough = Arrays.stream(agreeing).max().orElse(0) - Math.log(10);
        return IntStream.range(0, agreeing.length)
                .filter(k -> agreeing[k] >= enough)
                .mapToObj(candidates::get)
                .max(Comparator.comparingDouble(Explanation::ratio))
                .orElse(suspect);
    }

    private void tell(Explanation suspect, Optional<Explanation> next) {
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
        double lead = next.map(other -> suspect.ratio() - other.ratio()).orElse(suspect.ratio());
        Optional<Finding.RunnerUp> other =
                next.filter(one -> one.ratio() > 0).map(one -> new Finding.RunnerUp(one.kind(), lead));
        Optional<Finding.RunnerUp> runnerUp = suspect.apart()
                .filter(apart -> other.isEmpty() || apart.log10Odds() <= lead)
                .or(() -> other);
        String second = next.filter(one -> one.ratio() > 0)
                .map(one -> ". Next best" + (lead < 1 ? ", and not distinguishable from it: " : ": ") + one.what())
                .orElse("");
        // What one soil's results alone say is looked at by a person first, unless it names a plain slip.
        boolean sure = suspect.kind() != CauseKind.IMPLAUSIBLE_TOGETHER
                && suspect.convinces(needed() + policy.number(Setting.REDO_MARGIN));
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
                            sentence(suspect.what() + suspect.gain() + second) + " "
                                    + sentence(suspect.weight().text()),
                            suspect.action(),
                            OptionalDouble.of(suspect.weight().ratio()),
                            runnerUp,
                            List.of(Measure.upTo(
                                    Measure.Kind.ODDS,
                                    "",
                                    "",
                                    0,
                                    suspect.weight().odds(),
                                    needed(),
                                    ""))),
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
    private static List<String> symbols(MethodSoils method) {
        return method.method.head().analytes().stream().map(Analyte::symbol).toList();
    }

    private List<Explanation> suspects(int m, List<Voices> voices, BitSet at) {
        MethodSoils method = soils.methods().get(m);
        if (!agreement(m).isFitted()) {
            return List.of();
        }
        List<Explanation> suspects = new ArrayList<>(movedReadings.of(method, agreements.get(m), at));
        List<Decoys> portions = new ArrayList<>();
        int looked = 0;
        for (Voices of : voices) {
            SingleSoils.Looked single = single(m, of, at, suspects);
            portions.add(single.decoys());
            looked += single.looked();
        }
        // What was read again is too little to measure chance by.
        if (at.cardinality() == soils.size() && method.time() == 0) {
            Decoys factors = Decoys.together(portions);
            int runsOf = method.orders.size();
            chance.put(new Asked(method, CauseKind.PORTION_WRONG), factors);
            chance.put(new Asked(method, CauseKind.DILUTION_MISMATCH), factors);
            // Of these nearly all that are asked did not happen.
            chance.put(
                    new Asked(method, CauseKind.IMPLAUSIBLE_TOGETHER),
                    others(suspects, CauseKind.IMPLAUSIBLE_TOGETHER, looked));
            chance.put(new Asked(method, CauseKind.NOT_DRY), others(suspects, CauseKind.NOT_DRY, runsOf));
        }
        return suspects;
    }

    // What is believed to have happened is no measure of chance: the others are weighed again without its soils.
    private List<Explanation> weighed(int m, List<Explanation> suspects) {
        Set<Integer> happened = new HashSet<>();
        List<Explanation> weighed = suspects;
        for (int round = 0; round < PASSES; round++) {
            weighed = weighed.stream()
                    .map(one ->
                            one.ratio() < one.needed() || convinces(one) ? one : one.weighed(weight(m, one, happened)))
                    .toList();
            boolean more = false;
            for (Explanation one : weighed) {
                more |= convinces(one) && happened.addAll(one.rows());
            }
            if (!more) {
                break;
            }
        }
        return weighed;
    }

    private static Decoys others(List<Explanation> suspects, CauseKind kind, int asked) {
        List<Decoys.Decoy> of = suspects.stream()
                .filter(one -> one.kind() == kind)
                .map(one -> new Decoys.Decoy(one.soils()[0], one.soils()[0], one.ratio()))
                .toList();
        return new Decoys(of, Math.max(asked, of.size()));
    }

    private Weight weight(int m, Explanation suspect, Set<Integer> happened) {
        MethodSoils method = suspect.method();
        Decoys decoys = MovedReadings.WITH_DECOYS.contains(suspect.kind())
                ? chance.computeIfAbsent(
                        new Asked(method, suspect.kind()),
                        asked -> movedReadings.decoys(asked.kind(), method, agreements.get(m)))
                : chance.getOrDefault(new Asked(method, suspect.kind()), Decoys.NONE);
        double rate = switch (suspect.kind()) {
            case TRAY_TURNED -> policy.number(Setting.TURNED_RATE);
            case TRAYS_EXCHANGED -> policy.number(Setting.EXCHANGED_RATE);
            case NEIGHBOURS_EXCHANGED -> policy.number(Setting.NEIGHBOURS_RATE);
            case RUN_SHIFTED -> policy.number(Setting.SHIFTED_RATE);
            case NOT_DRY -> policy.number(Setting.NOT_DRY_RATE);
            default -> policy.number(Setting.SOIL_RATE);
        };
        // A day asks it of every method.
        int tries = switch (suspect.kind()) {
            case TRAY_TURNED, TRAYS_EXCHANGED -> soils.trays().size() * agreements.size();
            case RUN_SHIFTED, NOT_DRY ->
                soils.methods().stream().mapToInt(one -> one.orders.size()).sum();
            default -> strange.all();
        };
        Set<Integer> rows = suspect.rows();
        // Where the other soils of the day are the measure, leaving out the largest one by one would leave no tail.
        if (suspect.kind() != CauseKind.IMPLAUSIBLE_TOGETHER) {
            rows.addAll(happened);
        }
        double here = ownRecord.rate(suspect.kind(), rate, policy.number(Setting.RECORD_WEIGHT));
        return decoys.weight(
                suspect.ratio(),
                rows,
                here,
                tries,
                suspect.kind() == CauseKind.IMPLAUSIBLE_TOGETHER
                        ? strange.meanExcess(rows, policy)
                        : Decoys.HONEST_EXCESS,
                ownRecord.says(suspect.kind(), here),
                policy);
    }

    private SingleSoils.Looked single(int m, Voices of, BitSet at, List<Explanation> suspects) {
        MethodSoils method = soils.methods().get(m);
        BitSet rows = (BitSet) at.clone();
        rows.and(of.rows());
        String key = reuse.keeps()
                ? reuse.key(
                        "single",
                        of.learnt().get(m).key(),
                        soils.layoutKey(),
                        soils.valuesKey(method),
                        method.placesKey(runs, reuse),
                        rows)
                : "";
        SingleSoils.Looked single = reuse.piece(
                SingleSoils.Looked.class,
                key,
                () -> SingleSoils.of(
                        soils, method, of.agreements().get(m), of.differences().get(m), rows, policy));
        for (SingleSoils.Suspect one : single.suspects()) {
            // A strange result of one method makes those of the others look strange too: only the strangest is told.
            if (SingleSoils.strangest(soils, of.agreements(), of.differences(), one.row()) == m) {
                suspects.add(new Explanation(
                        one.kind(),
                        method,
                        new int[] {one.row()},
                        new int[] {-1},
                        one.ratio(),
                        policy.number(Setting.SOIL_EVIDENCE),
                        Explanation.UNWEIGHED,
                        soils.labNumber(one.row()).text() + ": " + one.what(),
                        "",
                        one.action(),
                        one.runnerUp()));
            }
        }
        return single;
    }
}
