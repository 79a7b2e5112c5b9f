package org.tenmesh.core.methods;

import java.time.LocalDate;

/**
 * Organic matter by loss on ignition, weighed before and after the furnace on the same balances.
 *
 * @param dryCelsius drying temperature before the first weighing, °C
 * @param dryHours time at it, h
 * @param ashCelsius furnace temperature, °C
 * @param ashHours time at it, h
 * @param knownsFirst how many positions at the start of a run hold known soils
 * @param leastDrySoilG least dry soil in a crucible, g
 * @param mostDrySoilG most dry soil in a crucible, g
 * @param highestLoiPct loss above which a weighing is refused, %
 * @param duplicateLimitPct largest difference of two portions, % of their mean
 * @param duplicateFloorPct largest difference always allowed, in % LOI
 * @param organicMatter how LOI becomes organic matter
 */
public record IgnitionMethod(
        Head head,
        double dryCelsius,
        double dryHours,
        double ashCelsius,
        double ashHours,
        int knownsFirst,
        double leastDrySoilG,
        double mostDrySoilG,
        double highestLoiPct,
        double duplicateLimitPct,
        double duplicateFloorPct,
        Regression organicMatter)
        implements Method {

    /**
     * A versioned straight line from LOI to organic matter: {@code OM = slope x LOI + intercept}, never below zero.
     *
     * @param version the date from which it holds
     * @param slope % OM per % LOI
     * @param intercept % OM
     * @param source where it comes from
     */
    public record Regression(LocalDate version, double slope, double intercept, Source source) {
        /** Organic matter in %, from LOI in %. */
        public double organicMatterPct(double loiPct) {
            return Math.max(0, slope * loiPct + intercept);
        }
    }
}
