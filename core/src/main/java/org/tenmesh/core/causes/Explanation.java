package org.tenmesh.core.causes;

import java.util.HashSet;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.quantity.Times;

/**
 * One explanation of why readings of a method do not agree with the soils they are recorded under.
 *
 * @param soils rows it concerns
 * @param readings for each of these the row at which its reading is recorded; -1 = it was not read
 * @param odds log10, against every reading in its place
 * @param needed the same from which it is told
 * @param what happened, as the beginning of a sentence
 * @param gain what agrees better then, as its end
 * @param apart the next best explanation of the same kind of thing, where it was weighed
 */
record Explanation(
        CauseKind kind,
        MethodSoils method,
        int[] soils,
        int[] readings,
        double odds,
        double needed,
        String what,
        String gain,
        String action,
        Optional<Finding.RunnerUp> apart) {
    Explanation(
            CauseKind kind,
            MethodSoils method,
            int[] soils,
            int[] readings,
            double odds,
            double needed,
            String what,
            String action) {
        this(
                kind,
                method,
                soils,
                readings,
                odds,
                needed,
                what,
                ": the results then agree " + Times.text(odds) + " better with the soils' other results",
                action,
                Optional.empty());
    }

    /** The same of the same method on the table of another judging. */
    Explanation of(MethodSoils same) {
        return new Explanation(kind, same, soils, readings, odds, needed, what, gain, action, apart);
    }

    Set<Integer> rows() {
        Set<Integer> rows = new HashSet<>();
        for (int row : soils) {
            rows.add(row);
        }
        return rows;
    }
}
