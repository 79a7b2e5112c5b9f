package org.tenmesh.core.charts;

import java.time.LocalDate;
import java.time.OffsetDateTime;

/**
 * What one control soil gave for one analyte.
 *
 * @param day the laboratory day: the date on which its first run started
 * @param at when its run started
 * @param failed whether its limit of the day called it failed: such a value has a cause of its own and is drawn, but teaches nothing
 */
public record ChartValue(
        ChartKey key, LocalDate day, OffsetDateTime at, String run, int position, double value, boolean failed) {
    /** The run it was read in, as one text: its name on its day. */
    String dayAndRun() {
        return day + " " + run;
    }
}
