package org.tenmesh.core.desk;

/** What a person does about a cause. */
public enum Action {
    /** Make the touched determinations again from tray or shelf. */
    ORDER_REDO("order-redo", "redo ordered", false),
    /** Let the touched determinations stand; needs a reason. */
    ACCEPT("accept", "accepted", true),
    /** Keep the instrument from running; needs a reason. */
    SHUT_GATE("shut-gate", "gate shut", true),
    /** Let the instrument run again. */
    OPEN_GATE("open-gate", "gate opened", false),
    /** Take back an order or an acceptance, as long as nothing was done on it. */
    WITHDRAW("withdraw", "decision withdrawn", false);

    private final String word;
    private final String phrase;
    private final boolean needsReason;

    Action(String word, String phrase, boolean needsReason) {
        this.word = word;
        this.phrase = phrase;
        this.needsReason = needsReason;
    }

    /** The name in the database, the journal and addresses. */
    public String word() {
        return word;
    }

    /** What was done, in words for a page. */
    public String phrase() {
        return phrase;
    }

    /** Whether it is refused without a reason. */
    public boolean needsReason() {
        return needsReason;
    }
}
