package org.tenmesh.core.causes;

import org.jspecify.annotations.Nullable;

/** An object as itself, whatever it equals. */
record SameObject(Object of) {
    @Override
    public boolean equals(@Nullable Object other) {
        return other instanceof SameObject same && same.of == of;
    }

    @Override
    public int hashCode() {
        return System.identityHashCode(of);
    }
}
