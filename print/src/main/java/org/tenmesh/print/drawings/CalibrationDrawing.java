package org.tenmesh.print.drawings;

import java.util.List;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Axis;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** A calibration line over its standards, with the residuals in a panel of their own. */
public final class CalibrationDrawing {
    private static final int PIECES = 40;

    private CalibrationDrawing() {}

    /**
     * One standard.
     *
     * @param amount known, in the unit of the amount axis
     * @param signal read, in the unit of the signal axis
     * @param residualPercent found minus known, % of known; empty where known is zero
     * @param verdict fit when it was accepted
     */
    public record Standard(double amount, double signal, OptionalDouble residualPercent, Verdict verdict) {}

    /**
     * A calibration.
     *
     * @param title "K 766.490 on plasma 3"
     * @param amountAxis name and unit, "mg/L"
     * @param signalAxis name and unit, "per second"
     * @param limitPercent accepted residual either way, %; empty when the method sets none
     */
    public record Calibration(
            String title, String amountAxis, String signalAxis, List<Standard> standards, OptionalDouble limitPercent) {
        public Calibration {
            standards = List.copyOf(standards);
        }
    }

    /**
     * A calibration line with its standards, and the residuals beneath.
     *
     * @param curve signal expected at an amount, over the range of the standards
     * @param width 280 px or more; the height is three quarters of it
     */
    public static String of(Calibration calibration, DoubleUnaryOperator curve, int width, Palette palette) {
        double height = Math.round(width * 0.75);
        double left = 62;
        double right = width - 18.0;
        double split = height * 0.66;
        double low = 0;
        double high = 0;
        double down = 0;
        double up = 0;
        boolean first = true;
        for (Standard standard : calibration.standards()) {
            low = first ? standard.amount() : Math.min(low, standard.amount());
            high = first ? standard.amount() : Math.max(high, standard.amount());
            down = first ? standard.signal() : Math.min(down, standard.signal());
            up = first ? standard.signal() : Math.max(up, standard.signal());
            first = false;
        }
        Svg svg = new Svg(palette, "calibration", width, height, calibration.title(), description(calibration));
        Axis across = Axis.round(low, high, left, right, 5);
        Axis rise = Axis.round(down, up, split - 12, 20, 4);

        for (double tick : rise.ticks(4)) {
            svg.path(Svg.across(left, rise.at(tick), right - left), Paint.line(Tone.HAIR, 1));
            svg.words(left - 8, rise.at(tick) + 4, 11, "end", false, Tone.QUIET, Svg.figure(tick, 4));
        }
        svg.words(left, 12, 11, "start", false, Tone.QUIET, calibration.signalAxis());
        StringBuilder line = new StringBuilder();
        for (int piece = 0; piece <= PIECES; piece++) {
            double amount = low + (high - low) * piece / PIECES;
            double signal = curve.applyAsDouble(amount);
            if (Double.isFinite(signal)) {
                double y = Math.max(14, Math.min(split, rise.at(signal)));
                line.append(line.length() == 0 ? "M" : "L")
                        .append(Svg.number(across.at(amount)))
                        .append(' ');
                line.append(Svg.number(y));
            }
        }
        if (line.length() > 0) {
            svg.path(line.toString(), Paint.line(Tone.QUIET, 1.5));
        }
        double limit = calibration.limitPercent().orElse(0);
        double widest = limit;
        for (Standard standard : calibration.standards()) {
            widest = Math.max(widest, Math.abs(standard.residualPercent().orElse(0)));
        }
        widest = widest == 0 ? 1 : widest * 1.25;
        Axis residual = new Axis(-widest, widest, height - 34, split + 16);
        svg.words(left, split + 8, 11, "start", false, Tone.QUIET, "found less known, % of known");
        svg.path(Svg.across(left, residual.at(0), right - left), Paint.line(Tone.WELL, 1));
        svg.words(left - 8, residual.at(0) + 4, 11, "end", false, Tone.QUIET, "0");
        if (calibration.limitPercent().isPresent()) {
            svg.path(
                    Svg.across(left, residual.at(limit), right - left)
                            + Svg.across(left, residual.at(-limit), right - left),
                    Paint.dashed(Tone.QUIET, 0.8, "3 4"));
            svg.words(
                    left - 8, residual.at(limit) + 4, 11, "end", false, Tone.QUIET, "+" + Svg.figure(limit, 3) + " %");
            svg.words(left - 8, residual.at(-limit) + 4, 11, "end", false, Tone.QUIET, Svg.figure(-limit, 3) + " %");
        }
        for (Standard standard : calibration.standards()) {
            boolean fit = standard.verdict() == Verdict.FIT;
            Tone tone = Svg.tone(standard.verdict());
            double x = across.at(standard.amount());
            String title = Svg.figure(standard.amount(), 5) + " " + calibration.amountAxis()
                    + (standard.residualPercent().isPresent()
                            ? ": " + Svg.figure(standard.residualPercent().getAsDouble(), 2) + " % off"
                            : "")
                    + (fit ? "" : ", not accepted");
            String mark =
                    fit ? Svg.triangle(x, rise.at(standard.signal()), 4) : Svg.square(x, rise.at(standard.signal()), 4);
            svg.path(mark, Paint.fill(tone), title);
            if (standard.residualPercent().isPresent()) {
                double y = residual.at(standard.residualPercent().getAsDouble());
                double from = residual.at(0);
                svg.path(Svg.down(x, from, y - from), Paint.line(tone, 1.2));
                svg.path(Svg.shape(standard.verdict(), x, y, 3), Paint.fill(tone), title);
            }
        }
        for (double tick : across.ticks(5)) {
            svg.words(across.at(tick), height - 16, 11, "middle", false, Tone.QUIET, Svg.figure(tick, 4));
        }
        svg.words(right, height - 3, 11, "end", false, Tone.QUIET, calibration.amountAxis());
        return svg.end();
    }

    private static String description(Calibration calibration) {
        double worst = 0;
        int refused = 0;
        for (Standard standard : calibration.standards()) {
            refused += standard.verdict() == Verdict.FIT ? 0 : 1;
            double residual = standard.residualPercent().orElse(0);
            worst = Math.abs(residual) > Math.abs(worst) ? residual : worst;
        }
        return calibration.standards().size() + " standards, largest residual " + Svg.figure(worst, 2) + " %"
                + (refused == 0 ? ", all accepted" : ", " + refused + " not accepted");
    }
}
