package org.tenmesh.proof.mutate;

import java.util.Locale;

/** What became of a day with a mistake in it, the worst last. */
enum Outcome {
    /** Input was refused, with its place. */
    REFUSED,
    /** The judge or the reader told it. */
    TOLD,
    /** Nothing that anybody reads is another than without the mistake. */
    UNCHANGED,
    /** A fit result has another text, and nothing was said. */
    VALUES_IN_SILENCE,
    /** A gate or a control value is gone, and nothing was said. */
    GUARD_IN_SILENCE,
    /** A result is gone, and nothing was said. */
    ROWS_IN_SILENCE,
    /** The account of what was read does not add up. */
    UNBALANCED,
    /** The output is neither whole nor as it was before. */
    HALF_WRITTEN,
    /** No end within the time. */
    HANG,
    /** The program failed inside. */
    CRASH;

    String words() {
        return name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }
}
