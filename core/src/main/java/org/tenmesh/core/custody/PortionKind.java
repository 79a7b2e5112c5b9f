package org.tenmesh.core.custody;

/** What the ledger keeps account of. */
public enum PortionKind {
    PARCEL("parcel", "parcel", false),
    PACKAGING("packaging", "packaging", false),
    MELT_WATER("melt-water", "melt water", true),
    SOIL("soil", "soil", false),
    REJECTS("rejects", "rejects of the sieve", false),
    DUST("dust", "dust", false),
    SCOOP("scoop", "scoop", false),
    SUSPENSION("suspension", "suspension", false),
    EXTRACT("extract", "spent extract", true),
    FILTER("filter", "filter with soil", false),
    CUP("cup", "cup", true),
    CRUCIBLE("crucible", "crucible with ash", false),
    DRIED("dried", "dried portion", false),
    PASTE("paste", "paste", false),
    SPILL("spill", "spill", false),
    WASHINGS("washings", "washings", true);

    private final String word;
    private final String phrase;
    private final boolean liquid;

    PortionKind(String word, String phrase, boolean liquid) {
        this.word = word;
        this.phrase = phrase;
        this.liquid = liquid;
    }

    /** The word in what is kept and in addresses. */
    public String word() {
        return word;
    }

    /** The words for people. */
    public String phrase() {
        return phrase;
    }

    /** Whether it is mostly water, so that rules for effluent apply. */
    public boolean liquid() {
        return liquid;
    }

    /** By its word. */
    public static PortionKind of(String word) {
        for (PortionKind kind : values()) {
            if (kind.word.equals(word)) {
                return kind;
            }
        }
        throw new IllegalArgumentException("no kind of portion is called \"" + word + "\"");
    }
}
