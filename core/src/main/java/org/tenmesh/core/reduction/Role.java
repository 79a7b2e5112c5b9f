package org.tenmesh.core.reduction;

import java.util.Optional;

/** What a position is there for, as written in readings. */
public enum Role {
    /** Makes the calibration. */
    STANDARD,
    /** Judges the calibration: a known solution that made no part of it. */
    VERIFICATION,
    /** Went through the extraction with no soil. */
    BLANK,
    /** An open control soil. */
    CONTROL,
    /** A lab number; hidden controls look the same. */
    SAMPLE,
    /** Second portion of the lab number in the identity. */
    DUPLICATE,
    /** Rinses, says nothing of a soil. */
    WASH;

    /** The word used in files. */
    public String word() {
        return switch (this) {
            case STANDARD -> "standard";
            case VERIFICATION -> "verification";
            case BLANK -> "blank";
            case CONTROL -> "control";
            case SAMPLE -> "sample";
            case DUPLICATE -> "duplicate";
            case WASH -> "wash";
        };
    }

    /** The role with this word, or empty. */
    public static Optional<Role> of(String word) {
        return switch (word) {
            case "standard" -> Optional.of(STANDARD);
            case "verification" -> Optional.of(VERIFICATION);
            case "blank" -> Optional.of(BLANK);
            case "control" -> Optional.of(CONTROL);
            case "sample" -> Optional.of(SAMPLE);
            case "duplicate" -> Optional.of(DUPLICATE);
            case "wash" -> Optional.of(WASH);
            default -> Optional.empty();
        };
    }
}
