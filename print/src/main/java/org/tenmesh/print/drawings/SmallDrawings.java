package org.tenmesh.print.drawings;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** Drawings of one line: bars, scales, lights, tracks. */
public final class SmallDrawings {
    private SmallDrawings() {}

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
    public record Light(Gate gate, LightState state) {}

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
     * A submission before layout: a bar two thirds of a pixel long for each soil, 6 to 160 px.
     *
     * @param name of the submission
     */
    public static String submissionBar(String name, int soils, boolean regulated, Verdict verdict, Palette palette) {
        if (soils < 0) {
            throw new IllegalArgumentException("submission " + name + ": soils cannot be " + soils);
        }
        double length = Math.max(6, Math.min(160, soils * 2 / 3.0));
        double lead = verdict == Verdict.FIT ? 0 : 11;
        String title = "Submission " + name + ": " + soils + (soils == 1 ? " soil" : " soils")
                + (regulated ? ", regulated" : "") + (verdict == Verdict.FIT ? "" : ", " + verdict.word());
        Svg svg = new Svg(palette, "bar", lead + length, 12, title, "");
        if (lead > 0) {
            svg.path(Svg.shape(verdict, 4.5, 4.5, 3.4), Paint.fill(Svg.tone(verdict)));
        }
        svg.rectangle(lead, 2, length, 5, 2, Paint.fill(verdict == Verdict.FIT ? Tone.WELL : Svg.tone(verdict)));
        if (regulated) {
            svg.path(Svg.across(lead, 10.5, length), Paint.dashed(Tone.INK, 2, "3 2"));
        }
        return svg.end();
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
        double height = 14;
        double middle = 7;
        double left = 6;
        double span = width - 2 * left;
        String place = share.isEmpty()
                ? "no number"
                : below
                        ? "below the reporting limit"
                        : Math.round(100 * clamp(share.getAsDouble())) + " % of the scale";
        Svg svg = new Svg(palette, "scale", width, height, text.isEmpty() ? place : text + ": " + place, "");
        svg.path(Svg.across(left, middle, span), Paint.line(Tone.WELL, 2));
        StringBuilder quarters = new StringBuilder();
        for (int quarter = 0; quarter <= 4; quarter++) {
            double tall = quarter % 4 == 0 ? 5 : 3;
            quarters.append(Svg.down(left + span * quarter / 4, middle - tall, 2 * tall));
        }
        svg.path(quarters.toString(), Paint.line(Tone.WELL, 1));
        if (limitShare.isPresent()) {
            double hatched = span * clamp(limitShare.getAsDouble());
            StringBuilder hatch = new StringBuilder();
            for (double x = left; x < left + hatched - 0.5; x += 3) {
                hatch.append('M')
                        .append(Svg.number(x))
                        .append(' ')
                        .append(Svg.number(middle + 3))
                        .append("l3 -6");
            }
            if (hatch.length() > 0) {
                svg.path(hatch.toString(), Paint.line(Tone.QUIET, 0.8));
            }
        }
        if (share.isPresent()) {
            double x = left + span * clamp(share.getAsDouble());
            if (below) {
                double centre = limitShare.isPresent() ? left + span * clamp(limitShare.getAsDouble()) / 2 : x;
                svg.circle(centre, middle, 3.2, Paint.line(Tone.INK, 1.4).filled(Tone.RAISED));
            } else if (share.getAsDouble() > 1) {
                svg.path(arrow(x, middle, 4), Paint.fill(Tone.INK));
            } else if (share.getAsDouble() < 0) {
                svg.path(arrow(x, middle, -4), Paint.fill(Tone.INK));
            } else {
                svg.circle(x, middle, 3.6, Paint.fill(Tone.INK));
            }
        }
        return svg.end();
    }

    private static String arrow(double x, double y, double reach) {
        return "M" + Svg.number(x + reach * 1.3) + " " + Svg.number(y) + "l" + Svg.number(-reach * 1.7) + " -4v8z";
    }

    /**
     * An instrument's gates as lights.
     *
     * @param words whether each light carries its name beneath
     */
    public static String gates(String instrument, List<Light> lights, boolean words, Palette palette) {
        double step = words ? 104 : 27;
        double lamp = words ? 96 : 23;
        List<String> said = new ArrayList<>();
        for (Light light : lights) {
            said.add(light.gate().phrase() + " " + light.state().word());
        }
        Svg svg = new Svg(
                palette,
                "gates",
                Math.max(1, lights.size()) * step - (step - lamp),
                words ? 30 : 14,
                instrument + ": " + (said.isEmpty() ? "no gates" : String.join(", ", said)),
                "");
        for (int i = 0; i < lights.size(); i++) {
            double x = i * step;
            Light light = lights.get(i);
            switch (light.state()) {
                case OPEN -> svg.rectangle(x, 4, lamp, 6, 3, Paint.fill(Tone.INK));
                case WAITING ->
                    svg.rectangle(
                            x + 0.5,
                            4.5,
                            lamp - 1,
                            5,
                            2.5,
                            Paint.line(Tone.WELL, 1).filled(Tone.RAISED));
                case SHUT -> {
                    // a square in the middle of a cut line: told from the others without colour
                    svg.path(
                            Svg.across(x, 7, lamp / 2 - 6) + Svg.across(x + lamp / 2 + 6, 7, lamp / 2 - 6),
                            Paint.line(Tone.REDO, 2));
                    svg.path(Svg.square(x + lamp / 2, 7, 4.5), Paint.fill(Tone.REDO));
                }
            }
            if (words) {
                Tone tone = light.state() == LightState.SHUT
                        ? Tone.REDO
                        : light.state() == LightState.OPEN ? Tone.INK : Tone.QUIET;
                svg.words(
                        x,
                        25,
                        11,
                        "start",
                        light.state() == LightState.SHUT,
                        tone,
                        light.gate().phrase() + (light.state() == LightState.SHUT ? ", shut" : ""));
            }
        }
        return svg.end();
    }

    /** The promises of a day as one track in four parts, with counts and words beneath. */
    public static String promises(Promises promises, int width, Palette palette) {
        int total = promises.total();
        String title = "Promises: " + promises.complete() + " complete, " + promises.willHold() + " will hold, "
                + promises.atRisk() + " at risk, " + promises.late() + " late, of " + total;
        Svg svg = new Svg(palette, "promises", width, 36, title, "");
        svg.rectangle(0, 4, width, 8, 4, Paint.fill(Tone.HAIR));
        if (total == 0) {
            return svg.words(0, 30, 12, "start", false, Tone.QUIET, "nothing promised")
                    .end();
        }
        int[] counts = {promises.complete(), promises.willHold(), promises.atRisk(), promises.late()};
        String[] names = {"complete", "will hold", "at risk", "late"};
        Tone[] tones = {Tone.INK, Tone.QUIET, Tone.HOLD, Tone.REDO};
        int parts = 0;
        for (int count : counts) {
            parts += count > 0 ? 1 : 0;
        }
        // each part that exists is at least 8 px wide, so that one late submission among hundreds is still seen
        double free = width - 8.0 * parts - 2.0 * (parts - 1);
        double x = 0;
        double said = 0;
        for (int i = 0; i < counts.length; i++) {
            if (counts[i] == 0) {
                continue;
            }
            double length = 8 + Math.max(0, free) * counts[i] / total;
            if (i == 1) {
                svg.rectangle(
                        x + 0.75,
                        4.75,
                        length - 1.5,
                        6.5,
                        2,
                        Paint.line(Tone.QUIET, 1.5).filled(Tone.RAISED));
            } else {
                svg.rectangle(x, 4, length, 8, 2, Paint.fill(tones[i]));
            }
            if (i >= 2) {
                Verdict verdict = i == 2 ? Verdict.HOLD : Verdict.REDO;
                svg.path(Svg.shape(verdict, said + 5, 26, 3.6), Paint.fill(tones[i]));
                said += 13;
            }
            String word = counts[i] + " " + names[i];
            svg.words(said, 30, 12, "start", i >= 2, i == 1 ? Tone.QUIET : tones[i], word);
            said += word.length() * 6.6 + 16;
            x += length + 2;
        }
        return svg.end();
    }

    /** A plain share as a track. */
    public static String track(String title, double share, Verdict verdict, int width, Palette palette) {
        Svg svg = new Svg(palette, "track", width, 10, title + ": " + Math.round(100 * clamp(share)) + " %", "");
        svg.rectangle(0, 2, width, 6, 3, Paint.fill(Tone.HAIR));
        double length = width * clamp(share);
        if (length > 0) {
            svg.rectangle(0, 2, Math.max(6, length), 6, 3, Paint.fill(Svg.tone(verdict)));
        }
        return svg.end();
    }

    public static double clamp(double share) {
        return Double.isNaN(share) ? 0 : Math.max(0, Math.min(1, share));
    }
}
