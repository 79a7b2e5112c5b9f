package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.tenmesh.core.statistics.Robust;

/**
 * A check that goes one way along the run, in one lane.
 *
 * <p>Deviations are counted in tolerances. The line {@code deviation = a + b max(0, t - t0)} is fitted to the readings of the running
 * check by least squares, with {@code a} held near zero as far as the calibration is sure of it: a drift starts from a calibration that
 * was right. What all lanes of a reading share (one flask, one internal standard) is taken out first, by their median, and judged by
 * itself. The slope is held against its own uncertainty and against what slopes are ordinary in this run: the robust spread of the
 * slopes of all its lanes, and never less than a sixteenth of the tolerance.
 *
 * @param lane where
 * @param rows of the readings of the running check
 * @param seen deviation at each of them, in tolerances
 * @param onsetRow after which row it began
 * @param perRow growth with each row, in tolerances
 * @param z the growth over its uncertainty and what is ordinary
 */
record Trend(Lane lane, int[] rows, double[] seen, int onsetRow, double perRow, double z) {
    /** What to do about a drift that is still within tolerance. */
    static final String ACTION =
            "Read the running check solution once more; if it confirms the drift, find what moves (gas, pump, torch, temperature), calibrate, then read these soils again.";

    /** What a drift has added at a row, in tolerances: the line while it stays within tolerance, the readings themselves beyond. */
    double at(int row) {
        if (Arrays.stream(seen).allMatch(one -> Math.abs(one) <= 1)) {
            return perRow * Math.max(0, row - onsetRow);
        }
        if (row <= onsetRow) {
            return 0;
        }
        int fromRow = onsetRow;
        double from = 0;
        for (int i = 0; i < rows.length; i++) {
            if (rows[i] >= row) {
                double share = (row - fromRow) / (double) Math.max(1, rows[i] - fromRow);
                return from + share * (seen[i] - from);
            }
            if (rows[i] > onsetRow) {
                fromRow = rows[i];
                from = seen[i];
            }
        }
        return from;
    }

    int lastRow() {
        return rows[rows.length - 1];
    }

    /** What the line says of the last reading, in tolerances. */
    double atTheEnd() {
        return perRow * (lastRow() - onsetRow);
    }

    /** How many rows after the last reading the tolerance would be reached; 0 when it is. */
    int rowsLeft() {
        return (int) Math.max(0, Math.round((1 - Math.abs(atTheEnd())) / Math.abs(perRow)));
    }

    // ---- finding

    private record Series(Lane lane, int[] rows, double[] seen) {}

    private record Line(int onset, double slope, double slopeSd, double chiSquare) {}

    /**
     * The lanes that drift.
     *
     * @param startShare variance of the calibration where the running check lies, in variances of one reading
     */
    static Map<Lane, Trend> find(Map<Lane, List<Check>> lanes, double startShare, Policy policy) {
        List<Series> all = new ArrayList<>();
        lanes.forEach((lane, checks) -> running(lane, checks, policy).ifPresent(all::add));
        if (all.isEmpty()) {
            return Map.of();
        }
        Optional<Series> shared = shared(all, policy);
        List<Series> own = shared.isPresent()
                ? all.stream().map(one -> less(one, shared.get())).toList()
                : all;
        double[] scatter = own.stream().mapToDouble(one -> scatter(one, policy)).toArray();
        // Probes and cells are alike; elements are not.
        boolean alike = all.size() < policy.whole(Setting.DRIFT_LANES_THAT_SHARE);
        double usual = alike
                ? Math.sqrt(
                        Arrays.stream(scatter).map(one -> one * one).average().orElse(0))
                : Robust.median(scatter);
        List<Line> lines = new ArrayList<>();
        for (int i = 0; i < own.size(); i++) {
            lines.add(best(
                    own.get(i),
                    alike ? usual : pooled(scatter[i], usual, own.get(i).rows().length),
                    startShare,
                    policy));
        }
        Map<Lane, Trend> found = new LinkedHashMap<>();
        if (shared.isPresent()) {
            Line line = best(shared.get(), scatter(shared.get(), policy), startShare, policy);
            double z = z(line, policy.number(Setting.DRIFT_ORDINARY));
            boolean allDrift = z >= policy.number(Setting.DRIFT_CALLED)
                    && Math.abs(line.slope()) >= policy.number(Setting.DRIFT_LEAST)
                    && moves(shared.get(), line, scatter(shared.get(), policy), policy);
            if (allDrift) {
                all.forEach(one -> found.put(one.lane(), trend(one, line, z)));
            }
        }
        for (int i = 0; i < own.size(); i++) {
            Line line = lines.get(i);
            if (Math.abs(line.slope())
                    < (alike && all.size() > 1
                            ? policy.number(Setting.DRIFT_LEAST_OF_FEW)
                            : policy.number(Setting.DRIFT_LEAST))) {
                continue;
            }
            double z = z(line, ordinary(lines, i, policy));
            double spread = alike ? usual : pooled(scatter[i], usual, own.get(i).rows().length);
            if (z >= policy.number(Setting.DRIFT_CALLED) && moves(own.get(i), line, spread, policy)) {
                found.put(own.get(i).lane(), trend(all.get(i), line, z));
            }
        }
        return found;
    }

    // A check that is off by the same all along was off from the start: its flask is, or the calibration, and nothing
    // moves.
    private static boolean moves(Series series, Line line, double scatter, Policy policy) {
        double mean = Arrays.stream(series.seen()).average().orElse(0);
        double constant = Arrays.stream(series.seen())
                .map(one -> (one - mean) / scatter)
                .map(one -> one * one)
                .sum();
        return constant - line.chiSquare() >= policy.number(Setting.DRIFT_MOVES_GAIN);
    }

    private static double z(Line line, double ordinary) {
        return Math.abs(line.slope()) / Math.hypot(line.slopeSd(), ordinary);
    }

    private static Trend trend(Series series, Line line, double z) {
        int last = series.rows()[series.rows().length - 1];
        int onset = line.onset() < 0 ? 0 : series.rows()[line.onset()];
        return new Trend(series.lane(), series.rows(), series.seen(), onset, line.slope() / (last - onset), z);
    }

    // The check read most often is the one that runs along.
    private static Optional<Series> running(Lane lane, List<Check> checks, Policy policy) {
        Map<String, Integer> read = new HashMap<>();
        String most = "";
        for (Check check : checks) {
            int n = read.merge(check.identity(), 1, Integer::sum);
            if (most.isEmpty()
                    || n > read.getOrDefault(most, 0)
                    || check.identity().equals(most)) {
                most = check.identity();
            }
        }
        int n = read.getOrDefault(most, 0);
        if (n < policy.whole(Setting.DRIFT_LEAST_READINGS)) {
            return Optional.empty();
        }
        int[] rows = new int[n];
        double[] seen = new double[n];
        int i = 0;
        for (Check check : checks) {
            if (check.identity().equals(most)) {
                rows[i] = check.row();
                seen[i++] = check.deviation();
            }
        }
        return Optional.of(new Series(lane, rows, seen));
    }

    // The median of all lanes at each reading, where enough lanes were read at the same rows.
    private static Optional<Series> shared(List<Series> all, Policy policy) {
        int[] rows = all.get(0).rows();
        if (all.size() < policy.whole(Setting.DRIFT_LANES_THAT_SHARE)
                || !all.stream().allMatch(one -> Arrays.equals(one.rows(), rows))) {
            return Optional.empty();
        }
        double[] middle = new double[rows.length];
        for (int i = 0; i < rows.length; i++) {
            double[] here = new double[all.size()];
            for (int lane = 0; lane < here.length; lane++) {
                here[lane] = all.get(lane).seen()[i];
            }
            middle[i] = Robust.median(here);
        }
        return Optional.of(new Series(new Lane(-1, ""), rows, middle));
    }

    private static Series less(Series one, Series shared) {
        double[] left = new double[one.seen().length];
        for (int i = 0; i < left.length; i++) {
            left[i] = one.seen()[i] - shared.seen()[i];
        }
        return new Series(one.lane(), one.rows(), left);
    }

    // Standard deviation about a straight line of its own.
    private static double scatter(Series series, Policy policy) {
        int n = series.rows().length;
        double meanRow = 0;
        double mean = 0;
        for (int i = 0; i < n; i++) {
            meanRow += series.rows()[i] / (double) n;
            mean += series.seen()[i] / n;
        }
        double sxx = 0;
        double sxy = 0;
        double syy = 0;
        for (int i = 0; i < n; i++) {
            double x = series.rows()[i] - meanRow;
            double y = series.seen()[i] - mean;
            sxx += x * x;
            sxy += x * y;
            syy += y * y;
        }
        return Math.max(
                policy.number(Setting.DRIFT_LEAST_SCATTER), Math.sqrt(Math.max(0, syy - sxy * sxy / sxx) / (n - 2)));
    }

    // A lane's own scatter, steadied by what is usual in the run as if by two readings more.
    private static double pooled(double own, double usual, int n) {
        return Math.sqrt(((n - 2) * own * own + 2 * usual * usual) / n);
    }

    // How far slopes of the other lanes scatter beyond their own uncertainty.
    private static double ordinary(List<Line> lines, int own, Policy policy) {
        if (lines.size() < policy.whole(Setting.DRIFT_LANES_THAT_SHARE)) {
            return policy.number(Setting.DRIFT_ORDINARY);
        }
        double[] others = IntStream.range(0, lines.size())
                .filter(i -> i != own)
                .mapToDouble(i -> lines.get(i).slope())
                .toArray();
        double spread = Robust.algorithmA(others, Robust.Factors.EXACT, Robust.Stop.THIRD_FIGURE)
                .sd();
        double noise = Robust.median(lines.stream().mapToDouble(Line::slopeSd).toArray());
        return Math.max(policy.number(Setting.DRIFT_ORDINARY), Math.sqrt(Math.max(0, spread * spread - noise * noise)));
    }

    // Whether the last readings, or the line itself, come near what would be called: otherwise a later onset need not
    // be looked for.
    private static boolean endsApart(Series series, Line line, Policy policy) {
        double[] seen = series.seen();
        double last = 0;
        for (int i = seen.length - policy.whole(Setting.DRIFT_LEAST_READINGS); i < seen.length; i++) {
            last += seen[i] / policy.whole(Setting.DRIFT_LEAST_READINGS);
        }
        return Math.max(Math.abs(last), Math.abs(line.slope())) >= policy.number(Setting.DRIFT_LEAST) / 2;
    }

    private static Line best(Series series, double scatter, double startShare, Policy policy) {
        Line best = fit(series, -1, scatter, startShare);
        if (!endsApart(series, best, policy)) {
            return best;
        }
        double toBeat = best.chiSquare() - policy.number(Setting.DRIFT_LATER_ONSET_GAIN);
        for (int onset = 0; onset + policy.whole(Setting.DRIFT_LEAST_AFTER_ONSET) < series.rows().length; onset++) {
            Line line = fit(series, onset, scatter, startShare);
            if (line.chiSquare() < toBeat) {
                best = line;
                toBeat = line.chiSquare();
            }
        }
        return best;
    }

    // Slope in tolerances from the onset to the last reading; onset -1 is the calibration.
    private static Line fit(Series series, int onset, double scatter, double startShare) {
        int[] rows = series.rows();
        double start = onset < 0 ? 0 : rows[onset];
        double length = rows[rows.length - 1] - start;
        double n = 1 / startShare;
        double st = 0;
        double stt = 0;
        double sy = 0;
        double sty = 0;
        for (int i = 0; i < rows.length; i++) {
            double t = Math.max(0, (rows[i] - start) / length);
            n++;
            st += t;
            stt += t * t;
            sy += series.seen()[i];
            sty += t * series.seen()[i];
        }
        double det = n * stt - st * st;
        double slope = (n * sty - st * sy) / det;
        double a = (sy - slope * st) / n;
        double sum = a * a / startShare;
        for (int i = 0; i < rows.length; i++) {
            double rest = series.seen()[i] - a - slope * Math.max(0, (rows[i] - start) / length);
            sum += rest * rest;
        }
        return new Line(onset, slope, scatter * Math.sqrt(n / det), sum / (scatter * scatter));
    }
}
