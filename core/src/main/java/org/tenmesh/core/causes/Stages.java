package org.tenmesh.core.causes;

import java.util.Map;

/**
 * What was made while a day was judged, each piece under the digest of everything that it was made from, to be handed in when the day is
 * judged again with something added: what has the same key is not made a second time.
 *
 * <p>Holds the pieces of one judging, no more: those of the judging before that were not used again are gone. Immutable; may be used by
 * several threads. Whether any are handed in changes nothing but the time it takes.
 */
public final class Stages {
    /** Nothing was judged before. */
    public static final Stages NONE = new Stages(Map.of(), Map.of());

    private final Map<String, Object> pieces;
    private final Map<SameObject, String> digests;

    Stages(Map<String, Object> pieces, Map<SameObject, String> digests) {
        this.pieces = Map.copyOf(pieces);
        this.digests = Map.copyOf(digests);
    }

    Map<String, Object> pieces() {
        return pieces;
    }

    /** Digests of inputs that are the same objects again. */
    Map<SameObject, String> digests() {
        return digests;
    }

    /** How many pieces are held. */
    public int size() {
        return pieces.size();
    }
}
