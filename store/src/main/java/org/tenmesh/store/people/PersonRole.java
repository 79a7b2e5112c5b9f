package org.tenmesh.store.people;

import java.util.Locale;

/** What a person is in the laboratory; decides which pages open. */
public enum PersonRole {
    IN_CHARGE("in charge"),
    QUALITY("quality"),
    BENCH("bench"),
    CLIENT_SERVICE("client service"),
    AUDITOR("auditor");

    private final String phrase;

    PersonRole(String phrase) {
        this.phrase = phrase;
    }

    /** The name in the database and in addresses: {@code in-charge}. */
    public String word() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** In words for a page. */
    public String phrase() {
        return phrase;
    }
}
