package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;

/** What was found so far while stored rows were compared with the journal. */
final class Findings {
    /** Of one kind and day so many rows are named; the others are counted. */
    static final int NAMED = 5;

    private final List<String> differences = new ArrayList<>();
    private final List<String> notCovered = new ArrayList<>();
    private final List<String> unreadable = new ArrayList<>();
    private long compared;

    void compared(long rows) {
        compared += rows;
    }

    void differs(String sentence) {
        differences.add(sentence);
    }

    /**
     * Several rows of one kind: the first few are named.
     *
     * @param what of which kind
     */
    void differ(List<String> sentences, String what) {
        differences.addAll(sentences.subList(0, Math.min(NAMED, sentences.size())));
        if (sentences.size() > NAMED) {
            differences.add(what + ": " + (sentences.size() - NAMED) + " more differ");
        }
    }

    void notCovered(String sentence) {
        notCovered.add(sentence);
    }

    void unreadable(String sentence) {
        unreadable.add(sentence);
    }

    RecordCheck check() {
        return new RecordCheck(compared, differences, notCovered, unreadable);
    }
}
