package org.tenmesh.core.judgement;

import java.util.Optional;

/** The kinds of thing that can go wrong, under the names used in files and on pages. */
public enum CauseKind {
    CALIBRATION_REJECTED("calibration-rejected", Verdict.HOLD, "calibration rejected"),
    VERIFICATION_FAILED("verification-failed", Verdict.REDO, "known solution outside its limits"),
    BLANK_HIGH("blank-high", Verdict.REDO, "blank too high"),
    CONTROL_FAILED("control-failed", Verdict.REDO, "control soil outside its limits"),
    DRIFT("drift", Verdict.REDO, "drift along the run"),
    OVER_RANGE("over-range", Verdict.REDO, "above the calibrated range"),
    INTERNAL_STANDARD_LOST("internal-standard-lost", Verdict.REDO, "internal standard lost"),
    WEIGHING_IMPOSSIBLE("weighing-impossible", Verdict.REDO, "impossible weighing"),
    DUPLICATES_DISAGREE("duplicates-disagree", Verdict.REDO, "two portions disagree"),
    REPEATED_FILE("repeated-file", Verdict.HOLD, "the same readings came twice"),
    TRUNCATED_RUN("truncated-run", Verdict.HOLD, "run ends too early"),
    MISSING_READING("missing-reading", Verdict.HOLD, "reading missing");

    private final String word;
    private final Verdict verdict;
    private final String phrase;

    CauseKind(String word, Verdict verdict, String phrase) {
        this.word = word;
        this.verdict = verdict;
        this.phrase = phrase;
    }

    /** The name in files. */
    public String word() {
        return word;
    }

    /** What such a cause does to the determinations it touches. */
    public Verdict verdict() {
        return verdict;
    }

    /** The kind in plain words. */
    public String phrase() {
        return phrase;
    }

    /** The kind with this name, or empty. */
    public static Optional<CauseKind> of(String word) {
        for (CauseKind kind : values()) {
            if (kind.word.equals(word)) {
                return Optional.of(kind);
            }
        }
        return Optional.empty();
    }
}
