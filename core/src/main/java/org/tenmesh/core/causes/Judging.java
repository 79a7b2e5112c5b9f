package org.tenmesh.core.causes;

import java.util.List;

/**
 * A day while it is judged.
 *
 * @param results with the names of what touches them as causes
 * @param found everything that went wrong, in the order of runs
 */
record Judging(List<Result> results, List<Found> found) {
    Judging {
        results = List.copyOf(results);
        found = List.copyOf(found);
    }
}
