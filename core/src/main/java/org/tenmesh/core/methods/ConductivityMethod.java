package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;
import static org.tenmesh.core.methods.MethodDescription.Text.source;

import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

/**
 * Electrical conductivity of a suspension or an extract: conductance in mS/cm and temperature in °C, brought to 25 °C.
 *
 * @param soilG soil, g; 0 when an extract is read as it comes
 * @param liquidMl water, mL; 0 when an extract is read as it comes
 * @param compensation how a reading is brought to 25 °C
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
        Compensation compensation,
        double cellMin,
        double cellMax,
        double verificationTolerancePct,
        double highestDsPerM,
        double duplicateLimitPct)
        implements Method {
    /**
     * EC at 25 °C = EC read at t x f(t) / f(25), {@code f(t) = constant + height exp(-t / decay)}, so that a reading at 25 °C stays what it is.
     *
     * @param constant of the printed function
     * @param height of the printed function
     * @param decayCelsius of the printed function, °C
     * @param lowestCelsius below this temperature there is no result
     * @param highestCelsius above this temperature there is no result
     * @param source where the function was read
     */
    public record Compensation(
            double constant,
            double height,
            double decayCelsius,
            double lowestCelsius,
            double highestCelsius,
            Source source) {
        private static final double AT = 25;

        /** The factor that brings a conductivity at this temperature to 25 °C; NaN outside the temperatures it holds for. */
        public double factor(double celsius) {
            return celsius >= lowestCelsius && celsius <= highestCelsius ? printed(celsius) / printed(AT) : Double.NaN;
        }

        private double printed(double celsius) {
            return constant + height * Math.exp(-celsius / decayCelsius);
        }
    }

    @Override
    public Map<String, Optional<Unit>> unitsRead() {
        Map<String, Optional<Unit>> units = new LinkedHashMap<>();
        units.put("conductance", Optional.of(Unit.MILLISIEMENS_PER_CENTIMETRE));
        units.put("temperature", Optional.of(Unit.CELSIUS));
        return units;
    }

    @Override
    public Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        units.put("conductance", "mS/cm");
        units.put("temperature", "°C");
        units.put("cell_factor", "");
        units.put("dilution", "");
        return units;
    }

    @Override
    public OptionalDouble checkTolerance(double known, Analyte analyte) {
        return OptionalDouble.of(verificationTolerancePct / 100 * Math.abs(known));
    }

    @Override
    public boolean sensitivityDrifts() {
        return true;
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.of(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.OWN_CONTROL);
    }

    @Override
    public Optional<Channel> channel() {
        return Optional.of(new Channel("cell", "in"));
    }

    @Override
    public double duplicateLimit(Analyte analyte, double mean) {
        return Math.max(analyte.scatterNearZero(), duplicateLimitPct / 100 * mean);
    }

    @Override
    public String kind() {
        return "conductivity";
    }

    @Override
    public double pouredMl() {
        return liquidMl;
    }

    @Override
    public MethodDescription description() {
        String name = head.analytes().isEmpty() ? "EC" : head.analytes().get(0).symbol();
        MethodDescription.Text text = new MethodDescription.Text(
                        "Read by conductivity cell", "Read by conductivity cell.")
                .formula(name, "G × cell × f(T) × D", "dS/m")
                .symbol("G", "conductance as read", "mS/cm", "read")
                .symbol("T", "temperature", "°C", "read")
                .symbol("cell", "cell factor: known over read, from the run's standards", "", "")
                .symbol(
                        "f",
                        "factor to 25 °C: (a + b exp(−T / c)) / (a + b exp(−25 / c)), a "
                                + number(compensation.constant())
                                + ", b " + number(compensation.height()) + ", c "
                                + number(compensation.decayCelsius()) + " °C",
                        "",
                        source(compensation.source()))
                .symbol("D", "dilution", "", "1 or more");
        if (soilG > 0) {
            text.setting("Soil", number(soilG) + " g")
                    .setting("Water", number(liquidMl) + " mL")
                    .amount(number(soilG) + " g soil + " + number(liquidMl) + " mL water");
        } else {
            text.setting("Read", "the extract as it comes").amount("Cell into the extract");
        }
        return text.setting("Cell factor accepted", number(cellMin) + " to " + number(cellMax))
                .setting("Check solution", "within " + number(verificationTolerancePct) + " %")
                .setting("To be diluted above", number(highestDsPerM) + " dS/m")
                .duplicates(duplicateLimitPct, 0)
                .setting(
                        "Temperatures",
                        number(compensation.lowestCelsius()) + " to " + number(compensation.highestCelsius())
                                + " °C; outside them there is no result")
                .vessels()
                .step("Rinse the cell with the next suspension, and let the temperature settle.")
                .done();
    }
}
