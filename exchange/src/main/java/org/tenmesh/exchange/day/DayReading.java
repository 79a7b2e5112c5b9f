package org.tenmesh.exchange.day;

import java.util.List;
import java.util.Map;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.csv.ExtraColumns;
import org.tenmesh.exchange.file.Problem;

/**
 * What a day folder gave.
 *
 * @param day everything that could be taken
 * @param problems everything that could not, in the order of files and lines
 * @param usable whether the folder is a day at all
 * @param extras columns without a meaning here, by file name, kept for export
 * @param notes what was taken as it could be, or is used by nobody, and hinders nothing
 * @param rows where the rows of each file that is there ended
 */
public record DayReading(
        Day day,
        List<Problem> problems,
        boolean usable,
        Map<String, ExtraColumns> extras,
        List<Problem> notes,
        List<RowsOfFile> rows) {
    public DayReading {
        problems = List.copyOf(problems);
        extras = Map.copyOf(extras);
        notes = List.copyOf(notes);
        rows = List.copyOf(rows);
    }
}
