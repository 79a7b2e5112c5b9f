package org.tenmesh.core.desk;

import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.methods.Method;

/** What an order makes the bench do. */
public enum Work {
    /** Look how the tray lies, then take new portions. */
    LOOK("look and redo"),
    /** Take new portions. */
    REDO("redo"),
    /** Read the extracts once more; nothing is taken from a well. */
    CHECK_READING("check reading"),
    /** Read the extracts once more, diluted. */
    DILUTION("dilution");

    private final String word;

    Work(String word) {
        this.word = word;
    }

    /** What it is called on pages and in files. */
    public String word() {
        return word;
    }

    /** Whether new portions are taken from the wells. */
    public boolean takesPortions() {
        return this == LOOK || this == REDO;
    }

    /**
     * What a cause of this kind asks for. Where a reading is to blame and not a portion, and an extract is kept that can be read again, the
     * extract is read again; where soils may lie in the wrong places, somebody looks first.
     */
    public static Work of(CauseKind kind, Method method) {
        boolean extract = method.extract().isPresent();
        return switch (kind) {
            case TRAY_TURNED, TRAYS_EXCHANGED, NEIGHBOURS_EXCHANGED, RUN_SHIFTED -> LOOK;
            case OVER_RANGE -> extract ? DILUTION : REDO;
            case CALIBRATION_REJECTED,
                    VERIFICATION_FAILED,
                    CONTROL_MISSING,
                    STANDARD_WRONG,
                    DRIFT,
                    DILUTION_MISMATCH,
                    CHANNEL_BIAS,
                    CARRY_OVER,
                    INTERNAL_STANDARD_LOST,
                    REPEATED_FILE,
                    TRUNCATED_RUN,
                    IMPOSSIBLE_READING,
                    DEAD_LINE,
                    MISSING_READING -> extract ? CHECK_READING : REDO;
            case BLANK_HIGH,
                    CONTROL_FAILED,
                    CONTROL_TREND,
                    CONTROL_MATERIAL_MISTAKEN,
                    PORTION_WRONG,
                    IMPLAUSIBLE_TOGETHER,
                    INTERFERENCE,
                    WEIGHING_IMPOSSIBLE,
                    NOT_DRY,
                    DUPLICATES_DISAGREE,
                    STORED_TOO_LONG,
                    NOT_JUDGED -> REDO;
        };
    }
}
