package org.tenmesh.simulator;

import java.time.OffsetDateTime;
import java.util.List;
import org.tenmesh.core.intake.LabNumber;

/**
 * Soils of a simulated day that are to be read again from new portions, with nothing gone wrong.
 *
 * @param run name of the new run; its errors are drawn for this name
 * @param method one that reads soils on a day of the scenario
 * @param start when its first standard is read
 * @param soils clients' soils and hidden controls, in the order in which they stand
 */
public record ReadAgain(
        String run, String method, String instrument, String operator, OffsetDateTime start, List<LabNumber> soils) {
    public ReadAgain {
        soils = List.copyOf(soils);
    }
}
