package org.tenmesh.core.quantity;

/**
 * What a determination amounts to. A limit is a case of the type, never a number that looks like a result.
 *
 * <p>Every case keeps the unit. {@link Missing} says why there is no number.
 */
public sealed interface Amount {

    /** The unit of the number or of the limit. */
    Unit unit();

    /**
     * A number inside the range the method may report.
     *
     * @param lowestStandard what the lowest standard of its calibration amounts to, where the number lies below it, in {@code unit}; NaN for
     *     all others
     */
    record Measured(double value, Unit unit, double lowestStandard) implements Amount {
        /** A number that does not lie below the standards of a calibration. */
        public Measured(double value, Unit unit) {
            this(value, unit, Double.NaN);
        }

        /** Whether it is extrapolated below the lowest standard of its calibration. */
        public boolean isBelowStandards() {
            return !Double.isNaN(lowestStandard);
        }

        public Measured {
            if (!Double.isFinite(value)) {
                throw new IllegalArgumentException("a measured amount must be finite, found " + value);
            }
        }
    }

    /**
     * Below the reporting limit.
     *
     * @param limit the reporting limit, in {@code unit}
     * @param raw the number as computed, kept for control and history, never printed
     */
    record Below(double limit, double raw, Unit unit) implements Amount {}

    /**
     * Above what the calibration or the method covers.
     *
     * @param limit the largest amount that could have been stated, in {@code unit}
     * @param raw the extrapolated number, kept for choosing a dilution, never printed
     */
    record Above(double limit, double raw, Unit unit) implements Amount {}

    /**
     * No number at all.
     *
     * @param reason one phrase a person can read, such as "no reading of line K 766.490"
     */
    record Missing(String reason, Unit unit) implements Amount {}

    /** The detector gave the largest signal it can: how much there is cannot be said, only that the extract must be diluted. */
    record Saturated(Unit unit) implements Amount {}

    /** The client sent too little soil for this portion; a final answer, not a failure. */
    record NotEnoughSoil(Unit unit) implements Amount {}

    /**
     * A class instead of a number, such as a texture class.
     *
     * @param word as reported
     */
    record Classed(String word, Unit unit) implements Amount {}

    /** What a reader must know of the number, in words; empty text when there is nothing. */
    default String remark() {
        return this instanceof Measured measured && measured.isBelowStandards()
                ? "below the lowest standard, "
                        + Significant.text(measured.lowestStandard(), 3)
                        + (unit().spelling().isEmpty() ? "" : " " + unit().spelling())
                : "";
    }

    /** The full-precision number behind the amount, NaN when there is none. */
    default double raw() {
        if (this instanceof Measured measured) {
            return measured.value();
        }
        if (this instanceof Below below) {
            return below.raw();
        }
        if (this instanceof Above above) {
            return above.raw();
        }
        return Double.NaN;
    }
}
