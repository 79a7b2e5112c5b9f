package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
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
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
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

    /** A reading that belongs to another soil. */
    record Misplaced(String run, String labNumber) {}

    Identity(
            DaySoils soils,
            List<RunStage> runs,
            @Nullable String[] materials,
            Map<String, References> references,
            Policy policy,
            Reuse reuse,
            Questions questions) {
        this.questions = questions;
        this.soils = soils;
        this.runs = runs;
        this.policy = policy;
        relations = new DayRelations(soils, runs, materials, references, policy, reuse, questions);
        movedReadings = new MovedReadings(soils, runs, references, policy, reuse);
        this.reuse = reuse;
    }

    /** Looks, tells and puts right. */
    void settle() {
        agreements = relations.learn();
        own = relations.ofTheirOwn(agreements);
        BitSet everywhere = new BitSet();
        everywhere.set(0, soils.size());
        BitSet looked = everywhere;
        for (int pass = 0; pass < PASSES; pass++) {
            BitSet at = looked;
            List<Voices> voices = Voices.of(soils, agreements, own, reuse);
            List<Explanation> suspects = IntStream.range(0, agreements.size())
                    .parallel()
                    .mapToObj(m -> questions.ask(
                            "its readings are those of the soils they are recorded under",
                            RunStage.names(runs, soils.methods().get(m).method),
                            () -> suspects(m, voices, at),
                            List::<Explanation>of))
                    .flatMap(Collection::stream)
                    .sorted(Comparator.comparingDouble((Explanation suspect) -> -suspect.odds())
                            .thenComparing(suspect -> suspect.method().method.id())
                            .thenComparing(suspect -> suspect.soils()[0]))
                    .toList();
            List<Explanation> accepted = accept(suspects);
            if (accepted.isEmpty()) {
                return;
            }
            int moved = 0;
            for (Explanation suspect : accepted) {
                soils.move(suspect.method(), suspect.soils(), suspect.readings());
                moved += suspect.soils().length;
            }
            if (moved > policy.number(Setting.MOVED_SHARE_RELEARN) * soils.size()) {
                agreements = relations.learn();
                own = relations.ofTheirOwn(agreements);
                looked = everywhere;
            } else {
                agreements = relations.again(agreements);
                own.replaceAll((rows, theirs) -> relations.again(theirs));
                looked = ofTheirClients(accepted);
            }
        }
    }

    // What was put right changes what is forecast for soils of the same clients, and for nobody else's.
    private BitSet ofTheirClients(List<Explanation> accepted) {
        Set<Integer> clients = new HashSet<>();
        BitSet rows = new BitSet();
        for (Explanation suspect : accepted) {
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

    private static String told(Explanation suspect, int row) {
        return suspect.method().method.id() + " " + suspect.kind().word() + " " + row;
    }

    private List<Explanation> accept(List<Explanation> suspects) {
        List<Explanation> accepted = new ArrayList<>();
        Set<Integer> taken = new HashSet<>();
        Set<Integer> clients = new HashSet<>();
        for (Explanation first : suspects) {
            Explanation suspect = first.odds() < first.needed() ? first : mostCoherent(first, suspects);
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
        Explanation best = suspect;
        double most = Double.NEGATIVE_INFINITY;
        for (Explanation candidate : candidates) {
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
    private static List<String> symbols(MethodSoils method) {
        return method.method.head().analytes().stream().map(Analyte::symbol).toList();
    }

    private List<Explanation> suspects(int m, List<Voices> voices, BitSet at) {
        List<Explanation> suspects = new ArrayList<>();
        MethodSoils method = soils.methods().get(m);
        if (agreement(m).isFitted()) {
            suspects.addAll(movedReadings.of(method, agreements.get(m), at));
            voices.forEach(of -> single(m, of, at, suspects));
        }
        return suspects;
    }

    private record Single(List<SingleSoils.Suspect> suspects) {}

    private void single(int m, Voices of, BitSet at, List<Explanation> suspects) {
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
        Single single = reuse.piece(
                Single.class,
                key,
                () -> new Single(SingleSoils.of(
                        soils, method, of.agreements().get(m), of.differences().get(m), rows, policy)));
        for (SingleSoils.Suspect one : single.suspects()) {
            // A strange result of one method makes those of the others look strange too: only the strangest is told.
            if (SingleSoils.strangest(soils, of.agreements(), of.differences(), one.row()) == m) {
                suspects.add(new Explanation(
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
}
