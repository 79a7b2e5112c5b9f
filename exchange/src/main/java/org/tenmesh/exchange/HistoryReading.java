package org.tenmesh.exchange;

import java.util.List;
import org.tenmesh.core.charts.ControlHistory;

/**
 * What a history folder gave.
 *
 * @param days folders that were taken
 * @param problems everything that could not be taken; what is left counts
 */
public record HistoryReading(ControlHistory history, int days, List<Problem> problems) {
    public HistoryReading {
        problems = List.copyOf(problems);
    }
}
