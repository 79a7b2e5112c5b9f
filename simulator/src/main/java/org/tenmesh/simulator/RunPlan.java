package org.tenmesh.simulator;

import java.time.OffsetDateTime;
import java.util.List;

/**
 * A run to be made.
 *
 * @param specimens soils and hidden controls in the order of their trays
 * @param readShare how much of it has been read when the day is looked at; 1 = all
 */
record RunPlan(
        String run,
        String method,
        String instrument,
        String operator,
        OffsetDateTime start,
        List<Specimen> specimens,
        double readShare) {}
