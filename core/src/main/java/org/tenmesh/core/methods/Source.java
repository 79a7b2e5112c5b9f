package org.tenmesh.core.methods;

/**
 * Where a method or a number comes from.
 *
 * @param text body or author, title, year, section or table
 * @param standing how far it was checked
 */
public record Source(String text, Standing standing) {
    /** How far a source was checked. */
    public enum Standing {
        /** The text was read. */
        READ("read"),
        /** Common practice in the trade; no one source. */
        COMMON_PRACTICE("common practice"),
        /** Recalled, not read again. */
        FROM_MEMORY("from memory");

        private final String word;

        Standing(String word) {
            this.word = word;
        }

        /** The word used in files and on pages. */
        public String word() {
            return word;
        }
    }
}
