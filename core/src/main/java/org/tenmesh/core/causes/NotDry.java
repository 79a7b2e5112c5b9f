package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Hypotheses;
import org.tenmesh.core.agreement.KnownControls;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;

/**
 * Crucibles that held water when they were weighed dry. That water counts as loss: so much of the soil for each, not so much of its loss.
 */
final class NotDry {
    /** Natural logarithm of a gain from which a stretch is looked at more closely. */
    private static final double WORTH_A_LOOK = 4;
    /** Natural logarithm of a gain from which no stretch recovers: one that begins later does better. */
    private static final double HOPELESS = -8;
    /** Soils after a stretch whose forecasts it disturbs. */
    private static final int SOILS_AFTER = 8;

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final Map<String, References> references;
    private final Policy policy;

    NotDry(DaySoils soils, List<RunStage> runs, Map<String, References> references, Policy policy) {
        this.soils = soils;
        this.runs = runs;
        this.references = references;
        this.policy = policy;
    }

    /** A stretch of crucibles that held water when they were weighed dry. */
    private record Wet(int from, int length, double pct, double gain) {}

    /** The likeliest such stretch of a run; empty where a hotter place in the furnace explains it better. */
    Optional<Explanation> in(MethodSoils method, Agreement agreement, int run, int[] order) {
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
            return Optional.empty();
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
            return Optional.empty();
        }
        int[] rows = Arrays.copyOfRange(order, best.from(), best.from() + best.length());
        int[] readings = new int[rows.length];
        Arrays.fill(readings, -1);
        return Optional.of(new Explanation(
                CauseKind.NOT_DRY,
                method,
                rows,
                readings,
                odds,
                policy.number(Setting.TRAY_EVIDENCE) + policy.number(Setting.NOT_DRY_MARGIN),
                Explanation.UNWEIGHED,
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
    private double controls(MethodSoils method, int run, int[] order, int from, int length, DoubleUnaryOperator right) {
        int first = method.positionOf[order[from]];
        int last = method.positionOf[order[Math.min(order.length, from + length) - 1]];
        String analyte = method.analytes.get(0).symbol();
        double freedom = policy.number(Setting.RELATIONS_FREEDOM);
        double gain = 0;
        References known = references.get(method.method.id());
        for (ControlValue value : runs.get(run).judgement().controlValues()) {
            if (known != null
                    && !value.hidden()
                    && value.analyte().equals(analyte)
                    && value.position() > first
                    && value.position() < last) {
                Optional<Material> material = known.material(value.material(), analyte);
                gain += material.map(m -> KnownControls.tOfKnown(
                                        (right.applyAsDouble(value.value()) - m.mean()) / m.sd(), freedom)
                                - KnownControls.tOfKnown(value.z(), freedom))
                        .orElse(0.0);
            }
        }
        return gain;
    }
}
