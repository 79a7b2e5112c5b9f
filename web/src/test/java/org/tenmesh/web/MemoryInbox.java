package org.tenmesh.web;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Run;

/** An inbox that forgets everything when the test ends. */
final class MemoryInbox implements Inbox {
    private final Map<String, Piece> pieces = new LinkedHashMap<>();
    private final Map<String, Stored> runs = new LinkedHashMap<>();
    private final List<RunOrder> orders = new ArrayList<>();
    private final List<String> notes = new ArrayList<>();
    private boolean gone;

    synchronized void gone(boolean now) {
        gone = now;
    }

    synchronized void order(RunOrder order) {
        orders.add(order);
    }

    synchronized List<Piece> pieces() {
        return List.copyOf(pieces.values());
    }

    synchronized List<String> notes() {
        return List.copyOf(notes);
    }

    private void answers() {
        if (gone) {
            throw new NotNow("the database is gone", new IllegalStateException("gone"));
        }
    }

    @Override
    public synchronized Answer take(Piece piece) {
        answers();
        if (pieces.putIfAbsent(piece.source() + "\n" + piece.key(), piece) != null) {
            return new KeptBefore();
        }
        for (RunPart part : piece.parts()) {
            Run run = part.run();
            Stored before = runs.get(run.run());
            runs.put(
                    run.run(),
                    new Stored(
                            before == null
                                    ? run
                                    : run.with(before.run().readings().and(run.readings())),
                            part.last()));
        }
        return new Kept();
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
        return Optional.empty();
    }

    @Override
    public synchronized Optional<Stored> run(String instrument, String run, OffsetDateTime startedAt) {
        answers();
        return Optional.ofNullable(runs.get(run));
    }

    @Override
    public synchronized Optional<Run> underWay(String instrument, String method) {
        answers();
        return runs.values().stream()
                .filter(one -> !one.ended() && one.run().instrument().equals(instrument))
                .map(Stored::run)
                .findFirst();
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
        pieces.values().stream()
                .filter(piece -> piece.source().equals(source))
                .forEach(piece -> all.add(
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
                                piece.actor())));
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
        notes.add(actor + " " + what + " " + source + " " + detail);
    }
}
