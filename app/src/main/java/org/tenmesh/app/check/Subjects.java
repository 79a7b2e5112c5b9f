package org.tenmesh.app.check;

import java.util.HashMap;
import java.util.Map;

/** All that the program can be asked, by the name that rows use. */
final class Subjects {
    private final Map<String, Subject> named = new HashMap<>();

    /** Adds a subject whose answer is a number. */
    void number(String name, Subject.Number subject) {
        named.put(name, subject);
    }

    /** Adds a subject whose answer is a text, or a number or text as the row asks. */
    void any(String name, Subject subject) {
        named.put(name, subject);
    }

    Map<String, Subject> named() {
        return Map.copyOf(named);
    }

    static IllegalArgumentException unknown(String quantity) {
        return new IllegalArgumentException("nothing is called " + quantity + " here");
    }
}
