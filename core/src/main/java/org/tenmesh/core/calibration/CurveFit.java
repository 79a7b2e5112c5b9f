package org.tenmesh.core.calibration;

import java.util.Arrays;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
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
     *     or 3, or a value that is negative or not a number
     */
    public static Curve fit(double[] x, double[] signal, Shape shape, Weighting weighting) {
        require(x, signal, shape);
        double lowestAboveZero = lowestAboveZero(x);
        double[] weights = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            weights[i] = Curve.weight(weighting, x[i], lowestAboveZero);
        }
        return fit(x, signal, weights, shape, weighting);
    }

    // With weights of the caller's own, as a published example may have them.
    static Curve fit(double[] x, double[] signal, double[] w, Shape shape, Weighting weighting) {
        require(x, signal, shape);
        int n = x.length;
        double sumW = 0;
        double sumWx = 0;
        double sumWy = 0;
        for (int i = 0; i < n; i++) {
            sumW += w[i];
            sumWx += w[i] * x[i];
            sumWy += w[i] * signal[i];
        }
        double centre = sumWx / sumW;
        double meanSignal = sumWy / sumW;
        double lowest = Arrays.stream(x).min().orElseThrow();
        double highest = Arrays.stream(x).max().orElseThrow();
        Fitted fitted = shape == Shape.LINE
                ? line(x, signal, w, sumW, centre, meanSignal)
                : quadratic(x, signal, w, centre, (highest - lowest) / 2);

        double sse = 0;
        double sst = 0;
        for (int i = 0; i < n; i++) {
            double rest = signal[i] - fitted.a - x[i] * (fitted.b + fitted.c * x[i]);
            sse += w[i] * rest * rest;
            sst += w[i] * (signal[i] - meanSignal) * (signal[i] - meanSignal);
        }
        double explained = sst == 0 ? 0 : Math.sqrt(Math.max(0, 1 - sse / sst));
        double middleSlope = fitted.b + fitted.c * (lowest + highest);
        return new Curve(
                shape,
                weighting,
                fitted.a,
                fitted.b,
                fitted.c,
                fitted.centred,
                centre,
                Math.sqrt(sse / (n - parameters(shape))),
                n,
                Math.copySign(explained, middleSlope),
                relativeStandardErrorPct(fitted, middleSlope, x, signal, parameters(shape)),
                lowest,
                lowestAboveZero(x),
                highest);
    }

    private static void require(double[] x, double[] signal, Shape shape) {
        String curve = shape == Shape.LINE ? "a straight line" : "a quadratic";
        int p = parameters(shape);
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

    private static Fitted line(double[] x, double[] y, double[] w, double sumW, double centre, double meanSignal) {
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < x.length; i++) {
            sxx += w[i] * (x[i] - centre) * (x[i] - centre);
            sxy += w[i] * (x[i] - centre) * (y[i] - meanSignal);
        }
        double b = sxy / sxx;
        double sse = 0;
        for (int i = 0; i < x.length; i++) {
            double rest = y[i] - meanSignal - b * (x[i] - centre);
            sse += w[i] * rest * rest;
        }
        double variance = sse / (x.length - 2);
        return new Fitted(
                meanSignal - b * centre, b, 0, new Curve.Covariance(variance / sumW, 0, 0, variance / sxx, 0, 0));
    }

    private static Fitted quadratic(double[] x, double[] y, double[] w, double centre, double half) {
        double[][] rows = new double[x.length][];
        for (int i = 0; i < x.length; i++) {
            double t = (x[i] - centre) / half;
            rows[i] = new double[] {1, t, t * t};
        }
        LeastSquares fit = LeastSquares.fit(rows, y, w, true);
        double slope = fit.coefficient(1) / half;
        double half2 = half * half;
        double c = fit.coefficient(2) / half2;
        return new Fitted(
                fit.coefficient(0) - centre * (slope - c * centre),
                slope - 2 * c * centre,
                c,
                new Curve.Covariance(
                        fit.covariance(0, 0),
                        fit.covariance(0, 1) / half,
                        fit.covariance(0, 2) / half2,
                        fit.covariance(1, 1) / half2,
                        fit.covariance(1, 2) / (half2 * half),
                        fit.covariance(2, 2) / (half2 * half2)));
    }

    private static double relativeStandardErrorPct(
            Fitted fitted, double middleSlope, double[] x, double[] signal, int parameters) {
        double squares = 0;
        int above = 0;
        for (int i = 0; i < x.length; i++) {
            if (x[i] > 0) {
                double readback = Curve.inverse(fitted.a, fitted.b, fitted.c, middleSlope, signal[i]);
                double off = (readback - x[i]) / x[i];
                squares += off * off;
                above++;
            }
        }
        return above > parameters ? 100 * Math.sqrt(squares / (above - parameters)) : Double.NaN;
    }

    private static double lowestAboveZero(double[] x) {
        return Arrays.stream(x).filter(value -> value > 0).min().orElseThrow();
    }

    private static int parameters(Shape shape) {
        return shape == Shape.LINE ? 2 : 3;
    }

    private record Fitted(double a, double b, double c, Curve.Covariance centred) {}
}
