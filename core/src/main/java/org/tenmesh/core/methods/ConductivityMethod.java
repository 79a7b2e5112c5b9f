package org.tenmesh.core.methods;

import java.util.List;

/**
 * Electrical conductivity of a suspension or an extract: conductance in mS/cm and temperature in °C, brought to 25 °C.
 *
 * @param soilG soil, g; 0 when an extract is read as it comes
 * @param liquidMl water, mL; 0 when an extract is read as it comes
 * @param celsius temperatures of the compensation table, rising, °C
 * @param factor EC at 25 °C = EC read x factor, at each of them; between them a straight line, outside them no result
 * @param compensation where the table was read
 * @param cellMin least cell factor accepted: known over read of a standard
 * @param cellMax largest cell factor accepted
 * @param verificationTolerancePct allowed difference of a known solution, % of its value
 * @param highestDsPerM above this the suspension must be diluted, dS/m
 * @param duplicateLimitPct largest difference of two portions, % of their mean
 */
public record ConductivityMethod(
        Head head,
        double soilG,
        double liquidMl,
        List<Double> celsius,
        List<Double> factor,
        Source compensation,
        double cellMin,
        double cellMax,
        double verificationTolerancePct,
        double highestDsPerM,
        double duplicateLimitPct)
        implements Method {
    public ConductivityMethod {
        celsius = List.copyOf(celsius);
        factor = List.copyOf(factor);
    }
}
