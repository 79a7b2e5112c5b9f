package org.tenmesh.web.pictures;

import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/**
 * One thing that was measured.
 *
 * @param x in the units of the axis across
 * @param y in the units of the axis upwards
 * @param verdict fit where nothing is wrong with it: then it is drawn in ink or grey
 * @param title what it is, where, and what was found, in words
 * @param href where it leads; empty text for nowhere
 * @param said written beside it; empty text for nothing
 */
public record Mark(double x, double y, Shape shape, Verdict verdict, String title, String href, String said) {
    /** What kind of thing it is. */
    public enum Shape {
        /** A dot; a triangle where it is held, a square where it is to be made again. */
        SOIL,
        STANDARD,
        BLANK,
        CHECK,
        CONTROL
    }

    /** A thing that leads nowhere and has nothing beside it. */
    public Mark(double x, double y, Shape shape, Verdict verdict, String title) {
        this(x, y, shape, verdict, title, "", "");
    }

    Mark saying(String words) {
        return new Mark(x, y, shape, verdict, title, href, words);
    }

    /** Its shape about a place of the picture, px; its words above or below, within the width. */
    void draw(Svg svg, double atX, double atY, boolean below, double width) {
        Tone tone = verdict == Verdict.FIT
                ? shape == Shape.STANDARD || shape == Shape.BLANK ? Tone.QUIET : Tone.INK
                : Svg.tone(verdict);
        double r = verdict == Verdict.FIT ? 3 : 3.8;
        Paint filled = Paint.fill(tone);
        Paint hollow = new Paint(Tone.RAISED, tone, 1.4, "", false);
        String d = switch (shape) {
            case SOIL -> Svg.shape(verdict, atX, atY, r - 0.4);
            case STANDARD -> Svg.triangle(atX, atY, r + 0.6);
            case BLANK -> Svg.dot(atX, atY, r);
            case CHECK -> Svg.square(atX, atY, r);
            case CONTROL -> Svg.diamond(atX, atY, r + 0.6);
        };
        if (verdict != Verdict.FIT && shape != Shape.SOIL) {
            // Soils change their shape; what has a shape of its own gets a ring, so that colour never tells alone.
            svg.path(Svg.dot(atX, atY, r + 3.2), Paint.line(tone, 1.2));
        }
        svg.point(href, d, shape == Shape.STANDARD || shape == Shape.BLANK ? hollow : filled, title, x, y);
        if (!said.isEmpty()) {
            double half = said.length() * 3.9;
            svg.words(Math.min(atX, width - half - 1), below ? atY + 17 : atY - 7, 12, "middle", true, tone, said);
        }
    }

    /** The shape alone, for a legend. */
    public static String sample(Shape shape, String title) {
        Svg svg = new Svg(Palette.SCREEN, "mark", 12, 12, title, "");
        Paint hollow = new Paint(Tone.RAISED, Tone.QUIET, 1.4, "", false);
        return switch (shape) {
            case SOIL -> svg.path(Svg.dot(6, 6, 2.6), Paint.fill(Tone.INK)).end();
            case STANDARD -> svg.path(Svg.triangle(6, 6, 3.6), hollow).end();
            case BLANK -> svg.path(Svg.dot(6, 6, 3), hollow).end();
            case CHECK -> svg.path(Svg.square(6, 6, 3), Paint.fill(Tone.INK)).end();
            case CONTROL ->
                svg.path(Svg.diamond(6, 6, 3.6), Paint.fill(Tone.INK)).end();
        };
    }
}
