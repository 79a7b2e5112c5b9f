package org.tenmesh.core.judgement;

import java.util.Comparator;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * A number that a cause rests on, beside what is allowed of it. Never names a hidden control or its place.
 *
 * @param kind what was measured
 * @param analyte symbol; empty text where it concerns none alone
 * @param identity what it was measured on: a check solution, an open control soil, a lab number, a probe; empty text where it may not or
 *     need not be named
 * @param position in the run; 0 where it is at none, or must not be told
 * @param found in {@code unit}, not rounded; of a likelihood ratio and of odds the common logarithm
 * @param low the lowest that is allowed; empty where only large numbers are not
 * @param high the largest that is allowed; empty where only small numbers are not
 * @param unit as people write it; empty text for a plain number
 */
public record Measure(
        Kind kind,
        String analyte,
        String identity,
        int position,
        double found,
        OptionalDouble low,
        OptionalDouble high,
        String unit) {
    /** What is furthest from what is allowed comes first. */
    public static final Comparator<Measure> FURTHEST_FIRST =
            Comparator.comparingDouble(Measure::force).reversed();

    /** What can be measured, under its name in files and its phrase on pages. */
    public enum Kind {
        CALIBRATION("calibration", "calibration"),
        CHECK_SOLUTION("check-solution", "check solution"),
        BLANK("blank", "blank"),
        BASELINE("baseline", "baseline"),
        CARRY_OVER("carry-over", "carry-over"),
        CONTROL_SOIL("control-soil", "control soil"),
        CONTROL_TREND("control-trend", "mean of control soils"),
        STANDARD("standard", "standard, of its label"),
        DRIFT("drift", "drift at the last check"),
        RANGE("range", "calibrated range"),
        DUPLICATES("duplicates", "two portions, difference"),
        DILUTION("dilution", "second reading, of the first"),
        CHANNEL("channel", "difference from the others"),
        LIKELIHOOD("likelihood", "likelihood ratio"),
        ODDS("odds", "odds that it happened");

        private final String word;
        private final String phrase;

        Kind(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        /** The name in files. */
        public String word() {
            return word;
        }

        /** The kind in plain words. */
        public String phrase() {
            return phrase;
        }

        /** The kind with this name, or empty. */
        public static Optional<Kind> of(String word) {
            for (Kind kind : values()) {
                if (kind.word.equals(word)) {
                    return Optional.of(kind);
                }
            }
            return Optional.empty();
        }
    }

    /** A number that may lie as far to one side of a middle as to the other. */
    static Measure around(
            Kind kind,
            String analyte,
            String identity,
            int position,
            double found,
            double middle,
            double allowed,
            String unit) {
        return new Measure(
                kind,
                analyte,
                identity,
                position,
                found,
                OptionalDouble.of(middle - allowed),
                OptionalDouble.of(middle + allowed),
                unit);
    }

    /** A number that may be no larger than allowed. */
    public static Measure upTo(
            Kind kind, String analyte, String identity, int position, double found, double allowed, String unit) {
        return new Measure(
                kind, analyte, identity, position, found, OptionalDouble.empty(), OptionalDouble.of(allowed), unit);
    }

    /** Whether it lies outside what is allowed. */
    public boolean isOutside() {
        return low.isPresent() && found < low.getAsDouble() || high.isPresent() && found > high.getAsDouble();
    }

    /** How far it lies from the middle of what is allowed, in halves of that range; of a range open at one end, how many times its end. */
    public double force() {
        double force;
        if (low.isPresent() && high.isPresent()) {
            double half = (high.getAsDouble() - low.getAsDouble()) / 2;
            force = Math.abs(found - low.getAsDouble() - half) / half;
        } else if (high.isPresent()) {
            force = found / high.getAsDouble();
        } else if (low.isPresent()) {
            force = low.getAsDouble() / found;
        } else {
            force = 0;
        }
        return Double.isNaN(force) ? 0 : force;
    }
}
