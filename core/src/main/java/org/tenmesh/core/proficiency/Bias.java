package org.tenmesh.core.proficiency;

import java.util.List;
import java.util.OptionalDouble;

/**
 * What rounds say of a laboratory's bias, as a part of its uncertainty: {@code u(bias) = sqrt(RMSbias^2 + u(Cref)^2)} (Nordtest Technical
 * Report 537, Handbook for Calculation of Measurement Uncertainty in Environmental Laboratories; forms from memory).
 *
 * @param results how many it rests on; the handbook asks for six or more (from memory)
 * @param mean mean of the biases, signed
 * @param rms root mean square of the biases
 * @param referenceU root mean square of the standard uncertainties of the assigned values; empty when one of them is not known
 * @param scale what all three are in
 */
public record Bias(int results, double mean, double rms, OptionalDouble referenceU, Scale scale) {
    /** In what a bias is counted. */
    public enum Scale {
        /** The unit of the results: for what has no true zero, such as pH, and for one level. */
        UNIT,
        /** Percent of the assigned value: for contents over many levels. */
        PERCENT
    }

    /**
     * From the results of one method and analyte.
     *
     * @param results one or more, of one unit; assigned values above 0 where the scale is percent
     * @throws IllegalArgumentException if there is no result, units differ, or a percentage cannot be taken
     */
    public static Bias of(List<RoundResult> results, Scale scale) {
        if (results.isEmpty()
                || results.stream().map(RoundResult::unit).distinct().count() > 1
                || results.stream()
                        .anyMatch(result ->
                                scale == Scale.PERCENT && !(result.assigned().value() > 0))) {
            throw new IllegalArgumentException("a bias needs one result or more, in one unit"
                    + (scale == Scale.PERCENT ? ", with assigned values above 0" : "") + ", found " + results.size()
                    + " in "
                    + results.stream().map(RoundResult::unit).distinct().toList());
        }
        double sum = 0;
        double squares = 0;
        double uSquares = 0;
        boolean known = true;
        for (RoundResult result : results) {
            double per = scale == Scale.PERCENT ? 100 / result.assigned().value() : 1;
            double bias = result.bias() * per;
            sum += bias;
            squares += bias * bias;
            known &= result.assigned().standardU().isPresent();
            double u = result.assigned().standardU().orElse(0) * per;
            uSquares += u * u;
        }
        int n = results.size();
        return new Bias(
                n,
                sum / n,
                Math.sqrt(squares / n),
                known ? OptionalDouble.of(Math.sqrt(uSquares / n)) : OptionalDouble.empty(),
                scale);
    }

    /** Standard uncertainty for bias; empty when an assigned value's uncertainty is not known. */
    public OptionalDouble standardU() {
        return referenceU.isPresent()
                ? OptionalDouble.of(Math.hypot(rms, referenceU.getAsDouble()))
                : OptionalDouble.empty();
    }
}
