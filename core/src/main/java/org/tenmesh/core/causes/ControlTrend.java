package org.tenmesh.core.causes;

import java.util.List;
import java.util.Set;
import org.tenmesh.core.judgement.Measure;

/**
 * One thing the charts say of today.
 *
 * @param run the instrument's last run of the day with control soils of this method
 * @param analytes it concerns
 * @param runs every run of the instrument with that method today
 * @param severe whether it holds what was read
 * @param evidence one sentence; names no material and no lab number
 * @param measures the weighted averages beside their limits; of no material
 */
public record ControlTrend(
        String run,
        String method,
        String instrument,
        List<String> analytes,
        Set<String> runs,
        boolean severe,
        String evidence,
        String action,
        List<Measure> measures) {
    public ControlTrend {
        analytes = List.copyOf(analytes);
        measures = List.copyOf(measures);
        runs = Set.copyOf(runs);
    }
}
