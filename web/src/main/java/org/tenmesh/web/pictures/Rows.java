package org.tenmesh.web.pictures;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/**
 * Named rows over one axis: each with what was found, its interval where there is one, and what is allowed.
 *
 * @param zero whether the axis has a line at 0
 * @param allowed of every row alike; empty where each has its own
 */
public record Rows(
        String title,
        String description,
        double width,
        Scale across,
        boolean zero,
        Optional<Along.Band> allowed,
        List<Row> rows) {
    private static final double ROW = 24;
    private static final double TEXT = 12;
    private static final double WIDEST_NAME = 190;
    private static final double LETTER = 7.6;

    /**
     * One row.
     *
     * @param name at its left
     * @param low lower end of the interval of what was found
     * @param high its upper end
     * @param rungs other places of this row, such as what a dilution would read
     * @param allowed of this row alone
     */
    public record Row(
            String name,
            Mark mark,
            OptionalDouble low,
            OptionalDouble high,
            List<Rung> rungs,
            Optional<Along.Band> allowed) {
        public Row {
            rungs = List.copyOf(rungs);
        }

        /** A row without interval and rungs. */
        public Row(String name, Mark mark) {
            this(name, mark, OptionalDouble.empty(), OptionalDouble.empty(), List.of(), Optional.empty());
        }
    }

    /** Another place of a row. */
    public record Rung(double at, String said, String title, boolean good) {}

    public Rows {
        rows = List.copyOf(rows);
    }

    /** As SVG. */
    public String svg() {
        double left = Math.min(
                        WIDEST_NAME,
                        rows.stream()
                                .mapToDouble(row -> row.name().length() * LETTER)
                                .max()
                                .orElse(0))
                + 10;
        double right = width - 14;
        double height = 8 + rows.size() * ROW + 22;
        Svg svg = Svg.ofPoints(Palette.SCREEN, "rows", width, height, title, description);
        double bottom = 8 + rows.size() * ROW;
        allowed.ifPresent(band -> band(svg, band, left, right, 4, bottom));
        ticks(svg, left, right, bottom);
        if (zero && across.holds(0)) {
            svg.path(Svg.down(at(0, left, right), 4, bottom - 4), Paint.line(Tone.QUIET, 1));
        }
        double y = 8 + ROW / 2;
        for (Row row : rows) {
            double middle = y;
            row.allowed().ifPresent(band -> band(svg, band, left, right, middle - 8, middle + 8));
            Tone tone = row.mark().verdict() == Verdict.FIT
                    ? Tone.INK
                    : Svg.tone(row.mark().verdict());
            svg.words(left - 8, y + 4, TEXT, "end", row.mark().verdict() != Verdict.FIT, tone, row.name());
            if (row.low().isPresent() && row.high().isPresent()) {
                double from = at(row.low().getAsDouble(), left, right);
                svg.path(Svg.across(from, y, at(row.high().getAsDouble(), left, right) - from), Paint.line(tone, 1.6));
            }
            double last = at(row.mark().x(), left, right);
            for (Rung rung : row.rungs()) {
                double x = at(rung.at(), left, right);
                svg.path(Svg.across(Math.min(x, last), y, Math.abs(last - x)), Paint.dashed(Tone.QUIET, 1, "2 3"));
                svg.point(
                        "",
                        Svg.dot(x, y, 3),
                        new Paint(Tone.RAISED, Tone.INK, 1.2, "", false),
                        rung.title(),
                        rung.at(),
                        0);
                if (rung.good()) {
                    svg.words(x, y - 6, TEXT, "middle", true, Tone.INK, rung.said());
                }
                last = x;
            }
            row.mark().draw(svg, at(row.mark().x(), left, right), y, false, width);
            y += ROW;
        }
        return svg.end();
    }

    private double at(double value, double left, double right) {
        return left + across.share(value) * (right - left);
    }

    private void band(Svg svg, Along.Band band, double left, double right, double top, double bottom) {
        double from = at(band.low().orElse(across.low()), left, right);
        double to = at(band.high().orElse(across.high()), left, right);
        svg.rectangle(from, top, Math.max(1, to - from), bottom - top, 0, Paint.fill(Tone.ACT_GROUND));
        List<Double> edges = new ArrayList<>();
        band.low().ifPresent(low -> edges.add(from));
        band.high().ifPresent(high -> edges.add(to));
        StringBuilder d = new StringBuilder();
        edges.forEach(x -> d.append(Svg.down(x, top, bottom - top)));
        svg.path(d.toString(), Paint.line(Tone.ACT, 1));
    }

    private void ticks(Svg svg, double left, double right, double bottom) {
        double end = right - (across.label().isEmpty() ? 0 : across.label().length() * 6.4 + 10);
        double last = Double.NEGATIVE_INFINITY;
        for (Scale.Tick tick : across.ticks()) {
            double x = at(tick.at(), left, right);
            double half = tick.text().length() * 3.4;
            svg.path(Svg.down(x, 4, bottom - 4), Paint.line(Tone.HAIR, 1));
            if (x - half > last + 6 && (across.label().isEmpty() || x + half < end)) {
                svg.words(x, bottom + 16, TEXT, "middle", false, Tone.QUIET, tick.text());
                last = x + half;
            }
        }
        if (!across.label().isEmpty()) {
            svg.words(right, bottom + 16, TEXT, "end", false, Tone.QUIET, across.label());
        }
    }
}
