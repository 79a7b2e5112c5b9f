package org.tenmesh.core.release;

import org.tenmesh.core.judgement.CauseKind;

/** Why a result is held back, in the words of a client's report: what went wrong for the soil, not which instrument of the laboratory. */
final class HeldWords {
    static final String INSTRUMENT_OUT_OF_USE = "the laboratory has taken the instrument out of use for now";

    static final String THING_IN_DOUBT =
            "a solution or a piece of equipment that it was made with was past its date or its check; under review";

    static final String LOOKED_BACK = "what was read since the last good check is being looked at again; under review";

    static final String NOT_FIT = "the quality checks of this result are not met";

    private HeldWords() {}

    /** What a kind of cause means to a client, without a full stop. */
    static String of(CauseKind kind) {
        return switch (kind) {
            case CALIBRATION_REJECTED -> "the calibration of the instrument was not accepted";
            case VERIFICATION_FAILED -> "a check of the instrument was outside its limits";
            case BLANK_HIGH -> "the blank was outside its limit";
            case CONTROL_FAILED -> "a control soil of known content was outside its limits";
            case CONTROL_MISSING -> "a check that comes before the soils was not read";
            case CONTROL_TREND -> "control soils of known content are drifting";
            case CONTROL_MATERIAL_MISTAKEN -> "a control soil of known content was not the one expected";
            case STANDARD_WRONG -> "a calibration standard was not as its label says";
            case DRIFT -> "the instrument drifted while soils were read";
            case PORTION_WRONG -> "too much or too little soil or extractant may have been taken";
            case DILUTION_MISMATCH -> "an extract may have been diluted otherwise than recorded";
            case TRAY_TURNED -> "the soils of a tray may have been read in reverse order";
            case RUN_SHIFTED -> "readings may belong to the soil beside this one";
            case TRAYS_EXCHANGED -> "two trays of soils may have been exchanged";
            case NEIGHBOURS_EXCHANGED -> "two soils beside each other may have been exchanged";
            case CHANNEL_BIAS -> "one probe, balance or detector differs from the others";
            case IMPLAUSIBLE_TOGETHER -> "the results of this soil contradict each other";
            case CARRY_OVER -> "the soil read before may have carried over";
            case INTERFERENCE -> "another element disturbs the reading";
            case OVER_RANGE -> "the content is above the calibrated range";
            case INTERNAL_STANDARD_LOST -> "the internal standard of the instrument was lost";
            case WEIGHING_IMPOSSIBLE -> "a weighing cannot be right";
            case NOT_DRY -> "the soil was not dry when it was weighed";
            case DUPLICATES_DISAGREE -> "two portions of the soil differ too much";
            case STORED_TOO_LONG -> "the soil had been stored for longer than the method compares";
            case REPEATED_FILE -> "the same readings were recorded twice";
            case TRUNCATED_RUN -> "the run ended before this soil was read";
            case IMPOSSIBLE_READING -> "a reading cannot be right";
            case DEAD_LINE -> "the instrument gave one and the same reading for every soil";
            case MISSING_READING -> "a reading is missing";
            case NOT_JUDGED -> "the quality checks are not complete";
        };
    }
}
