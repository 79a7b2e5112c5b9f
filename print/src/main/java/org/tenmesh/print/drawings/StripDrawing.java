package org.tenmesh.print.drawings;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** A run as a strip of positions in the order read. */
public final class StripDrawing {
    private static final double MARGIN = 12;
    private static final double FIELD = 60;
    private static final double FOOT = 34;
    private static final double LANE = 15;
    private static final double LETTER = 6.3;

    private StripDrawing() {}

    /** Most positions drawn in one row of a strip. */
    public static final int POSITIONS_PER_ROW = 400;

    /** What stands at a position of a strip. */
    public enum Kind {
        STANDARD("standard"),
        KNOWN_SOLUTION("check solution"),
        BLANK("blank"),
        OPEN_CONTROL("open control"),
        HIDDEN_CONTROL("hidden control"),
        SOIL("soil"),
        WASH("wash");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word used on pages. */
        public String word() {
            return word;
        }
    }

    /**
     * One position of a run.
     *
     * @param position in the run, 1 or more
     * @param share where the number lies on its scale, 0 to 1 (clamped); empty when it was not read
     * @param verdict its mark; a hidden control that the viewer may not see is drawn as a soil with this mark
     * @param label shown where a pointer rests: the lab number or the material; may be empty
     */
    public record Position(int position, Kind kind, OptionalDouble share, Verdict verdict, String label) {}

    /**
     * A stretch of positions that a failure touches.
     *
     * @param word a few words that stand at it: "46 soils, redo K and Mg"
     */
    public record Bracket(int first, int last, Verdict verdict, String word) {}

    /** The positions that one tray took. */
    public record TrayStretch(String tray, int first, int last) {}

    /**
     * A run in the order read.
     *
     * @param title what it is: "Mehlich-3 by plasma 3, run 3"
     * @param positions in the order read
     * @param showsHidden whether the viewer may see hidden controls; when not, nothing in the drawing tells them apart
     */
    public record Strip(
            String title,
            List<Position> positions,
            List<Bracket> brackets,
            List<TrayStretch> trays,
            boolean showsHidden) {
        public Strip {
            positions = List.copyOf(positions);
            brackets = List.copyOf(brackets);
            trays = List.copyOf(trays);
        }
    }

    /**
     * The run strip. Longer runs than {@link #POSITIONS_PER_ROW} wrap into rows.
     *
     * @param width 320 px or more; the height follows from rows and brackets
     */
    public static String of(Strip strip, int width, Palette palette) {
        int count = strip.positions().size();
        int rows = Math.max(1, (count + POSITIONS_PER_ROW - 1) / POSITIONS_PER_ROW);
        int perRow = Math.max(1, (count + rows - 1) / rows);
        List<Row> drawn = new ArrayList<>();
        double height = 0;
        for (int row = 0; row < rows; row++) {
            List<Position> part = strip.positions().subList(row * perRow, Math.min(count, (row + 1) * perRow));
            Row next = new Row(strip, part, perRow, width, height);
            drawn.add(next);
            height = next.bottom();
        }
        Svg svg = new Svg(palette, "strip", width, height, strip.title(), description(strip));
        for (Row row : drawn) {
            row.draw(svg);
        }
        return svg.end();
    }

    private static String description(Strip strip) {
        Map<Kind, Integer> counts = new EnumMap<>(Kind.class);
        int unread = 0;
        for (Position position : strip.positions()) {
            counts.merge(seen(position, strip.showsHidden()), 1, Integer::sum);
            unread += position.share().isEmpty() ? 1 : 0;
        }
        StringBuilder text = new StringBuilder();
        text.append(strip.positions().size()).append(" positions in the order read: ");
        List<String> parts = new ArrayList<>();
        counts.forEach((kind, number) -> parts.add(number + " " + kind.word() + (number == 1 ? "" : plural(kind))));
        text.append(String.join(", ", parts)).append('.');
        if (unread > 0) {
            text.append(' ').append(unread).append(" without a number.");
        }
        for (Bracket bracket : strip.brackets()) {
            text.append(" Positions ")
                    .append(bracket.first())
                    .append(" to ")
                    .append(bracket.last())
                    .append(": ");
            text.append(bracket.word()).append('.');
        }
        return text.toString();
    }

    private static String plural(Kind kind) {
        return kind == Kind.WASH ? "es" : "s";
    }

    private static Kind seen(Position position, boolean showsHidden) {
        return position.kind() == Kind.HIDDEN_CONTROL && !showsHidden ? Kind.SOIL : position.kind();
    }

    /** The shapes of a strip with their words. */
    public static String legend(boolean showsHidden, Palette palette) {
        List<Kind> kinds =
                new ArrayList<>(List.of(Kind.STANDARD, Kind.KNOWN_SOLUTION, Kind.BLANK, Kind.OPEN_CONTROL, Kind.SOIL));
        if (showsHidden) {
            kinds.add(4, Kind.HIDDEN_CONTROL);
        }
        double width = 0;
        for (Kind kind : kinds) {
            width += 36 + kind.word().length() * LETTER;
        }
        width += 2 * (36 + 4 * LETTER);
        Svg svg = new Svg(palette, "legend", width, 18, "Shapes of the strip", "");
        double x = 8;
        for (Kind kind : kinds) {
            switch (kind) {
                case KNOWN_SOLUTION -> svg.rectangle(x - 1.5, 3, 3, 12, 0, Paint.fill(Tone.INK));
                case BLANK -> svg.circle(x, 9, 4, Paint.line(Tone.INK, 1.5));
                case STANDARD -> svg.path(Svg.triangle(x, 10, 4.2), Paint.fill(Tone.INK));
                case OPEN_CONTROL ->
                    svg.path(Svg.diamond(x, 9, 5), Paint.line(Tone.INK, 1.5).filled(Tone.GROUND));
                case HIDDEN_CONTROL -> {
                    svg.path(Svg.diamond(x, 9, 5), Paint.line(Tone.INK, 1.5).filled(Tone.GROUND));
                    svg.circle(x, 9, 1.4, Paint.fill(Tone.INK));
                }
                case SOIL, WASH -> svg.circle(x, 9, 2.4, Paint.fill(Tone.INK));
            }
            svg.words(x + 10, 13, 12, "start", false, Tone.QUIET, kind.word());
            x += 36 + kind.word().length() * LETTER;
        }
        for (Verdict verdict : List.of(Verdict.HOLD, Verdict.REDO)) {
            svg.path(Svg.shape(verdict, x, 9, 3.6), Paint.fill(Svg.tone(verdict)));
            svg.words(x + 10, 13, 12, "start", true, Svg.tone(verdict), verdict.word());
            x += 36 + 4 * LETTER;
        }
        return svg.end();
    }

    /** One row of positions, its brackets above and its trays beneath. */
    private static final class Row {
        private final Strip strip;
        private final List<Position> part;
        private final double pitch;
        private final int width;
        private final double top;
        private final List<Place> places = new ArrayList<>();
        private final int lanes;

        private record Place(Bracket bracket, double from, double to, int lane, String word) {}

        Row(Strip strip, List<Position> part, int perRow, int width, double top) {
            this.strip = strip;
            this.part = part;
            this.width = width;
            this.top = top;
            this.pitch = (width - 2 * MARGIN) / perRow;
            this.lanes = arrange();
        }

        double bottom() {
            return field() + FIELD + FOOT;
        }

        private double field() {
            return top + 6 + lanes * LANE;
        }

        private double x(int index) {
            return MARGIN + pitch * (index + 0.5);
        }

        /** Gives each bracket a lane for its words, so that none lies upon another. */
        private int arrange() {
            List<Double> ends = new ArrayList<>();
            for (Bracket bracket : strip.brackets()) {
                int first = -1;
                int last = -1;
                for (int i = 0; i < part.size(); i++) {
                    int position = part.get(i).position();
                    if (position >= bracket.first() && position <= bracket.last()) {
                        first = first < 0 ? i : first;
                        last = i;
                    }
                }
                if (first < 0) {
                    continue;
                }
                double from = x(first) - pitch / 2;
                double to = x(last) + pitch / 2;
                boolean begins = part.get(0).position() <= bracket.first();
                String word = begins ? bracket.word() : "… " + bracket.word();
                double needed = 16 + word.length() * LETTER;
                double start = Math.max(0, Math.min(from, width - needed));
                int lane = 0;
                while (lane < ends.size() && ends.get(lane) > start) {
                    lane++;
                }
                if (lane == ends.size()) {
                    ends.add(0.0);
                }
                ends.set(lane, Math.max(to, start + needed) + 6);
                places.add(new Place(bracket, from, to, lane, word));
            }
            return ends.size();
        }

        void draw(Svg svg) {
            double field = field();
            for (Place place : places) {
                double laneTop = top + 2 + place.lane() * LANE;
                Verdict verdict = place.bracket().verdict();
                svg.rectangle(
                        place.from(),
                        laneTop,
                        Math.max(2, place.to() - place.from()),
                        field + FIELD + 4 - laneTop,
                        2,
                        Paint.fill(Svg.ground(verdict)));
            }
            for (Place place : places) {
                double laneTop = top + 2 + place.lane() * LANE;
                Verdict verdict = place.bracket().verdict();
                double needed = 16 + place.word().length() * LETTER;
                double start = Math.max(0, Math.min(place.from(), width - needed));
                svg.path(Svg.shape(verdict, start + 7, laneTop + 8, 3.4), Paint.fill(Svg.tone(verdict)));
                svg.words(start + 15, laneTop + 12, 11, "start", true, Svg.tone(verdict), place.word());
            }
            svg.path(Svg.across(MARGIN, field + FIELD + 4, width - 2 * MARGIN), Paint.line(Tone.HAIR, 1));
            for (int i = 0; i < part.size(); i++) {
                position(svg, part.get(i), x(i), field);
            }
            trays(svg, field + FIELD + 12);
        }

        private void position(Svg svg, Position position, double x, double field) {
            Kind kind = seen(position, strip.showsHidden());
            double radius = Math.max(1.9, Math.min(4, pitch * 0.38));
            String title = position.position() + " " + kind.word()
                    + (position.label().isEmpty() ? "" : " " + position.label())
                    + (position.verdict() == Verdict.FIT
                            ? ""
                            : ", " + position.verdict().word());
            if (position.share().isEmpty()) {
                svg.path(Svg.dot(x, field + FIELD - 4, radius * 0.7), Paint.fill(Tone.WELL), title + ", no number");
                return;
            }
            double y = field
                    + 6
                    + (FIELD - 12) * (1 - SmallDrawings.clamp(position.share().getAsDouble()));
            Tone tone = Svg.tone(position.verdict());
            boolean fit = position.verdict() == Verdict.FIT;
            switch (kind) {
                case STANDARD -> svg.path(Svg.triangle(x, y, Math.max(3, radius)), Paint.fill(tone), title);
                case KNOWN_SOLUTION -> {
                    double thick = Math.max(2.4, Math.min(4, pitch));
                    String bar = "M" + Svg.number(x - thick / 2) + " " + Svg.number(field + FIELD + 4) + "V"
                            + Svg.number(y) + "h" + Svg.number(thick) + "V" + Svg.number(field + FIELD + 4) + "z";
                    svg.path(fit ? bar : bar + Svg.shape(position.verdict(), x, y - 4, 3.4), Paint.fill(tone), title);
                }
                case BLANK ->
                    svg.path(
                            Svg.dot(x, y, Math.max(3, radius)),
                            Paint.line(tone, 1.5).filled(Tone.GROUND),
                            title);
                case OPEN_CONTROL, HIDDEN_CONTROL -> {
                    double size = Math.max(4.6, radius * 1.3);
                    svg.path(Svg.diamond(x, y, size), Paint.line(tone, 1.5).filled(fit ? Tone.GROUND : tone), title);
                    if (kind == Kind.HIDDEN_CONTROL) {
                        svg.path(Svg.dot(x, y, 1.4), Paint.fill(fit ? tone : Tone.GROUND));
                    }
                }
                case WASH -> svg.path(Svg.across(x - 1, field + FIELD, 2), Paint.line(Tone.WELL, 1.5), title);
                case SOIL ->
                    svg.path(
                            Svg.shape(position.verdict(), x, y, fit ? radius : Math.max(2.3, radius)),
                            Paint.fill(tone),
                            title);
            }
        }

        private void trays(Svg svg, double y) {
            double named = Double.NEGATIVE_INFINITY;
            for (TrayStretch tray : strip.trays()) {
                int first = -1;
                int last = -1;
                for (int i = 0; i < part.size(); i++) {
                    int position = part.get(i).position();
                    if (position >= tray.first() && position <= tray.last()) {
                        first = first < 0 ? i : first;
                        last = i;
                    }
                }
                if (first < 0) {
                    continue;
                }
                double from = x(first) - pitch / 2 + 1;
                double length = Math.max(1, x(last) + pitch / 2 - 1 - from);
                svg.rectangle(from, y - 2, length, 4, 2, Paint.fill(Tone.WELL));
                double needed = tray.tray().length() * LETTER + 4;
                if (from >= named
                        && from + needed < width
                        && (needed <= length + 8 || tray.tray().length() <= 6)) {
                    svg.words(from, y + 15, 11, "start", false, Tone.QUIET, tray.tray());
                    named = from + needed;
                }
            }
        }
    }
}
