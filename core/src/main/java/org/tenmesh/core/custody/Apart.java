package org.tenmesh.core.custody;

import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;

/** Whether a layout keeps regulated soil apart. */
public final class Apart {
    private Apart() {}

    /**
     * Why a layout does not fit the bookings it is made of; empty where it does: each may be laid out, each of its soils is as regulated as it is, all
     * of them are there, and no tray holds soil of both kinds.
     *
     * @param bookings as they stand now
     * @param soils with the hidden controls, which are as regulated as what lies beside them
     */
    public static Optional<String> refusal(List<Booking> bookings, Collection<Soil> soils, Collection<Tray> trays) {
        Map<LabNumber, Boolean> regulated = new HashMap<>();
        soils.forEach(soil -> regulated.put(soil.labNumber(), soil.regulated().orElse(true)));
        for (Booking booking : bookings) {
            String name = booking.expected().submission();
            if (!booking.mayBeLaidOut()) {
                return Optional.of("Submission " + name + " is not booked in any more, or an exception of it is open.");
            }
            List<Soil> its = soils.stream()
                    .filter(soil -> soil.submission().equals(Optional.of(name)))
                    .toList();
            if (its.size() != booking.soils().size()) {
                return Optional.of("Submission " + name + " has changed since its layout was made.");
            }
            if (its.stream().anyMatch(soil -> !soil.regulated().equals(Optional.of(booking.regulated())))) {
                return Optional.of("Submission " + name + " is " + (booking.regulated() ? "" : "not ")
                        + "regulated, and was laid out otherwise. Lay it out again.");
            }
        }
        for (Tray tray : trays) {
            long kinds = tray.wells().stream()
                    .map(Tray.Place::labNumber)
                    .flatMap(Optional::stream)
                    .map(number -> regulated.getOrDefault(number, true))
                    .distinct()
                    .count();
            if (kinds > 1) {
                return Optional.of("Tray " + tray.tray() + " holds regulated and ordinary soil.");
            }
        }
        return Optional.empty();
    }
}
