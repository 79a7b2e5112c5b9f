package org.tenmesh.web.pictures;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/**
 * What was read along a run or over days: panels one below the other over the same axis.
 *
 * @param title what it shows, read aloud first
 * @param description what is to be seen, in a sentence
 * @param across positions, time or days
 * @param shaded what is touched
 * @param lanes named stretches beneath, such as trays
 */
public record Along(
        String title,
        String description,
        double width,
        Scale across,
        List<Panel> panels,
        List<Shade> shaded,
        List<Lane> lanes) {
    private static final double LEAST_LEFT = 34;
    private static final double LETTER = 7.2;
    private static final double RIGHT = 12;
    private static final double TEXT = 12;
    private static final double NAME = 24;
    private static final double GAP = 10;
    private static final double LANE = 20;
    /** A gap that is as wide holds its word. */
    private static final double GAP_WORD = 28;

    /**
     * One panel.
     *
     * @param name above it; may be empty
     * @param joined whether the marks are joined in their order
     * @param line a line of its own, such as a moving average
     * @param limits lines across, each with its name
     */
    public record Panel(
            String name,
            double height,
            Scale up,
            Optional<Band> allowed,
            List<Mark> marks,
            boolean joined,
            List<Spot> line,
            List<Limit> limits) {
        public Panel {
            marks = List.copyOf(marks);
            line = List.copyOf(line);
            limits = List.copyOf(limits);
        }

        /** A panel without limits that have names. */
        public Panel(
                String name,
                double height,
                Scale up,
                Optional<Band> allowed,
                List<Mark> marks,
                boolean joined,
                List<Spot> line) {
            this(name, height, up, allowed, marks, joined, line, List.of());
        }

        /** A panel without a line of its own. */
        public Panel(String name, double height, Scale up, Optional<Band> allowed, List<Mark> marks, boolean joined) {
            this(name, height, up, allowed, marks, joined, List.of());
        }
    }

    /** A limit across a panel, in the units of its axis upwards, with its name above it where the axis across begins. */
    public record Limit(double at, String name) {}

    /**
     * A place of a line, in the units of both axes.
     *
     * @param apart whether it is not joined with the one before it, because nothing is known between: a gap is shaded there; with a y that is no number
     *     the gap goes on to the end
     */
    public record Spot(double x, double y, boolean apart) {
        /** One that is joined with the one before it. */
        public Spot(double x, double y) {
            this(x, y, false);
        }
    }

    /** What is allowed, between two numbers; open at the end that is empty. */
    public record Band(OptionalDouble low, OptionalDouble high) {}

    /** What a cause touches, from one place to another. */
    public record Shade(double from, double to, Verdict verdict) {}

    /** A named stretch. */
    public record Lane(double from, double to, String name) {}

    public Along {
        panels = List.copyOf(panels);
        shaded = List.copyOf(shaded);
        lanes = List.copyOf(lanes);
    }

    /** As SVG. */
    public String svg() {
        double left = widthOfNumbers();
        double height = lanes.isEmpty() ? 6 : LANE + 6;
        for (Panel panel : panels) {
            height += (panel.name().isEmpty() ? GAP : NAME) + panel.height();
        }
        height += across.label().isEmpty() && across.ticks().isEmpty() ? 4 : 20;
        Svg svg = Svg.ofPoints(Palette.SCREEN, "along", width, height, title, description);
        double top = 0;
        for (Panel panel : panels) {
            top += panel.name().isEmpty() ? GAP : NAME;
            if (!panel.name().isEmpty()) {
                svg.words(left, top - 6, TEXT, "start", false, Tone.QUIET, panel.name());
            }
            draw(svg, left, panel, top);
            top += panel.height();
        }
        ticks(svg, left, top);
        lanes(svg, left, top + 26);
        return svg.end();
    }

    // As wide as the longest number beside an axis.
    private double widthOfNumbers() {
        int longest = panels.stream()
                .flatMap(panel -> panel.up().ticks().stream())
                .mapToInt(tick -> tick.text().length())
                .max()
                .orElse(0);
        return Math.max(LEAST_LEFT, 10 + longest * LETTER);
    }

    private double x(double left, double value) {
        return left + across.share(value) * (width - left - RIGHT);
    }

    private static double y(Panel panel, double top, double value) {
        return top + panel.height() * (1 - panel.up().share(value));
    }

    private void draw(Svg svg, double left, Panel panel, double top) {
        double span = width - left - RIGHT;
        for (Shade one : shaded) {
            double from = x(left, one.from());
            svg.rectangle(
                    from,
                    top,
                    Math.max(2, x(left, one.to()) - from),
                    panel.height(),
                    0,
                    Paint.fill(Svg.ground(one.verdict())));
        }
        gaps(svg, left, panel, top);
        panel.allowed().ifPresent(band -> band(svg, left, panel, top, band));
        double last = Double.POSITIVE_INFINITY;
        for (Scale.Tick tick : panel.up().ticks()) {
            double at = y(panel, top, tick.at());
            if (last - at < TEXT + 2) {
                continue;
            }
            last = at;
            svg.path(Svg.across(left, at, span), Paint.line(Tone.HAIR, 1));
            svg.words(left - 6, at + 4, TEXT, "end", false, Tone.QUIET, tick.text());
        }
        if (panel.joined()) {
            line(
                    svg,
                    left,
                    panel,
                    top,
                    panel.marks().stream()
                            .map(mark -> new Spot(mark.x(), mark.y()))
                            .toList(),
                    Tone.QUIET);
        }
        line(svg, left, panel, top, panel.line(), Tone.ACT);
        for (Limit one : panel.limits()) {
            double at = y(panel, top, one.at());
            svg.path(Svg.across(left, at, span), Paint.dashed(Tone.INK, 1.4, "5 3"));
            svg.words(
                    left + 4, at < top + TEXT + 4 ? at + TEXT + 2 : at - 4, TEXT, "start", true, Tone.INK, one.name());
        }
        for (Mark mark : panel.marks()) {
            if (Double.isFinite(mark.y())) {
                double at = y(panel, top, mark.y());
                mark.draw(svg, x(left, mark.x()), at, at > top + panel.height() * 0.6, width);
            }
        }
    }

    private void band(Svg svg, double left, Panel panel, double top, Band band) {
        double from = y(panel, top, band.high().orElse(panel.up().high()));
        double to = y(panel, top, band.low().orElse(panel.up().low()));
        svg.rectangle(left, from, width - left - RIGHT, Math.max(1, to - from), 0, Paint.fill(Tone.ACT_GROUND));
        StringBuilder edges = new StringBuilder();
        band.high().ifPresent(high -> edges.append(Svg.across(left, from, width - left - RIGHT)));
        band.low().ifPresent(low -> edges.append(Svg.across(left, to, width - left - RIGHT)));
        svg.path(edges.toString(), Paint.line(Tone.ACT, 1));
    }

    private void gaps(Svg svg, double left, Panel panel, double top) {
        for (int i = 1; i < panel.line().size(); i++) {
            if (panel.line().get(i).apart()) {
                double from = x(left, panel.line().get(i - 1).x());
                double wide = x(left, panel.line().get(i).x()) - from;
                svg.rectangle(from, top, wide, panel.height(), 0, Paint.fill(Svg.ground(Verdict.HOLD)));
                if (wide > GAP_WORD) {
                    svg.words(from + wide / 2, top + panel.height() - 8, TEXT, "middle", false, Tone.HOLD, "gap");
                }
            }
        }
    }

    private void line(Svg svg, double left, Panel panel, double top, List<Spot> spots, Tone tone) {
        StringBuilder line = new StringBuilder();
        List<Spot> ordered = new ArrayList<>(spots);
        ordered.removeIf(spot -> !Double.isFinite(spot.y()));
        ordered.sort(Comparator.comparingDouble(Spot::x));
        for (Spot spot : ordered) {
            line.append(line.isEmpty() || spot.apart() ? "M" : "L")
                    .append(Svg.number(x(left, spot.x())))
                    .append(' ')
                    .append(Svg.number(y(panel, top, spot.y())));
        }
        if (ordered.size() > 1) {
            svg.path(line.toString(), Paint.line(tone, 1));
        }
    }

    private void ticks(Svg svg, double left, double bottom) {
        double last = Double.NEGATIVE_INFINITY;
        double end =
                width - RIGHT - (across.label().isEmpty() ? 0 : across.label().length() * 6.2 + 14);
        for (Scale.Tick tick : across.ticks()) {
            double half = tick.text().length() * 3.4;
            double at = Math.max(left - 6 + half, Math.min(width - half - 2, x(left, tick.at())));
            if (at - half < last + 8 || at + half > end && !across.label().isEmpty()) {
                continue;
            }
            last = at + half;
            svg.path(Svg.down(x(left, tick.at()), bottom, 4), Paint.line(Tone.QUIET, 1));
            svg.words(at, bottom + 16, TEXT, "middle", false, Tone.QUIET, tick.text());
        }
        if (!across.label().isEmpty()) {
            svg.words(width - RIGHT, bottom + 16, TEXT, "end", false, Tone.QUIET, across.label());
        }
    }

    private void lanes(Svg svg, double left, double top) {
        double last = Double.NEGATIVE_INFINITY;
        for (Lane lane : lanes) {
            double from = x(left, lane.from());
            double to = Math.max(from + 2, x(left, lane.to()) - 1);
            svg.path(Svg.across(from, top, to - from), Paint.line(Tone.WELL, 3));
            if (from > last + 6 && from + lane.name().length() * LETTER < width) {
                svg.words(from, top + 14, TEXT, "start", false, Tone.QUIET, lane.name());
                last = from + lane.name().length() * 7;
            }
        }
    }
}
