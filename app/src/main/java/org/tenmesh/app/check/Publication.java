package org.tenmesh.app.check;

/**
 * A source of expected values.
 *
 * @param id its name in {@code proofs.csv}
 * @param text body or author, title, year
 * @param read where it was read when not in the publication itself; may be empty
 */
public record Publication(String id, String text, String read) {
    /** The publication, and where it was read. */
    public String cited() {
        return read.isEmpty() ? text : text + "; " + read;
    }
}
