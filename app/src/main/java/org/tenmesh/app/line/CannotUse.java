package org.tenmesh.app.line;

/** The input cannot be used; the message says what was wrong, where, what was expected and what to do. */
public final class CannotUse extends RuntimeException {
    private static final long serialVersionUID = 1L;

    public CannotUse(String message) {
        super(message);
    }
}
