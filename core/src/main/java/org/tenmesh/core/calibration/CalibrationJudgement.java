package org.tenmesh.core.calibration;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Extraction.Acceptance;
import org.tenmesh.core.methods.Extraction.Shape;

/**
 * Whether a calibration may be used, and if not, every rule it breaks with the number found and the limit.
 *
 * @param reasons one sentence a broken rule; empty when the calibration is accepted
 * @param broken the same as numbers, one for each reason
 */
public record CalibrationJudgement(List<String> reasons, List<Broken> broken) {
    public CalibrationJudgement {
        reasons = List.copyOf(reasons);
        broken = List.copyOf(broken);
        if (reasons.size() != broken.size()) {
            throw new IllegalArgumentException("a calibration is rejected for " + reasons.size() + " reasons with "
                    + broken.size() + " numbers; one for each was expected");
        }
    }

    /**
     * What a calibration gave beside what it had to give.
     *
     * @param what such as {@code slope} or {@code standard 20}
     * @param found in {@code unit}
     * @param unit as people write it
     */
    public record Broken(String what, double found, OptionalDouble low, OptionalDouble high, String unit) {
        private static Broken above(String what, double found, double low, String unit) {
            return new Broken(what, found, OptionalDouble.of(low), OptionalDouble.empty(), unit);
        }

        private static Broken below(String what, double found, double high, String unit) {
            return new Broken(what, found, OptionalDouble.empty(), OptionalDouble.of(high), unit);
        }

        private static Broken within(String what, double found, double low, double high, String unit) {
            return new Broken(what, found, OptionalDouble.of(low), OptionalDouble.of(high), unit);
        }
    }

    /** Whether no rule is broken. */
    public boolean accepted() {
        return reasons.isEmpty();
    }

    /**
     * Judges a curve by its own standards: r above the least, relative standard error below the most, the lowest standard
     * above zero and all others read back within their limits (US EPA SW-846 method 6010D, July 2018, sections 10.7, 10.8.2
     * and 10.8.3), and for a quadratic a slope of one sign, never zero, over the range (method 8000D, section
     * 11.5.3.2). A limit itself is accepted for a readback and not for r and the relative standard error, as the text has
     * it. A standard of 0 is not read back; a relative standard error that the number of standards does not allow is not
     * judged.
     *
     * @param x the standards the curve was fitted to
     * @param signal their signals
     */
    public static CalibrationJudgement of(Curve curve, double[] x, double[] signal, Acceptance acceptance) {
        List<String> reasons = new ArrayList<>();
        List<Broken> broken = new ArrayList<>();
        if (!(curve.correlation() > acceptance.leastR())) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "correlation %.5f, must be above %s",
                    curve.correlation(),
                    plain(acceptance.leastR())));
            broken.add(Broken.above("correlation", curve.correlation(), acceptance.leastR(), ""));
        }
        if (curve.relativeStandardErrorPct() >= acceptance.mostRsePct()) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "relative standard error %.1f %%, must be below %s %%",
                    curve.relativeStandardErrorPct(),
                    plain(acceptance.mostRsePct())));
            broken.add(Broken.below(
                    "relative standard error", curve.relativeStandardErrorPct(), acceptance.mostRsePct(), "%"));
        }
        if (curve.shape() == Shape.QUADRATIC && !(curve.slopeAt(curve.lowest()) * curve.slopeAt(curve.highest()) > 0)) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "the curve turns inside its range: slope %.4g at %s and %.4g at %s",
                    curve.slopeAt(curve.lowest()),
                    plain(curve.lowest()),
                    curve.slopeAt(curve.highest()),
                    plain(curve.highest())));
            broken.add(Broken.above(
                    "slope at the other end, of the one at the lowest standard",
                    100 * curve.slopeAt(curve.highest()) / curve.slopeAt(curve.lowest()),
                    0,
                    "%"));
        }
        for (int i = 0; i < x.length; i++) {
            if (x[i] > 0) {
                double limit = x[i] == curve.lowestAboveZero() ? acceptance.lowReadbackPct() : acceptance.readbackPct();
                double readback = curve.concentration(signal[i]);
                double offPct = 100 * (readback - x[i]) / x[i];
                if (!(Math.abs(offPct) <= limit)) {
                    reasons.add(String.format(
                            Locale.ROOT,
                            "standard %s reads back as %.4g, %+.1f %%, allowed %s %% either way",
                            plain(x[i]),
                            readback,
                            offPct,
                            plain(limit)));
                    broken.add(Broken.within("standard " + plain(x[i]) + ", read back", offPct, -limit, limit, "%"));
                }
            }
        }
        return new CalibrationJudgement(reasons, broken);
    }

    /** Judges the calibration of one probe by the method's slope and offset limits; the limits themselves are accepted. */
    public static CalibrationJudgement of(ProbeCalibration probe, ElectrodeMethod method) {
        List<String> reasons = new ArrayList<>();
        List<Broken> broken = new ArrayList<>();
        double slopePct = probe.slopePct();
        if (!(slopePct >= method.slopeMinPct() && slopePct <= method.slopeMaxPct())) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "slope %.2f mV/pH is %.1f %% of the theoretical %.2f, allowed %s to %s %%",
                    probe.slopeMvPerPh(),
                    slopePct,
                    ProbeCalibration.theoreticalSlopeMvPerPh(probe.celsius()),
                    plain(method.slopeMinPct()),
                    plain(method.slopeMaxPct())));
            broken.add(Broken.within("slope", slopePct, method.slopeMinPct(), method.slopeMaxPct(), "%"));
        }
        if (!(Math.abs(probe.offsetMv()) <= method.offsetLimitMv())) {
            reasons.add(String.format(
                    Locale.ROOT,
                    "offset %+.1f mV at pH 7, allowed %s mV either way",
                    probe.offsetMv(),
                    plain(method.offsetLimitMv())));
            broken.add(Broken.within(
                    "offset at pH 7", probe.offsetMv(), -method.offsetLimitMv(), method.offsetLimitMv(), "mV"));
        }
        return new CalibrationJudgement(reasons, broken);
    }

    private static String plain(double number) {
        String text = Double.toString(number);
        return text.endsWith(".0") ? text.substring(0, text.length() - 2) : text;
    }
}
