package org.tenmesh.core.methods;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.quantity.Unit;

/** A calibrated extraction, whatever reads it. */
public interface ExtractionMethod extends Method {
    /** Ratio, calibration and limits. */
    Extraction extraction();

    /** The signals read, one preferred for each analyte. */
    @Override
    List<Extraction.Line> lines();

    /** The largest signal the detector can give, in the unit of its readings; a reading there says nothing but "saturated". */
    OptionalDouble saturation();

    /** The unit of the signals. */
    Unit unitOfSignals();

    /** What every calibrated extraction says of itself, whatever reads it. */
    default MethodDescription.Text described(String heading, String reading) {
        MethodDescription.Text text = new MethodDescription.Text(heading, reading);
        extraction().describe(text, head().analytes());
        text.note("Signals: "
                + String.join(
                        ", ",
                        lines().stream()
                                .map(line -> line.quantity() + " for " + line.element()
                                        + (line.preferred() ? "" : ", to compare"))
                                .toList())
                + ".");
        saturation()
                .ifPresent(most -> text.setting(
                        "Saturated from",
                        MethodDescription.Text.number(most) + " "
                                + unitOfSignals().spelling()));
        return text;
    }

    @Override
    default String soilTaken() {
        return extraction().basis() == Extraction.Basis.VOLUME
                ? MethodDescription.Text.number(extraction().scoopMl()) + " mL scoop, level"
                : Method.super.soilTaken();
    }

    @Override
    default double pouredMl() {
        return extraction().basis() == Extraction.Basis.EXTRACT
                ? 0
                : extraction().extractMl();
    }

    @Override
    default Optional<Extraction> extract() {
        return Optional.of(extraction());
    }

    @Override
    default Map<String, Optional<Unit>> unitsRead() {
        Map<String, Optional<Unit>> units = new LinkedHashMap<>();
        lines().forEach(line -> units.put(line.quantity(), Optional.of(unitOfSignals())));
        internalStandard().ifPresent(line -> units.put(line, Optional.of(unitOfSignals())));
        return units;
    }

    /** Preferred lines of which the run has no second one either, and the internal standard. */
    @Override
    default List<String> lacking(Collection<String> read) {
        List<String> lacking = new ArrayList<>();
        lines().stream()
                .filter(line -> line.preferred() && !read.contains(line.quantity()))
                .filter(line -> lines().stream()
                        .noneMatch(other -> other.element().equals(line.element()) && read.contains(other.quantity())))
                .forEach(line -> lacking.add(line.quantity()));
        internalStandard().filter(line -> !read.contains(line)).ifPresent(lacking::add);
        return lacking;
    }

    @Override
    default Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        units.put("extract_mg_per_l", "");
        units.put("blank_mg_per_l", "");
        units.put("dilution", "");
        return units;
    }

    @Override
    default Optional<Unit> unitOfStandards(String analyte) {
        return Optional.of(Unit.MILLIGRAM_PER_LITRE);
    }

    /** As it may read back, and at least the reporting limit. */
    @Override
    default double standardTolerance(double label, double lowestAboveZero, Analyte analyte) {
        Extraction.Acceptance acceptance = extraction().acceptance();
        double pct = label <= lowestAboveZero ? acceptance.lowReadbackPct() : acceptance.readbackPct();
        return Math.max(
                pct / 100 * Math.max(label, lowestAboveZero), extraction().reportingLimitMgPerL(analyte));
    }

    @Override
    default OptionalDouble checkTolerance(double known, Analyte analyte) {
        return OptionalDouble.of(Math.max(
                extraction().verificationTolerancePct() / 100 * Math.abs(known),
                extraction().reportingLimitMgPerL(analyte)));
    }

    @Override
    default boolean sensitivityDrifts() {
        return true;
    }

    @Override
    default double duplicateLimit(Analyte analyte, double mean) {
        return Math.max(analyte.scatterNearZero(), extraction().duplicateLimitPct() / 100 * mean);
    }
}
