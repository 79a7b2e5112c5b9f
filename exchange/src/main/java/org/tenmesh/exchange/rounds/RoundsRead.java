package org.tenmesh.exchange.rounds;

import java.util.List;
import org.tenmesh.core.proficiency.RoundResult;
import org.tenmesh.exchange.file.Problem;

/**
 * What files of rounds gave.
 *
 * @param results in the order of the files and their lines
 * @param problems everything that could not be taken; a file with a problem gives no result
 */
public record RoundsRead(List<RoundResult> results, List<Problem> problems) {
    public RoundsRead {
        results = List.copyOf(results);
        problems = List.copyOf(problems);
    }
}
