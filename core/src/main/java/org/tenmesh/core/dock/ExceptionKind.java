package org.tenmesh.core.dock;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/** What can be wrong with a box that came, and what may be decided of it. */
public enum ExceptionKind {
    MISSING("missing", "missing bag", By.PROGRAM, Decision.WITHOUT),
    EXTRA("extra", "bag that is not on the sheet", By.PROGRAM, Decision.TAKE_IN, Decision.SET_ASIDE),
    COUNT("count", "count does not agree", By.PROGRAM),
    WRONG_ORDER("wrong-order", "wrong order", By.PROGRAM, Decision.SORTED, Decision.AS_FOUND),
    DUPLICATE("duplicate", "label more than once", By.BOTH, Decision.GO_ON, Decision.WITHOUT),
    NO_ORIGIN("no-origin", "no origin", By.PROGRAM, Decision.AS_REGULATED),
    ORIGIN_UNCLEAR(
            "origin-unclear", "origin to be looked at", By.PROGRAM, Decision.AS_REGULATED, Decision.NOT_REGULATED),
    NO_PERMIT("no-permit", "no permit that fits", By.PROGRAM),
    WET("wet", "wet", By.PERSON, Decision.GO_ON, Decision.WITHOUT),
    BROKEN("broken", "broken bag", By.PERSON, Decision.GO_ON, Decision.WITHOUT),
    TOO_LITTLE("too-little", "too little soil", By.PERSON, Decision.GO_ON, Decision.WITHOUT),
    ILLEGIBLE("illegible", "illegible label", By.PERSON, Decision.GO_ON, Decision.WITHOUT),
    OTHER("other", "something else", By.PERSON, Decision.GO_ON, Decision.WITHOUT);

    private enum By {
        PROGRAM,
        PERSON,
        BOTH
    }

    private final String word;
    private final String phrase;
    private final By by;
    private final List<Decision> decisions;

    ExceptionKind(String word, String phrase, By by, Decision... decisions) {
        this.word = word;
        this.phrase = phrase;
        this.by = by;
        this.decisions = List.of(decisions);
    }

    /** The word in what is kept. */
    public String word() {
        return word;
    }

    /** The words for people. */
    public String phrase() {
        return phrase;
    }

    /** Whether a person says it of a bag; otherwise it follows from what was counted and read. */
    public boolean saidByPerson() {
        return by != By.PROGRAM;
    }

    /** What may be decided; empty where only a fact settles it, such as another count or a permit. */
    public List<Decision> decisions() {
        return decisions;
    }

    public static Optional<ExceptionKind> of(String word) {
        return Arrays.stream(values()).filter(kind -> kind.word.equals(word)).findFirst();
    }
}
