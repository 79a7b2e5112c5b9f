package org.tenmesh.app.check;

/**
 * One published value held against what the program gives.
 *
 * @param id unique, such as {@code nist-norris-b0}
 * @param area what it belongs to: "regression", "pH", "Mehlich-3"
 * @param work the publication
 * @param place section, table or example in it
 * @param standing how far the expected value was verified
 * @param question what is asked of the program
 * @param expected as printed by the source
 * @param got what the program gives
 * @param tolerance how far they may differ, and why
 * @param passed whether they agree
 */
public record Check(
        String id,
        String area,
        Work work,
        String place,
        Standing standing,
        String question,
        String expected,
        String got,
        String tolerance,
        boolean passed) {

    /** The source in full: publication and place in it. */
    public String source() {
        return place.isEmpty() ? work.text() : work.text() + ", " + place;
    }
}
