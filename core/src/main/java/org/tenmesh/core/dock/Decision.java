package org.tenmesh.core.dock;

/** What may be decided of an exception. */
public enum Decision {
    WITHOUT("without", "go on without it", "is not analysed"),
    GO_ON("go-on", "analyse it all the same", "is analysed all the same"),
    TAKE_IN("take-in", "take it in as a further soil of this submission", "is taken in as a further soil"),
    SET_ASIDE("set-aside", "keep it at the dock, apart", "is kept at the dock and not analysed"),
    SORTED("sorted", "bags were put in the order of the sheet", "bags were put in the order of the sheet"),
    AS_FOUND("as-found", "lay out in the order in which they were scanned", "are laid out in the order found"),
    AS_REGULATED("as-regulated", "handle as regulated", "is handled as regulated"),
    NOT_REGULATED("not-regulated", "not regulated", "was found not to be regulated");

    private final String word;
    private final String phrase;
    private final String told;

    Decision(String word, String phrase, String told) {
        this.word = word;
        this.phrase = phrase;
        this.told = told;
    }

    /** The word in what is kept. */
    public String word() {
        return word;
    }

    /** The choice as a person reads it. */
    public String phrase() {
        return phrase;
    }

    /** The end of a sentence about what it was decided on. */
    public String told() {
        return told;
    }
}
