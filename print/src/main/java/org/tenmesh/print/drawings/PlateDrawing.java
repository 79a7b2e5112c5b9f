package org.tenmesh.print.drawings;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Well;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** The tray plate. All shapes of one state share one path, so that a page with hundreds of plates stays small. */
public final class PlateDrawing {
    private static final int NAMED_FROM = 280;

    private PlateDrawing() {}

    /** What a well has come to. */
    public enum WellState {
        /** Nothing lies in it. */
        EMPTY("empty"),
        /** A soil waits. */
        WAITING("waiting"),
        /** The next one to work on. */
        NOW("now"),
        /** Worked on or read, and well. */
        DONE("done"),
        HOLD("hold"),
        REDO("redo");

        private final String word;

        WellState(String word) {
            this.word = word;
        }

        /** The word used on pages. */
        public String word() {
            return word;
        }
    }

    /**
     * A tray as a plate of twelve dots.
     *
     * @param tray its name
     * @param wells twelve states in well order, A1 to C4; the key well's own state is not drawn
     * @param keyWell index 0 to 11 of the well that breaks the symmetry; empty when the tray has none
     * @param regulated whether the soil must be kept apart
     */
    public record Plate(String tray, List<WellState> wells, OptionalInt keyWell, boolean regulated) {
        public Plate {
            wells = List.copyOf(wells);
            if (wells.size() != Well.PER_TRAY) {
                throw new IllegalArgumentException(
                        "tray " + tray + ": a plate has " + Well.PER_TRAY + " wells, found " + wells.size());
            }
            if (keyWell.isPresent() && (keyWell.getAsInt() < 0 || keyWell.getAsInt() >= Well.PER_TRAY)) {
                throw new IllegalArgumentException(
                        "tray " + tray + ": the key well's index is 0 to 11, found " + keyWell.getAsInt());
            }
        }
    }

    /**
     * The tray plate. Its cut corner is where A1 lies. From 280 px on each well carries its name.
     *
     * @param width 20 px or more; the height is about four fifths of it
     */
    public static String of(Plate plate, int width, Palette palette) {
        boolean named = width >= NAMED_FROM;
        double edge = named ? 1.5 : width < 48 ? 0.5 : 1;
        double head = named ? width * 0.07 : 0;
        double body = width * 0.75;
        double foot = Math.max(3, Math.min(14, width * 0.09));
        Svg svg = new Svg(palette, "plate", width, head + body + foot, title(plate), description(plate));

        Verdict worst = worst(plate);
        Tone frame = worst == Verdict.FIT ? (named ? Tone.WELL : Tone.HAIR) : Svg.tone(worst);
        double stroke = worst == Verdict.FIT ? 2 * edge : Math.max(1.4, width * 0.012);
        svg.path(
                outline(stroke / 2, head + stroke / 2, width - stroke, body - stroke, width * 0.13, width * 0.07),
                Paint.line(frame, stroke).filled(Tone.RAISED));
        if (named) {
            String mark = "M" + Svg.number(width * 0.012) + " " + Svg.number(head * 0.3) + "h" + Svg.number(head * 0.72)
                    + "l" + Svg.number(-head * 0.72) + " " + Svg.number(head * 0.72) + "z";
            svg.path(mark, Paint.fill(Tone.INK))
                    .words(width * 0.085, head * 0.78, width * 0.036, "start", true, Tone.INK, "cut corner up, left");
        }

        double pitchX = (width - 2 * width * 0.04) / 4;
        double pitchY = (body - 2 * width * 0.035) / 3;
        double radius = Math.min(pitchX, pitchY) * (named ? 0.385 : width < 48 ? 0.31 : 0.34);
        Map<WellState, StringBuilder> shapes = new EnumMap<>(WellState.class);
        for (int well = 0; well < Well.PER_TRAY; well++) {
            double x = width * 0.04 + pitchX * (well % 4 + 0.5);
            double y = head + width * 0.035 + pitchY * (well / 4 + 0.5);
            if (isKey(plate, well)) {
                svg.circle(x, y, radius * 0.92, Paint.line(Tone.QUIET, Math.max(0.9, radius * 0.08)));
            } else {
                shapes.computeIfAbsent(plate.wells().get(well), state -> new StringBuilder())
                        .append(shape(plate.wells().get(well), x, y, named ? radius * 0.96 : radius));
            }
        }
        for (Map.Entry<WellState, StringBuilder> entry : shapes.entrySet()) {
            svg.path(entry.getValue().toString(), paint(entry.getKey(), named));
        }
        if (named) {
            for (int well = 0; well < Well.PER_TRAY; well++) {
                boolean key = isKey(plate, well);
                WellState state = plate.wells().get(well);
                double x = width * 0.04 + pitchX * (well % 4 + 0.5);
                double y = head + width * 0.035 + pitchY * (well / 4 + 0.5);
                double size = width * 0.036;
                Tone tone = key || state == WellState.WAITING || state == WellState.EMPTY ? Tone.QUIET : Tone.GROUND;
                double lower = state == WellState.HOLD && !key ? radius * 0.22 : 0;
                String name = new Well(well).toString();
                double raised = key ? size * 0.45 : 0;
                svg.words(x, y + lower - raised + size * 0.36, size, "middle", true, tone, name);
                if (key) {
                    svg.words(x, y + size * 1.1, size * 0.86, "middle", false, tone, "key");
                }
            }
        }
        if (plate.regulated()) {
            double thick = Math.max(2, width * 0.02);
            String dashes = Svg.number(thick * 1.7) + " " + Svg.number(thick);
            svg.path(
                    Svg.across(width * 0.05, head + body + foot - thick / 2 - 0.2, width * 0.9),
                    Paint.dashed(Tone.INK, thick, dashes));
        }
        return svg.end();
    }

    private static boolean isKey(Plate plate, int well) {
        return plate.keyWell().isPresent() && plate.keyWell().getAsInt() == well;
    }

    private static String shape(WellState state, double x, double y, double radius) {
        return switch (state) {
            case EMPTY -> Svg.across(x - radius * 0.45, y, radius * 0.9);
            case HOLD -> Svg.triangle(x, y, radius * 1.02);
            case REDO -> Svg.square(x, y, radius * 1.04);
            case NOW -> Svg.dot(x, y, radius * 1.12);
            case WAITING, DONE -> Svg.dot(x, y, radius);
        };
    }

    private static Paint paint(WellState state, boolean named) {
        return switch (state) {
            case EMPTY -> Paint.line(Tone.WELL, named ? 0.01 : 1);
            case WAITING -> named ? Paint.line(Tone.WELL, 2.5) : Paint.fill(Tone.WELL);
            case NOW -> Paint.fill(Tone.ACT);
            case DONE -> Paint.fill(Tone.INK);
            case HOLD -> Paint.fill(Tone.HOLD);
            case REDO -> Paint.fill(Tone.REDO);
        };
    }

    /** A rounded rectangle whose corner at A1 is cut. */
    private static String outline(double x, double y, double width, double height, double cut, double round) {
        String corner = Svg.number(round) + " " + Svg.number(round) + " 0 0 1 ";
        String r = Svg.number(round);
        String minus = Svg.number(-round);
        return "M" + Svg.number(x + cut) + " " + Svg.number(y) + "h" + Svg.number(width - cut - round) + "a" + corner
                + r + " " + r + "v" + Svg.number(height - 2 * round) + "a" + corner + minus + " " + r + "h"
                + Svg.number(2 * round - width) + "a" + corner + minus + " " + minus + "v"
                + Svg.number(round + cut - height) + "z";
    }

    private static Verdict worst(Plate plate) {
        Verdict worst = Verdict.FIT;
        for (int well = 0; well < Well.PER_TRAY; well++) {
            if (!isKey(plate, well)) {
                WellState state = plate.wells().get(well);
                worst = worst.or(
                        state == WellState.REDO ? Verdict.REDO : state == WellState.HOLD ? Verdict.HOLD : Verdict.FIT);
            }
        }
        return worst;
    }

    private static String title(Plate plate) {
        Map<WellState, Integer> counts = new EnumMap<>(WellState.class);
        for (int well = 0; well < Well.PER_TRAY; well++) {
            if (!isKey(plate, well)) {
                counts.merge(plate.wells().get(well), 1, Integer::sum);
            }
        }
        List<String> parts = new ArrayList<>();
        for (WellState state : List.of(
                WellState.REDO, WellState.HOLD, WellState.NOW, WellState.DONE, WellState.WAITING, WellState.EMPTY)) {
            if (counts.containsKey(state)) {
                parts.add(counts.get(state) + " " + state.word());
            }
        }
        return "Tray " + plate.tray() + ": " + String.join(", ", parts) + (plate.regulated() ? ", regulated" : "");
    }

    private static String description(Plate plate) {
        StringBuilder text = new StringBuilder();
        for (WellState state : List.of(WellState.REDO, WellState.HOLD, WellState.NOW)) {
            List<String> wells = new ArrayList<>();
            for (int well = 0; well < Well.PER_TRAY; well++) {
                if (!isKey(plate, well) && plate.wells().get(well) == state) {
                    wells.add(new Well(well).toString());
                }
            }
            if (!wells.isEmpty()) {
                text.append(state.word())
                        .append(": ")
                        .append(String.join(" ", wells))
                        .append(". ");
            }
        }
        plate.keyWell()
                .ifPresent(key -> text.append("Key well ").append(new Well(key)).append('.'));
        return text.toString().strip();
    }
}
