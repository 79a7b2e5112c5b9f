package org.tenmesh.app.check;

/**
 * What a group of checks proves: one formula, rule or table from one source, however many rows repeat it.
 *
 * @param id its name in the tables of checks
 * @param group what it is counted under: "Calibration", "Derived quantities"
 * @param publication where its expected values come from
 * @param standing how far they were verified
 * @param nature whether the program calculates them or holds them itself
 * @param place section, table or example in the publication, where a row does not name another
 * @param proves the formula or rule, in words; proofs of the same words count once
 */
public record Proof(
        String id,
        String group,
        Publication publication,
        Standing standing,
        Nature nature,
        String place,
        String proves) {

    /** How the program comes to the number it holds against the printed one. */
    public enum Nature {
        /** Calculated from other numbers. */
        NUMBER,
        /** A table or setting that the program holds as the source prints it: shows that nothing was mistyped. */
        TABLE,
        /** A worked example in the file of a method; its source is a proof of its own where it was read. */
        EXAMPLE
    }

    /** Whether it is evidence from outside: read, or given by a general library. */
    public boolean outside() {
        return standing == Standing.READ || standing == Standing.LIBRARY;
    }

    /** Whether it counts as an independent proof. */
    public boolean counts() {
        return outside() && nature == Nature.NUMBER;
    }
}
