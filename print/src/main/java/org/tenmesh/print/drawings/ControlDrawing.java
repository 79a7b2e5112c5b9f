package org.tenmesh.print.drawings;

import java.util.List;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Axis;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** A control chart, in standard deviations of its points. */
public final class ControlDrawing {
    private static final double HEIGHT = 104;
    private static final double LEFT = 30;
    private static final double RIGHT = 8;
    /** What lies farther out is drawn at the edge; where a pointer rests it says its number. */
    private static final double FARTHEST = 4.6;

    private ControlDrawing() {}

    /**
     * One point of a control chart.
     *
     * @param z distance from the centre, in standard deviations of the point
     * @param average weighted moving average up to it, in the same unit; NaN where there is none
     * @param verdict fit when no rule is broken, hold when one is, redo when the control failed on its day
     * @param says what is shown where a pointer rests
     * @param href where it leads; empty text for nowhere
     */
    public record ControlPoint(double z, double average, Verdict verdict, String says, String href) {}

    /**
     * One control chart: points in the order of time, the centre, two and three standard deviations, the moving average as a line.
     *
     * @param title what it is a chart of
     * @param width 240 px or more; the height stays
     */
    public static String of(String title, List<ControlPoint> points, int width, Palette palette) {
        Svg svg = new Svg(palette, "control", width, HEIGHT, title, description(points));
        Axis up = new Axis(-5, 5, HEIGHT - 4, 4);
        double span = width - LEFT - RIGHT;
        svg.path(Svg.across(LEFT, up.at(0), span), Paint.line(Tone.WELL, 1));
        svg.path(
                Svg.across(LEFT, up.at(2), span) + Svg.across(LEFT, up.at(-2), span),
                Paint.dashed(Tone.WELL, 0.8, "2 4"));
        svg.path(
                Svg.across(LEFT, up.at(3), span) + Svg.across(LEFT, up.at(-3), span),
                Paint.dashed(Tone.QUIET, 0.8, "5 3"));
        for (int limit : new int[] {3, 0, -3}) {
            String word = limit == 0 ? "0" : (limit < 0 ? "\u2212" : "+") + Math.abs(limit) + "s";
            svg.words(LEFT - 5, up.at(limit) + 4, 11, "end", false, Tone.QUIET, word);
        }
        Axis along = new Axis(0, Math.max(1, points.size() - 1), LEFT + 6, width - RIGHT - 6);
        StringBuilder average = new StringBuilder();
        for (int i = 0; i < points.size(); i++) {
            double value = points.get(i).average();
            if (Double.isFinite(value)) {
                average.append(average.length() == 0 ? "M" : "L")
                        .append(Svg.number(at(along, i, points.size())))
                        .append(' ')
                        .append(Svg.number(up.at(inside(value))));
            }
        }
        if (points.size() > 1 && average.length() > 0) {
            svg.path(average.toString(), Paint.line(Tone.QUIET, 1.2));
        }
        for (int i = 0; i < points.size(); i++) {
            ControlPoint point = points.get(i);
            if (!Double.isFinite(point.z())) {
                continue;
            }
            String shape = Svg.shape(
                    point.verdict(),
                    at(along, i, points.size()),
                    up.at(inside(point.z())),
                    point.verdict() == Verdict.FIT ? 2.3 : 3.4);
            Paint paint = Paint.fill(Svg.tone(point.verdict()));
            if (point.href().isEmpty()) {
                svg.path(shape, paint, point.says());
            } else {
                svg.link(point.href(), shape, paint, point.says());
            }
        }
        return svg.end();
    }

    private static double at(Axis along, int i, int points) {
        return points == 1 ? (along.from() + along.to()) / 2 : along.at(i);
    }

    private static double inside(double z) {
        return Math.max(-FARTHEST, Math.min(FARTHEST, z));
    }

    private static String description(List<ControlPoint> points) {
        long broken =
                points.stream().filter(point -> point.verdict() == Verdict.HOLD).count();
        long failed =
                points.stream().filter(point -> point.verdict() == Verdict.REDO).count();
        return points.size() + (points.size() == 1 ? " run" : " runs") + ", " + broken + " that break a rule, " + failed
                + " that failed on their day."
                + (points.isEmpty()
                        ? ""
                        : " The last: " + points.get(points.size() - 1).says() + ".");
    }
}
