package org.tenmesh.store.programs;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What a token lets another program do. */
public enum Scope {
    /** Sends readings to the sources that are told by HTTP. */
    CAPTURE("send readings of instruments"),
    /** Follows changes: names of submissions and revisions, no client. */
    FEED("follow changes"),
    /** Registers submissions. */
    REGISTER("register submissions"),
    /** Reads submissions and released results, with the client's name and labels. */
    RESULTS("read submissions and released results");

    private final String phrase;

    Scope(String phrase) {
        this.phrase = phrase;
    }

    /** As it is typed and stored. */
    public String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    /** What it allows, for people. */
    public String phrase() {
        return phrase;
    }

    public static Optional<Scope> of(String word) {
        return Arrays.stream(values()).filter(one -> one.word().equals(word)).findFirst();
    }
}
