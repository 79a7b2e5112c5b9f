package org.tenmesh.print;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.DoubleUnaryOperator;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Well;

/**
 * The house's pictures as SVG text, for pages and reports. Same input, same characters; no fonts are measured and nothing
 * is loaded. Each is one {@code <svg role="img">} with a title and a description; the page puts a table behind it. Colour
 * never stands alone: hold is a triangle, redo a square, regulated a dashed underline.
 *
 * <p>Sizes are in CSS pixels. A drawing carries a class ({@code plate}, {@code bar}, {@code strip}, {@code lines}, {@code control},
 * {@code calibration}, {@code scale}, {@code gates}, {@code promises}, {@code track}) for the page's style sheet.
 */
public final class Drawings {
    /** Most positions drawn in one row of a strip. */
    public static final int POSITIONS_PER_ROW = 400;

    private Drawings() {}

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
     * One standard.
     *
     * @param amount known, in the unit of the amount axis
     * @param signal read, in the unit of the signal axis
     * @param residualPercent found minus known, % of known; empty where known is nought
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

    /** Whether a gate is open. */
    public enum LightState {
        OPEN("open"),
        SHUT("shut"),
        WAITING("waiting");

        private final String word;

        LightState(String word) {
            this.word = word;
        }

        /** The word used on pages. */
        public String word() {
            return word;
        }
    }

    /** One gate of an instrument. */
    public record Light(GateOutcome.Gate gate, LightState state) {}

    /**
     * How the promises of a day stand, counted in submissions.
     *
     * @param complete all results fit
     * @param willHold not complete, will be in time
     * @param atRisk may be late
     * @param late is or will be late
     */
    public record Promises(int complete, int willHold, int atRisk, int late) {
        public Promises {
            if (complete < 0 || willHold < 0 || atRisk < 0 || late < 0) {
                throw new IllegalArgumentException("counts of promises cannot be negative");
            }
        }

        /** All of them. */
        public int total() {
            return complete + willHold + atRisk + late;
        }
    }

    /**
     * The tray plate. Its cut corner is where A1 lies. From 280 px on each well carries its name.
     *
     * @param width 20 px or more; the height is about four fifths of it
     */
    public static String plate(Plate plate, int width, Palette palette) {
        return PlateDrawing.of(plate, width, palette);
    }

    /**
     * A submission before layout: a bar two thirds of a pixel long for each soil, 6 to 160 px.
     *
     * @param name of the submission
     */
    public static String submissionBar(String name, int soils, boolean regulated, Verdict verdict, Palette palette) {
        return SmallDrawings.submissionBar(name, soils, regulated, verdict, palette);
    }

    /**
     * The run strip. Longer runs than {@link #POSITIONS_PER_ROW} wrap into rows.
     *
     * @param width 320 px or more; the height follows from rows and brackets
     */
    public static String strip(Strip strip, int width, Palette palette) {
        return StripDrawing.of(strip, width, palette);
    }

    /** The shapes of a strip with their words. */
    public static String stripLegend(boolean showsHidden, Palette palette) {
        return StripDrawing.legend(showsHidden, palette);
    }

    /**
     * Checks along a run, one row for each line, over a common axis of positions.
     *
     * @param title of the whole
     * @param lastPosition right end of the axis, 1 or more
     * @param width 480 px or more
     */
    public static String lines(String title, List<Line> lines, int lastPosition, int width, Palette palette) {
        return LinesDrawing.of(title, lines, lastPosition, width, palette);
    }

    /**
     * One control chart: points in the order of time, the centre, two and three standard deviations, the moving average as a line.
     *
     * @param title what it is a chart of
     * @param width 240 px or more; the height stays
     */
    public static String control(String title, List<ControlPoint> points, int width, Palette palette) {
        return ControlDrawing.of(title, points, width, palette);
    }

    /**
     * A calibration line with its standards, and the residuals beneath.
     *
     * @param curve signal expected at an amount, over the range of the standards
     * @param width 280 px or more; the height is three quarters of it
     */
    public static String calibration(Calibration calibration, DoubleUnaryOperator curve, int width, Palette palette) {
        return CalibrationDrawing.of(calibration, curve, width, palette);
    }

    /**
     * One result against its plain scale. The scale is no interpretation: it has ends and quarters, nothing else.
     *
     * @param text the result as reported, for the title
     * @param share 0 to 1 (clamped; outside, an arrow says so); empty when there is no number
     * @param limitShare share of the scale below the reporting limit, hatched; empty when there is none
     * @param below whether the result is below that limit: a ring over the hatch instead of a dot
     */
    public static String scale(
            String text, OptionalDouble share, OptionalDouble limitShare, boolean below, int width, Palette palette) {
        return SmallDrawings.scale(text, share, limitShare, below, width, palette);
    }

    /**
     * A difference with its interval on a line about nought.
     *
     * @param text the difference in words, for the title
     * @param reach what lies at either end of the line, above 0; ends of the interval beyond it are cut
     * @param real whether it is told as real: a full dot; else a ring
     */
    public static String difference(
            String text, double low, double size, double high, double reach, boolean real, int width, Palette palette) {
        return SmallDrawings.difference(text, new double[] {low, size, high}, reach, real, width, palette);
    }

    /**
     * An instrument's gates as lights.
     *
     * @param words whether each light carries its name beneath
     */
    public static String gates(String instrument, List<Light> lights, boolean words, Palette palette) {
        return SmallDrawings.gates(instrument, lights, words, palette);
    }

    /** The promises of a day as one track in four parts, with counts and words beneath. */
    public static String promises(Promises promises, int width, Palette palette) {
        return SmallDrawings.promises(promises, width, palette);
    }

    /** A plain share as a track. */
    public static String track(String title, double share, Verdict verdict, int width, Palette palette) {
        return SmallDrawings.track(title, share, verdict, width, palette);
    }
}
