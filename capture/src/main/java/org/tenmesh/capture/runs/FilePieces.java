package org.tenmesh.capture.runs;

import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.orders.ReadAsOrdered;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.readers.Arriving;
import org.tenmesh.exchange.readers.InstrumentReader;

/**
 * Makes a piece of a whole file. A file is one run; one whose run is stored in part adds what is new of it, and what was stored before must
 * stand in it unchanged. What a recorder writes belongs to no run.
 */
public final class FilePieces {
    private static final int MOST_TOLD = 3;
    private static final String CUT =
            "its last line has no line break, so it may be cut, and its last number with it: expected a line break, or"
                    + " open_end: true for this source";
    private static final String NOTHING = "nothing was read: expected at least one reading";

    private final Source source;
    private final Optional<InstrumentReader> reader;
    private final Inbox inbox;
    private final ZoneId zone;

    /** @param source with a reader, or a recorder */
    public FilePieces(Source source, Inbox inbox, ZoneId zone) {
        this.source = source;
        this.reader = source.reader();
        this.inbox = inbox;
        this.zone = zone;
    }

    /**
     * The piece that a file makes. A file that was set aside may come again, when the reader was corrected or its order was made: what is
     * taken then has a key of its own.
     *
     * @param whole whether nothing more of its run is to come
     * @throws Inbox.NotNow when the store does not answer
     */
    public Piece of(String key, String name, byte[] bytes, Instant receivedAt, boolean whole) {
        String last = key;
        Optional<Inbox.Known> known = inbox.known(source.name(), key);
        for (int again = 2; known.flatMap(Inbox.Known::setAside).isPresent(); again++) {
            String next = key + " again " + again;
            Optional<Inbox.Known> later = inbox.known(source.name(), next);
            if (later.isEmpty()) {
                Piece piece = read(Piece.of(source.name(), next, name, receivedAt, bytes), whole);
                // Set aside once more: that is known already.
                return piece.setAside().isPresent() ? piece.under(last) : piece;
            }
            last = next;
            known = later;
        }
        Piece piece = Piece.of(source.name(), last, name, receivedAt, bytes);
        return known.isPresent() ? piece : read(piece, whole);
    }

    private Piece read(Piece piece, boolean whole) {
        Optional<Inbox.Before> elsewhere =
                inbox.before(piece.sha256()).filter(one -> !one.source().equals(source.name()));
        if (elsewhere.isPresent()) {
            Inbox.Before one = elsewhere.get();
            return piece.aside("the same bytes were taken from source " + one.source() + " as " + one.name() + " at "
                    + one.receivedAt().atZone(zone).toOffsetDateTime() + ": expected each file in one folder");
        }
        return source.recorder() ? recorded(piece) : read(piece, reader.orElseThrow(), whole);
    }

    private Piece recorded(Piece piece) {
        byte[] bytes = piece.bytes();
        boolean cut = bytes.length > 0 && bytes[bytes.length - 1] != '\n' && bytes[bytes.length - 1] != '\r';
        if (cut && source.way() instanceof Source.Folder && !source.runs().openEnd()) {
            return piece.aside(CUT);
        }
        Piece read = new RecorderPieces(source, zone).read(piece);
        return read.setAside().isEmpty() && read.readings() == 0 ? piece.aside(NOTHING) : read;
    }

    private Piece read(Piece piece, InstrumentReader reader, boolean whole) {
        String name = piece.name();
        byte[] bytes = piece.bytes();
        OffsetDateTime at = piece.receivedAt().atZone(zone).toOffsetDateTime();
        InstrumentReader.Taken taken = reader.read(name, bytes, new Arriving(Optional.of(at), 0, Optional.empty()));
        String run = name(name, at, taken.header());
        if (run.isEmpty()) {
            return piece.aside("no name of a run: expected " + source.runs().name() + " to give one");
        }
        Optional<RunOrder> order = source.runs().order() == Source.Order.NONE ? Optional.empty() : inbox.order(run);
        if (order.isEmpty() && source.runs().order() == Source.Order.REQUIRED) {
            return piece.aside("no run order is called " + run + ": expected one, because "
                    + (reader.needsOrder()
                            ? "it says what is at each position"
                            : "this source takes ordered runs only"));
        }
        if (order.isPresent() && reader.needsOrder()) {
            taken = reader.read(name, bytes, new Arriving(Optional.of(at), 0, order));
        }
        if (!taken.whole()) {
            return piece.aside(told(taken.problems()));
        }
        if (!source.runs().openEnd() && reader.mayBeCut(bytes)) {
            return piece.aside(CUT);
        }
        Readings readings = taken.readings();
        if (readings.size() == 0) {
            return piece.aside(NOTHING);
        }
        Optional<String> wrong = order.flatMap(one -> disagrees(source, one, readings, whole));
        if (wrong.isPresent()) {
            return piece.aside(wrong.get());
        }
        return added(piece, head(run, readings), whole);
    }

    private Piece added(Piece piece, Run read, boolean whole) {
        Optional<Inbox.Stored> before = inbox.run(source.instrument(), read.run(), read.startedAt());
        if (before.isPresent()) {
            Run stored = before.get().run();
            Optional<String> differs = Rows.differs(stored.readings(), read.readings());
            if (differs.isPresent()) {
                return piece.aside("run " + read.run() + " began otherwise: " + differs.get()
                        + ". What was stored stays; nothing of this file is taken");
            }
            Readings rest = read.readings()
                    .part(stored.readings().size(), read.readings().size());
            if (rest.size() > 0 && before.get().ended()) {
                return piece.aside("run " + read.run() + " has ended and this file has " + rest.size()
                        + " more readings: expected a new run");
            }
            return with(piece, stored.with(rest), whole);
        }
        return with(piece, read, whole);
    }

    private static Piece with(Piece piece, Run run, boolean last) {
        return piece.adds(List.of(new RunPart(run, last)));
    }

    /** Ends the run of which nothing came for the stated time; empty when there is nothing to end. */
    public Optional<Piece> silent(Duration silence, Instant now) {
        Duration most = source.runs().silence();
        if (most.isZero() || silence.compareTo(most) < 0) {
            return Optional.empty();
        }
        return inbox.underWay(source.instrument(), source.method())
                .map(run -> Piece.of(
                                source.name(),
                                "end " + run.run() + " " + run.startedAt(),
                                "end of run " + run.run(),
                                now,
                                new byte[0])
                        .adds(List.of(new RunPart(run.with(Readings.builder().build()), true))));
    }

    private Run head(String run, Readings readings) {
        return new Run(run, source.method(), source.instrument(), source.operator(), readings.at(0), readings);
    }

    private String name(String file, OffsetDateTime at, Map<String, String> header) {
        Map<String, String> words = new HashMap<>(header);
        words.put("file", RunNames.stem(file));
        words.put("source", source.name());
        words.put("date", at.toLocalDate().toString());
        return RunNames.fill(source.runs().name(), words);
    }

    /** Where readings are not what was ordered; empty where they are. */
    static Optional<String> disagrees(Source source, RunOrder order, Readings readings, boolean complete) {
        if (!order.instrument().equals(source.instrument()) || !order.method().equals(source.method())) {
            return Optional.of("run order " + order.name() + " is for " + order.method() + " on " + order.instrument()
                    + ", and this source reads " + source.method() + " on " + source.instrument());
        }
        List<ReadAsOrdered.Difference> found =
                ReadAsOrdered.of(order, readings, complete).differences();
        if (found.isEmpty()) {
            return Optional.empty();
        }
        String some = found.stream()
                .limit(MOST_TOLD)
                .map(one -> "position " + one.position() + ": read " + one.read() + ", ordered " + one.ordered())
                .collect(Collectors.joining("; "));
        return Optional.of("it does not agree with run order " + order.name() + ": " + some + more(found.size()));
    }

    /** The first few of some problems as one text. */
    static String told(List<Problem> problems) {
        return problems.stream().limit(MOST_TOLD).map(Problem::sentence).collect(Collectors.joining(" "))
                + more(problems.size());
    }

    private static String more(int all) {
        return all > MOST_TOLD ? " and " + (all - MOST_TOLD) + " more" : "";
    }
}
