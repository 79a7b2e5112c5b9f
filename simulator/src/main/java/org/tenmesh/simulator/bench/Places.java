package org.tenmesh.simulator.bench;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.simulator.soils.Specimen;

/**
 * Where the soils of a day lie and who sent them.
 *
 * @param trays all of the day, in order
 * @param specimens what lies under each lab number of the trays
 * @param origins of clients' soils; hidden controls have none
 * @param seenAs how a method sees a specimen
 */
public record Places(
        List<Tray> trays,
        Map<LabNumber, Specimen> specimens,
        Map<LabNumber, Origin> origins,
        UnaryOperator<Specimen> seenAs) {
    /**
     * Who sent a soil.
     *
     * @param field a name within the submission
     */
    public record Origin(String submission, String field) {}

    /** These places for a method that sees their soils otherwise. */
    public Places seen(UnaryOperator<Specimen> otherwise) {
        return new Places(trays, specimens, origins, otherwise);
    }

    /** The soil with a number. */
    Specimen specimen(LabNumber number) {
        Specimen specimen = specimens.get(number);
        if (specimen == null) {
            throw new IllegalArgumentException("no tray holds " + number);
        }
        return seenAs.apply(specimen);
    }

    Optional<Origin> origin(Specimen specimen) {
        return Optional.ofNullable(origins.get(specimen.number()));
    }

    /** What lies in a tray, by well; wells that hold nothing are left out. */
    static Map<Well, LabNumber> inside(Tray tray) {
        Map<Well, LabNumber> inside = new TreeMap<>();
        for (Tray.Place place : tray.wells()) {
            place.labNumber().ifPresent(number -> inside.put(place.well(), number));
        }
        return inside;
    }
}
