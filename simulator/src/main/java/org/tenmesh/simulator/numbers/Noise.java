package org.tenmesh.simulator.numbers;

import java.util.Arrays;

/**
 * How errors of measurement are spread. The usual ones are normal and apart from each other; a real laboratory has tails and errors that
 * several readings share, which its control soils know as well as its soils.
 *
 * @param freedom degrees of freedom of a Student t distribution of the same standard deviation, 3 or more; 0 = normal
 * @param run error that all soils of a run share, for each analyte its own, in standard deviations of a portion
 * @param rack error that {@value #RACK} vessels in a row share, all analytes alike, in the same unit
 * @param probe error that all vessels under one probe or on one balance of a run share, in the same unit
 */
public record Noise(int freedom, double run, double rack, double probe) {
    /** Vessels of a rack. */
    public static final int RACK = 12;

    private static final double MOST = 3;

    public Noise {
        if (freedom != 0 && (freedom < 3 || freedom > 100)) {
            throw new IllegalArgumentException("tails of errors: found " + freedom
                    + " degrees of freedom, expected 3 to 100, or 0 for normal errors");
        }
        for (double shared : new double[] {run, rack, probe}) {
            if (!(shared >= 0 && shared <= MOST)) {
                throw new IllegalArgumentException("errors that readings share: found " + shared
                        + " standard deviations of a portion, expected 0 to " + MOST);
            }
        }
    }

    /** Normal, each by itself. */
    public static Noise usual() {
        return new Noise(0, 0, 0, 0);
    }

    /** Chance of measurements. */
    public Chance chance(long seed, String purpose) {
        return new Chance(seed, purpose, freedom);
    }

    /** How many times wider single results of one soil lie between runs than they would without shared errors. */
    public double widening() {
        return Math.sqrt(1 + run * run + rack * rack + probe * probe);
    }

    /** What the readings of a run share, drawn apart from everything else. */
    public Shared shared(long seed, String runName) {
        return new Shared(this, new Chance(seed, runName + " shared errors", freedom));
    }

    /** Errors that several readings of one run share. Vessels are asked in their order. Not for several threads. */
    public static final class Shared {
        private final Noise noise;
        private final Chance chance;
        private double[] ofRun = {};
        private double[] ofProbe = {};
        private double ofRack;
        private int vessels;

        private Shared(Noise noise, Chance chance) {
            this.noise = noise;
            this.chance = chance;
        }

        /**
         * Errors of the next vessel, one for each analyte, in standard deviations of a portion.
         *
         * @param channel its probe or balance, 1 on; 0 where there is one detector only
         */
        public double[] next(int analytes, int channel) {
            double[] errors = new double[analytes];
            if (noise.run == 0 && noise.rack == 0 && noise.probe == 0) {
                return errors;
            }
            ofRun = drawnUpTo(ofRun, analytes, noise.run);
            ofProbe = drawnUpTo(ofProbe, channel + 1, noise.probe);
            if (vessels++ % RACK == 0) {
                ofRack = noise.rack * chance.normal();
            }
            for (int c = 0; c < analytes; c++) {
                errors[c] = ofRun[c] + ofRack + (channel == 0 ? 0 : ofProbe[channel]);
            }
            return errors;
        }

        private double[] drawnUpTo(double[] drawn, int count, double sd) {
            if (drawn.length >= count) {
                return drawn;
            }
            double[] more = Arrays.copyOf(drawn, count);
            for (int i = drawn.length; i < count; i++) {
                more[i] = sd * chance.normal();
            }
            return more;
        }
    }
}
