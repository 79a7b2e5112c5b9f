package org.tenmesh.core.equipment;

import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/** What follows where something is used that should not be; each one includes those before it. */
public enum Consequence {
    /** It is said. */
    WARN("warned of"),
    /** What is read with it is held until somebody lets it stand, or until what is wrong has been put right. */
    HOLD("held"),
    /** Nothing may begin with it; a reading that comes all the same is kept and held. */
    REFUSE("refused");

    private final String phrase;

    Consequence(String phrase) {
        this.phrase = phrase;
    }

    /** The words for people. */
    public String phrase() {
        return phrase;
    }

    /** Whether results are held. */
    public boolean holds() {
        return this != WARN;
    }

    static Consequence of(Policy policy, Setting setting) {
        return values()[policy.whole(setting)];
    }
}
