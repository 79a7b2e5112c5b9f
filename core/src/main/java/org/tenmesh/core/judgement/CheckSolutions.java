package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.StandardCurve;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.Robust;

/** Check solutions that made no part of the calibration: a gate before the first soil, brackets after it. */
final class CheckSolutions {
    private final RunTable table;
    private final References references;
    private final CheckLimits limits;
    private final KnownEffects effects;
    private final Gates gates;
    private final Consumer<Draft> drafts;

    CheckSolutions(RunTable table, References references, KnownEffects effects, Gates gates, Consumer<Draft> drafts) {
        this.table = table;
        this.references = references;
        this.limits = new CheckLimits(table, references);
        this.effects = effects;
        this.gates = gates;
        this.drafts = drafts;
    }

    /** Judges them; gives those that could be judged. */
    Map<Lane, List<Check>> judge() {
        Map<Lane, List<Check>> lanes = new LinkedHashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            if (table.role(row) != Role.VERIFICATION) {
                continue;
            }
            for (int column = 0; column < table.columns(); column++) {
                Determination d = table.at(row, column);
                if (row < table.firstSoil() && effects.isOfWrongFlask(row, column)) {
                    gates.judges(Gate.KNOWN_SOLUTIONS, row, column);
                }
                // A solution that never was known, or whose reading is flawed, says nothing.
                if (!Double.isNaN(d.known())
                        && d.flaw() == Flaw.NONE
                        && !Calibrated.isForCarryOver(table, d)
                        && !effects.isOfWrongFlask(row, column)) {
                    double tolerance = limits.tolerance(d, table.analyte(column));
                    lanes.computeIfAbsent(new Lane(column, d.channel()), lane -> new ArrayList<>())
                            .add(new Check(
                                    row,
                                    d.identity(),
                                    (d.amount().raw() - d.known()) / tolerance,
                                    () -> found(d, tolerance),
                                    () -> limits.measure(d, tolerance)));
                }
            }
        }
        trends(effects.isEmpty() ? lanes : corrected(lanes));
        List<Check> atTheGate = new ArrayList<>();
        lanes.forEach((lane, checks) -> {
            List<Check> own = Check.atTheGate(checks, table.firstSoil());
            own.forEach(check -> gates.judges(Gate.KNOWN_SOLUTIONS, check.row(), lane.column()));
            own.forEach(check -> atTheGate.add(check.passes() ? afterFailures(check, checks, lane) : check));
            own.stream()
                    .filter(check -> !check.passes() && !isAccountedFor(check, lane))
                    .forEach(check -> shut(check, checks, lane));
            Check.brackets(checks, table, (before, failing, first, last) -> {
                List<Check> left = failing.stream()
                        .filter(check -> !isAccountedFor(check, lane))
                        .toList();
                if (!left.isEmpty()) {
                    bracket(before, left, checks, first, last, lane);
                }
            });
        });
        gates.decide(Gate.KNOWN_SOLUTIONS, atTheGate, "each within its tolerance", Role.VERIFICATION);
        return lanes;
    }

    // A check that failed before it passed stays visible; too often since the calibration, and its failure decides.
    private Check afterFailures(Check passed, List<Check> checks, Lane lane) {
        List<Check> failed = checks.stream()
                .filter(check -> check.row() < passed.row()
                        && check.identity().equals(passed.identity())
                        && !check.passes()
                        && !isAccountedFor(check, lane))
                .toList();
        if (failed.isEmpty()) {
            return passed;
        }
        int calibrated = IntStream.range(0, passed.row())
                .filter(row -> table.role(row) == Role.STANDARD)
                .max()
                .orElse(-1);
        long since = failed.stream().filter(check -> check.row() > calibrated).count();
        int allowed = table.policy().whole(Setting.FIRST_CHECK_FAILURES);
        boolean holds = since > allowed;
        Check worst = Check.worst(failed);
        Draft draft = new Draft(
                        table,
                        CauseKind.VERIFICATION_FAILED,
                        holds ? Verdict.HOLD : Verdict.FIT,
                        lane.channel(),
                        "Before it passed, ",
                        holds
                                ? "Find out why the check solution failed so often; calibrate again, then read these soils again."
                                : "Nothing is held: look whether it fails more often than it used to.")
                .says(worst.evidence().get() + ", " + times(failed.size()) + " failed before position "
                        + table.position(passed.row()) + " (" + since + " since the calibration, allowed " + allowed
                        + ")")
                .odds(worst.deviation() * table.policy().number(Setting.CHECK_SDS_IN_TOLERANCE))
                .stretch(worst.row(), passed.row(), lane.column());
        checks.forEach(check -> draft.measures(check.measure().get()));
        if (holds) {
            draft.touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel());
        }
        drafts.accept(draft);
        return holds ? worst : passed;
    }

    private static String times(int readings) {
        return readings == 1 ? "1 reading" : readings + " readings";
    }

    private Map<Lane, List<Check>> corrected(Map<Lane, List<Check>> lanes) {
        Map<Lane, List<Check>> without = new LinkedHashMap<>();
        lanes.forEach((lane, checks) -> without.put(
                lane, checks.stream().map(check -> corrected(check, lane)).toList()));
        return without;
    }

    // A check without what came over into it, and by the right standards.
    private Check corrected(Check check, Lane lane) {
        Determination d = table.at(check.row(), lane.column());
        double value = effects.corrected(check.row(), lane.column());
        return value == d.amount().raw()
                ? check
                : new Check(
                        check.row(),
                        check.identity(),
                        (value - d.known()) / limits.tolerance(d, table.analyte(lane.column())),
                        check.evidence(),
                        check.measure());
    }

    // ---- a check on its way, still within its tolerance

    private void trends(Map<Lane, List<Check>> lanes) {
        int standards = 0;
        for (CalibrationOutcome outcome : table.reduced().calibrations()) {
            standards = Math.max(standards, outcome.points().size());
        }
        boolean isConstant = table.method()
                .standardCurve()
                .filter(curve -> curve.scatter() == StandardCurve.Scatter.CONSTANT)
                .isPresent();
        // A buffer in the middle of three is as sure as their mean; a solution at the lower end of a line as two of its
        // standards.
        double startShare = standards == 0 ? 1 : Math.min(1, (isConstant ? 1.0 : 2.0) / standards);
        Trend.find(lanes, startShare, table.policy()).forEach((lane, trend) -> {
            Determination d = table.at(trend.lastRow(), lane.column());
            double tolerance = limits.tolerance(d, table.analyte(lane.column()));
            drifts(
                    new KnownEffects.Drift(trend, isShare() ? tolerance / Math.abs(d.known()) : tolerance, isShare()),
                    d,
                    lanes.getOrDefault(lane, List.of()));
        });
    }

    // Whether what drifts is a factor: a sensitivity; otherwise it shifts.
    private boolean isShare() {
        return table.method().sensitivityDrifts();
    }

    // Soils wait where the drift makes up more than half of what results of one soil scatter anyway: beyond that it
    // adds more than an
    // eighth to the scatter of a result (root of 1 + 1/4).
    private void drifts(KnownEffects.Drift drift, Determination last, List<Check> along) {
        effects.add(drift);
        Trend trend = drift.trend();
        Lane lane = trend.lane();
        Analyte analyte = table.analyte(lane.column());
        double usual = usual(lane);
        double bearable =
                table.policy().number(Setting.DRIFT_BEARABLE) * within(analyte).sdAt(usual);
        int from = Math.max(table.firstSoil(), trend.onsetRow());
        while (from <= table.lastSoil() && Math.abs(drift.offAt(from, usual)) <= bearable) {
            from++;
        }
        String unit = drift.share()
                ? " %"
                : analyte.unit().spelling().isEmpty()
                        ? ""
                        : " " + analyte.unit().spelling();
        double size = (drift.share() ? 100 : 1) * drift.perTolerance();
        String began = trend.onsetRow() <= 0 ? "the calibration" : "position " + table.position(trend.onsetRow());
        Draft draft = new Draft(table, CauseKind.DRIFT, Verdict.HOLD, lane.channel(), "", Trend.ACTION)
                .says(analyte.symbol() + limits.under(last) + " drifts by " + signed(100 * trend.perRow() * size) + unit
                        + " in 100 positions since " + began + ", " + signed(trend.atTheEnd() * size) + unit
                        + " at position " + last.position() + " by " + last.identity()
                        + (trend.rowsLeft() > 0
                                ? ", its tolerance of " + text(size, 3) + unit + " reached in about " + trend.rowsLeft()
                                        + " positions more"
                                : ""))
                .odds(trend.z())
                .stretch(Math.max(trend.onsetRow(), 0), trend.lastRow(), lane.column());
        along.forEach(check -> draft.measures(check.measure().get()));
        draft.measures(Measure.around(
                Measure.Kind.DRIFT,
                analyte.symbol(),
                last.identity(),
                last.position(),
                trend.atTheEnd() * size,
                0,
                size,
                drift.share() ? "%" : analyte.unit().spelling()));
        if (from <= table.lastSoil()) {
            draft.touch(from, table.lastSoil(), lane.column(), lane.channel());
        }
        drafts.accept(draft);
    }

    private WithinLaboratory within(Analyte analyte) {
        return WithinLaboratory.of(analyte, references.materials(analyte.symbol()));
    }

    // The middle of the run's soils.
    private double usual(Lane lane) {
        double[] soils = IntStream.rangeClosed(table.firstSoil(), table.lastSoil())
                .filter(row -> table.role(row) == Role.SAMPLE)
                .mapToDouble(row -> table.at(row, lane.column()).amount().raw())
                .filter(value -> value > 0)
                .toArray();
        return soils.length == 0 ? 0 : Robust.median(soils);
    }

    private static String signed(double value) {
        return (value < 0 ? "−" : "+") + text(Math.abs(value), 2);
    }

    // Whether it would have passed but for a cause that is already found.
    private boolean isAccountedFor(Check check, Lane lane) {
        Determination d = table.at(check.row(), lane.column());
        double left = effects.corrected(check.row(), lane.column()) - d.known();
        return left != d.amount().raw() - d.known()
                && Math.abs(left) <= limits.tolerance(d, table.analyte(lane.column()));
    }

    private void shut(Check check, List<Check> checks, Lane lane) {
        Draft draft = new Draft(
                        table,
                        CauseKind.VERIFICATION_FAILED,
                        Verdict.HOLD,
                        lane.channel(),
                        "Before the first soil, ",
                        "Find out whether the standards or the check solution are wrong; calibrate, then read these soils again.")
                .says(check.evidence().get())
                .odds(check.deviation() * table.policy().number(Setting.CHECK_SDS_IN_TOLERANCE))
                .touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel());
        checks.forEach(one -> draft.measures(one.measure().get()));
        drafts.accept(draft);
    }

    private void bracket(List<Check> before, List<Check> failing, List<Check> checks, int first, int last, Lane lane) {
        Check worst = Check.worst(failing);
        boolean drift = effects.trend(lane)
                        .filter(trend -> trend.atTheEnd() * worst.deviation() > 0)
                        .isPresent()
                || predicted(before, failing.get(0));
        Draft draft = new Draft(
                        table,
                        drift ? CauseKind.DRIFT : CauseKind.VERIFICATION_FAILED,
                        Verdict.REDO,
                        lane.channel(),
                        "",
                        drift
                                ? "Find what moves (gas, pump, torch, temperature), calibrate, then read these soils again."
                                : "Read the check solution again; if it still fails, calibrate, then read these soils again.")
                .says(worst.evidence().get() + (drift ? ", predicted by the checks before it" : ""))
                .odds(worst.deviation() * table.policy().number(Setting.CHECK_SDS_IN_TOLERANCE))
                .touch(first, last, lane.column(), lane.channel());
        checks.forEach(check -> draft.measures(check.measure().get()));
        drafts.accept(draft);
    }

    // Do the checks that still passed point, along a straight line, at the one that failed?
    private boolean predicted(List<Check> before, Check failed) {
        int n = before.size();
        if (n < 3) {
            return false;
        }
        double meanRow = before.stream().mapToInt(Check::row).average().orElse(0);
        double mean = before.stream().mapToDouble(Check::deviation).average().orElse(0);
        double sxx = 0;
        double sxy = 0;
        for (Check check : before) {
            sxx += (check.row() - meanRow) * (check.row() - meanRow);
            sxy += (check.row() - meanRow) * (check.deviation() - mean);
        }
        if (sxx == 0) {
            return false;
        }
        double slope = sxy / sxx;
        double residual = 0;
        for (Check check : before) {
            double off = check.deviation() - mean - slope * (check.row() - meanRow);
            residual += off * off;
        }
        double expected = mean + slope * (failed.row() - meanRow);
        double slopeSd = Math.sqrt(residual / Math.max(1, n - 2) / sxx);
        return expected * failed.deviation() > 0
                && Math.abs(expected)
                        >= table.policy().number(Setting.CHECK_PREDICTED_SHARE) * Math.abs(failed.deviation())
                && Math.abs(slope) > 2 * slopeSd;
    }

    private String found(Determination d, double tolerance) {
        String place = d.identity() + " at position " + d.position() + limits.under(d);
        if (table.method().extract().isPresent() && d.known() != 0) {
            return d.analyte() + " " + text(100 * d.amount().raw() / d.known(), 4) + " % of check solution " + place
                    + " (allowed " + text(100 * tolerance / Math.abs(d.known()), 3) + " % either way)";
        }
        String unit = d.amount().unit().spelling();
        return d.analyte() + " " + text(d.amount().raw(), 4) + " " + unit + (unit.isEmpty() ? "" : " ") + "for known "
                + text(d.known(), 4) + " of " + place + " (allowed " + text(tolerance, 3) + " either way)";
    }
}
