package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;
import static org.tenmesh.core.methods.MethodDescription.Text.source;

import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

/**
 * pH by glass electrode on a head of several probes, each calibrated by itself.
 *
 * @param soilG soil, g
 * @param liquidMl water or salt solution, mL; 0 when a paste is read as it is
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
    private static final String PH = "pH";
    private static final String POTENTIAL = "potential";

    public ElectrodeMethod {
        buffers = List.copyOf(buffers);
    }

    @Override
    public Map<String, Optional<Unit>> unitsRead() {
        Map<String, Optional<Unit>> units = new LinkedHashMap<>();
        units.put(POTENTIAL, Optional.of(Unit.MILLIVOLT));
        units.put("temperature", Optional.of(Unit.CELSIUS));
        units.put(PH, Optional.of(Unit.PH));
        return units;
    }

    @Override
    public Optional<String> rawSignal() {
        return Optional.of(POTENTIAL);
    }

    @Override
    public Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        units.put(POTENTIAL, "mV");
        units.put("temperature", "°C");
        units.put("slope_mv_per_ph", "");
        units.put("offset_mv", "mV");
        units.put("calibration_temperature", "°C");
        return units;
    }

    @Override
    public Optional<Unit> unitOfStandards(String analyte) {
        return Optional.of(Unit.PH);
    }

    /** A buffer's pH may stand under the analyte's own symbol or plainly under pH. */
    @Override
    public boolean mayBeStated(String symbol) {
        return analyte(symbol).isPresent() || symbol.equals(PH);
    }

    @Override
    public Optional<StandardCurve> standardCurve() {
        return Optional.of(new StandardCurve(
                Extraction.Shape.LINE, Extraction.Weighting.NONE, StandardCurve.Scatter.CONSTANT, PH));
    }

    @Override
    public double standardTolerance(double label, double lowestAboveZero, Analyte analyte) {
        return verificationTolerancePh;
    }

    @Override
    public OptionalDouble checkTolerance(double known, Analyte analyte) {
        return OptionalDouble.of(verificationTolerancePh);
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.of(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.OWN_CONTROL);
    }

    @Override
    public Optional<Channel> channel() {
        return Optional.of(new Channel("probe", "under"));
    }

    @Override
    public double duplicateLimit(Analyte analyte, double mean) {
        return duplicateLimitPh;
    }

    @Override
    public boolean isLogarithm() {
        return true;
    }

    @Override
    public String kind() {
        return "electrode";
    }

    @Override
    public double pouredMl() {
        return liquidMl;
    }

    @Override
    public MethodDescription description() {
        String name = head.analytes().isEmpty() ? PH : head.analytes().get(0).symbol();
        MethodDescription.Text text = new MethodDescription.Text("Read by electrode", "Read by glass electrode.")
                .formula(name, "7 − (E − E0) / S × (T0 + 273.15) / (T + 273.15)", "")
                .symbol("E", "potential in the suspension", "mV", "read")
                .symbol("T", "temperature of the suspension", "°C", "read")
                .symbol("E0", "potential at pH 7", "mV", "from the run's buffers, each probe its own")
                .symbol("S", "slope", "mV per pH", "from the run's buffers, each probe its own")
                .symbol("T0", "temperature of the buffers", "°C", "from the run's buffers");
        if (soilG > 0) {
            text.setting("Soil", number(soilG) + " g");
            if (liquidMl > 0) {
                text.setting("Liquid", number(liquidMl) + " mL")
                        .amount(number(soilG) + " g soil + " + number(liquidMl) + " mL");
            } else {
                text.amount("Electrode into the paste");
            }
        } else {
            text.amount("Electrode into the extract");
        }
        text.setting("Probes read together", Integer.toString(probes))
                .setting(
                        "Slope accepted",
                        number(slopeMinPct) + " to " + number(slopeMaxPct) + " % of the theoretical one")
                .setting("Potential at pH 7", "within ±" + number(offsetLimitMv) + " mV")
                .setting("Known buffer", "within ±" + number(verificationTolerancePh) + " of its pH")
                .setting("Possible pH", number(lowestPh) + " to " + number(highestPh))
                .setting("Two portions of one soil", "at most " + number(duplicateLimitPh) + " apart")
                .vessels()
                .step("The head reads " + probes + " vessels at a time; rinse between.");
        for (BufferTable buffer : buffers) {
            text.table("Buffer " + buffer.name(), "°C", PH, buffer.celsius(), buffer.ph(), source(buffer.source()));
        }
        return text.done();
    }
}
