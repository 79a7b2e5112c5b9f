package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.judgement.Calibrated.Point;
import org.tenmesh.core.methods.Channel;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.StandardCurve;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.StudentT;

/**
 * Asks whether one flask, and which, is not what its label says.
 *
 * <p>Every flask is left out in turn. "Flask s is wrong in these lanes" frees s there and leaves all else as it is; "no fault"
 * frees none. Each is as likely as the residuals it leaves. How far residuals scatter is estimated from the run itself, over all its
 * elements or probes together, from the residuals of the explanation that leaves the least: in plasma emission a share of the signal
 * and the counting, whose variance goes with the signal; in flow analysis a share of the signal and a constant; at electrodes a
 * constant. A deviation of less than a quarter of what a standard read back may be off (at electrodes two fifths of what a known buffer
 * may be off) is never called.
 */
final class WrongStandard {
    /** The median of a squared standard normal deviate. */
    private static final double MEDIAN_OF_SQUARE = 0.4549364231195724;

    private final RunTable table;
    private final List<Calibrated> lanes;
    private final StandardCurve.Scatter law;
    private final Optional<Extraction> extract;

    private WrongStandard(RunTable table, List<Calibrated> lanes) {
        this.table = table;
        this.lanes = lanes;
        law = table.method().standardCurve().orElseThrow().scatter();
        extract = table.method().extract();
    }

    /**
     * A wrong standard.
     *
     * @param name its name
     * @param lanes where it is wrong
     * @param log10Odds against no fault
     * @param runnerUp the flask that is the next best explanation
     */
    record Found(
            String name,
            List<Calibrated> lanes,
            double log10Odds,
            Optional<Guess> runnerUp,
            Map<Lane, Double> offShare) {
        /** Whether another flask explains the same nearly as well. */
        Optional<String> orElse(Policy policy) {
            return runnerUp.filter(guess ->
                            guess.standard() && log10Odds - guess.gain() < policy.number(Setting.STANDARD_LEAD))
                    .map(Guess::name);
        }

        Set<Lane> where() {
            Set<Lane> where = new LinkedHashSet<>();
            lanes.forEach(one -> where.add(one.lane));
            return where;
        }

        /** What a concentration or pH becomes by the curve without this standard; as it was where that is none. */
        double corrected(Lane lane, double value) {
            for (Calibrated one : lanes) {
                if (one.lane.equals(lane)) {
                    // A probe may have too few buffers left; check solutions then stand in.
                    Optional<Curve> curve = one.recalibrated(name).or(() -> one.without(name));
                    return curve.isEmpty() ? value : curve.get().concentration(one.curve.signalAt(value));
                }
            }
            return value;
        }

        /** Whether a calibration was rejected for the sake of this standard alone. */
        boolean accountsFor(CalibrationOutcome outcome, RunTable table) {
            return lanes.stream().anyMatch(one -> one.outcome == outcome && othersAgree(one, table));
        }

        /** Whether the curve through the other standards would be accepted wherever this one is wrong. */
        boolean othersAgree(RunTable table) {
            return lanes.stream().allMatch(one -> othersAgree(one, table));
        }

        private boolean othersAgree(Calibrated one, RunTable table) {
            List<Point> others = one.standardsWithout(name);
            Optional<Curve> curve = one.recalibrated(name);
            if (curve.isEmpty()) {
                return false;
            }
            return table.method()
                    .extract()
                    .map(extraction -> CalibrationJudgement.of(
                                    curve.get(),
                                    Calibrated.values(others),
                                    Calibrated.signals(others),
                                    extraction.acceptance())
                            .accepted())
                    .orElse(true);
        }
    }

    /** A flask with what the likelihood gains, log10, when it is freed where it is off. */
    record Guess(String name, boolean standard, double gain, List<Integer> lanes) {}

    /** The standard that is wrong, if one is. */
    static Optional<Found> find(RunTable table) {
        List<Calibrated> lanes = Calibrated.of(table);
        return lanes.isEmpty() ? Optional.empty() : new WrongStandard(table, lanes).find();
    }

    private boolean anyMayBeOff() {
        for (Calibrated lane : lanes) {
            if (lane.mayBeOff(value -> least(lane, value), table.policy())) {
                return true;
            }
        }
        return false;
    }

    private Optional<Found> find() {
        if (!anyMayBeOff()) {
            return Optional.empty();
        }
        Map<String, Boolean> flasks = new LinkedHashMap<>();
        lanes.forEach(lane -> lane.points.forEach(p -> flasks.merge(p.name(), p.standard(), Boolean::logicalOr)));
        Map<String, double[]> off = new HashMap<>();
        boolean any = false;
        for (String flask : flasks.keySet()) {
            double[] share = new double[lanes.size()];
            for (int i = 0; i < share.length; i++) {
                share[i] = offShare(lanes.get(i), flask);
                any |= Math.abs(share[i]) >= 1;
            }
            off.put(flask, share);
        }
        if (!any) {
            return Optional.empty();
        }
        Scatter scatter = flasks.keySet().stream()
                .map(this::scatterWithout)
                .flatMap(Optional::stream)
                .min(Comparator.comparingDouble(Scatter::size))
                .orElseThrow();
        List<Guess> guesses = new ArrayList<>();
        flasks.forEach((flask, standard) ->
                guesses.add(guess(flask, standard, off.getOrDefault(flask, new double[0]), scatter)));
        guesses.sort(Comparator.comparingDouble(Guess::gain).reversed());
        Guess best = guesses.get(0);
        // Nothing cannot be wrong by a factor; a zero standard is weighed so that no other answers for it.
        boolean holdsSomething = lanes.stream()
                .flatMap(lane -> lane.points.stream())
                .anyMatch(p -> p.name().equals(best.name()) && p.value() > 0);
        double[] size = off.getOrDefault(best.name(), new double[0]);
        double middle = median(best.lanes().stream().map(i -> Math.abs(size[i])).toList());
        if (!best.standard()
                || !holdsSomething
                || best.gain() < table.policy().number(Setting.STANDARD_CALLED)
                || middle < 1) {
            return Optional.empty();
        }
        List<Calibrated> where = best.lanes().stream().map(lanes::get).toList();
        Map<Lane, Double> labels = new HashMap<>();
        where.forEach(lane -> labels.put(lane.lane, said(lane, best.name())));
        return Optional.of(new Found(
                best.name(),
                where,
                best.gain(),
                guesses.stream().skip(1).findFirst().filter(next -> next.gain() > 0),
                labels));
    }

    // ---- deviations

    /** What the curve through the others says of a flask, mean of its readings; NaN when there is none. */
    private static double said(Calibrated lane, String flask) {
        return lane.without(flask)
                .map(curve -> lane.points.stream()
                        .filter(p -> p.name().equals(flask))
                        .mapToDouble(p -> curve.concentration(p.signal()))
                        .average()
                        .orElse(Double.NaN))
                .orElse(Double.NaN);
    }

    // Deviation from the label in units of the least that is called; 0 where nothing can be said.
    private double offShare(Calibrated lane, String flask) {
        double label = lane.points.stream()
                .filter(p -> p.name().equals(flask))
                .mapToDouble(Point::value)
                .average()
                .orElse(0);
        double share = (said(lane, flask) - label) / least(lane, label);
        return Double.isFinite(share) ? share : 0;
    }

    // The least deviation that is called, in mg/L or pH.
    private double least(Calibrated lane, double label) {
        double share = law == StandardCurve.Scatter.CONSTANT
                ? table.policy().number(Setting.STANDARD_LEAST_OFF_PH)
                : table.policy().number(Setting.STANDARD_LEAST_OFF);
        return share * tolerance(lane, label);
    }

    // What a flask may be off, in mg/L or pH.
    private double tolerance(Calibrated lane, double label) {
        return table.method().standardTolerance(label, lane.curve.lowestAboveZero(), table.analyte(lane.lane.column()));
    }

    // ---- scatter

    /**
     * Variance of a signal: {@code share y^2 + other y} where light is counted, {@code share y^2 + other} elsewhere.
     *
     * Where few residuals tell it, the method's own weights do: {@code other / w}.
     *
     * @param weighted whether the method's weights say how scatter goes with size
     * @param size residual in the unit of the least scatter, to choose by
     * @param density how likely a residual is, the wider the fewer tell it
     */
    private record Scatter(
            double share, double other, boolean counted, boolean weighted, double size, StudentT density) {
        double sd(double signal, double weight, double least) {
            double y = Math.abs(signal);
            double variance = weighted ? other / weight : share * y * y + other * (counted ? y : 1);
            return Math.sqrt(Math.max(variance, least * least));
        }
    }

    private double leastSd(Calibrated lane, Point p) {
        double slope = Math.abs(lane.curve.slopeAt(p.value()));
        double own = table.policy().number(Setting.STANDARD_LEAST_SCATTER)
                * (law == StandardCurve.Scatter.CONSTANT ? tolerance(lane, p.value()) : 0);
        if (extract.isPresent()) {
            double inExtract = extract.get().reportingLimitMgPerL(table.analyte(lane.lane.column()));
            own = Math.max(
                    table.policy().number(Setting.STANDARD_LEAST_SCATTER)
                            * extract.get().acceptance().readbackPct()
                            / 100
                            * p.value(),
                    table.policy().number(Setting.STANDARD_LEAST_SCATTER_OF_LIMIT) * inExtract);
        }
        return Math.max(own * slope, Double.MIN_NORMAL);
    }

    private Optional<Scatter> scatterWithout(String flask) {
        List<double[]> all = new ArrayList<>();
        int parameters = 0;
        for (Calibrated lane : lanes) {
            Optional<Curve> curve = lane.without(flask);
            if (curve.isEmpty()) {
                continue;
            }
            int n = curve.get().n();
            parameters += lane.parameters();
            double lever = n / (double) Math.max(1, n - lane.parameters());
            for (Point p : lane.points) {
                if (!p.name().equals(flask)) {
                    double rest = p.signal() - curve.get().signalAt(p.value());
                    all.add(new double[] {
                        Math.abs(p.signal()), rest * rest * lever, leastSd(lane, p), lane.curve.weightAt(p.value())
                    });
                }
            }
        }
        if (all.isEmpty()) {
            return Optional.empty();
        }
        int degrees = Math.max(1, all.size() - parameters);
        StudentT density = new StudentT(Math.min(table.policy().whole(Setting.STANDARD_MOST_FREEDOM), degrees));
        if (all.size() < table.policy().whole(Setting.STANDARD_FEW_RESIDUALS)
                && law != StandardCurve.Scatter.CONSTANT) {
            // The residuals are already raised for what the curve took of them.
            double variance =
                    all.stream().mapToDouble(r -> r[1] * r[3]).average().orElse(0);
            double root = Math.sqrt(all.stream()
                    .mapToDouble(r -> r[1] / (r[2] * r[2]))
                    .average()
                    .orElse(0));
            return Optional.of(new Scatter(0, variance, false, true, root, density));
        }
        double size = median(all.stream().map(r -> Math.sqrt(r[1]) / r[2]).toList());
        boolean counted = law == StandardCurve.Scatter.SHARE_AND_COUNTING;
        if (law == StandardCurve.Scatter.CONSTANT) {
            double variance = median(all.stream().map(r -> r[1]).toList()) / MEDIAN_OF_SQUARE;
            return Optional.of(new Scatter(0, variance, false, false, size, density));
        }
        // Half the readings are strong, half weak: two medians tell the two parts of the variance.
        all.sort(Comparator.comparingDouble(r -> r[0]));
        double[] weak = level(all.subList(0, all.size() / 2), counted);
        double[] strong = level(all.subList(all.size() / 2, all.size()), counted);
        double other = Math.max(0, (weak[1] - strong[1]) / (weak[0] - strong[0]));
        double share = Math.max(0, strong[1] - other * strong[0]);
        return Optional.of(new Scatter(
                Double.isFinite(share) ? share : 0, Double.isFinite(other) ? other : 0, counted, false, size, density));
    }

    private static double[] level(List<double[]> readings, boolean counted) {
        return new double[] {
            median(readings.stream()
                    .map(r -> counted ? 1 / r[0] : 1 / (r[0] * r[0]))
                    .toList()),
            median(readings.stream().map(r -> r[1] / (r[0] * r[0])).toList()) / MEDIAN_OF_SQUARE
        };
    }

    private static double median(List<Double> values) {
        return values.isEmpty()
                ? 0
                : Robust.median(values.stream().mapToDouble(Double::doubleValue).toArray());
    }

    // ---- likelihood

    private Guess guess(String flask, boolean standard, double[] offShare, Scatter scatter) {
        double gain = 0;
        List<Integer> freed = new ArrayList<>();
        double sign = 0;
        for (double one : offShare) {
            sign += Math.abs(one) >= table.policy().number(Setting.STANDARD_WEIGHED) ? Math.signum(one) : 0;
        }
        for (int i = 0; i < lanes.size(); i++) {
            // A flask wrong in several lanes may be wrong by different sizes in each, but a buffer is wrong one way.
            boolean oneWay = law != StandardCurve.Scatter.CONSTANT || offShare[i] * sign > 0;
            if (Math.abs(offShare[i]) >= table.policy().number(Setting.STANDARD_WEIGHED) && oneWay) {
                double own = likelihood(lanes.get(i), flask, scatter)
                        - likelihood(lanes.get(i), "", scatter)
                        - table.policy().number(Setting.STANDARD_PRICE);
                if (own > 0) {
                    gain += own;
                    freed.add(i);
                }
            }
        }
        // What is wrong in most was made up wrongly: it is wrong wherever that explains more than it costs.
        if (2 * freed.size() > lanes.size()) {
            for (int i = 0; i < lanes.size(); i++) {
                if (!freed.contains(i)
                        && offShare[i] * sign > 0
                        && likelihood(lanes.get(i), flask, scatter) > likelihood(lanes.get(i), "", scatter)) {
                    freed.add(i);
                }
            }
            Collections.sort(freed);
        }
        // One buffer is poured under all probes: what one probe alone says is that probe's matter.
        boolean alone = table.method().channel().isPresent() && lanes.size() > 1 && 2 * freed.size() <= lanes.size();
        return new Guess(flask, standard, alone ? 0 : gain, freed);
    }

    private double likelihood(Calibrated lane, String flask, Scatter scatter) {
        Optional<Curve> curve = flask.isEmpty() ? lane.throughAll() : lane.without(flask);
        if (curve.isEmpty()) {
            return Double.NEGATIVE_INFINITY;
        }
        double sum = 0;
        for (Point p : lane.points) {
            double expected = curve.get().signalAt(p.value());
            double rest = p.name().equals(flask) ? 0 : p.signal() - expected;
            sum += scatter.density()
                    .log10(rest, scatter.sd(expected, lane.curve.weightAt(p.value()), leastSd(lane, p)));
        }
        return sum;
    }

    // ---- words

    /** The finding, with its soils. */
    static Draft draft(Found found, RunTable table) {
        String name = found.name();
        String more = found.othersAgree(table) && covers(found, table)
                ? " The other standards agree and reach as high as the run's soils: recalculating without " + name
                        + " would do until then."
                : "";
        Draft draft = new Draft(
                        table,
                        CauseKind.STANDARD_WRONG,
                        Verdict.HOLD,
                        name,
                        "",
                        "Prepare " + name + " again, read it, recalculate." + more)
                .says(sentence(found, table))
                .log10Odds(found.log10Odds());
        found.orElse(table.policy())
                .ifPresent(other -> draft.says("it may be " + other + " instead: the two cannot be distinguished"));
        found.runnerUp()
                .ifPresent(next -> draft.runnerUp(
                        next.standard() ? CauseKind.STANDARD_WRONG : CauseKind.VERIFICATION_FAILED,
                        found.log10Odds() - next.gain()));
        measures(found, table).forEach(draft::measures);
        found.where().forEach(lane -> draft.touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel()));
        return draft;
    }

    // How far it is off is weighed by odds: nothing else is allowed or not.
    private static List<Measure> measures(Found found, RunTable table) {
        boolean shifted = table.method().standardCurve().orElseThrow().scatter() == StandardCurve.Scatter.CONSTANT;
        List<Measure> measures = new ArrayList<>();
        for (Calibrated lane : found.lanes()) {
            double label = lane.points.stream()
                    .filter(p -> p.name().equals(found.name()))
                    .mapToDouble(Point::value)
                    .average()
                    .orElse(Double.NaN);
            double holds = found.offShare().getOrDefault(lane.lane, Double.NaN);
            if (Double.isFinite(holds) && Double.isFinite(label)) {
                measures.add(new Measure(
                        Measure.Kind.STANDARD,
                        table.analyte(lane.lane.column()).symbol(),
                        found.name(),
                        0,
                        shifted ? holds - label : 100 * holds / label,
                        OptionalDouble.empty(),
                        OptionalDouble.empty(),
                        shifted ? "" : "%"));
            }
        }
        return measures;
    }

    static String sentence(Found found, RunTable table) {
        StandardCurve curve = table.method().standardCurve().orElseThrow();
        boolean shifted = curve.scatter() == StandardCurve.Scatter.CONSTANT;
        String noun = table.method().channel().map(Channel::noun).orElse("element");
        List<String> each = new ArrayList<>();
        double[] ratios = new double[found.lanes().size()];
        for (int i = 0; i < ratios.length; i++) {
            Calibrated lane = found.lanes().get(i);
            double label = lane.points.stream()
                    .filter(p -> p.name().equals(found.name()))
                    .mapToDouble(Point::value)
                    .average()
                    .orElse(Double.NaN);
            double said = found.offShare().getOrDefault(lane.lane, Double.NaN);
            ratios[i] = shifted ? said - label : said / label;
            each.add(
                    shifted
                            ? noun + " " + lane.lane.channel() + " " + signed(ratios[i])
                            : table.analyte(lane.lane.column()).symbol() + " " + text(100 * ratios[i], 4) + " %");
        }
        double middle = Robust.median(ratios);
        long all = table.reduced().calibrations().size();
        String where = ratios.length == 1 && all > 1
                ? "in one " + noun + " alone: "
                : ratios.length == all ? "in everything it calibrates: " : "in " + ratios.length + " of " + all + ": ";
        String size = shifted
                ? "standard " + found.name() + " is " + signed(middle) + " " + curve.labelUnit()
                        + " off its label by the others, "
                : "standard " + found.name() + " holds " + text(100 * middle, 4) + " % of its label by the others, ";
        int shown = Math.min(4, each.size());
        return size + where + String.join(", ", each.subList(0, shown)) + (shown < each.size() ? ", …" : "");
    }

    private static String signed(double value) {
        return (value < 0 ? "−" : "+") + text(Math.abs(value), 2);
    }

    // Whether no soil lies above the highest of the other standards.
    private static boolean covers(Found found, RunTable table) {
        Optional<Extraction> extract = table.method().extract();
        for (Calibrated lane : found.lanes()) {
            double top = 0;
            for (Point p : lane.standardsWithout(found.name())) {
                top = Math.max(top, p.value());
            }
            if (top < lane.curve.highest() && extract.isPresent()) {
                for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
                    Determination d = table.at(row, lane.lane.column());
                    double inTube = d.amount().raw() / Math.abs(extract.get().content(1, 0, d.dilution()));
                    if (table.stands(row, lane.lane.column()) && inTube > top) {
                        return false;
                    }
                }
            }
        }
        return true;
    }
}
