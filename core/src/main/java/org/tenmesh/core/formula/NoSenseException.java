package org.tenmesh.core.formula;

/** A formula that cannot be calculated with: units that do not go together, a name nobody knows. */
public final class NoSenseException extends RuntimeException {
    private static final long serialVersionUID = 1;

    /** @param message which part, what was found and what was expected */
    public NoSenseException(String message) {
        super(message);
    }
}
