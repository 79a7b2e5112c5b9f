package org.tenmesh.core.equipment;

import java.util.Optional;

/**
 * A lot or a piece of equipment by its name, which is what its label says and a scanner reads.
 *
 * @param name unique among things of its kind
 */
public record Thing(Kind kind, String name) implements Comparable<Thing> {
    private static final int LONGEST = 64;

    /** What has a label. */
    public enum Kind {
        LOT("lot"),
        EQUIPMENT("equipment");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in what is kept and on pages. */
        public String word() {
            return word;
        }
    }

    /** @throws IllegalArgumentException where the name cannot stand on a label: see {@link #isName} */
    public Thing {
        if (!isName(name)) {
            throw new IllegalArgumentException("a lot or a piece of equipment is named with 1 to " + LONGEST
                    + " printable characters without / and @ and without a blank at its ends, found \"" + name + "\"");
        }
    }

    public static Thing lot(String name) {
        return new Thing(Kind.LOT, name);
    }

    public static Thing equipment(String name) {
        return new Thing(Kind.EQUIPMENT, name);
    }

    /** Whether a text may name something. */
    public static boolean isName(String text) {
        return !text.isEmpty()
                && text.length() <= LONGEST
                && text.strip().equals(text)
                && text.chars().noneMatch(c -> c < ' ' || c == 0x7f || c == '/' || c == '@');
    }

    /** What stands among the causes of a result that it holds: {@code lot@B7-2611}. */
    public String key() {
        return kind.word() + "@" + name;
    }

    /** The thing of such a key; empty for any other key. */
    public static Optional<Thing> ofKey(String key) {
        for (Kind kind : Kind.values()) {
            String before = kind.word() + "@";
            if (key.startsWith(before) && isName(key.substring(before.length()))) {
                return Optional.of(new Thing(kind, key.substring(before.length())));
            }
        }
        return Optional.empty();
    }

    @Override
    public int compareTo(Thing other) {
        int byKind = kind.compareTo(other.kind);
        return byKind != 0 ? byKind : name.compareTo(other.name);
    }
}
