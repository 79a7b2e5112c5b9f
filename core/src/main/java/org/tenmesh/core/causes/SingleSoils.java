package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Difference;
import org.tenmesh.core.agreement.Hypotheses;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/**
 * What one soil's own results say against each other: all contents of an extract off by one factor (its portion, or a dilution
 * recorded otherwise than made), or results by one method that fit neither the others nor the neighbours.
 */
final class SingleSoils {
    private static final double LOG10_E = 1 / Math.log(10);

    /** All contents by one factor. */
    private static final int WHOLE = -1;
    /** Ways of raising half of the contents and lowering the others. */
    private static final int PATTERNS = 3;

    private SingleSoils() {}

    /**
     * One soil that stands out.
     *
     * @param ratio log10 of the likelihood of the reading under the explanation over that under "no fault"
     */
    record Suspect(
            int row, CauseKind kind, double ratio, String what, String action, Optional<Finding.RunnerUp> runnerUp) {}

    /**
     * All of a method's soils.
     *
     * @param suspects those that one of the explanations suits better than no fault
     * @param looked how many soils were looked at
     * @param decoys ratios of wrong portions that raise half of the contents and lower the others, which no portion does
     */
    record Looked(List<Suspect> suspects, int looked, Decoys decoys) {}

    /**
     * Looks at every soil of a method.
     *
     * @param at rows to be looked at
     * @param policy what is weighed, and how often it happens
     */
    static Looked of(
            DaySoils soils,
            MethodSoils method,
            Agreement agreement,
            @Nullable Difference[] differences,
            BitSet at,
            Policy policy) {
        List<Suspect> suspects = new ArrayList<>();
        int p = method.own.length;
        int looked = 0;
        Decoys.Weighed decoys = new Decoys.Weighed();
        boolean factors = method.method.extract().isPresent() && p >= policy.whole(Setting.SOIL_LEAST_ANALYTES);
        for (int row = at.nextSetBit(0); row >= 0; row = at.nextSetBit(row + 1)) {
            Difference difference = differences[row];
            if (difference == null || method.runOf[row] < 0) {
                continue;
            }
            looked++;
            if (difference.squaredDistance() < 2 * p) {
                for (int pattern = 0; factors && pattern < PATTERNS; pattern++) {
                    decoys.add(row, row, 0);
                }
                continue;
            }
            int its = row;
            double outlier =
                    Hypotheses.of(agreement).logRatio(new int[] {row}, soil -> soil == its ? -1 : soil) * LOG10_E;
            if (outlier > 0) {
                suspects.add(new Suspect(
                        row,
                        CauseKind.IMPLAUSIBLE_TOGETHER,
                        outlier,
                        worst(soils, method, agreement, row, difference),
                        "Read the soil again by " + method.method.id() + ", from the tray.",
                        Optional.empty()));
            }
            if (factors) {
                factor(row, method, along(soils, method, agreement, row, difference, WHOLE), policy)
                        .ifPresent(suspects::add);
                for (int pattern = 0; pattern < PATTERNS; pattern++) {
                    Difference.Along along = along(soils, method, agreement, row, difference, pattern);
                    decoys.add(row, row, Factor.of(along, policy).ratio());
                }
            }
        }
        return new Looked(suspects, looked, decoys.decoys());
    }

    // The common factor; near the limits a factor moves the scaled contents less, so the direction follows the factor
    // found.
    private static Difference.Along along(
            DaySoils soils, MethodSoils method, Agreement agreement, int row, Difference difference, int pattern) {
        int p = method.own.length;
        double[] direction = new double[p];
        for (int c = 0; c < p; c++) {
            direction[c] = sign(pattern, c) * method.slope(c, soils.value(row, method, c));
        }
        Difference.Along along = difference.along(agreement.inCoordinates(direction));
        for (int round = 0; round < 3 && Math.abs(along.multiple()) > 0.05; round++) {
            for (int c = 0; c < p; c++) {
                double factor = Math.exp(-sign(pattern, c) * along.multiple());
                double scaled = soils.value(row, method, c);
                double content = Math.max(0, method.unscaled(c, scaled));
                direction[c] = (scaled - method.scaled(c, content * factor)) / along.multiple();
            }
            along = difference.along(agreement.inCoordinates(direction));
        }
        return along;
    }

    // Every other content, every other pair of them, every other four.
    private static int sign(int pattern, int column) {
        return pattern == WHOLE || (column >> pattern & 1) == 0 ? 1 : -1;
    }

    /**
     * Which method's result of a soil is the strange one: the one whose replacement by its forecast leaves the others most at ease.
     *
     * @param differences for each method those of all soils
     * @return index of the method
     */
    static int strangest(
            DaySoils soils, List<Agreement> agreements, List<@Nullable Difference[]> differences, int row) {
        int strangest = -1;
        double least = Double.POSITIVE_INFINITY;
        for (int m = 0; m < agreements.size(); m++) {
            Difference own = at(differences.get(m), row);
            if (own == null) {
                continue;
            }
            MethodSoils method = soils.methods().get(m);
            double[] off = agreements.get(m).inColumns(own.difference());
            double[] predicted = new double[off.length];
            for (int c = 0; c < off.length; c++) {
                predicted[c] = soils.value(row, method, c) - off[c];
            }
            double[] values = soils.rowWith(row, method, predicted);
            double left = 0;
            for (int other = 0; other < agreements.size(); other++) {
                Difference theirs = at(differences.get(other), row);
                if (other != m && theirs != null) {
                    Difference then = agreements.get(other).withOthers(row, theirs, values);
                    int p = then.difference().length;
                    left += (then.squaredDistance() - p) / Math.sqrt(2.0 * p);
                }
            }
            if (left < least) {
                least = left;
                strangest = m;
            }
        }
        return strangest;
    }

    private static @Nullable Difference at(@Nullable Difference[] differences, int row) {
        return row < differences.length ? differences[row] : null;
    }

    /**
     * What a common factor is evidence of.
     *
     * @param portion whether a wrong portion explains it better than a dilution
     * @param dilution the nearest one, times
     * @param lead log10 of the likelihood of the better over that of the other
     * @param ratio log10 likelihood ratio of the better against no fault
     */
    private record Factor(boolean portion, double dilution, double lead, double ratio) {
        static Factor of(Difference.Along along, Policy policy) {
            double[] dilutions = policy.list(Setting.SOIL_DILUTIONS);
            double[] made = policy.list(Setting.SOIL_DILUTION_SHARES);
            double oftener = policy.number(Setting.SOIL_PORTION_RATE);
            double dilutionSd = policy.number(Setting.SOIL_DILUTION_SD);
            double m = along.multiple();
            double sd = along.sd();
            double dilution = 1;
            double asDilution = 0;
            double nearest = Double.POSITIVE_INFINITY;
            for (int k = 0; k < dilutions.length; k++) {
                for (double sign = -1; sign <= 1; sign += 2) {
                    double off = m - sign * Math.log(dilutions[k]);
                    asDilution += made[k] / 2 * density(off, Math.hypot(sd, dilutionSd));
                    if (Math.abs(off) < nearest) {
                        nearest = Math.abs(off);
                        dilution = sign > 0 ? dilutions[k] : 1 / dilutions[k];
                    }
                }
            }
            asDilution /= 1 + oftener;
            double asPortion =
                    oftener / (1 + oftener) * density(m, Math.hypot(sd, policy.number(Setting.SOIL_PORTION_SD)));
            boolean portion = asPortion >= asDilution;
            double lead = Math.abs(Math.log10(asPortion / asDilution));
            // The best factor's likelihood, averaged over the factors that each explanation allows.
            double best = density(0, sd);
            return new Factor(
                    portion,
                    dilution,
                    lead,
                    along.logRatio() * LOG10_E + Math.log10((portion ? asPortion : asDilution) / best));
        }
    }

    private static Optional<Suspect> factor(int row, MethodSoils method, Difference.Along along, Policy policy) {
        Factor found = Factor.of(along, policy);
        double odds = found.ratio();
        if (!(odds > 0)) {
            return Optional.empty();
        }
        boolean portion = found.portion();
        double dilution = found.dilution();
        double lead = found.lead();
        double m = along.multiple();
        double sd = along.sd();
        double factor = Math.exp(m);
        String size = "all " + method.own.length + " contents are " + text(100 * Math.abs(factor - 1), 2) + " % too "
                + (factor > 1 ? "high" : "low")
                + " together against the soil's other results and its neighbours (95 % between "
                + text(Math.exp(m - 1.96 * sd), 3) + " and " + text(Math.exp(m + 1.96 * sd), 3) + " times)";
        String apart = lead < 1 ? "; a portion and a dilution cannot be distinguished" : "";
        return Optional.of(
                portion
                        ? new Suspect(
                                row,
                                CauseKind.PORTION_WRONG,
                                odds,
                                size + apart,
                                "Take a fresh portion from the tray; look at the scoop and the dispenser.",
                                Optional.of(new Finding.RunnerUp(CauseKind.DILUTION_MISMATCH, lead)))
                        : new Suspect(
                                row,
                                CauseKind.DILUTION_MISMATCH,
                                odds,
                                size + ", as by a dilution of " + text(Math.max(dilution, 1 / dilution), 2)
                                        + (dilution < 1 ? " that was not recorded" : " that was recorded and not made")
                                        + apart,
                                "Look up what was diluted, and read the extract again.",
                                Optional.of(new Finding.RunnerUp(CauseKind.PORTION_WRONG, lead))));
    }

    private static double density(double off, double sd) {
        return Math.max(1e-300, Math.exp(-0.5 * off * off / (sd * sd)) / (sd * Math.sqrt(2 * Math.PI)));
    }

    private static String worst(
            DaySoils soils, MethodSoils method, Agreement agreement, int row, Difference difference) {
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
        double is = method.unscaled(worst, read);
        double limit = method.analytes.get(worst).reportingLimit().orElse(0);
        return method.analytes.get(worst).symbol() + " " + (is < limit ? "less than " + text(limit, 3) : text(is, 3))
                + (unit.isEmpty() || method.isPh(worst) ? "" : " " + unit)
                + " where the soil's other results and its neighbours predict "
                + text(method.unscaled(worst, read - off[worst]), 3) + " (95 % between "
                + text(method.unscaled(worst, read - off[worst] - 1.96 * sd[worst]), 3) + " and "
                + text(method.unscaled(worst, read - off[worst] + 1.96 * sd[worst]), 3) + ")";
    }
}
