package org.tenmesh.core.equipment;

import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/**
 * What is wrong with a lot or a piece of equipment at some instant.
 *
 * @param says one sentence without a full stop: what, and since when or until when
 */
public record Finding(Thing thing, Wrong wrong, String says) {
    /** What can be wrong. */
    public enum Wrong {
        EXPIRED("expired", Setting.LOT_EXPIRED),
        OVERDUE("overdue", Setting.EQUIPMENT_OVERDUE),
        CHECK_FAILED("check failed", Setting.EQUIPMENT_CHECK_FAILED),
        OUT_OF_SERVICE("out of service", Setting.EQUIPMENT_OUT_OF_SERVICE);

        private final String phrase;
        private final Setting setting;

        Wrong(String phrase, Setting setting) {
            this.phrase = phrase;
            this.setting = setting;
        }

        /** The words for people. */
        public String phrase() {
            return phrase;
        }
    }

    /** What follows from it. */
    public Consequence consequence(Policy policy) {
        return Consequence.of(policy, wrong.setting);
    }
}
