package org.tenmesh.proof.arguments;

/**
 * One line of progress on standard error, overwritten by the next.
 *
 * @param shown whether a person looks at it; else nothing is written
 */
public record Watched(boolean shown) {
    /** Says what is being done. */
    public void doing(String what) {
        if (shown) {
            System.err.print("\r\u001b[K" + what);
            System.err.flush();
        }
    }

    /** Takes the line away. */
    public void done() {
        doing("");
    }
}
