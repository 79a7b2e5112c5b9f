package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

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
    private static final List<String> WEIGHINGS = List.of("tare", "dry", "ash");

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

    @Override
    public Map<String, Optional<Unit>> unitsRead() {
        Map<String, Optional<Unit>> units = new LinkedHashMap<>();
        WEIGHINGS.forEach(name -> units.put(name, Optional.of(Unit.GRAM)));
        return units;
    }

    @Override
    public Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        WEIGHINGS.forEach(name -> units.put(name, "g"));
        return units;
    }

    /** Organic matter follows from the loss: the two are one. */
    @Override
    public Set<String> measurements(String symbol) {
        return Set.of("loss");
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.of(Gate.OWN_CONTROL);
    }

    @Override
    public double duplicateLimit(Analyte analyte, double mean) {
        return Math.max(duplicateFloorPct, duplicateLimitPct / 100 * mean);
    }

    @Override
    public String vessel() {
        return "crucible";
    }
}
