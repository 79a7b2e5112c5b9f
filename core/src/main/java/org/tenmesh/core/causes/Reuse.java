package org.tenmesh.core.causes;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.digest.Content;

/**
 * What one judging takes from the judging before and leaves to the next. Every piece is a pure function of what its key is the digest of;
 * keys are made only when pieces are to be kept. May be used by several threads.
 */
final class Reuse {
    private final boolean keeps;
    private final Stages before;
    private final Map<String, Object> pieces = new ConcurrentHashMap<>();
    private final Map<SameObject, String> digests = new ConcurrentHashMap<>();
    private final AtomicInteger made = new AtomicInteger();

    private Reuse(boolean keeps, Stages before) {
        this.keeps = keeps;
        this.before = before;
    }

    /** Everything is made, nothing is kept. */
    static Reuse nothing() {
        return new Reuse(false, Stages.NONE);
    }

    /** What was made before is taken; what is made or taken now is kept. */
    static Reuse of(Stages before) {
        return new Reuse(true, before);
    }

    /** Whether keys are needed. */
    boolean keeps() {
        return keeps;
    }

    /** The digest of values by their content; empty text when keys are not needed. */
    String key(@Nullable Object... content) {
        return keeps ? Content.digest(content) : "";
    }

    /** The digest of something large and immutable, remembered for as long as it is the same object. */
    String digest(Object immutable) {
        if (!keeps) {
            return "";
        }
        SameObject same = new SameObject(immutable);
        String known = before.digests().get(same);
        return digests.computeIfAbsent(same, key -> known != null ? known : Content.digest(immutable));
    }

    /** The same of what may not be there; empty text when it is not. */
    String digestOf(@Nullable Object immutable) {
        return immutable == null ? "" : digest(immutable);
    }

    /**
     * One piece.
     *
     * @param key digest of everything it is made from, the kind of piece among it
     */
    <T> T piece(Class<T> kind, String key, Supplier<T> maker) {
        if (!keeps) {
            return maker.get();
        }
        Object known = before.pieces().get(key);
        if (known == null) {
            known = pieces.get(key);
        }
        if (known == null) {
            known = maker.get();
            made.incrementAndGet();
        }
        pieces.put(key, known);
        return kind.cast(known);
    }

    /** What the next judging may take. */
    Stages stages() {
        return new Stages(pieces, digests);
    }

    /** How many pieces were made, not taken. */
    int made() {
        return made.get();
    }
}
