package org.tenmesh.exchange.day;

import java.util.List;

/** The names of the files of a day folder. */
public final class DayFiles {
    public static final String SUBMISSIONS = "submissions.csv";
    public static final String SAMPLES = "samples.csv";
    static final String TRAYS = "trays.csv";
    static final String CONTROLS = "controls.csv";
    static final String MATERIALS = "materials.csv";
    static final String STANDARDS = "standards.csv";
    static final String PACKAGES = "packages.csv";
    static final String SHORTAGES = "shortages.csv";
    public static final String RUNS = "runs.csv";
    static final String READINGS = "readings";
    static final String LABORATORY = "laboratory.yaml";

    /** All of them. */
    static final List<String> FILES = List.of(
            SUBMISSIONS,
            SAMPLES,
            PACKAGES,
            SHORTAGES,
            TRAYS,
            CONTROLS,
            MATERIALS,
            STANDARDS,
            RUNS,
            LABORATORY,
            READINGS);

    /** How the sentence of a file that is left out goes on. */
    static final String REST = ", the other files are judged";

    private DayFiles() {}

    /** Whether a name may name a run, and so its file. */
    static boolean namesARun(String run) {
        return !run.isEmpty()
                && run.length() <= 100
                && run.chars().noneMatch(c -> c < ' ' || "/\\:*?\"<>|".indexOf(c) >= 0)
                && !run.startsWith(".")
                && !run.endsWith(".")
                && run.strip().equals(run);
    }
}
