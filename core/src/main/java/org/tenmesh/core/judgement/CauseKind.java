package org.tenmesh.core.judgement;

import java.util.Optional;

/** The kinds of thing that can go wrong, under the names used in files and on pages. */
public enum CauseKind {
    CALIBRATION_REJECTED("calibration-rejected", "calibration rejected"),
    VERIFICATION_FAILED("verification-failed", "check solution outside its limits"),
    BLANK_HIGH("blank-high", "blank outside its limit"),
    CONTROL_FAILED("control-failed", "control soil outside its limits"),
    CONTROL_MISSING("control-missing", "nothing was read that had to be judged before the soils"),
    CONTROL_TREND("control-trend", "control soils drifting"),
    CONTROL_MATERIAL_MISTAKEN("control-material-mistaken", "another control soil in the well"),
    STANDARD_WRONG("standard-wrong", "one standard is not what its label says"),
    DRIFT("drift", "drift along the run"),
    PORTION_WRONG("portion-wrong", "too much or too little soil or extractant"),
    DILUTION_MISMATCH("dilution-mismatch", "dilution differs from its record"),
    TRAY_TURNED("tray-turned", "tray turned end for end"),
    RUN_SHIFTED("run-shifted", "readings shifted along the run"),
    TRAYS_EXCHANGED("trays-exchanged", "two trays exchanged"),
    NEIGHBOURS_EXCHANGED("neighbours-exchanged", "two neighbours exchanged"),
    CHANNEL_BIAS("channel-bias", "one probe, balance or detector reads differently"),
    IMPLAUSIBLE_TOGETHER("implausible-together", "results that contradict each other"),
    CARRY_OVER("carry-over", "carried over from the sample before"),
    INTERFERENCE("interference", "another element in the signal"),
    OVER_RANGE("over-range", "above the calibrated range"),
    INTERNAL_STANDARD_LOST("internal-standard-lost", "internal standard lost"),
    WEIGHING_IMPOSSIBLE("weighing-impossible", "impossible weighing"),
    NOT_DRY("not-dry", "not dry before it was weighed"),
    DUPLICATES_DISAGREE("duplicates-disagree", "two portions disagree"),
    STORED_TOO_LONG("stored-too-long", "read from soil that was stored for longer than the method compares"),
    REPEATED_FILE("repeated-file", "the same readings came twice"),
    TRUNCATED_RUN("truncated-run", "run ends too early"),
    IMPOSSIBLE_READING("impossible-reading", "a reading that cannot be"),
    DEAD_LINE("dead-line", "one and the same reading for every soil"),
    MISSING_READING("missing-reading", "reading missing"),
    NOT_JUDGED("not-judged", "a question the program could not finish");

    private final String word;
    private final String phrase;

    CauseKind(String word, String phrase) {
        this.word = word;
        this.phrase = phrase;
    }

    /** The name in files. */
    public String word() {
        return word;
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
