package org.tenmesh.app.line;

/** Exit statuses, the same for every command. */
public final class Status {
    /** Done. */
    public static final int DONE = 0;
    /** Done, but something is held or failed. */
    public static final int HELD = 1;
    /** The input cannot be used. */
    public static final int UNUSABLE = 2;
    /** The program failed inside: a fault of the program, or too little memory for the input. */
    public static final int FAILED_INSIDE = 3;

    /** All of them in one line, for help pages. */
    public static final String ALL =
            "Exit status: 0 done; 1 done, but something is held or failed; 2 the input cannot be used;"
                    + " 3 the program failed inside.";

    private Status() {}
}
