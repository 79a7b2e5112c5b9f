package org.tenmesh.capture.runs;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;

/** Makes pieces of lines as they come. */
public interface LinePieces {
    /**
     * The piece that a line makes; empty for a remark. It must be kept, however long that takes, before the next one is made.
     *
     * @throws Inbox.NotNow when the store does not answer; nothing has changed then
     */
    Optional<Piece> piece(Arrived line);

    /** What is to be kept because nothing came for so long; empty where nothing is. */
    Optional<Piece> silent(Duration silence, Instant now);
}
