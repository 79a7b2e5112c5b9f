package org.tenmesh.print.drawings;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Axis;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** Checks along a run, one row for each line. */
public final class LinesDrawing {
    private static final double ROW = 64;
    private static final double NAME = 64;

    private LinesDrawing() {}

    /**
     * One check of a line.
     *
     * @param percent of the value at the calibration's start, %
     */
    public record Check(int position, double percent, Verdict verdict) {}

    /**
     * One element's checks along a run.
     *
     * @param name of the element or line
     * @param lowPercent lower limit, % of start
     * @param highPercent upper limit, % of start
     * @param word what is to be said of it: "fell 9 %, sensitivity"
     */
    public record Line(
            String name, List<Check> checks, double lowPercent, double highPercent, Verdict verdict, String word) {
        public Line {
            checks = List.copyOf(checks);
        }
    }

    /**
     * Checks along a run, one row for each line, over a common axis of positions.
     *
     * @param title of the whole
     * @param lastPosition right end of the axis, 1 or more
     * @param width 480 px or more
     */
    public static String of(String title, List<Line> lines, int lastPosition, int width, Palette palette) {
        double words = Math.min(200, width * 0.27);
        double left = NAME + 44;
        double right = width - words - 12;
        double height = lines.size() * ROW + 24;
        List<String> said = new ArrayList<>();
        for (Line line : lines) {
            said.add(line.name() + ": " + line.word());
        }
        Svg svg = new Svg(palette, "lines", width, height, title, String.join(". ", said));
        Axis along = new Axis(1, Math.max(2, lastPosition), left, right);
        for (int i = 0; i < lines.size(); i++) {
            row(svg, lines.get(i), i * ROW, along, right + 16);
        }
        double foot = lines.size() * ROW + 4;
        svg.path(Svg.across(left, foot, right - left), Paint.line(Tone.WELL, 1));
        for (double tick : along.ticks(8)) {
            if (tick >= 1) {
                svg.words(along.at(tick), foot + 15, 11, "middle", false, Tone.QUIET, Svg.figure(tick, 6));
            }
        }
        svg.words(right + 24, foot + 15, 11, "start", false, Tone.QUIET, "position");
        return svg.end();
    }

    private static void row(Svg svg, Line line, double top, Axis along, double wordsAt) {
        double low = line.lowPercent();
        double high = line.highPercent();
        for (Check check : line.checks()) {
            low = Math.min(low, check.percent());
            high = Math.max(high, check.percent());
        }
        double room = Math.max(0.5, (high - low) * 0.12);
        Axis up = new Axis(low - room, high + room, top + ROW - 6, top + 4);
        double left = along.from();
        double span = along.to() - along.from();
        svg.words(0, up.at(100) + 5, 14, "start", true, Tone.INK, line.name());
        svg.path(Svg.across(left, up.at(100), span), Paint.line(Tone.WELL, 1));
        svg.path(
                Svg.across(left, up.at(line.lowPercent()), span) + Svg.across(left, up.at(line.highPercent()), span),
                Paint.dashed(Tone.QUIET, 0.8, "3 4"));
        for (double limit : new double[] {line.highPercent(), line.lowPercent()}) {
            svg.words(left - 6, up.at(limit) + 4, 10.5, "end", false, Tone.QUIET, Svg.figure(limit, 4) + " %");
        }
        if (line.checks().size() > 1) {
            StringBuilder path = new StringBuilder();
            for (Check check : line.checks()) {
                path.append(path.length() == 0 ? "M" : "L")
                        .append(Svg.number(along.at(check.position())))
                        .append(' ');
                path.append(Svg.number(up.at(check.percent())));
            }
            svg.path(path.toString(), Paint.line(Tone.WELL, 1.2));
        }
        for (Check check : line.checks()) {
            double x = along.at(check.position());
            double y = up.at(check.percent());
            double radius = check.verdict() == Verdict.FIT ? 3 : 3.6;
            svg.path(
                    Svg.shape(check.verdict(), x, y, radius),
                    Paint.fill(Svg.tone(check.verdict())),
                    "position " + check.position() + ": " + Svg.figure(check.percent(), 4) + " %"
                            + (check.verdict() == Verdict.FIT
                                    ? ""
                                    : ", " + check.verdict().word()));
        }
        boolean fit = line.verdict() == Verdict.FIT;
        double text = wordsAt;
        if (!fit) {
            svg.path(Svg.shape(line.verdict(), wordsAt + 5, up.at(100), 3.8), Paint.fill(Svg.tone(line.verdict())));
            text += 14;
        }
        svg.words(text, up.at(100) + 4.5, 13, "start", !fit, fit ? Tone.QUIET : Svg.tone(line.verdict()), line.word());
    }
}
