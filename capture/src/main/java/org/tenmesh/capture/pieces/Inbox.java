package org.tenmesh.capture.pieces;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Run;

/** Where pieces are kept. May be used by several threads. */
public interface Inbox {
    /** What became of a piece. */
    sealed interface Answer {}

    /** It is durable now. */
    record Kept() implements Answer {}

    /** The same piece was durable before; nothing was stored again. */
    record KeptBefore() implements Answer {}

    /**
     * It cannot be stored as it is, for example because its run holds another reading at that place. Nothing of it was stored.
     *
     * @param why fit for a page
     */
    record Refused(String why) implements Answer {}

    /** It cannot be told now whether it is stored: the database does not answer or the disk is full. Ask again with the same piece. */
    final class NotNow extends RuntimeException {
        private static final long serialVersionUID = 1L;

        public NotNow(String why, Throwable cause) {
            super(why, cause);
        }
    }

    /**
     * Keeps a piece with its readings, all or nothing, and returns when it is durable.
     *
     * @throws NotNow when that is not known
     */
    Answer take(Piece piece);

    /**
     * A piece that is durable.
     *
     * @param sha256 of its bytes
     * @param setAside why nothing of it was taken; empty when it was
     */
    record Known(String sha256, Optional<String> setAside) {}

    /**
     * What became of the piece with this key from this source; empty when none is durable.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<Known> known(String source, String key);

    /**
     * A piece that was taken before.
     *
     * @param source where it came from
     * @param name what people call it
     * @param receivedAt when it came
     */
    record Before(String source, String name, Instant receivedAt) {}

    /**
     * The first piece with these bytes that was taken, from whatever source.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<Before> before(String sha256);

    /**
     * A run as far as it is stored.
     *
     * @param run with every reading that is stored of it
     * @param ended whether nothing more of it is to come
     */
    record Stored(Run run, boolean ended) {}

    /**
     * The run of this name on this instrument that began on the same laboratory date.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<Stored> run(String instrument, String run, OffsetDateTime startedAt);

    /**
     * The newest run of this instrument by this method that has not ended.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<Run> underWay(String instrument, String method);

    /**
     * Orders of this instrument and method that no run has begun, the oldest first.
     *
     * @throws NotNow when the store does not answer
     */
    List<RunOrder> waiting(String instrument, String method);

    /**
     * The order of this name.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<RunOrder> order(String name);

    /**
     * A piece as it is listed.
     *
     * @param runs the runs that it added to
     * @param setAside why nothing of it was taken; empty when it was
     */
    record Listed(
            String source,
            String key,
            String name,
            Instant receivedAt,
            String sha256,
            int bytes,
            List<String> runs,
            int readings,
            Optional<String> setAside,
            String actor) {
        public Listed {
            runs = List.copyOf(runs);
        }
    }

    /**
     * The newest pieces of a source, the newest first.
     *
     * @throws NotNow when the store does not answer
     */
    List<Listed> newest(String source, int most);

    /**
     * The bytes of a piece as they came.
     *
     * @throws NotNow when the store does not answer
     */
    Optional<byte[]> bytes(String source, String key);

    /**
     * Writes into the journal what a person decided about a source.
     *
     * @throws NotNow when the store does not answer
     */
    void note(String actor, String what, String source, Map<String, String> detail);
}
