package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;

/**
 * One known thing read: a solution, a blank or a control soil, for one analyte.
 *
 * @param row where in the run
 * @param identity what was read
 * @param deviation signed, in units of what is allowed
 * @param evidence the phrase that states it, made only when it is wanted
 * @param measure the same as a number, made only when it is wanted
 */
record Check(int row, String identity, double deviation, Supplier<String> evidence, Supplier<Measure> measure) {
    boolean passes() {
        return Math.abs(deviation) <= 1;
    }

    static Check worst(List<Check> checks) {
        return checks.stream()
                .max(Comparator.comparingDouble(check -> Math.abs(check.deviation())))
                .orElseThrow();
    }

    /** What decides a gate: before the first soil a known thing may be read again, and its last reading counts. */
    static List<Check> atTheGate(List<Check> checks, int firstSoil) {
        Map<String, Check> last = new LinkedHashMap<>();
        for (Check check : checks) {
            if (check.row() < firstSoil) {
                last.put(check.identity(), check);
            }
        }
        return List.copyOf(last.values());
    }

    /** What happens to a stretch of soils between two checks that passed, when those between them failed. */
    interface Bracket {
        /**
         * @param before every check before the first failing one, in order
         * @param failing the failing ones
         * @param first row after the last check that passed
         * @param last row before the next one that passes, or the last soil
         */
        void fails(List<Check> before, List<Check> failing, int first, int last);
    }

    /** Walks the checks after the first soil and reports each bracket of failing ones. */
    static void brackets(List<Check> checks, RunTable table, Bracket bracket) {
        int lastPass = table.firstSoil() - 1;
        List<Check> before = new ArrayList<>();
        List<Check> failing = new ArrayList<>();
        for (Check check : checks) {
            if (check.row() < table.firstSoil()) {
                before.add(check);
            } else if (!check.passes()) {
                failing.add(check);
            } else {
                if (!failing.isEmpty()) {
                    bracket.fails(before, failing, lastPass + 1, check.row() - 1);
                    before.addAll(failing);
                    failing = new ArrayList<>();
                }
                before.add(check);
                lastPass = check.row();
            }
        }
        if (!failing.isEmpty()) {
            bracket.fails(before, failing, lastPass + 1, table.lastSoil());
        }
    }
}
