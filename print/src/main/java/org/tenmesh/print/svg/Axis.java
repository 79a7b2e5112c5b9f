package org.tenmesh.print.svg;

import java.util.ArrayList;
import java.util.List;

/** A straight axis with round ticks. */
public record Axis(double low, double high, double from, double to) {
    /** An axis over the values, widened to round ends. */
    public static Axis round(double low, double high, double from, double to, int ticks) {
        double span = high > low ? high - low : Math.max(1, Math.abs(high));
        double step = step(span, ticks);
        return new Axis(Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step, from, to);
    }

    public double at(double value) {
        return high == low ? from : from + (value - low) / (high - low) * (to - from);
    }

    public List<Double> ticks(int about) {
        List<Double> ticks = new ArrayList<>();
        double step = step(high - low, about);
        for (long i = Math.round(Math.ceil(low / step - 1e-9)); i * step <= high + step * 1e-6; i++) {
            ticks.add(i * step);
        }
        return ticks;
    }

    private static double step(double span, int ticks) {
        double rough = span <= 0 ? 1 : span / Math.max(1, ticks);
        double power = Math.pow(10, Math.floor(Math.log10(rough)));
        double lead = rough / power;
        return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
    }
}
