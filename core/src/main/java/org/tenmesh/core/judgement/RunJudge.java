package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.methods.Channel;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;

/**
 * Judges one run by what it carries itself: its calibration, check solutions, blanks, control soils and duplicates.
 *
 * <p>Before the first soil stand the gates; a gate that stays shut holds the whole run for the probe or element it concerns.
 * After the first soil a failing check touches its bracket: everything after the last check of its kind that passed and
 * before the next one (US EPA SW-846 method 6010D, July 2018, section 10.8.5: samples after the last good check are run
 * again).
 *
 * <p>Of a run under way the same is said with what was read so far. What only its later positions can give is waited for ({@link Awaited}): it
 * holds, and is no finding.
 */
public final class RunJudge {
    private final RunTable table;
    private final Gates gates;
    private final StillToCome still;
    private final List<Draft> drafts = new ArrayList<>();

    private RunJudge(RunTable table) {
        this.table = table;
        this.gates = new Gates(table);
        this.still = new StillToCome(table, gates);
    }

    /**
     * Judges a reduced run.
     *
     * @param hidden the sealed key: which lab numbers are control soils, and of which material
     */
    public static RunJudgement judge(
            Reduced reduced, References references, Map<LabNumber, String> hidden, Policy policy) {
        return judge(reduced, references, hidden, Set.of(), List.of(), policy);
    }

    /**
     * Judges a reduced run of which some hidden control soils are not to be believed, because they are known from elsewhere not to be
     * what the sealed key says.
     *
     * @param hidden the sealed key, corrected where it could be
     * @param disregarded lab numbers of control soils that make no bracket, no pass and no control value
     * @param interferences elements that the day as a whole found in others' signals
     */
    public static RunJudgement judge(
            Reduced reduced,
            References references,
            Map<LabNumber, String> hidden,
            Set<LabNumber> disregarded,
            List<Interference> interferences,
            Policy policy) {
        return judge(
                reduced,
                references,
                hidden,
                disregarded,
                interferences,
                policy,
                reduced.method().requiredGates());
    }

    /**
     * Judges a reduced run that must have passed the gates stated, whatever its kind of method asks for.
     *
     * @param required gates that hold what they guard when nothing was read for them
     */
    public static RunJudgement judge(
            Reduced reduced,
            References references,
            Map<LabNumber, String> hidden,
            Set<LabNumber> disregarded,
            List<Interference> interferences,
            Policy policy,
            Set<Gate> required) {
        return new RunJudge(new RunTable(reduced, policy))
                .judge(references, hidden, disregarded, interferences, required);
    }

    private RunJudgement judge(
            References references,
            Map<LabNumber, String> hidden,
            Set<LabNumber> disregarded,
            List<Interference> interferences,
            Set<Gate> required) {
        if (table.rows() == 0) {
            return new RunJudgement(
                    table.reduced(),
                    List.of(),
                    List.of(),
                    List.of(),
                    List.of(),
                    table.run().underWay() ? required.stream().sorted().toList() : List.of(),
                    List.of());
        }
        Optional<WrongStandard.Found> wrong =
                StillToCome.calibrates(table) ? Optional.empty() : WrongStandard.find(table);
        wrong.ifPresent(found -> drafts.add(WrongStandard.draft(found, table)));
        Optional<CarriedOver> carriedOver = table.method()
                .extract()
                .filter(extraction -> table.method().readsEmissionLines())
                .map(extraction -> new CarriedOver(table, extraction));
        carriedOver.ifPresent(one -> one.judge(drafts::add));
        Interference.OfRun interferes = new Interference.OfRun(table, interferences);
        drafts.addAll(interferes.drafts());
        KnownEffects effects = new KnownEffects(table, wrong, carriedOver, interferes);
        calibration(wrong);
        Map<Lane, List<Check>> checks = new CheckSolutions(table, references, effects, gates, drafts::add).judge();
        table.method()
                .extract()
                .ifPresent(extraction -> new Blanks(table, extraction, effects, gates, drafts::add).judge());
        if (table.method() instanceof FlowMethod flow) {
            new Flow(table, flow, gates, drafts::add).judge();
        }
        List<ControlValue> controlValues =
                new Controls(table, references, hidden, disregarded, effects, gates, drafts::add).judge();
        new Soils(table, references, effects, still, drafts::add).judge();
        new Dilutions(table, effects, drafts::add).judge();
        new Possible(table).judge(drafts::add);
        new RequiredGates(table, gates, still).judge(required, drafts::add);
        if (required.contains(Gate.KNOWN_SOLUTIONS)) {
            new RequiredChecks(table, gates, checks, drafts::add).judge();
        }
        if (table.run().underWay()) {
            still.judge(required, checks);
        }
        new LostLines(table, hidden).judge(references.lost(), drafts::add);
        return assemble(controlValues);
    }

    private void calibration(Optional<WrongStandard.Found> wrong) {
        List<CalibrationOutcome> calibrations = table.reduced().calibrations().stream()
                .filter(outcome -> !StillToCome.calibrates(table, outcome))
                .toList();
        if (calibrations.isEmpty()) {
            return;
        }
        calibrations.forEach(outcome -> table.column(outcome.analyte())
                .ifPresent(column -> gates.judges(Gate.CALIBRATION, new Lane(column, outcome.channel()))));
        List<CalibrationOutcome> rejected =
                calibrations.stream().filter(outcome -> !outcome.accepted()).toList();
        for (CalibrationOutcome outcome : rejected) {
            if (wrong.isPresent() && wrong.get().accountsFor(outcome, table)) {
                continue;
            }
            Draft draft = new Draft(
                            table,
                            CauseKind.CALIBRATION_REJECTED,
                            Verdict.HOLD,
                            outcome.channel(),
                            "",
                            outcome.channel().isEmpty()
                                    ? "Prepare the standards again, calibrate, then read these soils again."
                                    : "Clean or replace "
                                            + table.method()
                                                    .channel()
                                                    .map(Channel::noun)
                                                    .orElse("channel")
                                            + " " + outcome.channel() + ", calibrate it, then read its soils again.")
                    .says(outcome.reasons().get(0));
            String of = outcome.channel().isEmpty()
                    ? ""
                    : table.method().channel().map(Channel::noun).orElse("channel") + " " + outcome.channel() + ", ";
            outcome.broken()
                    .forEach(one -> draft.measures(new Measure(
                            Measure.Kind.CALIBRATION,
                            outcome.analyte(),
                            of + one.what(),
                            0,
                            one.found(),
                            one.low(),
                            one.high(),
                            one.unit())));
            table.column(outcome.analyte())
                    .ifPresent(column -> draft.touch(table.firstSoil(), table.lastSoil(), column, outcome.channel()));
            drafts.add(draft);
        }
        Optional<CalibrationOutcome> bad = rejected.stream().findFirst();
        CalibrationOutcome shown = bad.orElse(calibrations.get(0));
        String more = calibrations.size() > 1 && bad.isEmpty() ? ", and " + (calibrations.size() - 1) + " more" : "";
        String observed = wrong.map(found -> WrongStandard.sentence(found, table))
                .or(() -> bad.map(outcome -> outcome.reasons().get(0)))
                .orElse(shown.summary() + more);
        gates.add(Gate.CALIBRATION, bad.isEmpty() && wrong.isEmpty(), observed, shown.limits(), Role.STANDARD);
    }

    private RunJudgement assemble(List<ControlValue> controlValues) {
        List<Draft> merged = new ArrayList<>();
        for (Draft draft : drafts) {
            Optional<Draft> home =
                    merged.stream().filter(m -> m.sameThing(draft)).findFirst();
            if (home.isPresent()) {
                home.get().take(draft);
            } else {
                merged.add(draft);
            }
        }
        merged.sort(
                Comparator.comparingInt(Draft::first).thenComparing(Draft::kind).thenComparing(Draft::group));
        @Nullable BitSet[] touching = new BitSet[table.cells()];
        List<Finding> findings = new ArrayList<>();
        for (Draft draft : merged) {
            int index = findings.size();
            draft.cells().stream().forEach(cell -> {
                BitSet known = touching[cell] == null ? new BitSet() : touching[cell];
                known.set(index);
                touching[cell] = known;
            });
            findings.add(draft.finding());
        }
        return new RunJudgement(
                table.reduced(),
                findings,
                judged(findings, touching),
                gates.outcomes(),
                controlValues,
                still.notRead(),
                still.awaited());
    }

    private List<RunJudgement.Judged> judged(List<Finding> findings, @Nullable BitSet[] touching) {
        List<RunJudgement.Judged> judged = new ArrayList<>(table.cells());
        for (int row = 0; row < table.rows(); row++) {
            for (int column = 0; column < table.columns(); column++) {
                if (!table.stands(row, column)) {
                    continue;
                }
                Determination d = table.at(row, column);
                Verdict verdict =
                        d.flaw() == Flaw.NO_CALIBRATION || still.waits(row, column) ? Verdict.HOLD : Verdict.FIT;
                List<Integer> indices = List.of();
                BitSet touched = touching[table.cell(row, column)];
                if (touched != null) {
                    indices = touched.stream().boxed().toList();
                    for (int index : indices) {
                        verdict = verdict.or(findings.get(index).verdict());
                    }
                }
                judged.add(new RunJudgement.Judged(d, verdict, indices));
            }
        }
        return judged;
    }
}
