package org.tenmesh.core.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Extraction.Acceptance;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.methods.Method;

class CalibrationTest {
    // US EPA SW-846 method 6010D, July 2018: r above 0.995, RSE below 20 %, low standard 80-120 %, others 90-110 %.
    private static final Acceptance EPA = new Acceptance(0.995, 20, 20, 10);

    @Test
    void acceptsAGoodCalibration() {
        double[] x = {0, 1, 2, 5, 10, 20};
        double[] y = {3, 101, 204, 499, 1003, 1999};
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.ONE_OVER_X);
        assertThat(CalibrationJudgement.of(curve, x, y, EPA).accepted()).isTrue();
        assertThat(curve.lowest()).isZero();
        assertThat(curve.lowestAboveZero()).isEqualTo(1);
        assertThat(curve.highest()).isEqualTo(20);
    }

    @Test
    void namesEveryRuleThatIsBrokenWithItsNumbers() {
        double[] x = {0, 1, 2, 5, 10, 20};
        double[] y = {3, 160, 204, 499, 700, 1999};
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.NONE);
        CalibrationJudgement judgement = CalibrationJudgement.of(curve, x, y, EPA);
        assertThat(judgement.accepted()).isFalse();
        assertThat(judgement.reasons())
                .anySatisfy(reason ->
                        assertThat(reason).contains("correlation 0.98").contains("0.995"))
                .anySatisfy(reason ->
                        assertThat(reason).contains("relative standard error").contains("20 %"))
                .anySatisfy(reason ->
                        assertThat(reason).startsWith("standard 1 reads back").contains("allowed 20 %"))
                .anySatisfy(reason ->
                        assertThat(reason).startsWith("standard 10 reads back").contains("allowed 10 %"));
    }

    // The low standard may be 20 % off where a higher one may be 10 % off.
    @Test
    void givesTheLowestStandardMoreRoom() {
        double[] x = {1, 10, 20, 50, 100};
        double[] y = {125, 1000, 2000, 5000, 10000};
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.NONE);
        assertThat(CalibrationJudgement.of(curve, x, y, EPA).reasons()).isEmpty();
        assertThat(CalibrationJudgement.of(curve, x, y, new Acceptance(0.995, 20, 10, 10))
                        .reasons())
                .singleElement()
                .asString()
                .startsWith("standard 1 reads back as");
    }

    // US EPA 8000D 11.5.3.2: all tangents over the range of one sign.
    @Test
    void refusesAQuadraticThatTurnsInsideItsRange() {
        double[] x = {0, 1, 2, 3, 4, 5};
        double[] y = {0, 90, 160, 210, 225, 222};
        Curve curve = CurveFit.fit(x, y, Shape.QUADRATIC, Weighting.NONE);
        assertThat(CalibrationJudgement.of(curve, x, y, EPA).reasons())
                .anySatisfy(reason -> assertThat(reason).contains("turns inside its range"));
        assertThat(curve.concentration(400)).isNaN();
        assertThat(curve.concentrationSe(400, 1, 1)).isNaN();
    }

    @Test
    void readsAFlatLineAsNothing() {
        Curve curve = CurveFit.fit(new double[] {0, 1, 2}, new double[] {5, 5, 5}, Shape.LINE, Weighting.NONE);
        assertThat(curve.concentration(6)).isNaN();
        assertThat(curve.concentrationSe(6, 1, 1)).isNaN();
        assertThat(CalibrationJudgement.of(curve, new double[] {0, 1, 2}, new double[] {5, 5, 5}, EPA)
                        .accepted())
                .isFalse();
    }

    @Test
    void letsTheZeroStandardTakeTheWeightOfTheLowestOther() {
        Curve curve = CurveFit.fit(
                new double[] {0, 2, 4, 10}, new double[] {1, 21, 41, 101}, Shape.LINE, Weighting.ONE_OVER_X_SQUARED);
        assertThat(curve.weightAt(0)).isEqualTo(0.25);
        assertThat(curve.weightAt(-1)).isEqualTo(0.25);
        assertThat(curve.weightAt(10)).isEqualTo(0.01);
    }

    @Test
    void saysWhyStandardsAllowNoCurve() {
        assertThatThrownBy(() -> CurveFit.fit(new double[] {0, 1}, new double[] {1, 2}, Shape.LINE, Weighting.NONE))
                .isInstanceOf(NoCurveException.class)
                .hasMessage("a straight line with a residual needs 3 points or more, found 2");
        assertThatThrownBy(() -> CurveFit.fit(
                        new double[] {1, 1, 1, 2}, new double[] {1, 2, 3, 4}, Shape.QUADRATIC, Weighting.NONE))
                .hasMessage("a quadratic needs 3 different standards or more, found 2");
        assertThatThrownBy(
                        () -> CurveFit.fit(new double[] {0, 1, -2}, new double[] {1, 2, 3}, Shape.LINE, Weighting.NONE))
                .hasMessageContaining("standard -2.0");
        assertThatThrownBy(() -> CurveFit.fit(
                        new double[] {0, 1, 2}, new double[] {1, Double.NaN, 3}, Shape.LINE, Weighting.NONE))
                .hasMessageContaining("signal NaN");
        assertThatThrownBy(() -> CurveFit.fit(new double[] {0, 1, 2}, new double[] {1, 3}, Shape.LINE, Weighting.NONE))
                .hasMessageContaining("3 standards but 2 signals");
    }

    // CODATA 2018 constants; the values are those of any table of theoretical electrode slopes.
    @ParameterizedTest
    @CsvSource({"0,54.20", "5,55.19", "10,56.18", "15,57.18", "20,58.17", "25,59.16", "30,60.15", "40,62.14", "50,64.12"
    })
    void knowsTheTheoreticalSlope(double celsius, double slope) {
        assertThat(ProbeCalibration.theoreticalSlopeMvPerPh(celsius)).isCloseTo(slope, within(0.005));
    }

    // Worked by hand from the same formulas: pH 4.01 = +174.2 mV, pH 7.00 = -1.8 mV at 25 °C.
    @Test
    void calibratesAProbeAndReadsASoil() {
        ProbeCalibration probe = ProbeCalibration.of(new double[] {174.2, -1.8}, new double[] {4.01, 7.00}, 25);
        assertThat(probe.slopeMvPerPh()).isCloseTo(58.863, within(5e-4));
        assertThat(probe.slopePct()).isCloseTo(99.50, within(5e-3));
        assertThat(probe.offsetMv()).isCloseTo(-1.8, within(1e-9));
        assertThat(probe.phAt(64.0, 25)).isCloseTo(5.882, within(5e-4));
        assertThat(probe.phAt(64.0, 20)).isCloseTo(5.863, within(5e-4));
        assertThat(probe.phAt(-177.9, 25)).isCloseTo(9.992, within(5e-4));
        assertThat(CalibrationJudgement.of(probe, method()).accepted()).isTrue();
    }

    @Test
    void takesTheBufferValueAtItsOwnTemperature() {
        ProbeCalibration probe = ProbeCalibration.of(new double[] {171.5, 3.4}, new double[] {4.004, 7.012}, 22);
        assertThat(probe.slopeMvPerPh()).isCloseTo(55.884, within(5e-4));
        assertThat(probe.slopePct()).isCloseTo(95.42, within(5e-3));
        assertThat(probe.offsetMv()).isCloseTo(4.07, within(5e-3));
        assertThat(CalibrationJudgement.of(probe, method()).accepted()).isTrue();
    }

    @Test
    void shutsOutATiredProbe() {
        ProbeCalibration probe = ProbeCalibration.of(new double[] {160.0, -4.0}, new double[] {4.01, 7.00}, 25);
        assertThat(probe.slopePct()).isCloseTo(92.715, within(5e-4));
        assertThat(CalibrationJudgement.of(probe, method()).reasons())
                .containsExactly("slope 54.85 mV/pH is 92.7 % of the theoretical 59.16, allowed 95 to 105 %");
        ProbeCalibration shifted = ProbeCalibration.of(new double[] {217.0, 40.0}, new double[] {4.01, 7.00}, 25);
        assertThat(CalibrationJudgement.of(shifted, method()).reasons())
                .containsExactly("offset +40.0 mV at pH 7, allowed 30 mV either way");
    }

    @Test
    void fitsThreeBuffersByLeastSquares() {
        ProbeCalibration probe = ProbeCalibration.of(new double[] {177.2, 1.0, -176.8}, new double[] {4, 7, 10}, 25);
        assertThat(probe.slopeMvPerPh()).isCloseTo(59.0, within(1e-9));
        assertThat(probe.offsetMv()).isCloseTo((177.2 + 1.0 - 176.8) / 3, within(1e-9));
        assertThat(probe.points()).isEqualTo(3);
    }

    @Test
    void needsTwoDifferentBuffers() {
        assertThatThrownBy(() -> ProbeCalibration.of(new double[] {1, 2}, new double[] {7, 7.001}, 25))
                .isInstanceOf(NoCurveException.class)
                .hasMessage("a probe needs two different buffers or more, found 2 readings about pH 7.0");
        assertThatThrownBy(() -> ProbeCalibration.of(new double[] {1}, new double[] {7, 4}, 25))
                .hasMessageContaining("1 potentials but 2 buffers");
        assertThatThrownBy(() -> ProbeCalibration.of(new double[] {1, Double.NaN}, new double[] {7, 4}, 25))
                .hasMessageContaining("NaN mV in buffer pH 4.0");
    }

    // 6010D says above 0.995 and below 20 %, so these themselves do not do; a readback of just the allowed share does.
    @Test
    void knowsOnWhichSideEachLimitOfACurveLies() {
        double[] x = {0, 10, 100};
        double[] signal = {3, 12, 110};
        assertThat(CalibrationJudgement.of(curve(0.9951, 19.9), x, signal, EPA).reasons())
                .isEmpty();
        assertThat(CalibrationJudgement.of(curve(0.995, 19.9), x, signal, EPA).reasons())
                .containsExactly("correlation 0.99500, must be above 0.995");
        assertThat(CalibrationJudgement.of(curve(0.9951, 20), x, signal, EPA).reasons())
                .containsExactly("relative standard error 20.0 %, must be below 20 %");
    }

    private static Curve curve(double correlation, double relativeStandardErrorPct) {
        Curve.Covariance none = new Curve.Covariance(0, 0, 0, 0, 0, 0);
        return new Curve(
                Shape.LINE, Weighting.NONE, 0, 1, 0, none, 0, 0, 3, correlation, relativeStandardErrorPct, 0, 10, 100);
    }

    @Test
    void acceptsAProbeOnItsLimits() {
        ProbeCalibration probe = new ProbeCalibration(57, -30, 25, 2);
        double slope = probe.slopePct();
        assertThat(CalibrationJudgement.of(probe, method(slope, 105)).reasons()).isEmpty();
        assertThat(CalibrationJudgement.of(probe, method(90, slope)).reasons()).isEmpty();
        assertThat(CalibrationJudgement.of(probe, method(slope + 0.01, 105)).accepted())
                .isFalse();
        assertThat(CalibrationJudgement.of(probe, method(90, slope - 0.01)).accepted())
                .isFalse();
    }

    private static ElectrodeMethod method() {
        return method(95, 105);
    }

    private static ElectrodeMethod method(double slopeMinPct, double slopeMaxPct) {
        return new ElectrodeMethod(
                new Method.Head("ph", LocalDate.of(2026, 1, 1), "pH", "", List.of(), List.of(), List.of(), ""),
                5,
                5,
                4,
                List.of(),
                slopeMinPct,
                slopeMaxPct,
                30,
                0.1,
                2,
                11,
                0.1);
    }
}
