package org.tenmesh.core.proficiency;

import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.Scores;

/**
 * What a round says of one of its samples.
 *
 * @param value assigned value, in the analyte's unit
 * @param standardU its standard uncertainty, same unit; empty when not known
 * @param sigma standard deviation for assessment, same unit, above 0; empty when none was set
 * @param laboratories how many the value rests on; empty when not known
 */
public record Assigned(double value, OptionalDouble standardU, OptionalDouble sigma, OptionalInt laboratories) {
    // Half the values of a normal distribution lie within 0.6745 standard deviations of its middle.
    private static final double HALF = Quantiles.normal(0.75);
    /** Fewest participants whose values make an assigned value here; a choice of this program. */
    public static final int FEWEST = 5;

    public Assigned {
        if (sigma.isPresent() && !(sigma.getAsDouble() > 0)) {
            throw new IllegalArgumentException("a standard deviation for assessment is above 0, found " + sigma);
        }
        if (standardU.isPresent() && !(standardU.getAsDouble() >= 0)) {
            throw new IllegalArgumentException("a standard uncertainty is 0 or more, found " + standardU);
        }
    }

    /**
     * As the provider states it. Where it gives no uncertainty of the value, but how many laboratories it rests on, this is {@code 1.25
     * sigma / sqrt(p)}, sigma taken for their spread.
     */
    public static Assigned stated(
            double value, OptionalDouble standardU, OptionalDouble sigma, OptionalInt laboratories) {
        OptionalDouble u = standardU.isPresent() || sigma.isEmpty() || laboratories.isEmpty()
                ? standardU
                : OptionalDouble.of(Scores.robustMeanU(sigma.getAsDouble(), laboratories.getAsInt()));
        return new Assigned(value, u, sigma, laboratories);
    }

    /**
     * From what the participants found: robust mean and standard deviation by Algorithm A (ISO 13528, Annex C), {@code u = 1.25 s /
     * sqrt(p)}.
     *
     * <p>Values are rounded, and half of them may be equal; then the robust standard deviation is 0 and every other value an action. So
     * it is never taken below {@code step / (2 x 0.6745)}, the widest spread that still leaves half of all normal values in one step
     * (this program's own choice; that there must be such a floor is common practice).
     *
     * @param values at least {@link #FEWEST}
     * @param step what the values are rounded to, same unit, 0 when not at all
     * @param sigma the standard deviation for assessment; the participants' own when empty
     */
    public static Assigned ofParticipants(double[] values, double step, OptionalDouble sigma) {
        if (values.length < FEWEST) {
            throw new IllegalArgumentException(
                    "an assigned value needs " + FEWEST + " participants or more, found " + values.length);
        }
        Robust.Estimate estimate = Robust.algorithmA(values, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        double sd = Math.max(estimate.sd(), step / (2 * HALF));
        OptionalDouble own = sd > 0 ? OptionalDouble.of(sd) : OptionalDouble.empty();
        return new Assigned(
                estimate.mean(),
                OptionalDouble.of(Scores.robustMeanU(sd, values.length)),
                sigma.isPresent() ? sigma : own,
                OptionalInt.of(values.length));
    }
}
