package org.tenmesh.simulator;

import java.time.ZoneId;

/**
 * How the invented laboratory works.
 *
 * @param metersGivePh whether the last pH robot sends pH instead of potential and temperature
 * @param inProgress whether the day is seen while the last runs are still to come and one is being read
 * @param balanceDecimals decimals of a gram the balances show, 3 or 4
 * @param zone where the laboratory is
 * @param everyMethod whether clients ask for ten packages over all routine methods; otherwise every soil gets pH, loss on ignition
 *     and Mehlich-3
 */
public record Options(boolean metersGivePh, boolean inProgress, int balanceDecimals, ZoneId zone, boolean everyMethod) {
    /** With the three methods alone. */
    public Options(boolean metersGivePh, boolean inProgress, int balanceDecimals, ZoneId zone) {
        this(metersGivePh, inProgress, balanceDecimals, zone, false);
    }

    public Options {
        if (balanceDecimals < 3 || balanceDecimals > 4) {
            throw new IllegalArgumentException("balances show 3 or 4 decimals, found " + balanceDecimals);
        }
    }

    /** A finished day; robots send potentials; balances show 0.1 mg; Dublin. */
    public static Options defaults() {
        return new Options(false, false, 4, ZoneId.of("Europe/Dublin"));
    }
}
