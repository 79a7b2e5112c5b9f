package org.tenmesh.core.methods;

import java.util.List;

/**
 * pH by glass electrode on a head of several probes, each calibrated by itself.
 *
 * @param soilG soil, g
 * @param liquidMl water or salt solution, mL
 * @param probes probes on the head, read together
 * @param buffers temperature tables of the buffers in use
 * @param slopeMinPct least slope accepted, % of the theoretical one
 * @param slopeMaxPct largest slope accepted, %
 * @param offsetLimitMv largest potential accepted at pH 7, mV either way
 * @param verificationTolerancePh allowed difference of a known buffer that made no part of the calibration, pH
 * @param lowestPh smallest pH a soil can have here; below it the reading is refused
 * @param highestPh largest pH a soil can have here
 * @param duplicateLimitPh largest difference of two portions of one soil, pH
 */
public record ElectrodeMethod(
        Head head,
        double soilG,
        double liquidMl,
        int probes,
        List<BufferTable> buffers,
        double slopeMinPct,
        double slopeMaxPct,
        double offsetLimitMv,
        double verificationTolerancePh,
        double lowestPh,
        double highestPh,
        double duplicateLimitPh)
        implements Method {
    public ElectrodeMethod {
        buffers = List.copyOf(buffers);
    }
}
