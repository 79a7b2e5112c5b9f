package org.tenmesh.core.causes;

import java.util.Set;
import org.tenmesh.core.judgement.Finding;

/**
 * One thing that only the day as a whole shows to be wrong in a run.
 *
 * @param run the run's name
 * @param labNumbers what it touches there
 */
record DayFinding(String run, Finding finding, Set<String> labNumbers) {
    DayFinding {
        labNumbers = Set.copyOf(labNumbers);
    }
}
