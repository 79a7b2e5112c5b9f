package org.tenmesh.capture;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

/** An inbox in memory, which can be gone for a while. */
public final class KeptInbox implements Inbox {
    private final Map<String, Piece> pieces = new LinkedHashMap<>();
    private final Map<String, Stored> runs = new LinkedHashMap<>();
    private final Map<String, List<Readings>> some = new LinkedHashMap<>();
    private final List<String> notes = new ArrayList<>();
    private final List<RunOrder> orders = new ArrayList<>();
    private boolean gone;
    private boolean goneForTaking;
    private int losesAnswers;
    private int refuses;

    /** The store does not answer until it is back. */
    public synchronized void gone(boolean now) {
        gone = now;
    }

    /** The same for pieces alone: the journal can be written. */
    public synchronized void goneForTaking(boolean now) {
        goneForTaking = now;
    }

    /** So many pieces are stored without an answer, as when the program is killed between both. */
    public synchronized void loseAnswers(int some) {
        losesAnswers = some;
    }

    public synchronized void order(RunOrder order) {
        orders.add(order);
    }

    public synchronized void refuse(int some) {
        refuses = some;
    }

    @Override
    public synchronized Answer take(Piece piece) {
        answers();
        if (goneForTaking) {
            throw new NotNow("the database is gone", new IllegalStateException("gone"));
        }
        String key = piece.source() + "\n" + piece.key();
        if (pieces.containsKey(key)) {
            return new KeptBefore();
        }
        if (refuses > 0 && piece.setAside().isEmpty()) {
            refuses--;
            return new Refused("the invented store does not want it");
        }
        pieces.put(key, piece);
        for (RunPart part : piece.parts()) {
            Run run = part.run();
            Stored before = runs.get(run.run());
            if (before != null && before.ended()) {
                throw new IllegalStateException("run " + run.run() + " has ended");
            }
            some.computeIfAbsent(run.run(), name -> new ArrayList<>()).add(run.readings());
            runs.put(run.run(), new Stored(run, part.last()));
        }
        if (losesAnswers > 0) {
            losesAnswers--;
            throw new NotNow("the answer was lost", new IllegalStateException("killed"));
        }
        return new Kept();
    }

    private Stored whole(Stored one) {
        List<Readings> its = some.getOrDefault(one.run().run(), List.of());
        Readings.Builder all = Readings.builder();
        for (Readings part : its) {
            for (int i = 0; i < part.size(); i++) {
                all.add(
                        part.position(i),
                        part.role(i),
                        part.identity(i),
                        part.channel(i),
                        part.quantity(i),
                        part.value(i),
                        part.unit(i),
                        part.at(i),
                        part.dilution(i));
            }
        }
        return new Stored(one.run().with(all.build()), one.ended());
    }

    private void answers() {
        if (gone) {
            throw new NotNow("the database is gone", new IllegalStateException("gone"));
        }
    }

    @Override
    public synchronized Optional<Known> known(String source, String key) {
        answers();
        return Optional.ofNullable(pieces.get(source + "\n" + key))
                .map(piece -> new Known(piece.sha256(), piece.setAside()));
    }

    @Override
    public synchronized Optional<Before> before(String sha256) {
        answers();
        return pieces.values().stream()
                .filter(piece -> piece.setAside().isEmpty() && piece.sha256().equals(sha256))
                .map(piece -> new Before(piece.source(), piece.name(), piece.receivedAt()))
                .findFirst();
    }

    @Override
    public synchronized Optional<Stored> run(String instrument, String run, OffsetDateTime startedAt) {
        answers();
        return Optional.ofNullable(runs.get(run))
                .filter(one -> one.run().instrument().equals(instrument))
                .map(this::whole);
    }

    @Override
    public synchronized Optional<Run> underWay(String instrument, String method) {
        answers();
        return runs.values().stream()
                .filter(one -> !one.ended() && one.run().instrument().equals(instrument))
                .reduce((one, other) -> other)
                .map(one -> whole(one).run());
    }

    @Override
    public synchronized List<RunOrder> waiting(String instrument, String method) {
        answers();
        return orders.stream()
                .filter(order -> order.instrument().equals(instrument) && !runs.containsKey(order.name()))
                .toList();
    }

    @Override
    public synchronized Optional<RunOrder> order(String name) {
        answers();
        return orders.stream().filter(order -> order.name().equals(name)).findFirst();
    }

    @Override
    public synchronized List<Listed> newest(String source, int most) {
        answers();
        List<Listed> all = new ArrayList<>();
        for (Piece piece : pieces.values()) {
            if (piece.source().equals(source)) {
                all.add(
                        0,
                        new Listed(
                                source,
                                piece.key(),
                                piece.name(),
                                piece.receivedAt(),
                                piece.sha256(),
                                piece.bytes().length,
                                piece.parts().stream()
                                        .map(part -> part.run().run())
                                        .toList(),
                                piece.readings(),
                                piece.setAside(),
                                piece.actor()));
            }
        }
        return all.subList(0, Math.min(most, all.size()));
    }

    @Override
    public synchronized Optional<byte[]> bytes(String source, String key) {
        answers();
        return Optional.ofNullable(pieces.get(source + "\n" + key)).map(Piece::bytes);
    }

    @Override
    public synchronized void note(String actor, String what, String source, Map<String, String> detail) {
        answers();
        notes.add(actor + ": " + what + " " + source + " " + detail);
    }

    /** What was written into the journal. */
    public synchronized List<String> notes() {
        return List.copyOf(notes);
    }

    public synchronized List<Piece> pieces() {
        return List.copyOf(pieces.values());
    }

    public synchronized List<String> reasons() {
        return pieces.values().stream()
                .flatMap(piece -> piece.setAside().stream())
                .toList();
    }

    /** Values of a run in the order stored. */
    public synchronized List<Double> values(String run) {
        return stored(run)
                .map(stored -> IntStream.range(0, stored.run().readings().size())
                        .mapToObj(stored.run().readings()::value)
                        .toList())
                .orElse(List.of());
    }

    public synchronized Optional<Stored> stored(String run) {
        return Optional.ofNullable(runs.get(run)).map(this::whole);
    }

    public synchronized List<String> runs() {
        return List.copyOf(runs.keySet());
    }

    /** A moment of the tests. */
    public static final Instant NOON = Instant.parse("2026-11-25T12:00:00Z");
}
