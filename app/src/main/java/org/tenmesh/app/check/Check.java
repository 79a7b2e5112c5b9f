package org.tenmesh.app.check;

/**
 * One published value held against what the program gives.
 *
 * @param id unique, such as {@code nist-norris-b0}
 * @param proof what it belongs to
 * @param place section, table or example in the publication; may be empty
 * @param asked what is asked of the program, with the numbers put in
 * @param of method and symbol of a method, such as {@code olsen-p P}; empty when no shipped method is asked
 * @param expected as printed by the source
 * @param got what the program gives
 * @param tolerance how far they may differ, and why
 * @param passed whether they agree
 */
public record Check(
        String id,
        Proof proof,
        String place,
        String asked,
        String of,
        String expected,
        String got,
        String tolerance,
        boolean passed) {

    /** Whether a result of a method is checked, not a setting or a part of its calibration. */
    boolean isResult() {
        return !asked.startsWith("setting ") && !asked.startsWith("acceptance ");
    }

    /** The source in full: publication and place in it. */
    public String source() {
        String text = proof.publication().cited();
        return place.isEmpty() ? text : text + ", " + place;
    }
}
