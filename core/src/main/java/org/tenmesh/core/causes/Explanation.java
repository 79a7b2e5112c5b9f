package org.tenmesh.core.causes;

import java.util.HashSet;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;

/**
 * One explanation of why readings of a method do not agree with the soils they are recorded under.
 *
 * @param soils rows it concerns
 * @param readings for each of these the row at which its reading is recorded; -1 = it was not read
 * @param ratio log10 likelihood ratio against every reading in its place, as the model of the soils gives it
 * @param needed the same from which it is looked at
 * @param weight what that is worth on the day's own soils
 * @param what happened, as the beginning of a sentence
 * @param gain what agrees better then, as its end
 * @param apart the next best explanation of the same kind of thing, where it was weighed
 */
record Explanation(
        CauseKind kind,
        MethodSoils method,
        int[] soils,
        int[] readings,
        double ratio,
        double needed,
        Weight weight,
        String what,
        String gain,
        String action,
        Optional<Finding.RunnerUp> apart) {
    /** Not yet weighed: nothing is told of it. */
    static final Weight UNWEIGHED = new Weight(0, Double.NEGATIVE_INFINITY, 0, "");

    Explanation(
            CauseKind kind,
            MethodSoils method,
            int[] soils,
            int[] readings,
            double ratio,
            double needed,
            String what,
            String action) {
        this(
                kind,
                method,
                soils,
                readings,
                ratio,
                needed,
                UNWEIGHED,
                what,
                ": put right, the results agree better with the soils' other results",
                action,
                Optional.empty());
    }

    /** The same of the same method on the table of another judging. */
    Explanation of(MethodSoils same) {
        return new Explanation(kind, same, soils, readings, ratio, needed, weight, what, gain, action, apart);
    }

    Explanation weighed(Weight its) {
        return new Explanation(kind, method, soils, readings, ratio, needed, its, what, gain, action, apart);
    }

    /** Whether it is evident enough to be told. */
    boolean convinces(double odds) {
        return ratio >= needed && weight.odds() >= odds;
    }

    Set<Integer> rows() {
        Set<Integer> rows = new HashSet<>();
        for (int row : soils) {
            rows.add(row);
        }
        return rows;
    }
}
