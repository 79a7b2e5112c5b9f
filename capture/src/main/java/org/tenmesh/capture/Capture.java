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
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.FilePieces;
import org.tenmesh.capture.runs.HandPieces;
import org.tenmesh.capture.runs.LineRuns;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.SourceState;
import org.tenmesh.capture.state.Watch;
import org.tenmesh.exchange.file.Problem;

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
     * @param zone the laboratory's, for times that come without one
     * @param dataFolders whose disks are looked after beside those of drop folders
     */
    public static Capture start(
            CaptureSettings settings, Inbox inbox, Clock clock, ZoneId zone, List<Path> dataFolders) {
        Capture capture = new Capture(settings, inbox, clock, zone, dataFolders);
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
            FolderSource one = new FolderSource(
                    source, new FilePieces(source, inbox, zone), entrance, watch, clock, zone, nanos);
            sources.add(one);
            one.start();
        } else if (way instanceof Source.Lines lines) {
            LineRuns its = new LineRuns(source, inbox, zone, watch);
            runs.put(source.name(), its);
            LineSource one = new LineSource(source, Links.of(lines.link()), its, entrance, watch, clock);
            sources.add(one);
            one.start();
        } else if (way instanceof Source.Frames frames) {
            LineRuns its = new LineRuns(source, inbox, zone, watch);
            runs.put(source.name(), its);
            FrameSource one = new FrameSource(
                    source, Links.of(frames.link()), its, inbox, entrance, watch, clock, nanos);
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

    /** What is wrong beside the sources: disks nearly full. */
    public List<String> warnings() {
        return DiskSpace.told(folders, settings.freeMegabytes());
    }

    /** What is wrong in the settings; the sources concerned are left out. */
    public List<Problem> problems() {
        return settings.problems();
    }

    /** The settings of a source. */
    public Optional<Source> source(String name) {
        return settings.source(name);
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
            return kept.<Sent>map(piece -> new Durable(piece, known.isPresent())).orElseGet(Later::new);
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

    /** Says which order the next line of a source begins; false where the source has no lines. */
    public boolean begin(String source, String order) {
        LineRuns its = runs.get(source);
        if (its != null) {
            its.begin(order);
        }
        return its != null;
    }

    /** Says which position the next line of a source is of; false where the source has no lines. */
    public boolean continueAt(String source, int position) {
        LineRuns its = runs.get(source);
        if (its != null) {
            its.continueAt(position);
        }
        return its != null;
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
