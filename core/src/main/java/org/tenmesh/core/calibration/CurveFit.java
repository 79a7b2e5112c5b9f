package org.tenmesh.core.calibration;

import java.util.Arrays;
import org.tenmesh.core.methods.EmissionMethod.Shape;
import org.tenmesh.core.methods.EmissionMethod.Weighting;
import org.tenmesh.core.statistics.LeastSquares;

/**
 * Fits a calibration through standards.
 *
 * <p>Line, with weights w, {@code W = sum w}, weighted means xw and yw, {@code Sxx = sum w (x - xw)^2}:
 * {@code b = sum w (x - xw)(y - yw) / Sxx}, {@code a = yw - b xw}, {@code s = sqrt(sum w r^2 / (n - 2))},
 * {@code SD(b) = s / sqrt(Sxx)}, {@code SD(a) = s sqrt(1/W + xw^2/Sxx)} (Massart et al., Handbook of Chemometrics and
 * Qualimetrics A, 1997, chapter 8). The quadratic is fitted by Householder reflections about the mean, in half ranges.
 */
public final class CurveFit {
    private CurveFit() {}

    /**
     * Fits the curve. Points may repeat a standard.
     *
     * @param x value of each standard, 0 or more, finite
     * @param signal its signal, same order, finite
     * @throws NoCurveException if there are fewer points than 3 (line) or 4 (quadratic), fewer different standards than 2
     *     or 3, no standard above zero, or a value that is negative or not a number
     */
    public static Curve fit(double[] x, double[] signal, Shape shape, Weighting weighting) {
        int n = x.length;
        int p = shape == Shape.LINE ? 2 : 3;
        require(x, signal, p, shape);
        double lowest = x[0];
        double highest = x[0];
        double lowestAboveZero = Double.POSITIVE_INFINITY;
        for (double value : x) {
            lowest = Math.min(lowest, value);
            highest = Math.max(highest, value);
            lowestAboveZero = value > 0 ? Math.min(lowestAboveZero, value) : lowestAboveZero;
        }

        double[] w = new double[n];
        double sumW = 0;
        double sumWx = 0;
        double sumWy = 0;
        for (int i = 0; i < n; i++) {
            w[i] = Curve.weight(weighting, x[i], lowestAboveZero);
            sumW += w[i];
            sumWx += w[i] * x[i];
            sumWy += w[i] * signal[i];
        }
        double xw = sumWx / sumW;
        double yw = sumWy / sumW;
        Curve bare = shape == Shape.LINE
                ? line(x, signal, w, sumW, xw, yw)
                : quadratic(x, signal, w, xw, (highest - lowest) / 2);

        double sse = 0;
        double sst = 0;
        for (int i = 0; i < n; i++) {
            double r = signal[i] - bare.signalAt(x[i]);
            sse += w[i] * r * r;
            sst += w[i] * (signal[i] - yw) * (signal[i] - yw);
        }
        double explained = sst == 0 ? 0 : Math.sqrt(Math.max(0, 1 - sse / sst));
        Curve ranged = new Curve(
                shape,
                weighting,
                bare.a(),
                bare.b(),
                bare.c(),
                bare.centred(),
                xw,
                bare.residualSd(),
                n,
                Math.copySign(explained, bare.slopeAt((lowest + highest) / 2)),
                Double.NaN,
                lowest,
                lowestAboveZero,
                highest);
        return withRelativeStandardError(ranged, x, signal, p);
    }

    private static void require(double[] x, double[] signal, int p, Shape shape) {
        String curve = shape == Shape.LINE ? "a straight line" : "a quadratic";
        if (x.length != signal.length) {
            throw new NoCurveException(
                    x.length + " standards but " + signal.length + " signals: expected one for each");
        }
        if (x.length < p + 1) {
            throw new NoCurveException(
                    curve + " with a residual needs " + (p + 1) + " points or more, found " + x.length);
        }
        for (int i = 0; i < x.length; i++) {
            if (!(x[i] >= 0) || !Double.isFinite(x[i]) || !Double.isFinite(signal[i])) {
                throw new NoCurveException("standard " + x[i] + " with signal " + signal[i]
                        + ": expected a value of 0 or more and a finite signal");
            }
        }
        long different = Arrays.stream(x).distinct().count();
        if (different < p) {
            throw new NoCurveException(curve + " needs " + p + " different standards or more, found " + different);
        }
    }

    private static Curve line(double[] x, double[] y, double[] w, double sumW, double xw, double yw) {
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < x.length; i++) {
            sxx += w[i] * (x[i] - xw) * (x[i] - xw);
            sxy += w[i] * (x[i] - xw) * (y[i] - yw);
        }
        double b = sxy / sxx;
        double sse = 0;
        for (int i = 0; i < x.length; i++) {
            double r = y[i] - yw - b * (x[i] - xw);
            sse += w[i] * r * r;
        }
        double variance = sse / (x.length - 2);
        Curve.Covariance centred = new Curve.Covariance(variance / sumW, 0, 0, variance / sxx, 0, 0);
        return bare(Shape.LINE, yw - b * xw, b, 0, centred, xw, Math.sqrt(variance));
    }

    private static Curve quadratic(double[] x, double[] y, double[] w, double xw, double half) {
        double[][] rows = new double[x.length][];
        for (int i = 0; i < x.length; i++) {
            double t = (x[i] - xw) / half;
            rows[i] = new double[] {1, t, t * t};
        }
        LeastSquares fit = LeastSquares.fit(rows, y, w, true);
        double slope = fit.coefficient(1) / half;
        double c = fit.coefficient(2) / (half * half);
        Curve.Covariance centred = new Curve.Covariance(
                fit.covariance(0, 0),
                fit.covariance(0, 1) / half,
                fit.covariance(0, 2) / (half * half),
                fit.covariance(1, 1) / (half * half),
                fit.covariance(1, 2) / (half * half * half),
                fit.covariance(2, 2) / (half * half * half * half));
        return bare(
                Shape.QUADRATIC,
                fit.coefficient(0) - xw * (slope - c * xw),
                slope - 2 * c * xw,
                c,
                centred,
                xw,
                fit.residualSd());
    }

    private static Curve bare(
            Shape shape, double a, double b, double c, Curve.Covariance centred, double centre, double residualSd) {
        return new Curve(shape, Weighting.NONE, a, b, c, centred, centre, residualSd, 0, 0, 0, 0, 0, 0);
    }

    private static Curve withRelativeStandardError(Curve curve, double[] x, double[] signal, int p) {
        double squares = 0;
        int above = 0;
        for (int i = 0; i < x.length; i++) {
            if (x[i] > 0) {
                double off = (curve.concentration(signal[i]) - x[i]) / x[i];
                squares += off * off;
                above++;
            }
        }
        double rse = above > p ? 100 * Math.sqrt(squares / (above - p)) : Double.NaN;
        return new Curve(
                curve.shape(),
                curve.weighting(),
                curve.a(),
                curve.b(),
                curve.c(),
                curve.centred(),
                curve.centre(),
                curve.residualSd(),
                curve.n(),
                curve.correlation(),
                rse,
                curve.lowest(),
                curve.lowestAboveZero(),
                curve.highest());
    }
}
