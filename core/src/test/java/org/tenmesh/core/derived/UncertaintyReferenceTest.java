package org.tenmesh.core.derived;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Unit;

/**
 * The uncertainty of derived results against the law of propagation worked by hand (JCGM 100:2008, Evaluation of measurement data -
 * Guide to the expression of uncertainty in measurement, 5.1.2, formula 10) and against drawing from the inputs (JCGM 101:2008,
 * Supplement 1, Propagation of distributions using a Monte Carlo method).
 */
class UncertaintyReferenceTest {
    private static double expanded(List<Result> results, String analyte) {
        return results.stream()
                .filter(result -> result.analyte().equals(analyte))
                .findFirst()
                .orElseThrow()
                .expandedUncertainty()
                .orElseThrow();
    }

    @Test
    void agreesWithTheLawOfPropagationFromTheMeasuredInputs() {
        List<Result> derived = Deriving.of(Sums.day(), Sums.standard(), Sums.METHODS);
        double ca = 1500 / 200.4;
        double mg = 250 / 121.53;
        double k = 150 / 390.98;
        double acid = 12 * 0.5;
        double cec = ca + mg + k + acid;
        double uCa = 30 / 200.4;
        double uMg = 6 / 121.53;
        double uK = 7 / 390.98;
        double uAcid = 12 * 0.04;
        double ofCec = 2 * Math.sqrt(uCa * uCa + uMg * uMg + uK * uK + uAcid * uAcid);
        assertThat(expanded(derived, "CEC")).isCloseTo(ofCec, within(1e-12));

        // Share s = k / (rest + k): ds/dk = rest / cec², ds/drest = -k / cec².
        double rest = cec - k;
        double byK = rest / (cec * cec) * uK;
        double byRest = k / (cec * cec) * Math.sqrt(uCa * uCa + uMg * uMg + uAcid * uAcid);
        double ofShare = 2 * 100 * Math.sqrt(byK * byK + byRest * byRest);
        assertThat(expanded(derived, "K_sat")).isCloseTo(ofShare, within(1e-12));

        // As if potassium and capacity knew nothing of one another, which they do.
        double apart = 2 * 100 * k / cec * Math.sqrt(Math.pow(uK / k, 2) + Math.pow(ofCec / 2 / cec, 2));
        assertThat(Math.abs(apart - ofShare)).isGreaterThan(1e-3);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 20261125})
    void agreesWithDrawingFromTheInputs(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Result> derived = Deriving.of(Sums.day(), Sums.standard(), Sums.METHODS);
        int draws = 200_000;
        double sum = 0;
        double squares = 0;
        for (int i = 0; i < draws; i++) {
            double k = (150 + 7 * random.nextGaussian()) / 390.98;
            double cec = (1500 + 30 * random.nextGaussian()) / 200.4
                    + (250 + 6 * random.nextGaussian()) / 121.53
                    + k
                    + 12 * (7 - (6.5 + 0.04 * random.nextGaussian()));
            double share = 100 * k / cec;
            sum += share;
            squares += share * share;
        }
        double mean = sum / draws;
        double sd = Math.sqrt(squares / draws - mean * mean);
        // The standard error of a standard deviation from 200,000 draws is 0.16 %; the rest is the law's first order.
        assertThat(expanded(derived, "K_sat")).as("seed %d", seed).isCloseTo(2 * sd, within(2 * sd * 0.012));
    }

    @ParameterizedTest
    @ValueSource(longs = {3, 77})
    void slopesAreThoseOfFiniteDifferences(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int round = 0; round < 200; round++) {
            List<Result> results = new ArrayList<>();
            String[] names = {"Ca", "Mg", "K"};
            double[] values = {random.nextDouble(200, 3000), random.nextDouble(20, 500), random.nextDouble(20, 600)};
            double bufferPh = random.nextDouble(6, 6.9);
            int moved = random.nextInt(3);
            for (int i = 0; i < 3; i++) {
                // Only one input is uncertain: the result's uncertainty is then the size of its slope.
                results.add(Sums.measured("icp", names[i], values[i], i == moved ? 2 : 0, Unit.MILLIGRAM_PER_KILOGRAM));
            }
            results.add(Sums.measured("ph", "pH", 6, 0, Unit.PH));
            results.add(Sums.measured("bph", "BpH", bufferPh, 0, Unit.PH));
            double slope = expanded(Deriving.of(Sums.day(), results, Sums.METHODS), "K_sat") / 2;
            double h = 1e-3;
            double up = share(values, bufferPh, moved, h);
            double down = share(values, bufferPh, moved, -h);
            assertThat(slope)
                    .as("seed %d, round %d", seed, round)
                    .isCloseTo(Math.abs(up - down) / (2 * h), within(1e-7));
        }
    }

    private static double share(double[] values, double bufferPh, int moved, double by) {
        double[] of = values.clone();
        of[moved] += by;
        double k = of[2] / 390.98;
        return 100 * k / (of[0] / 200.4 + of[1] / 121.53 + k + 12 * (7 - bufferPh));
    }

    /** JCGM 100:2008, 5.1.6, formula 12: of a quotient the relative squares add. */
    @Test
    void aQuotientAddsRelativeSquares() {
        DerivedMethod quotient = new DerivedMethod(
                Sums.head("q", Sums.analyte("q", Unit.ONE, 3)),
                List.of(Sums.input("a", "icp", "Ca", "mg/kg"), Sums.input("b", "icp", "Mg", "mg/kg")),
                List.of(),
                List.of(),
                List.of(Sums.computed("q", Sums.of(Operation.DIVIDE, new Formula.Name("a"), new Formula.Name("b")))),
                Optional.empty());
        List<Result> derived = Deriving.of(Sums.day(), Sums.standard(), MethodBook.shipping(quotient));
        double relative = Math.sqrt(Math.pow(30 / 1500.0, 2) + Math.pow(6 / 250.0, 2));
        assertThat(expanded(derived, "q")).isCloseTo(2 * 6 * relative, within(1e-12));
    }

    private static final DerivedMethod LIMITED = new DerivedMethod(
            Sums.head(
                    "saturation",
                    Sums.analyte("rest", Unit.MILLIGRAM_PER_KILOGRAM, 2),
                    Sums.analyte("share", Unit.PERCENT, 0)),
            List.of(Sums.input("k", "icp", "K", "mg/kg"), Sums.input("mg", "icp", "Mg", "mg/kg")),
            List.of(Sums.constant("all", 100, "%"), Sums.constant("none", 0, "mg/kg")),
            List.of(),
            List.of(
                    Sums.computed(
                            "rest",
                            Sums.of(
                                    Operation.MAX,
                                    Sums.name("none"),
                                    Sums.of(Operation.SUBTRACT, Sums.name("k"), Sums.name("mg")))),
                    Sums.computed(
                            "share",
                            Sums.of(
                                    Operation.DIVIDE,
                                    Sums.of(Operation.MULTIPLY, Sums.name("all"), Sums.name("k")),
                                    Sums.of(Operation.ADD, Sums.name("k"), Sums.name("rest"))))),
            Optional.empty());

    private static List<Result> limited(double k, double mg) {
        List<Result> inputs = List.of(
                Sums.measured("icp", "K", k, 14, Unit.MILLIGRAM_PER_KILOGRAM),
                Sums.measured("icp", "Mg", mg, 12, Unit.MILLIGRAM_PER_KILOGRAM));
        return Deriving.of(Sums.day(), inputs, MethodBook.shipping(LIMITED));
    }

    /** Nothing that was measured reaches past the end: the last reported place is what limits the number. */
    @Test
    void farBeyondTheEndOfAScaleTheLastPlaceRemains() {
        List<Result> derived = limited(150, 250);

        assertThat(derived).extracting(Result::reported).containsExactly("0.00", "100");
        assertThat(expanded(derived, "rest")).isEqualTo(0.01);
        assertThat(expanded(derived, "share")).isEqualTo(1);
    }

    /** 5 below the end: 14 more of one is 9, 12 less of the other 7, together 11.4; the share goes to 164/173 and 150/157. */
    @Test
    void atTheEndOfAScaleItIsHowFarTheInputsReachBackFromIt() {
        List<Result> derived = limited(150, 155);

        // Stated as the uncertainty allows: no place finer than the second digit of 11.4.
        assertThat(derived).extracting(Result::reported).containsExactly("0", "100");
        assertThat(expanded(derived, "rest")).isCloseTo(Math.hypot(9, 7), within(1e-9));
        assertThat(expanded(derived, "share"))
                .isCloseTo(100 * Math.hypot(1 - 164.0 / 173, 1 - 150.0 / 157), within(1e-9));
    }

    /**
     * Coverage near the end by drawing (JCGM 101:2008): true values around the end, limited; measured with the stated uncertainty; the interval
     * must hold the true value as often as 95 % promises, and never be nothing.
     */
    @ParameterizedTest
    @ValueSource(longs = {5, 41})
    void coversTheTruthAtTheEndOfAScale(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        int inside = 0;
        int draws = 4000;
        for (int i = 0; i < draws; i++) {
            double k = random.nextDouble(100, 140);
            double truth = Math.max(0, k - 120);
            List<Result> derived = limited(k + 7 * random.nextGaussian(), 120 + 6 * random.nextGaussian());
            Result rest = derived.get(0);
            assertThat(rest.expandedUncertainty().orElseThrow()).isPositive();
            inside += Math.abs(rest.amount().raw() - truth)
                            <= rest.expandedUncertainty().orElseThrow()
                    ? 1
                    : 0;
        }
        assertThat(inside / (double) draws).as("seed %d", seed).isBetween(0.94, 0.99);
    }
}
