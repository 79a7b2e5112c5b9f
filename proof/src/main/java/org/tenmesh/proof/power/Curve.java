package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * A picture of shares along a size, as SVG: one accent, distinguished by dashes and words and not by colour alone.
 *
 * @param title what is seen
 * @param below what the horizontal axis counts
 * @param logarithmic whether it is one of powers of ten
 * @param lines at the most three
 */
record Curve(String title, String below, boolean logarithmic, List<Line> lines) {
    private static final int WIDTH = 640;
    private static final int HEIGHT = 320;
    private static final int LEFT = 56;
    private static final int RIGHT = 448;
    private static final int TOP = 48;
    private static final int BOTTOM = 264;
    private static final String INK = "#1c2321";
    private static final String QUIET = "#5d6863";
    private static final String HAIR = "#dde2dc";
    private static final String ACT = "#0a5c63";
    private static final int NEAREST_WORDS = 18;
    private static final double TICK_GAP = 12;
    private static final double LETTER = 7.2;

    /**
     * @param words beside its end
     * @param style 0 = plain with points and intervals, 1 = dashed, 2 = dotted and quiet
     * @param low lower ends of the intervals; as long as {@code share}, or empty
     */
    record Line(String words, int style, double[] at, double[] share, double[] low, double[] high) {}

    String svg() {
        StringBuilder svg = new StringBuilder(4096);
        svg.append(String.format(
                Locale.ROOT,
                "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"%d\" height=\"%d\" viewBox=\"0 0 %d %d\" "
                        + "font-family=\"'Noto Sans', 'Segoe UI', system-ui, sans-serif\" font-size=\"13\" "
                        + "style=\"font-variant-numeric: tabular-nums\"><title>%s</title>%n",
                WIDTH,
                HEIGHT,
                WIDTH,
                HEIGHT,
                escaped(title)));
        svg.append(String.format(Locale.ROOT, "<rect width=\"%d\" height=\"%d\" fill=\"#fbfbf8\"/>%n", WIDTH, HEIGHT));
        text(svg, 16, 26, "start", INK, 15, title);
        for (int pct = 0; pct <= 100; pct += 25) {
            double y = y(pct / 100.0);
            svg.append(String.format(
                    Locale.ROOT, "<path d=\"M%d %.1fH%d\" stroke=\"%s\" fill=\"none\"/>%n", LEFT, y, RIGHT, HAIR));
            text(svg, LEFT - 8, y + 4, "end", QUIET, 13, pct + " %");
        }
        List<Double> ticks = ticks();
        for (double at : ticks) {
            svg.append(String.format(
                    Locale.ROOT, "<path d=\"M%.1f %dv5\" stroke=\"%s\" fill=\"none\"/>%n", x(at), BOTTOM, QUIET));
            text(svg, x(at), BOTTOM + 20, "middle", QUIET, 13, label(at));
        }
        text(svg, (LEFT + RIGHT) / 2.0, BOTTOM + 44, "middle", INK, 13, below);
        List<Double> taken = new ArrayList<>();
        for (Line line : lines) {
            draw(svg, line, taken);
        }
        return svg.append("</svg>\n").toString();
    }

    private void draw(StringBuilder svg, Line line, List<Double> taken) {
        StringBuilder path = new StringBuilder();
        for (int i = 0; i < line.at().length; i++) {
            path.append(
                    String.format(Locale.ROOT, "%s%.1f %.1f", i == 0 ? "M" : "L", x(line.at()[i]), y(line.share()[i])));
        }
        String colour = line.style() == 2 ? QUIET : ACT;
        String dash = line.style() == 0
                ? ""
                : line.style() == 1 ? " stroke-dasharray=\"7 5\"" : " stroke-dasharray=\"1.5 4\"";
        svg.append(String.format(
                Locale.ROOT,
                "<path d=\"%s\" stroke=\"%s\" stroke-width=\"2\" fill=\"none\"%s/>%n",
                path,
                colour,
                dash));
        for (int i = 0; i < line.at().length; i++) {
            if (line.low().length > 0) {
                svg.append(String.format(
                        Locale.ROOT,
                        "<path d=\"M%.1f %.1fV%.1f\" stroke=\"%s\" fill=\"none\"/>%n",
                        x(line.at()[i]),
                        y(line.low()[i]),
                        y(line.high()[i]),
                        colour));
            }
            if (line.style() == 0) {
                svg.append(String.format(
                        Locale.ROOT,
                        "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3.5\" fill=\"%s\"/>%n",
                        x(line.at()[i]),
                        y(line.share()[i]),
                        colour));
            }
        }
        double wish = y(line.share()[line.share().length - 1]) + 4;
        double words = wish;
        for (int step = 0; taken(taken, words) && step < 2 * lines.size(); step++) {
            words += NEAREST_WORDS;
        }
        taken.add(words);
        svg.append(String.format(
                Locale.ROOT,
                "<path d=\"M%d %.1fh20\" stroke=\"%s\" stroke-width=\"2\" fill=\"none\"%s/>%n",
                RIGHT + 8,
                words - 4,
                colour,
                dash));
        text(svg, RIGHT + 34, words, "start", INK, 13, line.words());
    }

    private static boolean taken(List<Double> taken, double y) {
        return taken.stream().anyMatch(other -> Math.abs(other - y) < NEAREST_WORDS);
    }

    /** Every point whose words do not run into the words before. */
    private List<Double> ticks() {
        List<Double> ticks = new ArrayList<>();
        double end = Double.NEGATIVE_INFINITY;
        for (double at : lines.get(0).at()) {
            double half = LETTER * label(at).length() / 2;
            if (x(at) - half >= end + TICK_GAP) {
                ticks.add(at);
                end = x(at) + half;
            }
        }
        return ticks;
    }

    private String label(double at) {
        return logarithmic ? "1 in " + String.format(Locale.ROOT, "%,d", Math.round(1 / at)) : Row.plain(at);
    }

    private double x(double at) {
        double[] all = lines.get(0).at();
        double from = scaled(all[0]);
        double to = scaled(all[all.length - 1]);
        return all.length == 1
                ? (LEFT + RIGHT) / 2.0
                : LEFT + 12 + (RIGHT - LEFT - 24) * (scaled(at) - from) / (to - from);
    }

    private double scaled(double at) {
        return logarithmic ? Math.log10(at) : at;
    }

    private static double y(double share) {
        return BOTTOM - (BOTTOM - TOP) * share;
    }

    private static void text(
            StringBuilder svg, double x, double y, String anchor, String colour, int size, String words) {
        svg.append(String.format(
                Locale.ROOT,
                "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\" fill=\"%s\" font-size=\"%d\">%s</text>%n",
                x,
                y,
                anchor,
                colour,
                size,
                escaped(words)));
    }

    private static String escaped(String text) {
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;");
    }
}
