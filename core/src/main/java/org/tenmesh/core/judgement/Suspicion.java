package org.tenmesh.core.judgement;

/**
 * How strong the evidence of ordinary soils must be before something is said, as log10 odds against "nothing wrong".
 *
 * <p>The defaults were set on invented clean days so that a turned tray is called falsely less often than once in a thousand
 * trays, and soils are made again for nothing less than once in five days (docs/validation).
 *
 * @param trayOdds for a turned tray, exchanged trays and a shifted run
 * @param neighbourOdds for two exchanged neighbours, of which there are ten times as many as trays
 * @param soilOdds for a single soil: its portion, its dilution, its results together
 * @param channelOdds for a probe, balance or detector that reads apart: -log10 of the chance of so large a difference
 * @param redoMargin what must come on top before soils are to be made again and not only held
 * @param falseDiscoveries share of false ones allowed among differences between probes, balances, instruments, people and hours
 *     that are told
 */
public record Suspicion(
        double trayOdds,
        double neighbourOdds,
        double soilOdds,
        double channelOdds,
        double redoMargin,
        double falseDiscoveries) {
    public Suspicion {
        if (!(trayOdds > 0 && neighbourOdds > 0 && soilOdds > 0 && channelOdds > 0 && redoMargin >= 0)
                || !(falseDiscoveries > 0 && falseDiscoveries < 1)) {
            throw new IllegalArgumentException(
                    "odds must be above 0 and a share between 0 and 1, found " + trayOdds + ", " + neighbourOdds + ", "
                            + soilOdds + ", " + channelOdds + ", " + redoMargin + ", " + falseDiscoveries);
        }
    }

    /** The defaults this program ships with. */
    public static Suspicion defaults() {
        return new Suspicion(1.5, 2.5, 2.4, 3.2, 1.5, 0.02);
    }
}
