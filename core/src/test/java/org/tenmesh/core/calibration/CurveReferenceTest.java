package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.Quantiles;

/** Published calibrations; data and sources in reference/calibration, reference/nist-linear. */
class CurveReferenceTest {
    // DIN 32645:1994, worked example, as quoted by the tests of the R package chemCal.
    @Test
    void agreesWithTheStandardsCalibrationExample() throws IOException {
        Curve curve = fit("din32645", Shape.LINE, Weighting.NONE);
        double halfWidth = Quantiles.t(0.995, curve.residualDegrees()) * curve.concentrationSe(3500, 1, 1);
        assertThat(halfWidth).isCloseTo(0.07434, within(5e-6));
        DetectionLimits limits = DetectionLimits.of(curve, 0.01, 3, 1);
        assertThat(limits.critical()).isCloseTo(0.0698, within(5e-5));
        assertThat(limits.detection()).isCloseTo(0.14, within(5e-3));
        assertThat(limits.quantification()).isCloseTo(0.212, within(5e-4));
    }

    // Massart et al., Handbook of Chemometrics and Qualimetrics A, 1997, chapter 8, example 7.
    @ParameterizedTest
    @CsvSource({"15,1,6.1,4.9", "90,1,43.9,4.9", "90,5,43.9,3.2"})
    void agreesWithMassartExampleOne(double signal, int readings, double x, double halfWidth) throws IOException {
        Curve curve = fit("massart_ex1", Shape.LINE, Weighting.NONE);
        assertThat(curve.concentration(signal)).isCloseTo(x, within(0.05));
        double got = Quantiles.t(0.975, curve.residualDegrees()) * curve.concentrationSe(signal, readings, 1);
        assertThat(got).isCloseTo(halfWidth, within(0.05));
    }

    // Massart et al. 1997, chapter 8, example 8, page 200: level means, weights 1/s^2 as the book rounds them.
    @Test
    void agreesWithMassartWeightedExample() throws IOException {
        double[] x = {0, 10, 20, 30, 40, 50};
        double[] mean = new double[6];
        for (String[] cells : rows("calibration/data.csv")) {
            if (cells[0].equals("massart_ex3")) {
                mean[(int) Double.parseDouble(cells[1]) / 10] += Double.parseDouble(cells[2]) / 5;
            }
        }
        double[] weights = {1.984, 1.417, 1.262, 0.372, 0.199, 0.109};
        Curve curve = CurveFit.fit(x, mean, weights, Shape.LINE, Weighting.NONE);
        double t = Quantiles.t(0.975, curve.residualDegrees());
        assertThat(curve.concentration(15)).isCloseTo(5.9, within(0.05));
        assertThat(t * curve.concentrationSe(15, 1, 1.67)).isCloseTo(2.5, within(0.05));
        assertThat(curve.concentration(90)).isCloseTo(44.1, within(0.05));
        assertThat(t * curve.concentrationSe(90, 1, 0.145)).isCloseTo(7.9, within(0.06));
    }

    // NIST Norris through the calibration itself: a line over four decades.
    @Test
    void fitsNorrisToTwelveDigits() throws IOException {
        Curve curve = norris(Weighting.NONE);
        assertThat(curve.b()).isCloseTo(1.00211681802045, within(1e-13));
        assertThat(curve.a()).isCloseTo(-0.262323073774029, within(1e-12));
        assertThat(curve.seOfA()).isCloseTo(0.232818234301152, within(1e-12));
        assertThat(curve.seOfB()).isCloseTo(0.429796848199937E-03, within(1e-15));
        assertThat(curve.residualSd()).isCloseTo(0.884796396144373, within(1e-12));
        assertThat(curve.correlation() * curve.correlation()).isCloseTo(0.999993745883712, within(1e-14));
    }

    // NIST Pontius through the calibration itself: a quadratic over loads of 150,000 to 3,000,000.
    @Test
    void fitsPontiusToElevenDigits() throws IOException {
        List<String[]> rows = rows("nist-linear/data.csv").stream()
                .filter(cells -> cells[0].equals("Pontius"))
                .toList();
        Curve curve = CurveFit.fit(column(rows, 3), column(rows, 2), Shape.QUADRATIC, Weighting.NONE);
        assertThat(curve.a()).isCloseTo(0.673565789473684E-03, within(1e-14));
        assertThat(curve.b()).isCloseTo(0.732059160401003E-06, within(1e-18));
        assertThat(curve.c()).isCloseTo(-0.316081871345029E-14, within(1e-25));
        assertThat(curve.seOfA()).isCloseTo(0.107938612033077E-03, within(1e-14));
        assertThat(curve.seOfB()).isCloseTo(0.157817399981659E-09, within(1e-20));
        assertThat(curve.seOfC()).isCloseTo(0.486652849992036E-16, within(1e-27));
        assertThat(curve.residualSd()).isCloseTo(0.205177424076185E-03, within(1e-14));
        Curve.Covariance raw = curve.covariance();
        assertThat(Math.sqrt(raw.aa())).isCloseTo(curve.seOfA(), within(1e-14));
        assertThat(Math.sqrt(raw.bb())).isCloseTo(curve.seOfB(), within(1e-20));
    }

    // Norris with weights: computed once with 80 digits by the project, no published figure.
    @ParameterizedTest
    @CsvSource({
        "ONE_OVER_X,-0.079611501,1.0016809,0.18208158,0.042802046,0.0014857431",
        "ONE_OVER_X_SQUARED,-0.033313672,0.97829702,0.25874745,0.036199244,0.046840266"
    })
    void fitsNorrisWithWeights(Weighting weighting, double a, double b, double s, double seA, double seB)
            throws IOException {
        Curve curve = norris(weighting);
        assertThat(curve.a()).isCloseTo(a, within(1e-8));
        assertThat(curve.b()).isCloseTo(b, within(1e-7));
        assertThat(curve.residualSd()).isCloseTo(s, within(1e-8));
        assertThat(curve.seOfA()).isCloseTo(seA, within(1e-8));
        assertThat(curve.seOfB()).isCloseTo(seB, within(1e-9));
    }

    // Toluene of Rocke & Lorenzato 1995, Technometrics 37:176, Table 4; relative standard errors computed by the
    // project.
    @ParameterizedTest
    @CsvSource({"NONE,97.98", "ONE_OVER_X,35.22", "ONE_OVER_X_SQUARED,35.89"})
    void showsWhyLowLevelsNeedWeights(Weighting weighting, double rsePct) throws IOException {
        Curve curve = fit("toluene", Shape.LINE, weighting);
        assertThat(curve.relativeStandardErrorPct()).isCloseTo(rsePct, within(0.005));
    }

    // Fluorescein of Miller & Miller, Statistics and Chemometrics for Analytical Chemistry: data and answers from
    // memory;
    // the data reproduce the remembered answers.
    @ParameterizedTest
    @CsvSource({"2.9,0.72,0.26", "13.5,6.21,0.24", "23.0,11.13,0.26"})
    void readsFluoresceinBack(double signal, double x, double se) throws IOException {
        Curve curve = fit("fluorescein", Shape.LINE, Weighting.NONE);
        assertThat(curve.concentration(signal)).isCloseTo(x, within(0.005));
        assertThat(curve.concentrationSe(signal, 1, 1)).isCloseTo(se, within(0.005));
        assertThat(curve.correlation()).isCloseTo(0.9989, within(5e-5));
    }

    private static Curve norris(Weighting weighting) throws IOException {
        List<String[]> rows = rows("nist-linear/data.csv").stream()
                .filter(cells -> cells[0].equals("Norris"))
                .toList();
        return CurveFit.fit(column(rows, 3), column(rows, 2), Shape.LINE, weighting);
    }

    private static Curve fit(String set, Shape shape, Weighting weighting) throws IOException {
        List<String[]> rows = rows("calibration/data.csv").stream()
                .filter(cells -> cells[0].equals(set))
                .toList();
        assertThat(rows).isNotEmpty();
        return CurveFit.fit(column(rows, 1), column(rows, 2), shape, weighting);
    }

    private static double[] column(List<String[]> rows, int at) {
        return rows.stream().mapToDouble(cells -> Double.parseDouble(cells[at])).toArray();
    }

    private static List<String[]> rows(String file) throws IOException {
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(CurveReferenceTest.class.getResourceAsStream("/reference/" + file)),
                StandardCharsets.UTF_8))) {
            return in.lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split(",", -1))
                    .toList();
        }
    }
}
