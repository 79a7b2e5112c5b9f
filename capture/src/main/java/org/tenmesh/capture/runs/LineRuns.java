package org.tenmesh.capture.runs;

import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.Watch;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.readers.Arriving;
import org.tenmesh.exchange.readers.InstrumentReader;

/**
 * Puts lines into runs. A run begins with the first line when none is under way, or with the line that says so; it ends with the line that says
 * so, with the last position of its order, when the next one begins, or when nothing came for the stated time. What cannot be placed is set
 * aside and nothing is guessed: where positions are counted, everything after a line that could not be read is set aside until somebody says
 * which position comes next. One thread makes pieces in
 * the order in which lines came; another may make one of a line that was set aside.
 */
public final class LineRuns implements LinePieces {
    private static final int MOST_RUNS_OF_A_DAY = 1_000;

    private final Source source;
    private final InstrumentReader reader;
    private final Inbox inbox;
    private final ZoneId zone;
    private final Watch watch;
    private boolean asked;
    private Optional<Current> current = Optional.empty();
    private Optional<String> announced = Optional.empty();
    private volatile Optional<String> chosen = Optional.empty();
    private volatile int nextPosition;

    /**
     * A run under way.
     *
     * @param head without readings
     * @param counted positions that were counted so far
     * @param read every position that was read; grows with the run, because copying it for each line would cost more than the line
     * @param uncertain why the count of positions is no longer certain; empty while it is
     */
    private record Current(Run head, int counted, BitSet read, Optional<RunOrder> order, Optional<String> uncertain) {}

    /** @param source with a reader */
    public LineRuns(Source source, Inbox inbox, ZoneId zone, Watch watch) {
        this.source = source;
        this.reader = source.reader().orElseThrow();
        this.inbox = inbox;
        this.zone = zone;
        this.watch = watch;
    }

    /** Somebody says which order the next line begins. */
    public void begin(String order) {
        chosen = Optional.of(order);
    }

    /** Somebody says which position the next line is of. */
    public void continueAt(int position) {
        nextPosition = position;
    }

    /**
     * The piece that a line makes; empty for a remark. The line counts as placed: the piece must be kept, however long that takes, before the
     * next one is made.
     *
     * @throws Inbox.NotNow when the store does not answer; nothing has changed then
     */
    @Override
    public synchronized Optional<Piece> piece(Arrived line) {
        remember();
        if (reader.skips(line.text())) {
            return Optional.empty();
        }
        Optional<Matcher> begins = begins(line);
        if (begins.isPresent() || ends(line)) {
            return mark(line);
        }
        return Optional.of(read(line));
    }

    /**
     * The piece that a line makes which can only begin or end a run; empty when it does neither, or begins one where none was under way.
     *
     * @throws Inbox.NotNow when the store does not answer; nothing has changed then
     */
    public synchronized Optional<Piece> mark(Arrived line) {
        remember();
        Optional<Matcher> begins = begins(line);
        if (begins.isPresent()) {
            return begun(line, begins.get());
        }
        return ends(line) ? Optional.of(ended(line)) : Optional.empty();
    }

    private boolean ends(Arrived line) {
        return source.runs()
                .ends()
                .filter(pattern -> pattern.matcher(line.text()).find())
                .isPresent();
    }

    private Optional<Matcher> begins(Arrived line) {
        return source.runs()
                .begins()
                .map(pattern -> pattern.matcher(line.text()))
                .filter(Matcher::find);
    }

    private Optional<Piece> begun(Arrived line, Matcher begins) {
        Optional<String> named =
                begins.groupCount() > 0 ? Optional.ofNullable(begins.group(1)).map(String::strip) : Optional.empty();
        if (named.isPresent()
                && current.filter(one -> one.head().run().equals(RunNames.fill(named.get(), Map.of())))
                        .isPresent()) {
            // Sent again after the connection was lost.
            return Optional.empty();
        }
        Optional<Piece> last = current.map(one ->
                piece(line, List.of(part(one, Readings.builder().build(), true))));
        if (current.isPresent()) {
            finish();
        }
        announced = named;
        return last;
    }

    private Piece ended(Arrived line) {
        if (current.isEmpty()) {
            return piece(line, List.of()).aside("the end of a run, and none is under way");
        }
        Piece last = piece(line, List.of(part(current.get(), Readings.builder().build(), true)));
        finish();
        return last;
    }

    private Piece read(Arrived line) {
        OffsetDateTime at = line.receivedAt().atZone(zone).toOffsetDateTime();
        Piece piece = piece(line, List.of());
        Current one;
        if (current.isPresent()) {
            one = current.get();
        } else {
            Placed placed = placed(at);
            if (placed.wrong().isPresent()) {
                return piece.aside(placed.wrong().get());
            }
            one = placed.run().orElseThrow();
        }
        if (nextPosition > 0) {
            one = new Current(one.head(), nextPosition - 1, one.read(), one.order(), Optional.empty());
        }
        InstrumentReader.Taken taken =
                reader.read(source.name(), line.bytes(), new Arriving(Optional.of(at), one.counted(), one.order()));
        if (one.uncertain().isPresent()) {
            current = Optional.of(one);
            return piece.aside(one.uncertain().get());
        }
        if (!taken.whole()) {
            String why = FilePieces.told(taken.problems());
            if (reader.countsPositions() && current.isPresent()) {
                current = Optional.of(new Current(
                        one.head(),
                        one.counted(),
                        one.read(),
                        one.order(),
                        Optional.of("positions are counted and a line after position " + one.counted()
                                + " could not be read: say on the page Capture which position comes next")));
                watch.wrong(
                        "count",
                        "the count of positions is not certain after position " + one.counted()
                                + "; what comes is set aside until somebody says which position comes next");
            }
            return piece.aside(why);
        }
        Readings readings = taken.readings();
        if (readings.size() == 0) {
            return piece.aside("nothing was read: expected at least one reading");
        }
        Optional<String> wrong = one.order().flatMap(order -> disagrees(order, readings));
        if (wrong.isPresent()) {
            return piece.aside(wrong.get());
        }
        if (current.isEmpty()) {
            Run head = one.head();
            one = new Current(
                    new Run(
                            head.run(),
                            head.method(),
                            head.instrument(),
                            head.operator(),
                            readings.at(0),
                            head.readings()),
                    one.counted(),
                    one.read(),
                    one.order(),
                    one.uncertain());
            chosen = Optional.empty();
            announced = Optional.empty();
        }
        if (nextPosition > 0) {
            nextPosition = 0;
            watch.right("count");
        }
        BitSet read = one.read();
        Rows.positions(readings).forEach(read::set);
        Current now = new Current(one.head(), one.counted() + 1, read, one.order(), Optional.empty());
        boolean last = now.order()
                .filter(order -> read.cardinality() == order.places().size())
                .isPresent();
        Piece made = piece(line, List.of(part(now, readings, last)));
        if (last) {
            finish();
        } else {
            current = Optional.of(now);
            watch.run(Optional.of(now.head().run()), read.cardinality());
        }
        return made;
    }

    // Positions between those read may still come, so only what was read is held against the order.
    private static Optional<String> disagrees(RunOrder order, Readings readings) {
        for (int i = 0; i < readings.size(); i++) {
            Optional<RunOrder.Place> place = order.at(readings.position(i));
            boolean same = place.isPresent()
                    && place.get().role() == readings.role(i)
                    && place.get().identity().equals(readings.identity(i))
                    && place.get().dilution() == readings.dilution(i);
            if (!same) {
                return Optional.of("it does not agree with run order " + order.name() + ": position "
                        + readings.position(i) + ": read " + readings.role(i).word() + " " + readings.identity(i)
                        + ", ordered "
                        + place.map(one -> one.role().word() + " " + one.identity())
                                .orElse("nothing"));
            }
        }
        return Optional.empty();
    }

    /** Ends a run of which nothing came for the stated time; empty when there is nothing to end. */
    @Override
    public synchronized Optional<Piece> silent(Duration silence, Instant now) {
        Duration most = source.runs().silence();
        if (most.isZero() || silence.compareTo(most) < 0) {
            return Optional.empty();
        }
        remember();
        if (current.isEmpty()) {
            return Optional.empty();
        }
        Current one = current.get();
        Piece end = Piece.of(
                        source.name(),
                        "end " + one.head().run() + " " + one.head().startedAt(),
                        "end of run " + one.head().run(),
                        now,
                        new byte[0])
                .adds(List.of(part(one, Readings.builder().build(), true)));
        finish();
        return Optional.of(end);
    }

    private void finish() {
        current = Optional.empty();
        announced = Optional.empty();
        watch.run(Optional.empty(), 0);
        watch.right("count");
    }

    /** What was under way when the program stopped goes on. */
    private void remember() {
        if (asked) {
            return;
        }
        Optional<Run> stored = inbox.underWay(source.instrument(), source.method());
        if (stored.isPresent()) {
            Run run = stored.get();
            Optional<RunOrder> order =
                    source.runs().order() == Source.Order.NONE ? Optional.empty() : inbox.order(run.run());
            BitSet read = new BitSet();
            Rows.positions(run.readings()).forEach(read::set);
            int counted = Math.max(0, read.length() - 1);
            current =
                    Optional.of(new Current(head(run.run(), run.startedAt()), counted, read, order, Optional.empty()));
            watch.run(Optional.of(run.run()), read.cardinality());
        }
        asked = true;
    }

    private record Placed(Optional<Current> run, Optional<String> wrong) {}

    private static Placed not(String why) {
        return new Placed(Optional.empty(), Optional.of(why));
    }

    private Placed placed(OffsetDateTime at) {
        Optional<String> named = chosen.or(() -> announced);
        Optional<RunOrder> order = Optional.empty();
        if (source.runs().order() != Source.Order.NONE) {
            if (named.isPresent()) {
                order = inbox.order(named.get());
            } else {
                List<RunOrder> waiting = inbox.waiting(source.instrument(), source.method());
                if (waiting.size() > 1) {
                    return not("several run orders wait for " + source.instrument() + " ("
                            + String.join(
                                    ", ", waiting.stream().map(RunOrder::name).toList())
                            + "): say on the page Capture which one begins");
                }
                order = waiting.stream().findFirst();
            }
            if (order.isEmpty() && source.runs().order() == Source.Order.REQUIRED) {
                return not(named.map(name -> "no run order is called " + name)
                        .orElse("no run order waits for " + source.instrument() + " and " + source.method()));
            }
        }
        String name = order.map(RunOrder::name)
                .or(() -> named.map(text -> RunNames.fill(text, Map.of())))
                .orElseGet(() -> ownName(at));
        if (name.isEmpty()) {
            return not(
                    "no name of a run: expected " + source.runs().name() + " or the line that begins it to give one");
        }
        Optional<Inbox.Stored> before = inbox.run(source.instrument(), name, at);
        if (before.isPresent()) {
            return not("run " + name + " was read before and has ended: expected a new name");
        }
        return new Placed(
                Optional.of(new Current(head(name, at), 0, new BitSet(), order, Optional.empty())), Optional.empty());
    }

    private String ownName(OffsetDateTime at) {
        String template = source.runs().name();
        for (int number = 1; number <= MOST_RUNS_OF_A_DAY; number++) {
            String name = RunNames.fill(
                    template,
                    Map.of(
                            "source", source.name(),
                            "date", at.toLocalDate().toString(),
                            "number", Integer.toString(number)));
            if (!template.contains("{number}")
                    || inbox.run(source.instrument(), name, at).isEmpty()) {
                return name;
            }
        }
        return "";
    }

    private Run head(String name, OffsetDateTime startedAt) {
        return new Run(
                name,
                source.method(),
                source.instrument(),
                source.operator(),
                startedAt,
                Readings.builder().build());
    }

    private static RunPart part(Current one, Readings readings, boolean last) {
        return new RunPart(one.head().with(readings), last);
    }

    private Piece piece(Arrived line, List<RunPart> parts) {
        return Piece.of(
                        source.name(),
                        line.key(),
                        source.name() + " "
                                + line.receivedAt().atZone(zone).toLocalTime().withNano(0),
                        line.receivedAt(),
                        line.bytes())
                .adds(parts);
    }
}
