package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jdbi.v3.core.Handle;

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

    /** Rows as one text each, by the journal and as they are stored. */
    static final class Rows {
        private Rows() {}

        /** {@link #compare}, where the newest row counts: both queries in order. */
        static void compareInOrder(
                Handle handle, Findings found, String inJournal, String stored, String one, String several) {
            int before = found.differences.size();
            compare(handle, found, inJournal, stored, one, several);
            if (found.differences.size() == before && !texts(handle, inJournal).equals(texts(handle, stored))) {
                found.differs(several + " stand in another order than in the journal");
            }
        }

        /**
         * Compares two queries of one text a row.
         *
         * @param one what stands before the text of a row
         * @param several of which kind, where many differ
         */
        static void compare(
                Handle handle, Findings found, String inJournal, String stored, String one, String several) {
            List<String> said = texts(handle, inJournal);
            Map<String, Integer> left = new LinkedHashMap<>();
            texts(handle, stored).forEach(text -> left.merge(text, 1, Integer::sum));
            found.compared(said.size());
            List<String> gone = said.stream()
                    .filter(text -> {
                        Integer rest = left.computeIfPresent(text, (key, n) -> n - 1);
                        return rest == null || rest < 0;
                    })
                    .toList();
            found.differ(
                    gone.stream()
                            .map(text -> one + text + ": it is in the journal and not stored so")
                            .toList(),
                    several);
            found.differ(
                    left.entrySet().stream()
                            .filter(text -> text.getValue() > 0)
                            .map(text -> one + text.getKey()
                                    + ": it is not in the journal, so it was put in outside the program")
                            .toList(),
                    several);
        }

        // A row that lost what it refers to has no text; it is told all the same.
        private static List<String> texts(Handle handle, String query) {
            return handle.createQuery(query)
                    .map((rs, ctx) -> String.valueOf(rs.getString(1)))
                    .list();
        }
    }

    RecordCheck check() {
        return new RecordCheck(compared, differences, notCovered, unreadable);
    }
}
