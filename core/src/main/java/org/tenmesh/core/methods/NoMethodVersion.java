package org.tenmesh.core.methods;

/** A method that does not exist, or has no version for the day asked about. The message names method, day and what there is. */
public final class NoMethodVersion extends IllegalArgumentException {
    private static final long serialVersionUID = 1L;

    NoMethodVersion(String message) {
        super(message);
    }
}
