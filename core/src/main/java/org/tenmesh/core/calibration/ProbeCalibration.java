package org.tenmesh.core.calibration;

/**
 * The calibration of one pH probe in buffers at one temperature.
 *
 * <p>Potential falls as pH rises: {@code mV = offset - slope (pH - 7)}. Two buffers give the line exactly, more are fitted
 * by least squares.
 *
 * @param slopeMvPerPh mV per pH unit at {@code celsius}; above 0 for a working probe
 * @param offsetMv potential at pH 7, mV
 * @param celsius temperature of the buffers, °C
 * @param points readings in buffers, 2 or more
 */
public record ProbeCalibration(double slopeMvPerPh, double offsetMv, double celsius, int points) {
    /** Molar gas constant, J/(mol K), exact (CODATA 2018, SI Brochure 9th edition). */
    private static final double GAS_CONSTANT = 8.31446261815324;
    /** Faraday constant, C/mol, exact product of N_A and e (CODATA 2018). */
    private static final double FARADAY = 96485.33212331001;

    private static final double MV_PER_PH_PER_KELVIN = 1000 * Math.log(10) * GAS_CONSTANT / FARADAY;
    private static final double ZERO_CELSIUS_KELVIN = 273.15;

    /**
     * The theoretical (Nernst) slope, {@code ln(10) R T / F}, mV per pH unit: 59.16 at 25 °C.
     *
     * @param celsius °C, above -273.15
     */
    public static double theoreticalSlopeMvPerPh(double celsius) {
        return MV_PER_PH_PER_KELVIN * (celsius + ZERO_CELSIUS_KELVIN);
    }

    /**
     * Calibrates a probe.
     *
     * @param potentialMv potential in each buffer, mV; buffers may repeat
     * @param bufferPh pH of that buffer at {@code celsius}
     * @param celsius temperature of the buffers, °C
     * @throws NoCurveException if there are fewer than two different buffers, the lengths differ, or a value is not finite
     */
    public static ProbeCalibration of(double[] potentialMv, double[] bufferPh, double celsius) {
        int n = potentialMv.length;
        if (n != bufferPh.length) {
            throw new NoCurveException(n + " potentials but " + bufferPh.length + " buffers: expected one for each");
        }
        double sumPh = 0;
        double sumMv = 0;
        for (int i = 0; i < n; i++) {
            if (!Double.isFinite(potentialMv[i]) || !Double.isFinite(bufferPh[i])) {
                throw new NoCurveException("potential " + potentialMv[i] + " mV in buffer pH " + bufferPh[i]
                        + ": expected finite numbers");
            }
            sumPh += bufferPh[i];
            sumMv += potentialMv[i];
        }
        double meanPh = sumPh / n;
        double meanMv = sumMv / n;
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < n; i++) {
            sxx += (bufferPh[i] - meanPh) * (bufferPh[i] - meanPh);
            sxy += (bufferPh[i] - meanPh) * (potentialMv[i] - meanMv);
        }
        // Buffers lie whole pH units apart; what is closer than a hundredth is one buffer read twice.
        if (n < 2 || !(sxx > 1e-4)) {
            throw new NoCurveException("a probe needs two different buffers or more, found " + n + " readings about pH "
                    + Math.round(meanPh * 100) / 100.0);
        }
        double perPh = sxy / sxx;
        return new ProbeCalibration(0 - perPh, meanMv + perPh * (7 - meanPh), celsius, n);
    }

    /** Slope in % of the theoretical one at the temperature of the buffers. */
    public double slopePct() {
        return 100 * slopeMvPerPh / theoreticalSlopeMvPerPh(celsius);
    }

    /**
     * pH of a suspension. The slope is brought to the temperature of the suspension by the ratio of the theoretical slopes;
     * the offset is not, and the pH is the pH at that temperature, not at 25 °C (common practice).
     *
     * @param potentialMv mV
     * @param sampleCelsius temperature of the suspension, °C
     * @return not finite when the slope is 0: such a probe is not accepted
     */
    public double phAt(double potentialMv, double sampleCelsius) {
        double slope = slopeMvPerPh * (sampleCelsius + ZERO_CELSIUS_KELVIN) / (celsius + ZERO_CELSIUS_KELVIN);
        return 7 - (potentialMv - offsetMv) / slope;
    }
}
