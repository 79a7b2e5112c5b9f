package org.tenmesh.store.rows;

/**
 * What was asked cannot be stored as it stands. The message says what was found, what was expected and what happens
 * next, in words fit for a page; nothing was changed.
 */
public final class Refused extends RuntimeException {
    private static final long serialVersionUID = 1L;

    public Refused(String message) {
        super(message);
    }
}
