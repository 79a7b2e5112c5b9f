package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.DetectionLimits;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;

/**
 * Two implementations agree: the program and base R (reference/r/second.R) on 1,000 seeded random sets of values for each function
 * (some 120 for the chance of Dixon's ratio), all in one run of R. Skipped where there is no Rscript. What was found is left in target/agreement-with-r.txt.
 */
class AgreementWithRReferenceTest {
    private static final int SETS = 1000;
    // R takes long over a double integral: one set in so many.
    private static final int DOUBLE_INTEGRALS = 8;

    /**
     * A function that both compute.
     *
     * @param tolerance largest relative difference; wide where R's own integration or root finding is less exact than ours
     * @param small values below this count as this, for those that may lie near 0
     */
    private record Both(String name, double tolerance, double small) {}

    // In the order of the list in the script.
    private static final List<Both> FUNCTIONS = List.of(
            new Both("spread", 1e-11, 1e-3),
            new Both("robust", 1e-11, 0),
            new Both("algorithmA", 1e-10, 0),
            new Both("line", 1e-10, 1e-9),
            new Both("quadratic", 1e-10, 1e-9),
            new Both("linearity", 1e-9, 1e-3),
            new Both("detection", 1e-11, 0),
            new Both("regression", 1e-10, 1e-6),
            new Both("analysis", 1e-10, 1e-9),
            new Both("pooled", 1e-12, 0),
            new Both("grubbs", 1e-12, 0),
            new Both("cochran", 1e-12, 0),
            new Both("dixon", 1e-12, 0),
            new Both("dixonChance", 1e-9, 1e-6),
            new Both("distributions", 1e-9, 1e-3),
            new Both("range", 1e-9, 1e-2),
            new Both("chart", 1e-9, 1e-3),
            new Both("methodLimit", 1e-12, 0),
            new Both("scores", 1e-12, 1e-9),
            new Both("horwitz", 1e-12, 0));

    private final List<double[]> records = new ArrayList<>();
    private final List<Both> asked = new ArrayList<>();
    private final List<double[]> ours = new ArrayList<>();
    private final Map<Integer, ChartConstants> charts = new HashMap<>();

    @Test
    void agreesWithBaseROnAThousandSetsForEachFunction(@TempDir Path folder) throws Exception {
        assumeTrue(rIsThere(), "no Rscript here: the second implementation was not run (Debian: r-base-core)");
        for (int seed = 1; seed <= SETS; seed++) {
            ask(seed);
        }

        Path script = folder.resolve("second.R");
        try (InputStream in = AgreementWithRReferenceTest.class.getResourceAsStream("/reference/r/second.R")) {
            Files.copy(Objects.requireNonNull(in), script);
        }
        Path asks = folder.resolve("asked.bin");
        Path answers = folder.resolve("answers.bin");
        write(asks);
        Process r = new ProcessBuilder("Rscript", "--vanilla", script.toString(), asks.toString(), answers.toString())
                .redirectErrorStream(true)
                .redirectOutput(folder.resolve("said.txt").toFile())
                .start();
        assertThat(r.waitFor(300, TimeUnit.SECONDS)).as("R ends").isTrue();
        assertThat(r.exitValue())
                .as(() -> "R said: " + said(folder.resolve("said.txt")))
                .isZero();

        String report = compare(answers);
        Files.writeString(Path.of("target", "agreement-with-r.txt"), report);
        assertThat(report).doesNotContain("APART");
    }

    private static boolean rIsThere() throws InterruptedException {
        try {
            return new ProcessBuilder("Rscript", "--version").start().waitFor() == 0;
        } catch (IOException absent) {
            return false;
        }
    }

    private static String said(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException unreadable) {
            return "nothing that could be read: " + unreadable;
        }
    }

    // One set of every function; everything in it follows from the seed.
    private void ask(int seed) {
        Random random = new Random(seed);
        double level = Math.pow(10, 4 * random.nextDouble() - 1);
        double sd = level * Math.pow(10, -3 * random.nextDouble());
        double[] values = normal(random, 5 + random.nextInt(40), level, sd);

        Spread spread = Spread.of(values);
        put("spread", values, spread.mean(), spread.sd(), spread.lag1());

        double[] wild = values.clone();
        wild[random.nextInt(wild.length)] += 20 * sd;
        put(
                "robust",
                wild,
                Robust.median(wild),
                Robust.scaledMad(wild),
                Robust.quantile(wild, 0.1),
                Robust.quantile(wild, 0.25),
                Robust.quantile(wild, 0.9),
                Robust.normalisedIqr(wild));
        Robust.Estimate settled = Robust.algorithmA(wild, Robust.Factors.EXACT, Robust.Stop.SETTLED);
        Robust.Estimate third = Robust.algorithmA(wild, Robust.Factors.AS_PRINTED, Robust.Stop.THIRD_FIGURE);
        put("algorithmA", wild, settled.mean(), settled.sd(), third.mean(), third.sd());

        calibrations(random);
        regression(random);
        groups(random);
        outliers(random, level, sd);

        double p = 0.001 + 0.998 * random.nextDouble();
        int first = 1 + random.nextInt(40);
        int second = 1 + random.nextInt(60);
        double ratio = Math.pow(10, 2 * random.nextDouble() - 1);
        put(
                "distributions",
                new double[] {p, first, second, ratio},
                Quantiles.normal(p),
                Quantiles.t(p, first),
                Quantiles.f(p, first, second),
                Quantiles.chiSquare(p, first),
                Quantiles.fAbove(ratio, first, second));

        int n = 2 + random.nextInt(24);
        double r = 0.3 + 7 * random.nextDouble();
        double quantile = NormalRange.quantile(p, n);
        put("range", new double[] {r, n, quantile}, NormalRange.below(r, n), p);
        ChartConstants chart = charts.computeIfAbsent(n, ChartConstants::of);
        put(
                "chart",
                new double[] {n},
                chart.d2(),
                chart.d3(),
                chart.c4(),
                chart.a2(),
                chart.a3(),
                chart.b3(),
                chart.b4(),
                chart.lowerRange(),
                chart.upperRange());

        double[] spikes = normal(random, 7 + random.nextInt(6), level, sd);
        double[] blanks = normal(random, 7 + random.nextInt(6), 0.2 * sd, sd);
        MethodDetectionLimit limit = MethodDetectionLimit.of(spikes, blanks, 0);
        put(
                "methodLimit",
                join(new double[] {spikes.length}, spikes, blanks),
                limit.fromSpikes(),
                limit.fromBlanks(),
                limit.value(),
                MethodDetectionLimit.lowerShare(spikes.length),
                MethodDetectionLimit.upperShare(spikes.length));

        double x = level + sd * random.nextGaussian();
        double assignedU = 0.3 * sd * random.nextDouble();
        double u = sd * random.nextDouble();
        put(
                "scores",
                new double[] {x, level, sd, assignedU, u},
                Scores.z(x, level, sd),
                Scores.zPrime(x, level, sd, assignedU),
                Scores.zeta(x, u, level, assignedU));
        double fraction = Math.pow(10, -9 * random.nextDouble());
        put("horwitz", new double[] {fraction}, Horwitz.predictedRsdPct(fraction), Horwitz.modifiedSd(fraction));
    }

    private void calibrations(Random random) {
        int n = 6 + random.nextInt(8);
        double top = Math.pow(10, 3 * random.nextDouble());
        double slope = Math.pow(10, 3 * random.nextDouble());
        double bend = (0.6 * random.nextDouble() - 0.3) * slope / top;
        double[] x = new double[n];
        double[] y = new double[n];
        double[] bent = new double[n];
        for (int i = 0; i < n; i++) {
            x[i] = top * i / (n - 1.0);
            double noise = 0.01 * slope * top * random.nextGaussian();
            y[i] = 0.02 * slope * top + slope * x[i] + noise;
            bent[i] = y[i] + bend * x[i] * x[i];
        }
        Weighting weighting = Weighting.values()[random.nextInt(3)];
        int readings = 1 + random.nextInt(4);
        double at = top * (0.2 + 0.7 * random.nextDouble());
        double signal = slope * at;
        double[] head = {n, weighting.ordinal(), signal, readings};

        Curve line = CurveFit.fit(x, y, Shape.LINE, weighting);
        Curve.Covariance v = line.covariance();
        double found = line.concentration(signal);
        put(
                "line",
                join(head, x, y),
                line.a(),
                line.b(),
                v.aa(),
                v.ab(),
                v.bb(),
                line.residualSd(),
                found,
                line.concentrationSe(signal, readings, line.weightAt(found)));

        double bentSignal = signal + bend * at * at;
        double[] bentHead = {n, weighting.ordinal(), bentSignal, readings};
        Curve quadratic = CurveFit.fit(x, bent, Shape.QUADRATIC, weighting);
        Curve.Covariance q = quadratic.covariance();
        double bentFound = quadratic.concentration(bentSignal);
        put(
                "quadratic",
                join(bentHead, x, bent),
                quadratic.a(),
                quadratic.b(),
                quadratic.c(),
                q.aa(),
                q.ab(),
                q.ac(),
                q.bb(),
                q.bc(),
                q.cc(),
                quadratic.residualSd(),
                bentFound,
                quadratic.concentrationSe(bentSignal, readings, quadratic.weightAt(bentFound)));
        put("linearity", join(head, x, y), line.gainOf(CurveFit.fit(x, y, Shape.QUADRATIC, weighting)));

        double[] unweighted = {n, 0, signal, readings};
        DetectionLimits limits = DetectionLimits.of(CurveFit.fit(x, y, Shape.LINE, Weighting.NONE), 0.01, 3, readings);
        put("detection", join(unweighted, x, y), limits.critical(), limits.detection(), limits.quantification());
    }

    private void regression(Random random) {
        int n = 8 + random.nextInt(20);
        int p = 2 + random.nextInt(4);
        double[][] rows = new double[n][p];
        double[] flat = new double[n * p];
        double[] y = new double[n];
        double[] w = new double[n];
        for (int i = 0; i < n; i++) {
            rows[i][0] = 1;
            for (int j = 1; j < p; j++) {
                rows[i][j] = 10 * j + random.nextGaussian();
            }
            System.arraycopy(rows[i], 0, flat, i * p, p);
            y[i] = 3 + 5 * rows[i][1] + random.nextGaussian();
            w[i] = 0.1 + random.nextDouble();
        }
        LeastSquares fit = LeastSquares.fit(rows, y, w, true);
        double[] results = new double[2 * p + 3];
        for (int j = 0; j < p; j++) {
            results[j] = fit.coefficient(j);
            results[p + j] = fit.standardError(j);
        }
        results[2 * p] = fit.residualSd();
        results[2 * p + 1] = fit.rSquared();
        results[2 * p + 2] = fit.fStatistic();
        put("regression", join(new double[] {n, p}, flat, y, w), results);
    }

    private void groups(Random random) {
        int p = 2 + random.nextInt(8);
        double[][] groups = new double[p][];
        double[] sizes = new double[p];
        double[] all = {};
        for (int i = 0; i < p; i++) {
            groups[i] = normal(random, 2 + random.nextInt(5), 100 + random.nextGaussian(), 1);
            sizes[i] = groups[i].length;
            all = join(all, groups[i]);
        }
        OneWay analysis = OneWay.of(groups);
        Precision precision = Precision.of(groups);
        put(
                "analysis",
                join(new double[] {p}, sizes, all),
                analysis.betweenSumOfSquares(),
                analysis.withinSumOfSquares(),
                analysis.f(),
                analysis.chance(),
                precision.repeatabilitySd(),
                precision.betweenSd(),
                precision.reproducibilitySd(),
                precision.reproducibilityLimit());

        double[] sds = new double[p];
        int[] degrees = new int[p];
        double[] degreesAgain = new double[p];
        double[] first = normal(random, p, 50, 2);
        double[] second = normal(random, p, 50, 2);
        for (int i = 0; i < p; i++) {
            sds[i] = Spread.of(groups[i]).sd();
            degrees[i] = groups[i].length - 1;
            degreesAgain[i] = degrees[i];
        }
        put(
                "pooled",
                join(sds, degreesAgain, first, second),
                Spread.pooledSd(sds, degrees),
                Spread.ofDuplicates(first, second),
                Spread.relativeDifferencePct(first[0], second[0]));
    }

    private void outliers(Random random, double level, double sd) {
        double alpha = random.nextBoolean() ? 0.05 : 0.001 + 0.2 * random.nextDouble();
        Suspect suspect = random.nextBoolean() ? Suspect.NAMED_END : Suspect.EITHER_END;
        double[] values = normal(random, 4 + random.nextInt(37), level, sd);
        put(
                "grubbs",
                join(new double[] {alpha, suspect == Suspect.NAMED_END ? 1 : 2}, values),
                Grubbs.farthest(values),
                Grubbs.critical(values.length, alpha, suspect),
                Grubbs.pairHighest(values),
                Grubbs.pairLowest(values));

        int groups = 2 + random.nextInt(30);
        int replicates = 2 + random.nextInt(5);
        double[] variances = new double[groups];
        for (int i = 0; i < groups; i++) {
            variances[i] = Math.pow(random.nextGaussian(), 2);
        }
        put(
                "cochran",
                join(new double[] {groups, replicates, alpha}, variances),
                Cochran.statistic(variances),
                Cochran.critical(groups, replicates, alpha));

        double[] few = normal(random, 3 + random.nextInt(28), level, sd);
        Dixon.Ratio ratio = Dixon.Ratio.customary(few.length);
        put("dixon", few, ratio.highest(few), ratio.lowest(few));
        if (random.nextInt(DOUBLE_INTEGRALS) == 0) {
            double r = ratio.highest(few);
            put("dixonChance", new double[] {r, few.length}, ratio.above(r, few.length));
        }
    }

    private static double[] normal(Random random, int n, double mean, double sd) {
        double[] values = new double[n];
        for (int i = 0; i < n; i++) {
            values[i] = mean + sd * random.nextGaussian();
        }
        return values;
    }

    private static double[] join(double[]... parts) {
        return Arrays.stream(parts).flatMapToDouble(Arrays::stream).toArray();
    }

    private void put(String name, double[] input, double... results) {
        for (int i = 0; i < FUNCTIONS.size(); i++) {
            if (FUNCTIONS.get(i).name.equals(name)) {
                records.add(join(new double[] {i + 1, input.length}, input));
                asked.add(FUNCTIONS.get(i));
                ours.add(results);
                return;
            }
        }
        throw new IllegalArgumentException("no such function: " + name);
    }

    private void write(Path file) throws IOException {
        int all = records.stream().mapToInt(record -> record.length).sum();
        ByteBuffer bytes = ByteBuffer.allocate(all * Double.BYTES).order(ByteOrder.LITTLE_ENDIAN);
        for (double[] one : records) {
            for (double value : one) {
                bytes.putDouble(value);
            }
        }
        Files.write(file, bytes.array());
    }

    private String compare(Path answers) throws IOException {
        ByteBuffer bytes = ByteBuffer.wrap(Files.readAllBytes(answers)).order(ByteOrder.LITTLE_ENDIAN);
        double[] worst = new double[FUNCTIONS.size()];
        String[] where = new String[FUNCTIONS.size()];
        int[] sets = new int[FUNCTIONS.size()];
        for (int i = 0; i < ours.size(); i++) {
            Both both = asked.get(i);
            int at = FUNCTIONS.indexOf(both);
            double[] mine = ours.get(i);
            assertThat((int) bytes.getDouble()).as("results of %s", both.name).isEqualTo(mine.length);
            sets[at]++;
            for (int j = 0; j < mine.length; j++) {
                double theirs = bytes.getDouble();
                double size = Math.max(both.small, Math.max(Math.abs(theirs), Math.abs(mine[j])));
                double apart = theirs == mine[j] ? 0 : Math.abs(theirs - mine[j]) / size;
                if (!(apart <= worst[at])) {
                    worst[at] = apart;
                    where[at] = String.format(
                            Locale.ROOT, "seed %d, result %d: program %s, R %s", sets[at], j + 1, mine[j], theirs);
                }
            }
        }
        assertThat(bytes.hasRemaining()).as("answers nobody asked for").isFalse();
        StringBuilder report = new StringBuilder();
        for (int i = 0; i < FUNCTIONS.size(); i++) {
            Both both = FUNCTIONS.get(i);
            report.append(String.format(
                    Locale.ROOT,
                    "%-14s %5d sets, largest relative difference %.1e (allowed %.0e)%s%n",
                    both.name,
                    sets[i],
                    worst[i],
                    both.tolerance,
                    worst[i] <= both.tolerance ? "" : "  APART at " + where[i]));
        }
        return report.toString();
    }
}
