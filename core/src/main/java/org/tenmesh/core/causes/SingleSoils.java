package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Suspicion;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.statistics.Quantiles;

/**
 * What one soil's own results say against each other: all contents of an extract off by one factor (its portion, or a dilution
 * recorded otherwise than made), or results by one method that fit neither the others nor the neighbours.
 */
final class SingleSoils {
    /** Contents that must agree on a factor. */
    private static final int FEWEST = 4;
    /** Dilutions that are made (common practice). */
    private static final double[] DILUTIONS = {2, 2.5, 4, 5, 10, 20, 25, 50, 100};
    /** A scoop or a dispenser is off by this share at the very most; beyond lies a dilution (choice: half the smallest dilution). */
    private static final double LARGEST_PORTION = 0.6;

    private static final double LOG10_E = 1 / Math.log(10);

    private final DaySoils soils;
    private final List<RunJudgement> runs;
    private final Suspicion suspicion;
    private final List<DayFinding> findings = new ArrayList<>();

    SingleSoils(DaySoils soils, List<RunJudgement> runs, Suspicion suspicion) {
        this.soils = soils;
        this.runs = runs;
        this.suspicion = suspicion;
    }

    List<DayFinding> findings() {
        return findings;
    }

    /** Looks at every soil; what contradicts the rest is told of the method in which it stands out most. */
    void judge(List<Agreement> agreements) {
        List<DaySoils.MethodSoils> methods = soils.methods();
        double[] worst = new double[soils.size()];
        Suspect[] told = new Suspect[soils.size()];
        for (int m = 0; m < methods.size(); m++) {
            DaySoils.MethodSoils method = methods.get(m);
            @Nullable Agreement.Difference[] differences = agreements.get(m).differences();
            for (int row = 0; row < differences.length; row++) {
                Agreement.Difference difference = differences[row];
                if (difference == null || method.runOf[row] < 0) {
                    continue;
                }
                Optional<Suspect> suspect = suspect(method, agreements.get(m), row, difference);
                if (suspect.isPresent() && suspect.get().odds() > worst[row]) {
                    worst[row] = suspect.get().odds();
                    told[row] = suspect.get();
                }
            }
        }
        for (int row = 0; row < told.length; row++) {
            if (told[row] != null) {
                tell(told[row], row);
            }
        }
    }

    private record Suspect(
            DaySoils.MethodSoils method,
            CauseKind kind,
            double odds,
            String evidence,
            String action,
            Optional<Cause.RunnerUp> runnerUp) {}

    private Optional<Suspect> suspect(
            DaySoils.MethodSoils method, Agreement agreement, int row, Agreement.Difference difference) {
        int p = method.own.length;
        double whole = difference.squaredDistance();
        if (whole < p) {
            return Optional.empty();
        }
        double rest = whole;
        if (method.method instanceof ExtractionMethod && p >= FEWEST) {
            double[] direction = new double[p];
            for (int c = 0; c < p; c++) {
                direction[c] = method.slope(c, soils.value(row, method, c));
            }
            Agreement.Along along = difference.along(agreement.inCoordinates(direction));
            double odds = along.logRatio() * LOG10_E;
            rest = along.rest();
            if (odds >= suspicion.soilOdds() && unlikely(rest, p - 1, difference.freedom()) < suspicion.soilOdds()) {
                return Optional.of(factor(method, along, odds));
            }
        }
        double odds = unlikely(whole, p, difference.freedom());
        if (odds < suspicion.soilOdds() + suspicion.redoMargin()) {
            return Optional.empty();
        }
        return Optional.of(new Suspect(
                method,
                CauseKind.IMPLAUSIBLE_TOGETHER,
                odds,
                worst(method, agreement, row, difference),
                "Read the soil again by " + method.method.id() + ", from the tray.",
                Optional.empty()));
    }

    // The chance of such a distance or a larger one, as -log10: the squared distance of a t vector over its dimension follows F
    // (Kotz and Nadarajah 2004, Multivariate t distributions, from memory).
    private static double unlikely(double squaredDistance, int p, double freedom) {
        return -Math.log10(Math.max(1e-300, Quantiles.fAbove(squaredDistance / p, p, freedom)));
    }

    private Suspect factor(DaySoils.MethodSoils method, Agreement.Along along, double odds) {
        double factor = Math.exp(along.multiple());
        double best = Double.POSITIVE_INFINITY;
        double dilution = 1;
        for (double each : DILUTIONS) {
            for (double sign = -1; sign <= 1; sign += 2) {
                double off = along.multiple() - sign * Math.log(each);
                if (Math.abs(off) < Math.abs(best)) {
                    best = off;
                    dilution = sign > 0 ? each : 1 / each;
                }
            }
        }
        // A portion may be off by anything up to its most; a dilution has one of a few factors.
        double sd = along.sd();
        double inside = Math.max(
                0,
                Math.max(along.multiple() - Math.log1p(LARGEST_PORTION), Math.log1p(-LARGEST_PORTION / 1.4) - along.multiple()));
        double asPortion = -0.5 * Math.pow(inside / sd, 2) - Math.log(10);
        double asDilution = -0.5 * Math.pow(best / sd, 2) - Math.log(2 * DILUTIONS.length);
        double lead = Math.abs(asPortion - asDilution) * LOG10_E;
        boolean portion = asPortion >= asDilution;
        String size = "All " + method.own.length + " contents are " + text(100 * Math.abs(factor - 1), 2) + " % too "
                + (factor > 1 ? "high" : "low") + " together against the soil's other results and its neighbours (95 % between "
                + text(Math.exp(along.multiple() - 1.96 * sd), 3) + " and "
                + text(Math.exp(along.multiple() + 1.96 * sd), 3) + " times)";
        String apart = lead < 1 ? "; a portion and a dilution cannot be told apart" : "";
        return portion
                ? new Suspect(
                        method,
                        CauseKind.PORTION_WRONG,
                        odds,
                        size + apart + ".",
                        "Take a fresh portion from the tray; look at the scoop and the dispenser.",
                        Optional.of(new Cause.RunnerUp(CauseKind.DILUTION_MISMATCH, lead)))
                : new Suspect(
                        method,
                        CauseKind.DILUTION_MISMATCH,
                        odds,
                        size + ", as by a dilution of " + text(Math.max(dilution, 1 / dilution), 2)
                                + (dilution < 1 ? " that was not recorded" : " that was recorded and not made") + apart
                                + ".",
                        "Look up what was diluted, and read the extract again.",
                        Optional.of(new Cause.RunnerUp(CauseKind.PORTION_WRONG, lead)));
    }

    private String worst(
            DaySoils.MethodSoils method, Agreement agreement, int row, Agreement.Difference difference) {
        double[] off = agreement.inColumns(difference.difference());
        double[] sd = agreement.sdInColumns(difference.variance());
        int worst = 0;
        for (int c = 1; c < off.length; c++) {
            if (Math.abs(off[c]) / sd[c] > Math.abs(off[worst]) / sd[worst]) {
                worst = c;
            }
        }
        double read = soils.value(row, method, worst);
        String unit = method.analytes.get(worst).unit().spelling();
        return method.analytes.get(worst).symbol() + " " + text(method.unscaled(worst, read), 3)
                + (unit.isEmpty() || method.isPh(worst) ? "" : " " + unit) + " where the soil's other results and its neighbours foretell "
                + text(method.unscaled(worst, read - off[worst]), 3) + " (95 % between "
                + text(method.unscaled(worst, read - off[worst] - 1.96 * sd[worst]), 3) + " and "
                + text(method.unscaled(worst, read - off[worst] + 1.96 * sd[worst]), 3) + ").";
    }

    private void tell(Suspect suspect, int row) {
        DaySoils.MethodSoils method = suspect.method();
        String labNumber = soils.labNumber(row).text();
        boolean redo = suspect.kind() != CauseKind.IMPLAUSIBLE_TOGETHER
                && suspect.odds() >= suspicion.soilOdds() + suspicion.redoMargin();
        int position = method.positionOf[row];
        findings.add(new DayFinding(
                runs.get(method.runOf[row]).reduced().run().run(),
                new Finding(
                        suspect.kind(),
                        redo ? Verdict.REDO : Verdict.HOLD,
                        method.method.head().analytes().stream()
                                .map(Analyte::symbol)
                                .toList(),
                        position,
                        position,
                        labNumber + ": " + suspect.evidence(),
                        suspect.action(),
                        OptionalDouble.of(suspect.odds())),
                Set.of(labNumber),
                suspect.runnerUp()));
    }
}
