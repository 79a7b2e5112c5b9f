package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;
import static org.tenmesh.core.methods.MethodDescription.Text.source;

import java.time.Duration;
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
    public Optional<Follows> follows(String symbol) {
        return symbol.equals("LOI")
                ? Optional.empty()
                : Optional.of(new Follows("LOI", organicMatter.slope(), organicMatter.intercept()));
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
    public List<BenchStep> benchSteps() {
        return List.of(
                new BenchStep(
                        BenchStep.Doing.WEIGH_EMPTY, "crucibles in well order, on one balance", Duration.ZERO, false),
                new BenchStep(BenchStep.Doing.SCOOP, soilTaken(), Duration.ZERO, false),
                new BenchStep(BenchStep.Doing.OVEN, "at " + number(dryCelsius) + " °C", hours(dryHours), false),
                new BenchStep(BenchStep.Doing.WEIGH, "first weighing, same order, same balance", Duration.ZERO, false),
                new BenchStep(BenchStep.Doing.FURNACE, "at " + number(ashCelsius) + " °C", hours(ashHours), false),
                new BenchStep(
                        BenchStep.Doing.COOL, "below about 100 °C, then into the desiccator", Duration.ZERO, false),
                new BenchStep(BenchStep.Doing.READ, "second weighing, same order, same balance", Duration.ZERO, true));
    }

    private static Duration hours(double hours) {
        return Duration.ofSeconds(Math.round(hours * 3600));
    }

    @Override
    public String vessel() {
        return "crucible";
    }

    @Override
    public String kind() {
        return "ignition";
    }

    @Override
    public MethodDescription description() {
        return new MethodDescription.Text(
                        "Weighed before and after the furnace", "Weighed before and after the furnace.")
                .formula("LOI", "100 × (dry − ash) / (dry − tare)", "%")
                .formula(
                        "OM",
                        number(organicMatter.slope()) + " × LOI + " + number(organicMatter.intercept())
                                + ", never below 0",
                        "%")
                .symbol("tare", "crucible, weighed empty", "g", "read")
                .symbol("dry", "crucible with soil dried at " + number(dryCelsius) + " °C", "g", "read")
                .symbol("ash", "the same after " + number(ashCelsius) + " °C", "g", "read")
                .note("The line from loss to organic matter holds from " + organicMatter.version() + ": "
                        + source(organicMatter.source()) + ".")
                .setting("Dried", number(dryHours) + " h at " + number(dryCelsius) + " °C")
                .setting("Furnace", number(ashHours) + " h at " + number(ashCelsius) + " °C")
                .setting("Dry soil in a crucible", number(leastDrySoilG) + " to " + number(mostDrySoilG) + " g")
                .setting("Known soils first", knownsFirst + (knownsFirst == 1 ? " position" : " positions"))
                .setting("Largest loss that is possible", number(highestLoiPct) + " %")
                .duplicates(duplicateLimitPct, duplicateFloorPct)
                .amount("Dry " + number(dryHours) + " h at " + number(dryCelsius) + " °C")
                .step("Weigh the empty crucible, then " + number(leastDrySoilG) + " to " + number(mostDrySoilG)
                        + " g dry soil, in well order from A1.")
                .step("Then " + number(ashHours) + " h at " + number(ashCelsius)
                        + " °C and weigh again on the same balance.")
                .done();
    }
}
