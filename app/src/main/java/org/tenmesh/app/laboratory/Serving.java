package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Clock;
import java.time.Duration;
import java.util.EnumSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.stream.Stream;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.FailedInside;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.capture.Capture;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.day.DayReading;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.store.Store;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** Puts store and pages together and keeps them up until the process is told to stop. */
public final class Serving {
    static final int USUAL_PORT = 8484;

    private static final Duration LINK_LASTS = Duration.ofHours(12);

    private static final int MOST_PROBLEMS = 12;

    /** Judges a day before it is stored. */
    interface Trial {
        JudgedDay judge(Day day, MethodBook methods);
    }

    private final Console console;
    private final boolean once;
    private final Trial trial;

    /** @param once stop as soon as the pages answer */
    Serving(Console console, boolean once) {
        this(console, once, DayJudge::judge);
    }

    Serving(Console console, boolean once, Trial trial) {
        this.console = console;
        this.once = once;
        this.trial = trial;
    }

    /**
     * The invented laboratory.
     *
     * @param still a day that stands still, seen while its last runs are being read; else one that is played from its first soil on
     * @param speed how many times faster than usual the day is played
     */
    int demo(Path data, int port, boolean still, double speed) throws IOException {
        long start = System.nanoTime();
        Listening.canListen(ServerSettings.local(port));
        try (Demonstration opened = Demonstration.open(console, data, port, still, speed, Clock.systemUTC())) {
            String inCharge = opened.names().get(0);
            String quality = opened.names().get(1);
            Server server = opened.server();
            console.out()
                    .printf(
                            """
                            Ashgrove Soil Laboratory: everything in it is invented.

                              %s

                            The link signs you in once, as %s, in charge. As %s of quality, who sees hidden controls and charts:

                              %s

                            Signed out, the sign-in page offers each role by one click. To sign a release as either: %s
                            The data are in %s. Ready after %.1f s. Ctrl-C stops.

                            %s
                            """,
                            server.oneTimeLink(inCharge, LINK_LASTS),
                            inCharge,
                            quality,
                            server.oneTimeLink(quality, LINK_LASTS),
                            opened.password(),
                            data,
                            (System.nanoTime() - start) / 1e9,
                            opened.told());
            return stay(server);
        }
    }

    int serve(Shape.Given given, Path data) throws IOException {
        long start = System.nanoTime();
        MethodBook methods = MethodChoice.of(given);
        ServerSettings settings = new ServerSettings(
                given.text("--host").orElse("127.0.0.1"),
                (int) given.number("--port", USUAL_PORT, 0, 65_535),
                given.has("--behind-tls"),
                Duration.ofHours(12),
                Duration.ofMinutes(given.number(
                        "--idle-minutes",
                        ServerSettings.USUAL_IDLE_MINUTES,
                        1,
                        Duration.ofHours(12).toMinutes())));
        Listening.canListen(settings);
        List<Path> folders = given.all("--take").stream()
                .map(typed -> GivenFolder.of(typed, "a day folder"))
                .toList();
        Clock clock = Clock.systemUTC();
        try (Store store =
                console.during("Starting the database in " + data, () -> Databases.open(given, data, clock))) {
            Set<Taken> taken = EnumSet.noneOf(Taken.class);
            for (Path folder : folders) {
                taken.add(take(store, folder, methods));
            }
            List<ConsolePeople.Link> links = ConsolePeople.prepare(given, store);
            if (!once) {
                store.clockWatch()
                        .begin(
                                System::nanoTime,
                                failed -> console.tell(
                                        "the clocks of the server and of the database could not be compared,"
                                                + " and it is tried again: " + failed.getMessage()));
                StartChecks.begin(store, console);
            }
            try (BackupChoice.Kept anchors = given.text("--anchors")
                            .<BackupChoice.Kept>map(file -> new AnchorFile(store, Path.of(file), console)::close)
                            .orElse(() -> {});
                    BackupChoice.Kept backup = BackupChoice.start(given, data, clock, console);
                    Capture capture = CaptureChoice.start(given, data, store, methods, clock, console);
                    Server server = console.during(
                            "Opening the pages of the newest day",
                            () -> Listening.start(settings, store, methods, clock, Optional.of(capture)))) {
                console.out()
                        .printf(
                                "Tenmesh is at %s (ready after %.1f s). The data are in %s. Ctrl-C stops.%n",
                                server.address(), (System.nanoTime() - start) / 1e9, data);
                for (ConsolePeople.Link link : links) {
                    console.out()
                            .printf(
                                    "%nFor %s, works once, %s:%n%n  %s%n",
                                    link.name(), link.says(), link(server, settings, link.name()));
                }
                if (!ConsolePeople.someoneInCharge(store, links)) {
                    console.out()
                            .println(
                                    "\nNobody is in charge yet. Stop, and start again with --in-charge NAME, the name that"
                                            + " will stand on reports; a link to sign in by is printed then.");
                }
                int status = stay(server);
                if (taken.contains(Taken.REFUSED)) {
                    return Status.UNUSABLE;
                }
                return taken.contains(Taken.NOT_JUDGED) && status == Status.DONE ? Status.HELD : status;
            }
        }
    }

    private static String link(Server server, ServerSettings settings, String name) {
        URI link = server.oneTimeLink(name, LINK_LASTS);
        return settings.overTls() ? "https://THE-ADDRESS-PEOPLE-USE" + link.getPath() : link.toString();
    }

    /**
     * Takes a day folder, whole or not at all. It is judged first: one that cannot be judged is stored all the same, so
     * that nothing of it is lost, and told of here, in the journal and on the pages.
     */
    private Taken take(Store store, Path folder, MethodBook methods) throws IOException {
        String digest = digest(folder);
        if (store.receipt(digest).isPresent()) {
            console.out().println(folder + " was taken before; passed over.");
            console.out().flush();
            return Taken.JUDGED;
        }
        DayReading reading = console.during(
                "Reading " + folder,
                () -> DayFolder.read(folder, methods, Limits.defaults(), new KnownInStore(store.record())));
        if (!reading.problems().isEmpty()) {
            StringBuilder why = new StringBuilder(folder + " was not taken; put this right and start again:");
            reading.problems().stream()
                    .limit(MOST_PROBLEMS)
                    .forEach(problem -> why.append("\n  ").append(problem.sentence()));
            if (reading.problems().size() > MOST_PROBLEMS) {
                why.append("\n  and ")
                        .append(reading.problems().size() - MOST_PROBLEMS)
                        .append(" more");
            }
            console.tell(why.toString());
            return Taken.REFUSED;
        }
        Day day = reading.day();
        Optional<String> notJudged = console.during(
                String.format(
                        Locale.ROOT,
                        "Judging %s, %,d soils",
                        folder,
                        day.soils().size()),
                () -> failure(day, methods, folder));
        try {
            Receipt receipt = console.during("Storing " + folder, () -> store.take(day, digest, "command line"));
            console.out()
                    .printf(
                            Locale.ROOT,
                            "%s was taken as day %s: %,d lab numbers, %,d readings in %,d runs.%n",
                            folder,
                            receipt.day(),
                            receipt.soils(),
                            receipt.readings(),
                            receipt.runs().size());
            reading.notes().stream()
                    .limit(MOST_PROBLEMS)
                    .forEach(note -> console.out().println("  " + note.sentence()));
            if (reading.notes().size() > MOST_PROBLEMS) {
                console.out().println("  and " + (reading.notes().size() - MOST_PROBLEMS) + " more notes");
            }
            console.out().flush();
            if (notJudged.isEmpty()) {
                return Taken.JUDGED;
            }
            store.note(
                    "command line",
                    "day-not-judged",
                    receipt.day(),
                    Map.of("source-sha256", digest, "reason", notJudged.get()));
            console.tell("day " + receipt.day() + " is kept with all its readings but cannot be judged, and the pages"
                    + " say so: " + notJudged.get());
            return Taken.NOT_JUDGED;
        } catch (Refused refused) {
            console.tell(folder + " was not taken: " + refused.getMessage());
            return Taken.REFUSED;
        }
    }

    /** What became of a day folder. */
    private enum Taken {
        JUDGED,
        NOT_JUDGED,
        REFUSED
    }

    /** Why the judge cannot finish this day; empty when it can. */
    private Optional<String> failure(Day day, MethodBook methods, Path folder) {
        try {
            trial.judge(day, methods);
            return Optional.empty();
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError failed) {
            return Optional.of(FailedInside.sentence(failed, List.of("serve", "--take", folder.toString())));
        }
    }

    /** SHA-256 over the names and bytes of the folder's files, in the order of names. */
    private static String digest(Path folder) throws IOException {
        MessageDigest digest = sha256();
        List<Path> files;
        try (Stream<Path> walk = Files.walk(folder)) {
            files = walk.filter(Files::isRegularFile).sorted().toList();
        }
        for (Path file : files) {
            digest.update(folder.relativize(file).toString().getBytes(StandardCharsets.UTF_8));
            digest.update((byte) 0);
            try (InputStream in = Files.newInputStream(file)) {
                byte[] part = new byte[1 << 16];
                for (int n = in.read(part); n >= 0; n = in.read(part)) {
                    digest.update(part, 0, n);
                }
            }
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException absent) {
            throw new IllegalStateException("every Java has SHA-256", absent);
        }
    }

    /** Waits for Ctrl-C or a polite kill; the store and the pages are closed before the process ends. */
    private int stay(Server server) {
        console.out().flush();
        if (once) {
            return answers(server.address()) ? Status.DONE : Status.HELD;
        }
        CountDownLatch told = new CountDownLatch(1);
        Thread main = Thread.currentThread();
        Runtime.getRuntime().addShutdownHook(new Thread(() -> {
            told.countDown();
            try {
                main.join(20_000);
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
            }
        }));
        try {
            told.await();
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
        return Status.DONE;
    }

    private static boolean answers(URI address) {
        try {
            HttpClient client = HttpClient.newHttpClient();
            HttpResponse<String> page = client.send(
                    HttpRequest.newBuilder(address.resolve("/sign-in")).build(), HttpResponse.BodyHandlers.ofString());
            return page.statusCode() == 200;
        } catch (IOException silent) {
            return false;
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return false;
        }
    }
}
