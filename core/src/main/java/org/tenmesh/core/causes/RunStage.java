package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/**
 * The first stage: one run, judged by what it carries itself.
 *
 * @param key digest of everything it is made from: the readings and the run's head, the method's version, known values with what the
 *     history adds to them, the hidden controls among its soils, the policy, the {@link Engine}'s version
 */
record RunStage(String key, Method method, RunJudgement judgement, References references) {
    /**
     * Everything that a run is judged by.
     *
     * @param method in the version that holds for it
     * @param controls hidden controls among the soils of this run, no others
     */
    record Inputs(Run run, Method method, References references, Map<LabNumber, String> controls, Policy policy) {
        String key(Reuse reuse) {
            return reuse.key(
                    "run",
                    Engine.VERSION,
                    run,
                    reuse.digest(method),
                    reuse.digest(references),
                    controls,
                    reuse.digest(policy));
        }

        /** What stands where the run could not be judged: every soil it read, without a number, held. */
        List<Result> withoutResults() {
            Readings readings = run.readings();
            Map<String, Integer> soils = new LinkedHashMap<>();
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) == Role.SAMPLE) {
                    soils.putIfAbsent(readings.identity(i), readings.position(i));
                }
            }
            List<Result> results = new ArrayList<>();
            soils.forEach((soil, position) -> method.head().analytes().stream()
                    .map(analyte -> new Result(
                            new LabNumber(soil),
                            method.id(),
                            method.head().version(),
                            analyte.symbol(),
                            run.run(),
                            position,
                            "",
                            new Amount.Missing("not judged", analyte.unit()),
                            "",
                            OptionalDouble.empty(),
                            Verdict.HOLD,
                            List.of()))
                    .forEach(results::add));
            return results;
        }
    }

    /** A run of which nothing is known but its readings. */
    static RunStage notJudged(Inputs inputs, Reuse reuse) {
        return new RunStage(
                reuse.key(CauseKind.NOT_JUDGED, inputs.key(reuse)),
                inputs.method(),
                new RunJudgement(
                        new Reduced(inputs.run(), inputs.method(), List.of(), List.of()),
                        List.of(),
                        List.of(),
                        List.of(),
                        List.of()),
                inputs.references());
    }

    static RunStage of(Inputs inputs, Reuse reuse) {
        String key = inputs.key(reuse);
        return reuse.piece(RunStage.class, key, () -> {
            Reduced reduced = Reduction.reduce(
                    inputs.run(), inputs.method(), inputs.references().values(), Trail.OFF);
            return new RunStage(
                    key,
                    inputs.method(),
                    RunJudge.judge(reduced, inputs.references(), inputs.controls(), inputs.policy()),
                    inputs.references());
        });
    }

    /**
     * The same run, whose control soils turned out to be others or not to have been read at all, or whose signals hold those of other
     * elements.
     *
     * @param controls of this run, as they truly are, without those that are disregarded
     */
    RunStage again(
            Map<LabNumber, String> controls,
            Set<LabNumber> disregarded,
            List<Interference> interferences,
            Policy policy,
            Reuse reuse) {
        String its = reuse.key("run again", key, controls, disregarded, interferences, reuse.digest(policy));
        return reuse.piece(
                RunStage.class,
                its,
                () -> new RunStage(
                        its,
                        method,
                        RunJudge.judge(judgement.reduced(), references, controls, disregarded, interferences, policy),
                        references));
    }

    /** What one run adds to the day; its results in the order of the day. */
    record Stated(List<Result> results, List<Found> found) {}

    /** The runs of one method. */
    static List<String> names(List<RunStage> runs, Method method) {
        return runs.stream()
                .filter(run -> run.method().id().equals(method.id()))
                .map(RunStage::name)
                .toList();
    }

    /** What it has not read yet, while it is under way. */
    Optional<RunUnderWay> underWay() {
        Run run = judgement.reduced().run();
        return run.underWay()
                ? Optional.of(new RunUnderWay(
                        run.run(),
                        run.instrument(),
                        run.method(),
                        lastPosition(),
                        judgement.notRead(),
                        judgement.awaited()))
                : Optional.empty();
    }

    String name() {
        return judgement.reduced().run().run();
    }

    /**
     * Its results and what was found in it, with what the day found.
     *
     * @param ofTheDay of this run, in order
     * @param repeats the run whose readings these are again
     * @param unread soils that should have been in it
     */
    Stated state(List<DayFinding> ofTheDay, Optional<String> repeats, List<Unread> unread, Reuse reuse) {
        return reuse.piece(
                Stated.class,
                reuse.key("stated", key, ofTheDay, repeats, unread),
                () -> made(ofTheDay, repeats, unread));
    }

    private Stated made(List<DayFinding> ofTheDay, Optional<String> repeats, List<Unread> unread) {
        List<Result> results = new ArrayList<>();
        List<Found> found = new ArrayList<>();
        List<Finding> findings = new ArrayList<>(judgement.findings());
        int alone = findings.size();
        ofTheDay.forEach(one -> findings.add(one.finding()));
        Map<String, List<Integer>> touching = new HashMap<>();
        for (int i = 0; i < ofTheDay.size(); i++) {
            for (String labNumber : ofTheDay.get(i).labNumbers()) {
                touching.computeIfAbsent(labNumber, lab -> new ArrayList<>(1)).add(alone + i);
            }
        }
        List<RunJudgement.Judged> judged = judgement.determinations();
        Map<CauseKind, Integer> numbers = new HashMap<>();
        List<String> ids = new ArrayList<>();
        findings.forEach(finding -> ids.add(id(finding.kind(), numbers)));
        Map<String, WithinLaboratory> within = within();
        Optional<String> repeatedId = repeats.map(earlier -> id(CauseKind.REPEATED_FILE, numbers));
        LabNumber last = new LabNumber("-");
        for (RunJudgement.Judged one : judged) {
            Determination d = one.determination();
            // Results of one vessel follow each other and share the number.
            last = last.text().equals(d.identity()) ? last : new LabNumber(d.identity());
            Verdict verdict = one.verdict();
            List<String> causeIds = List.of();
            List<Integer> more = touching.isEmpty() ? List.of() : touching.getOrDefault(d.identity(), List.of());
            if (!one.findings().isEmpty() || !more.isEmpty() || repeatedId.isPresent()) {
                causeIds = new ArrayList<>();
                for (int index : one.findings()) {
                    causeIds.add(ids.get(index));
                }
                for (int index : more) {
                    if (findings.get(index).analytes().contains(d.analyte())) {
                        causeIds.add(ids.get(index));
                        verdict = verdict.or(findings.get(index).verdict());
                    }
                }
                if (repeatedId.isPresent()) {
                    causeIds.add(repeatedId.get());
                    verdict = verdict.or(Verdict.HOLD);
                }
                causeIds = List.copyOf(causeIds);
            }
            results.add(result(d, last, verdict, causeIds, within));
        }
        for (int i = 0; i < findings.size(); i++) {
            Finding finding = findings.get(i);
            // A gate that is shut before any soil came touches nobody yet, and is a cause all the same.
            found.add(found(ids.get(i), finding, i >= alone));
        }
        repeatedId.ifPresent(id -> found.add(Found.plain(
                id,
                CauseKind.REPEATED_FILE,
                Verdict.HOLD,
                name(),
                method.id(),
                symbols(),
                firstPosition(),
                lastPosition(),
                "Every reading and time of this run is that of run " + repeats.orElse("") + ".",
                "Take this run away if the file came twice; if the soils were read twice, find the second file.")));
        addUnread(unread.stream().filter(Unread::atTheEnd).toList(), CauseKind.TRUNCATED_RUN, numbers, results, found);
        addUnread(
                unread.stream().filter(u -> !u.atTheEnd()).toList(),
                CauseKind.MISSING_READING,
                numbers,
                results,
                found);
        results.sort(Comparator.comparingInt(Result::position)
                .thenComparing(Result::labNumber)
                .thenComparing(Result::analyte));
        return new Stated(results, found);
    }

    private void addUnread(
            List<Unread> unread,
            CauseKind kind,
            Map<CauseKind, Integer> numbers,
            List<Result> results,
            List<Found> found) {
        if (unread.isEmpty()) {
            return;
        }
        String id = id(kind, numbers);
        List<String> trays =
                unread.stream().map(Unread::tray).distinct().sorted().toList();
        String who = unread.size() == 1
                ? unread.get(0).labNumber().text() + " was"
                : unread.get(0).labNumber().text() + " and " + (unread.size() - 1) + " more were";
        String where = (trays.size() == 1 ? "tray " : "trays ") + String.join(", ", trays);
        found.add(Found.plain(
                id,
                kind,
                Verdict.HOLD,
                name(),
                method.id(),
                symbols(),
                kind == CauseKind.TRUNCATED_RUN ? lastPosition() + 1 : firstPosition(),
                kind == CauseKind.TRUNCATED_RUN ? lastPosition() + unread.size() : lastPosition(),
                "From " + where + ", " + who + " not read, while others of the same tray were.",
                "Read what is missing from " + where + ", with its check solutions."));
        for (Unread one : unread) {
            for (Analyte analyte : method.head().analytes()) {
                if (symbols().contains(analyte.symbol())) {
                    results.add(new Result(
                            one.labNumber(),
                            method.id(),
                            method.head().version(),
                            analyte.symbol(),
                            name(),
                            0,
                            "",
                            new Amount.Missing("not read", analyte.unit()),
                            "",
                            OptionalDouble.empty(),
                            Verdict.HOLD,
                            List.of(id)));
                }
            }
        }
    }

    private Found found(String id, Finding finding, boolean ofTheDay) {
        return new Found(
                id,
                finding.kind(),
                finding.verdict(),
                name(),
                method.id(),
                finding.analytes(),
                finding.firstPosition(),
                finding.lastPosition(),
                finding.evidence(),
                finding.action(),
                finding.log10Odds(),
                finding.runnerUp(),
                finding.measures(),
                ofTheDay);
    }

    private String id(CauseKind kind, Map<CauseKind, Integer> numbers) {
        return name() + "." + kind.word() + "." + numbers.merge(kind, 1, Integer::sum);
    }

    private List<String> symbols() {
        return judgement.reduced().determinations().stream()
                .map(Determination::analyte)
                .distinct()
                .toList();
    }

    private int firstPosition() {
        List<Determination> all = judgement.reduced().determinations();
        return all.isEmpty() ? 0 : all.get(0).position();
    }

    private int lastPosition() {
        List<Determination> all = judgement.reduced().determinations();
        return all.isEmpty() ? 0 : all.get(all.size() - 1).position();
    }

    private Map<String, WithinLaboratory> within() {
        Map<String, WithinLaboratory> within = new HashMap<>();
        method.head()
                .analytes()
                .forEach(analyte -> within.put(analyte.symbol(), references.withinLaboratory(method, analyte)));
        return within;
    }

    private Result result(
            Determination d,
            LabNumber labNumber,
            Verdict verdict,
            List<String> causeIds,
            Map<String, WithinLaboratory> within) {
        Analyte analyte = method.analyte(d.analyte()).orElseThrow();
        OptionalDouble expanded = OptionalDouble.empty();
        WithinLaboratory spread = within.get(d.analyte());
        if (d.amount() instanceof Amount.Measured measured && spread != null) {
            WithinLaboratory.OfCalibration calibration = new WithinLaboratory.OfCalibration(
                    d.calibrationSe(), judgement.reduced().calibrationDegrees(d));
            expanded = OptionalDouble.of(spread.expanded(measured.value(), calibration));
        }
        return new Result(
                labNumber,
                method.id(),
                method.head().version(),
                d.analyte(),
                name(),
                d.position(),
                d.channel(),
                d.amount(),
                org.tenmesh.core.quantity.Stated.text(d.amount(), analyte.rounding(), expanded),
                expanded,
                verdict,
                causeIds);
    }
}
