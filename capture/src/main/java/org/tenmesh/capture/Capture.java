package org.tenmesh.capture;

import static java.util.Objects.requireNonNull;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.tenmesh.capture.folders.FolderSource;
import org.tenmesh.capture.frames.FrameSource;
import org.tenmesh.capture.lines.LineSource;
import org.tenmesh.capture.links.Links;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.runs.Arrived;
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.FilePieces;
import org.tenmesh.capture.runs.HandPieces;
import org.tenmesh.capture.runs.LinePieces;
import org.tenmesh.capture.runs.LineRuns;
import org.tenmesh.capture.runs.RecorderPieces;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.SettingsFile;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.SourceState;
import org.tenmesh.capture.state.Watch;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.readers.InstrumentReader;

/**
 * Everything from which readings come by themselves. May be used by several threads.
 *
 * <pre>{@code
 * try (Capture capture = Capture.start(settings, inbox, clock, zone, List.of(dataFolder))) {
 *     capture.states().forEach(state -> ...);
 * }
 * }</pre>
 */
public final class Capture implements AutoCloseable {
    private static final Duration SENDER_WAITS = Duration.ofSeconds(10);

    private static final Duration STOPS_WITHIN = Duration.ofSeconds(10);

    private final Supplier<CaptureSettings> read;
    private final Inbox inbox;
    private final Clock clock;
    private final ZoneId machineZone;
    private final List<Path> dataFolders;
    private final List<Leaving> leaving = new CopyOnWriteArrayList<>();
    private volatile Running running;

    /** What counts now: replaced as a whole when changed settings are applied. */
    private record Running(CaptureSettings settings, Map<String, One> ones) {}

    /** A source that is replaced or was taken out, while it still stores what it took. */
    private record Leaving(One one, Thread thread) {}

    /**
     * One source at work.
     *
     * @param start begins
     * @param leave takes nothing new, and returns when what was taken is stored
     * @param close ends at once; what is not durable stays with its sender
     */
    private record One(
            Source source,
            Watch watch,
            Entrance entrance,
            Optional<LineRuns> runs,
            Runnable start,
            Ends leave,
            Runnable close) {}

    @FunctionalInterface
    private interface Ends {
        void ends() throws InterruptedException;
    }

    private Capture(
            Supplier<CaptureSettings> read, Inbox inbox, Clock clock, ZoneId machineZone, List<Path> dataFolders) {
        this.read = read;
        this.inbox = inbox;
        this.clock = clock;
        this.machineZone = machineZone;
        this.dataFolders = List.copyOf(dataFolders);
        CaptureSettings settings = read.get();
        Map<String, One> ones = new LinkedHashMap<>();
        settings.sources().forEach(source -> ones.put(source.name(), one(source, zone(settings), System::nanoTime)));
        running = new Running(settings, ones);
    }

    /**
     * Starts every source of settings that stay as they are.
     *
     * @param machineZone used where the settings name no zone
     * @param dataFolders whose disks are looked after beside those of drop folders
     */
    public static Capture start(
            CaptureSettings settings, Inbox inbox, Clock clock, ZoneId machineZone, List<Path> dataFolders) {
        return start(() -> settings, inbox, clock, machineZone, dataFolders);
    }

    /**
     * Starts every source of settings that may change.
     *
     * @param read reads the settings, now and when they are to be applied anew
     */
    public static Capture start(
            Supplier<CaptureSettings> read, Inbox inbox, Clock clock, ZoneId machineZone, List<Path> dataFolders) {
        Capture capture = new Capture(read, inbox, clock, machineZone, dataFolders);
        capture.running.ones().values().forEach(one -> one.start().run());
        return capture;
    }

    private ZoneId zone(CaptureSettings settings) {
        return settings.zone().orElse(machineZone);
    }

    private ZoneId zone() {
        return zone(running.settings());
    }

    private One one(Source source, ZoneId zone, LongSupplier nanos) {
        Watch watch = new Watch(source, clock, nanos);
        Entrance entrance = new Entrance(inbox, watch, nanos);
        Source.Way way = source.way();
        if (way instanceof Source.Folder) {
            FolderSource one =
                    new FolderSource(source, new FilePieces(source, inbox, zone), entrance, watch, clock, zone, nanos);
            return new One(source, watch, entrance, Optional.empty(), one::start, one::close, one::close);
        } else if (way instanceof Source.Lines lines) {
            Optional<LineRuns> ofRuns =
                    source.recorder() ? Optional.empty() : Optional.of(new LineRuns(source, inbox, zone, watch));
            LinePieces its = ofRuns.<LinePieces>map(runs -> runs).orElseGet(() -> new RecorderPieces(source, zone));
            LineSource one = new LineSource(source, Links.of(lines.link()), its, entrance, watch, clock);
            return new One(source, watch, entrance, ofRuns, one::start, one::leave, one::close);
        } else if (way instanceof Source.Frames frames) {
            LineRuns its = new LineRuns(source, inbox, zone, watch);
            FrameSource one =
                    new FrameSource(source, Links.of(frames.link()), its, inbox, entrance, watch, clock, nanos);
            return new One(source, watch, entrance, Optional.of(its), one::start, one::close, one::close);
        }
        String says = way instanceof Source.Http ? "waits for what is sent" : "typed at a form";
        return new One(source, watch, entrance, Optional.empty(), () -> watch.says(says), () -> {}, entrance::close);
    }

    /** What became of settings that were to be applied. */
    public sealed interface Settings {}

    /**
     * They count now; names of sources.
     *
     * @param storing sources that were replaced or taken out and still store what they took; a replaced one begins anew after that
     * @param unended runs of sources that were taken out which did not end, and nothing ends them now
     */
    public record Applied(
            List<String> added, List<String> changed, List<String> removed, List<String> storing, List<String> unended)
            implements Settings {}

    /** They have mistakes, so that nothing was changed; one sentence each, with its line. */
    public record Mistaken(List<String> problems) implements Settings {}

    /**
     * Reads the settings again and lets them count: sources of which nothing changed go on with their connections, new ones begin, and
     * those that were taken out stop after what they took is stored. With a mistake in them nothing changes.
     *
     * @param person who asked for it, for the journal
     * @throws Inbox.NotNow when the store does not answer; nothing was changed then
     */
    public synchronized Settings apply(String person) throws InterruptedException {
        CaptureSettings next = read.get();
        if (!next.problems().isEmpty()) {
            // What a problem costs when the program starts is not what it costs here.
            return new Mistaken(next.problems().stream()
                    .map(one -> new Problem(one.file(), one.line(), one.column(), one.found(), one.expected(), "")
                            .sentence())
                    .toList());
        }
        Running before = running;
        List<String> removed = before.ones().keySet().stream()
                .filter(name -> next.source(name).isEmpty())
                .toList();
        List<String> added = new ArrayList<>();
        List<String> changed = new ArrayList<>();
        Map<String, One> ones = new LinkedHashMap<>();
        for (Source source : next.sources()) {
            String name = source.name();
            One its = before.ones().get(name);
            boolean same = its != null
                    && Objects.equals(
                            next.texts().get(name), before.settings().texts().get(name));
            if (!same) {
                (its == null ? added : changed).add(name);
            }
            ones.put(name, same ? its : one(source, zone(next), System::nanoTime));
        }
        long free = next.freeMegabytes();
        if (!(added.isEmpty() && changed.isEmpty() && removed.isEmpty())
                || free != before.settings().freeMegabytes()) {
            inbox.note(
                    person,
                    "capture-changed",
                    "capture.yaml",
                    Map.of(
                            "added", String.join(", ", added),
                            "changed", String.join(", ", changed),
                            "removed", String.join(", ", removed),
                            "free-megabytes", Long.toString(free)));
        }
        running = new Running(next, ones);
        List<Leaving> stopped = new ArrayList<>();
        for (String name : removed) {
            stopped.add(leave(of(before.ones(), name), () -> {}));
        }
        for (String name : changed) {
            stopped.add(leave(of(before.ones(), name), of(ones, name).start()));
        }
        added.forEach(name -> of(ones, name).start().run());
        long until = System.nanoTime() + STOPS_WITHIN.toNanos();
        for (Leaving one : stopped) {
            one.thread().join(Math.max(1, (until - System.nanoTime()) / 1_000_000));
        }
        return new Applied(
                added,
                changed,
                removed,
                stopped.stream()
                        .filter(one -> one.thread().isAlive())
                        .map(one -> one.one().source().name())
                        .toList(),
                removed.stream()
                        .flatMap(name -> of(before.ones(), name).watch().now().run().stream())
                        .toList());
    }

    private static One of(Map<String, One> ones, String name) {
        return requireNonNull(ones.get(name), name);
    }

    /** Two of one name never work at once: what comes next begins when what was taken before is stored. */
    private Leaving leave(One one, Runnable then) {
        Thread thread = new Thread(
                () -> {
                    try {
                        one.leave().ends();
                        then.run();
                    } catch (InterruptedException stop) {
                        Thread.currentThread().interrupt();
                    } finally {
                        leaving.removeIf(gone -> gone.one() == one);
                    }
                },
                one.source().name() + " leaves");
        thread.setDaemon(true);
        Leaving its = new Leaving(one, thread);
        leaving.add(its);
        thread.start();
        return its;
    }

    /** How every source stands now, in the order of the settings. */
    public List<SourceState> states() {
        return running.ones().values().stream().map(one -> one.watch().now()).toList();
    }

    /** What is wrong beside the sources: disks nearly full, settings that were changed and do not count yet, sources that still store. */
    public List<String> warnings() {
        Running now = running;
        List<Path> folders = new ArrayList<>(dataFolders);
        now.settings().sources().forEach(source -> {
            if (source.way() instanceof Source.Folder folder) {
                folders.add(folder.folder());
            }
        });
        List<String> warnings =
                new ArrayList<>(DiskSpace.told(folders, now.settings().freeMegabytes()));
        now.settings().files().stream()
                .filter(SettingsFile::changed)
                .map(one -> one.file()
                        + " was changed after the program read it: what is in it counts when it is read again"
                        + " on the page Capture, until then everything is read as before")
                .forEach(warnings::add);
        for (Leaving one : leaving) {
            SourceState state = one.one().watch().now();
            warnings.add(state.source() + " was taken out or changed and still stores what it took ("
                    + state.queued() + " waiting)"
                    + state.wrong().stream().map(wrong -> ": " + wrong).collect(Collectors.joining()));
        }
        return warnings;
    }

    /** Everything that is wrong now: disks, sources, settings; one sentence each, the worst first. */
    public List<String> wrong() {
        List<String> wrong = new ArrayList<>(warnings());
        for (SourceState state : states()) {
            state.wrong().forEach(sentence -> wrong.add(state.source() + ": " + sentence));
        }
        int problems = running.settings().problems().size();
        if (problems > 0) {
            wrong.add("capture.yaml has " + problems + (problems == 1 ? " problem" : " problems"));
        }
        return wrong;
    }

    /** What is wrong in the settings; the sources concerned are left out. */
    public List<String> problems() {
        return running.settings().problems().stream().map(Problem::sentence).toList();
    }

    /** Whether a source counts its positions, so that somebody may have to say which comes next. */
    public boolean counts(Source source) {
        return runs(source.name()).isPresent()
                && source.reader().filter(InstrumentReader::countsPositions).isPresent();
    }

    /** The settings of a source. */
    public Optional<Source> source(String name) {
        return running.settings().source(name);
    }

    /** The sources that send the temperatures of a device, in the order of the settings. */
    public List<Source> recorders() {
        return running.settings().sources().stream().filter(Source::recorder).toList();
    }

    /** The sources at which somebody types. */
    public List<Source> byHand() {
        return running.settings().sources().stream()
                .filter(source -> source.way() instanceof Source.Hand)
                .toList();
    }

    /** What became of something that was sent. */
    public sealed interface Sent {}

    /**
     * It is durable.
     *
     * @param piece as it is kept, taken or set aside
     * @param before whether it was durable before
     */
    public record Durable(Piece piece, boolean before) implements Sent {}

    /** The key came before with other bytes. */
    public record OtherBytes() implements Sent {}

    /** It is not known to be durable: to be sent again. */
    public record Later() implements Sent {}

    /**
     * Takes a whole export that was sent, and returns when it is durable.
     *
     * @param source one that is sent to by HTTP
     * @param key of the sender, the same when it is sent again
     */
    public Sent sent(Source source, String key, String name, byte[] bytes) throws InterruptedException {
        Instant now = clock.instant();
        FilePieces pieces = new FilePieces(source, inbox, zone());
        try {
            Optional<Inbox.Known> known = inbox.known(source.name(), key);
            if (known.filter(one -> !one.sha256().equals(Piece.sha256(bytes))).isPresent()) {
                return new OtherBytes();
            }
            Optional<Piece> kept = entrance(source).keep(() -> pieces.of(key, name, bytes, now, true), SENDER_WAITS);
            return kept.<Sent>map(piece -> new Durable(piece, known.isPresent()))
                    .orElseGet(Later::new);
        } catch (Inbox.NotNow notNow) {
            return new Later();
        }
    }

    /** Whether somebody may drop a whole export for this source: its files are read, not its lines. */
    public static boolean takesFiles(Source source) {
        return source.way() instanceof Source.Folder || source.way() instanceof Source.Http;
    }

    /**
     * Takes a whole export that somebody chose on a page, and returns when it is durable. Its key is its digest, as in a folder: the same
     * file from the folder and from the page is taken once.
     *
     * @param source one that {@link #takesFiles}
     */
    public Sent dropped(Source source, String name, byte[] bytes, String person) throws InterruptedException {
        Instant now = clock.instant();
        FilePieces pieces = new FilePieces(source, inbox, zone());
        String key = Piece.sha256(bytes);
        try {
            boolean before = inbox.known(source.name(), key)
                    .filter(one -> one.setAside().isEmpty())
                    .isPresent();
            Optional<Piece> kept = entrance(source)
                    .keep(() -> pieces.of(key, name, bytes, now, true).by(person), SENDER_WAITS);
            return kept.<Sent>map(piece -> new Durable(piece, before)).orElseGet(Later::new);
        } catch (Inbox.NotNow notNow) {
            return new Later();
        }
    }

    /** What can be typed at a source now. */
    public HandPieces typed(Source source) {
        return new HandPieces(source, inbox, zone());
    }

    /** Takes what somebody typed, and returns when it is durable. */
    public Sent typed(Source source, Piece piece) throws InterruptedException {
        Optional<Piece> kept = entrance(source).keep(() -> piece, SENDER_WAITS);
        return kept.<Sent>map(one -> new Durable(one, false)).orElseGet(Later::new);
    }

    /** The newest pieces of a source, the newest first. */
    public List<Inbox.Listed> newest(String source, int most) {
        return inbox.newest(source, most);
    }

    /** The bytes of a piece as they came. */
    public Optional<byte[]> bytes(String source, String key) {
        return inbox.bytes(source, key);
    }

    /** Orders among which somebody may choose for a source with lines or records. */
    public List<String> waiting(Source source) {
        return runs(source.name()).isPresent() && source.runs().order() != Source.Order.NONE
                ? inbox.waiting(source.instrument(), source.method()).stream()
                        .map(RunOrder::name)
                        .toList()
                : List.of();
    }

    /** Says which order the next line of a source begins; false where the source has no lines. */
    public boolean begin(String source, String order, String person) {
        Optional<LineRuns> its = runs(source);
        if (its.isPresent()) {
            inbox.note(person, "run-order-chosen", source, Map.of("order", order));
            its.get().begin(order);
        }
        return its.isPresent();
    }

    /** Says which position the next line of a source is of; false where the source has no lines. */
    public boolean continueAt(String source, int position, String person) {
        Optional<LineRuns> its = runs(source);
        if (its.isPresent()) {
            inbox.note(person, "next-position-said", source, Map.of("position", Integer.toString(position)));
            its.get().continueAt(position);
        }
        return its.isPresent();
    }

    /**
     * Reads once more what was set aside, after its reader was corrected or its order was made.
     *
     * @return the piece as it is kept now, taken or set aside still; empty when there is none under this key that is set aside, or the store
     *     does not answer
     */
    public Optional<Piece> again(Source source, Inbox.Listed before, String person) throws InterruptedException {
        Optional<byte[]> bytes = inbox.bytes(source.name(), before.key());
        if (bytes.isEmpty() || before.setAside().isEmpty()) {
            return Optional.empty();
        }
        Optional<LineRuns> its = runs(source.name());
        if (its.isEmpty()) {
            FilePieces pieces = new FilePieces(source, inbox, zone());
            return entrance(source)
                    .keep(
                            () -> pieces.of(before.key(), before.name(), bytes.get(), before.receivedAt(), true)
                                    .by(person),
                            SENDER_WAITS);
        }
        int times = 2;
        while (inbox.known(source.name(), before.key() + " again " + times).isPresent()) {
            times++;
        }
        String text = new String(bytes.get(), source.reader().orElseThrow().encoding()).strip();
        String last = text.substring(text.lastIndexOf('\n') + 1);
        Optional<Piece> piece = its.get()
                .piece(new Arrived(before.key() + " again " + times, last, bytes.get(), before.receivedAt()))
                .map(one -> one.by(person));
        return piece.isEmpty() ? piece : entrance(source).keep(piece::get, SENDER_WAITS);
    }

    private Optional<LineRuns> runs(String source) {
        return Optional.ofNullable(running.ones().get(source)).flatMap(One::runs);
    }

    /** What is on its way for a source that was taken out a moment ago is tried once. */
    private Entrance entrance(Source source) {
        One one = running.ones().get(source.name());
        if (one != null) {
            return one.entrance();
        }
        Entrance shut = new Entrance(inbox, new Watch(source, clock, System::nanoTime), System::nanoTime);
        shut.close();
        return shut;
    }

    /** Stops every source; what is not durable stays with its sender. */
    @Override
    public void close() {
        Running now = running;
        now.ones().values().forEach(one -> one.close().run());
        leaving.forEach(one -> {
            one.one().close().run();
            one.thread().interrupt();
        });
        now.ones().values().forEach(one -> one.entrance().close());
    }
}
