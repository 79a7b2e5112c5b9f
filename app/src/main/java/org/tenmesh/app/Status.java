package org.tenmesh.app;

/** Exit statuses, the same for every command. */
final class Status {
    /** Done. */
    static final int DONE = 0;
    /** Done, but something is held or failed. */
    static final int HELD = 1;
    /** The input cannot be used. */
    static final int UNUSABLE = 2;

    private Status() {}
}
