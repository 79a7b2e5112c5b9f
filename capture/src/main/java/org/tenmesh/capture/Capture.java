package org.tenmesh.capture;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.LongSupplier;
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

    private final CaptureSettings settings;
    private final Inbox inbox;
    private final Clock clock;
    private final ZoneId zone;
    private final List<Path> folders = new ArrayList<>();
    private final Map<String, Watch> watches = new LinkedHashMap<>();
    private final Map<String, Entrance> entrances = new LinkedHashMap<>();
    private final Map<String, LineRuns> runs = new LinkedHashMap<>();
    private final List<AutoCloseable> sources = new ArrayList<>();

    private Capture(CaptureSettings settings, Inbox inbox, Clock clock, ZoneId zone, List<Path> dataFolders) {
        this.settings = settings;
        this.inbox = inbox;
        this.clock = clock;
        this.zone = zone;
        folders.addAll(dataFolders);
    }

    /**
     * Starts every source.
     *
     * @param machineZone used where the settings name no zone
     * @param dataFolders whose disks are looked after beside those of drop folders
     */
    public static Capture start(
            CaptureSettings settings, Inbox inbox, Clock clock, ZoneId machineZone, List<Path> dataFolders) {
        Capture capture = new Capture(settings, inbox, clock, settings.zone().orElse(machineZone), dataFolders);
        settings.sources().forEach(source -> capture.add(source, System::nanoTime));
        return capture;
    }

    private void add(Source source, LongSupplier nanos) {
        Watch watch = new Watch(source, clock, nanos);
        Entrance entrance = new Entrance(inbox, watch, nanos);
        watches.put(source.name(), watch);
        entrances.put(source.name(), entrance);
        Source.Way way = source.way();
        if (way instanceof Source.Folder folder) {
            folders.add(folder.folder());
            FolderSource one =
                    new FolderSource(source, new FilePieces(source, inbox, zone), entrance, watch, clock, zone, nanos);
            sources.add(one);
            one.start();
        } else if (way instanceof Source.Lines lines) {
            LinePieces its;
            if (source.recorder()) {
                its = new RecorderPieces(source, zone);
            } else {
                LineRuns ofRuns = new LineRuns(source, inbox, zone, watch);
                runs.put(source.name(), ofRuns);
                its = ofRuns;
            }
            LineSource one = new LineSource(source, Links.of(lines.link()), its, entrance, watch, clock);
            sources.add(one);
            one.start();
        } else if (way instanceof Source.Frames frames) {
            LineRuns its = new LineRuns(source, inbox, zone, watch);
            runs.put(source.name(), its);
            FrameSource one =
                    new FrameSource(source, Links.of(frames.link()), its, inbox, entrance, watch, clock, nanos);
            sources.add(one);
            one.start();
        } else {
            watch.says(way instanceof Source.Http ? "waits for what is sent" : "typed at a form");
        }
    }

    /** How every source stands now, in the order of the settings. */
    public List<SourceState> states() {
        return watches.values().stream().map(Watch::now).toList();
    }

    /** What is wrong beside the sources: disks nearly full, settings that were changed and are not read yet. */
    public List<String> warnings() {
        List<String> warnings = new ArrayList<>(DiskSpace.told(folders, settings.freeMegabytes()));
        settings.files().stream()
                .filter(SettingsFile::changed)
                .map(one -> one.file() + " was changed after the program read it: what is in it counts when the program"
                        + " starts again, until then everything is read as before")
                .forEach(warnings::add);
        return warnings;
    }

    /** Everything that is wrong now: disks, sources, settings; one sentence each, the worst first. */
    public List<String> wrong() {
        List<String> wrong = new ArrayList<>(warnings());
        for (SourceState state : states()) {
            state.wrong().forEach(sentence -> wrong.add(state.source() + ": " + sentence));
        }
        if (!settings.problems().isEmpty()) {
            wrong.add("capture.yaml has " + settings.problems().size()
                    + (settings.problems().size() == 1 ? " problem" : " problems"));
        }
        return wrong;
    }

    /** What is wrong in the settings; the sources concerned are left out. */
    public List<String> problems() {
        return settings.problems().stream().map(Problem::sentence).toList();
    }

    /** Whether a source counts its positions, so that somebody may have to say which comes next. */
    public boolean counts(Source source) {
        return runs.containsKey(source.name())
                && source.reader().filter(InstrumentReader::countsPositions).isPresent();
    }

    /** The settings of a source. */
    public Optional<Source> source(String name) {
        return settings.source(name);
    }

    /** The sources that send the temperatures of a device, in the order of the settings. */
    public List<Source> recorders() {
        return settings.sources().stream().filter(Source::recorder).toList();
    }

    /** The sources at which somebody types. */
    public List<Source> byHand() {
        return settings.sources().stream()
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
        FilePieces pieces = new FilePieces(source, inbox, zone);
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
        FilePieces pieces = new FilePieces(source, inbox, zone);
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
        return new HandPieces(source, inbox, zone);
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
        return runs.containsKey(source.name()) && source.runs().order() != Source.Order.NONE
                ? inbox.waiting(source.instrument(), source.method()).stream()
                        .map(RunOrder::name)
                        .toList()
                : List.of();
    }

    /** Says which order the next line of a source begins; false where the source has no lines. */
    public boolean begin(String source, String order, String person) {
        LineRuns its = runs.get(source);
        if (its != null) {
            inbox.note(person, "run-order-chosen", source, Map.of("order", order));
            its.begin(order);
        }
        return its != null;
    }

    /** Says which position the next line of a source is of; false where the source has no lines. */
    public boolean continueAt(String source, int position, String person) {
        LineRuns its = runs.get(source);
        if (its != null) {
            inbox.note(person, "next-position-said", source, Map.of("position", Integer.toString(position)));
            its.continueAt(position);
        }
        return its != null;
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
        LineRuns its = runs.get(source.name());
        if (its == null) {
            FilePieces pieces = new FilePieces(source, inbox, zone);
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
        Optional<Piece> piece = its.piece(
                        new Arrived(before.key() + " again " + times, last, bytes.get(), before.receivedAt()))
                .map(one -> one.by(person));
        return piece.isEmpty() ? piece : entrance(source).keep(piece::get, SENDER_WAITS);
    }

    private Entrance entrance(Source source) {
        Entrance entrance = entrances.get(source.name());
        if (entrance == null) {
            throw new IllegalArgumentException("no source " + source.name());
        }
        return entrance;
    }

    /** Stops every source; what is not durable stays with its sender. */
    @Override
    public void close() {
        for (AutoCloseable source : sources) {
            try {
                source.close();
            } catch (Exception never) {
                throw new IllegalStateException("a source could not be closed", never);
            }
        }
        entrances.values().forEach(Entrance::close);
    }
}
