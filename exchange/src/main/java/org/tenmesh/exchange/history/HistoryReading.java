package org.tenmesh.exchange.history;

import java.util.List;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.exchange.file.Problem;

/**
 * What a history folder gave.
 *
 * @param history of the control soils
 * @param soils fit results of clients' soils, of the newest days
 * @param days folders that were taken
 * @param problems everything that could not be taken; what is left counts
 */
public record HistoryReading(ControlHistory history, EarlierSoils soils, int days, List<Problem> problems) {
    public HistoryReading {
        problems = List.copyOf(problems);
    }
}
