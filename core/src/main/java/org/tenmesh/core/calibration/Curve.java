package org.tenmesh.core.calibration;

import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;

/**
 * A fitted calibration: {@code signal = a + b x + c x^2}, with {@code c = 0} for a straight line, x in the unit of the
 * standards (mg/L of solution for plasma emission).
 *
 * <p>Reading back a signal and its standard error allocates nothing.
 *
 * @param shape straight line or quadratic
 * @param weighting of the standards
 * @param a signal at x = 0
 * @param b signal per unit of x, at x = 0
 * @param c signal per squared unit of x; 0 for a line
 * @param centred the coefficients' covariance about {@code centre}
 * @param centre weighted mean x of the standards, about which {@code centred} is stated
 * @param residualSd residual standard deviation of a signal of weight 1, n - 2 (line) or n - 3 (quadratic) degrees of
 *     freedom
 * @param n points fitted
 * @param correlation coefficient of correlation r, weighted as the fit; for the quadratic the square root of the
 *     explained share with the sign of the slope
 * @param relativeStandardErrorPct {@code 100 sqrt(sum ((x' - x) / x)^2 / (m - p))} over the m standards above zero,
 *     p = 2 (line) or 3 (quadratic) (US EPA SW-846 method 8000D, section 11.5.4.2: symbols read, the printed
 *     equation is a picture, its form from memory); NaN when m is not above p
 * @param lowest smallest standard, may be 0
 * @param lowestAboveZero smallest standard above zero
 * @param highest largest standard: the top of the calibrated range
 */
public record Curve(
        Shape shape,
        Weighting weighting,
        double a,
        double b,
        double c,
        Covariance centred,
        double centre,
        double residualSd,
        int n,
        double correlation,
        double relativeStandardErrorPct,
        double lowest,
        double lowestAboveZero,
        double highest) {

    /**
     * Covariance of three coefficients of 1, t and t^2; the t^2 terms are 0 for a line.
     *
     * @param aa variance of the constant
     * @param ab covariance of constant and slope
     * @param ac covariance of constant and quadratic coefficient
     * @param bb variance of the slope
     * @param bc covariance of slope and quadratic coefficient
     * @param cc variance of the quadratic coefficient
     */
    public record Covariance(double aa, double ab, double ac, double bb, double bc, double cc) {
        /** Variance of the fitted value at t. */
        double of(double t) {
            double t2 = t * t;
            return aa + 2 * ab * t + (bb + 2 * ac) * t2 + 2 * bc * t * t2 + cc * t2 * t2;
        }
    }

    /** Signal of a solution of this x. */
    public double signalAt(double concentration) {
        return a + concentration * (b + c * concentration);
    }

    /** Signal per unit of x at this x. */
    public double slopeAt(double concentration) {
        return b + 2 * c * concentration;
    }

    /**
     * The x that gives this signal. A quadratic has two: the one on the branch through the calibrated range is taken, also
     * a little beyond the range's ends ({@code x = (-b + sqrt(b^2 - 4 c (a - signal))) / (2 c)}, the sign of the root that
     * of the slope in the middle of the range). Whether the answer lies inside the range is the caller's to ask of
     * {@link #highest()}.
     *
     * @return NaN when the curve never reaches the signal: beyond the quadratic's turning point, or on a flat line
     */
    public double concentration(double signal) {
        return inverse(a, b, c, slopeAt((lowest + highest) / 2), signal);
    }

    static double inverse(double a, double b, double c, double middleSlope, double signal) {
        if (c == 0) {
            return b == 0 ? Double.NaN : (signal - a) / b;
        }
        double d = b * b - 4 * c * (a - signal);
        if (!(d >= 0)) {
            return Double.NaN;
        }
        double root = Math.copySign(Math.sqrt(d), middleSlope);
        // Of the two equal forms of the root the one that does not subtract near-equal numbers.
        return b * root > 0 ? 2 * (signal - a) / (b + root) : (root - b) / (2 * c);
    }

    /**
     * Standard error of {@link #concentration(double)}, for the mean of some readings of the same solution:
     * {@code SD(x0) = (1/|slope at x0|) sqrt(s^2/(w m) + variance of the curve at x0)}. For a line this is
     * {@code (s/|b|) sqrt(1/(w m) + 1/W + (y0 - yw)^2 / (b^2 Sxx))} (Massart et al., Handbook of Chemometrics and
     * Qualimetrics A, 1997, equations 8.26 and 8.28).
     *
     * @param signal mean signal
     * @param readings how many readings the mean is of, 1 or more
     * @param signalWeight weight w of one reading on the scale of the fit, from {@link #weightAt(double)}; 1 when unweighted
     * @return in the unit of x; NaN where the concentration is
     */
    public double concentrationSe(double signal, int readings, double signalWeight) {
        double x = concentration(signal);
        double variance = residualSd * residualSd / (signalWeight * readings) + centred.of(x - centre);
        return Math.sqrt(variance) / Math.abs(slopeAt(x));
    }

    /**
     * Weight of a reading of a solution of this x, on the scale of the fit: 1, 1/x or 1/x^2; below the lowest standard
     * above zero the weight of that standard.
     */
    public double weightAt(double concentration) {
        return weight(weighting, concentration, lowestAboveZero);
    }

    /** Standard error of a, the signal at x = 0. */
    public double seOfA() {
        return Math.sqrt(centred.of(-centre));
    }

    /** Standard error of b, the slope at x = 0. */
    public double seOfB() {
        return Math.sqrt(centred.bb() - 4 * centre * centred.bc() + 4 * centre * centre * centred.cc());
    }

    /** Standard error of c; 0 for a line. */
    public double seOfC() {
        return Math.sqrt(centred.cc());
    }

    /** Covariance of a, b and c as they stand in the curve. */
    public Covariance covariance() {
        double m = centre;
        double ab = centred.ab()
                - m * centred.bb()
                + m * m * centred.bc()
                - 2 * m * (centred.ac() - m * centred.bc() + m * m * centred.cc());
        double ac = centred.ac() - m * centred.bc() + m * m * centred.cc();
        double bb = centred.bb() - 4 * m * centred.bc() + 4 * m * m * centred.cc();
        double bc = centred.bc() - 2 * m * centred.cc();
        return new Covariance(centred.of(-m), ab, ac, bb, bc, centred.cc());
    }

    /**
     * Mandel's test of linearity, asked of the line: what the quadratic through the same points gains,
     * {@code ((n - 2) s1^2 - (n - 3) s2^2) / s2^2} (ISO 8466-1; from memory). Above F(0.99; 1, n - 3) the line does not do.
     *
     * @param quadratic fitted to the same points with the same weights
     * @throws IllegalArgumentException if this is no line, the other no quadratic, or they have different points
     */
    public double gainOf(Curve quadratic) {
        if (shape != Shape.LINE || quadratic.shape != Shape.QUADRATIC || n != quadratic.n) {
            throw new IllegalArgumentException(
                    "linearity is asked of a line and a quadratic through the same points, found " + shape + " of " + n
                            + " and " + quadratic.shape + " of " + quadratic.n);
        }
        double s1 = residualSd;
        double s2 = quadratic.residualSd;
        return ((n - 2) * s1 * s1 - (n - 3) * s2 * s2) / (s2 * s2);
    }

    /** Degrees of freedom of the residuals. */
    public int residualDegrees() {
        return n - (shape == Shape.LINE ? 2 : 3);
    }

    static double weight(Weighting weighting, double x, double lowestAboveZero) {
        double at = Math.max(x, lowestAboveZero);
        return switch (weighting) {
            case NONE -> 1;
            case ONE_OVER_X -> 1 / at;
            case ONE_OVER_X_SQUARED -> 1 / (at * at);
        };
    }
}
