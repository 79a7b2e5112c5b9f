package org.tenmesh.app;

/** The input cannot be used; the message says what was wrong, where, what was expected and what to do. */
final class CannotUse extends RuntimeException {
    private static final long serialVersionUID = 1L;

    CannotUse(String message) {
        super(message);
    }
}
