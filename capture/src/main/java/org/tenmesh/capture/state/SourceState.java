package org.tenmesh.capture.state;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * How a source stands at one moment.
 *
 * @param source its name
 * @param kind how pieces come: folder, lines, frames, http, hand
 * @param instrument the instrument
 * @param method the id of the method
 * @param wrong what is wrong, one sentence each; empty when nothing is
 * @param says what it does, in a few words
 * @param lastPiece when something came last, by this machine's clock
 * @param lastReading the time that the last reading carries
 * @param clockAhead how far the device's clock is ahead of this machine's, negative when behind; empty where that is not known
 * @param run the run that is under way
 * @param positions how many positions of it were read
 * @param queued pieces that wait to be stored
 * @param kept pieces stored since the program started
 * @param keptBefore pieces that had been stored before and came again
 * @param setAside pieces set aside since the program started
 * @param newest what came last, the newest first
 */
public record SourceState(
        String source,
        String kind,
        String instrument,
        String method,
        List<String> wrong,
        String says,
        Optional<Instant> lastPiece,
        Optional<Instant> lastReading,
        Optional<Duration> clockAhead,
        Optional<String> run,
        int positions,
        int queued,
        long kept,
        long keptBefore,
        long setAside,
        List<Came> newest) {
    public SourceState {
        wrong = List.copyOf(wrong);
        newest = List.copyOf(newest);
    }

    /**
     * One piece that came.
     *
     * @param name such as the file's name
     * @param at when
     * @param sha256 of its bytes
     * @param readings how many were stored of it
     * @param became {@code taken}, {@code taken before} or why it was set aside
     */
    public record Came(String name, Instant at, String sha256, int readings, String became) {}
}
