package org.tenmesh.proof.benchmark;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.net.URI;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * Readings that arrive for runs under way of a large day while pages are open: milliseconds from the moment a reading is handed to the store
 * until its verdict is in an open page, for each page; seconds until the judged day is; the heap. One process serves, takes and looks.
 * Arguments: readings a second, seconds, pages, soils; usually 200, 60, 20 and 4,000. Half of the day's runs are there before.
 */
public final class ArrivalSpeed {
    private static final String NAME = "Arrival Bench";
    private static final Pattern SHOWN = Pattern.compile("data-run=\"([^\"]*)\" data-readings=\"(\\d+)\"");
    /** Instruments that read at once. */
    private static final int AT_ONCE = 8;
    /** Times a second that something arrives. */
    private static final int PIECES = 20;

    private static final int WARM_SECONDS = 10;

    private final URI home;
    private final AtomicBoolean counts = new AtomicBoolean();
    private final AtomicLong bytes = new AtomicLong();
    private final AtomicLong redrawn = new AtomicLong();
    private final ConcurrentLinkedQueue<Long> latencies = new ConcurrentLinkedQueue<>();
    private final Map<String, ConcurrentLinkedQueue<long[]>> sent = new ConcurrentHashMap<>();
    private volatile boolean over;

    private ArrivalSpeed(URI home) {
        this.home = home;
    }

    /** One run that is read, and how far it has come. */
    private static final class Reading {
        private final Run run;
        private int done;

        Reading(Run run) {
            this.run = run;
        }

        boolean ends() {
            return done == run.readings().size();
        }

        RunPart next(int count) {
            int to = Math.min(run.readings().size(), done + count);
            RunPart part = new RunPart(
                    run.with(run.readings().part(done, to)),
                    to == run.readings().size());
            done = to;
            return part;
        }
    }

    public static void main(String[] arguments) throws Exception {
        int rate = argument(arguments, 0, 200);
        int seconds = argument(arguments, 1, 60);
        int pages = argument(arguments, 2, 20);
        int soils = argument(arguments, 3, 4_000);
        Path folder = Files.createTempDirectory("arrivals").resolve("database");
        Day whole = Simulator.simulate(Scenario.of(7, soils, LocalDate.of(2026, 11, 25)))
                .day();
        List<Run> runs = whole.runs().stream()
                .sorted(Comparator.comparing(Run::startedAt).thenComparing(Run::run))
                .toList();
        int half = runs.size() / 2;
        List<Reading> toCome = new ArrayList<>();
        runs.subList(half, runs.size()).forEach(run -> toCome.add(new Reading(run)));
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            store.take(whole.withRuns(runs.subList(0, half)), "0".repeat(64), "benchmark");
            store.people()
                    .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("seven plain words")), "benchmark");
            try (Server server =
                    Server.start(ServerSettings.local(0), store, MethodFiles.shipped(), Clock.systemUTC())) {
                ArrivalSpeed speed = new ArrivalSpeed(server.address());
                OpenPage page = new OpenPage(server.address(), server.oneTimeLink(NAME, Duration.ofMinutes(10)));
                for (int i = 0; i < pages; i++) {
                    speed.open(page);
                }
                Thread.sleep(2_000);
                speed.send(store, toCome, rate, WARM_SECONDS);
                speed.counts.set(true);
                long most = speed.send(store, toCome, rate, seconds);
                Thread.sleep(2_000);
                speed.over = true;
                speed.print(rate, pages, soils, seconds, most);
            }
        }
        System.exit(0);
    }

    private static int argument(String[] arguments, int place, int usual) {
        return arguments.length > place ? Integer.parseInt(arguments[place]) : usual;
    }

    private long send(Store store, List<Reading> toCome, int rate, int seconds) throws InterruptedException {
        long begin = System.nanoTime();
        long most = 0;
        int turn = 0;
        long behind = 0;
        for (long i = 0; i < (long) seconds * PIECES; i++) {
            long due = begin + i * 1_000_000_000L / PIECES;
            TimeUnit.NANOSECONDS.sleep(Math.max(0, due - System.nanoTime()));
            toCome.removeIf(Reading::ends);
            if (toCome.isEmpty()) {
                throw new IllegalStateException("the day has too few readings for so many seconds");
            }
            Reading reading = toCome.get(turn++ % Math.min(AT_ONCE, toCome.size()));
            RunPart part = reading.next(rate / PIECES);
            String run = part.run().run();
            long at = System.nanoTime();
            if (!part.last()) {
                // A run that ends is shown with its day.
                sent.computeIfAbsent(run, key -> new ConcurrentLinkedQueue<>()).add(new long[] {reading.done, at});
            }
            store.arrivals()
                    .take(
                            new Arrival(
                                    "benchmark",
                                    run + " " + reading.done,
                                    run,
                                    Instant.now(),
                                    (run + " " + reading.done).getBytes(StandardCharsets.UTF_8),
                                    List.of(part),
                                    Optional.empty()),
                            "benchmark");
            behind = Math.max(behind, System.nanoTime() - due);
            if (i % PIECES == 0) {
                most = Math.max(
                        most,
                        ManagementFactory.getMemoryMXBean().getHeapMemoryUsage().getUsed());
            }
        }
        System.out.printf(
                Locale.ROOT,
                "sent for %d s, an arrival at most %.0f ms late when it was taken%n",
                seconds,
                behind / 1e6);
        return most;
    }

    /** Opens a page that listens, and asks for the page again when the day has changed. */
    private void open(OpenPage page) throws IOException, InterruptedException {
        Map<String, Long> seen = new ConcurrentHashMap<>();
        AtomicBoolean redrawing = new AtomicBoolean();
        AtomicReference<String> token = new AtomicReference<>("");
        page.listen((event, says) -> {
            bytes.addAndGet(counts.get() ? says.length() : 0);
            if (event.equals("run")) {
                shown(says, seen);
            } else if (event.isEmpty() && !says.equals(token.getAndSet(says)) && redrawing.compareAndSet(false, true)) {
                redraw(page, redrawing);
            } else if (event.equals("gone") && !over) {
                throw new IllegalStateException("a page lost its server: " + says);
            }
        });
    }

    private void redraw(OpenPage page, AtomicBoolean redrawing) {
        page.client()
                .sendAsync(
                        HttpRequest.newBuilder(home.resolve("/today"))
                                .header("X-Tenmesh-Redraw", "1")
                                .build(),
                        HttpResponse.BodyHandlers.ofByteArray())
                .whenComplete((answer, failed) -> {
                    redrawing.set(false);
                    redrawn.addAndGet(counts.get() ? 1 : 0);
                });
    }

    private void shown(String line, Map<String, Long> seen) {
        long now = System.nanoTime();
        Matcher card = SHOWN.matcher(line);
        if (!card.find()) {
            throw new IllegalStateException("no run in " + line);
        }
        long before = seen.getOrDefault(card.group(1), 0L);
        long readings = Long.parseLong(card.group(2));
        seen.put(card.group(1), readings);
        if (counts.get()) {
            sent.getOrDefault(card.group(1), new ConcurrentLinkedQueue<>()).stream()
                    .filter(one -> one[0] > before && one[0] <= readings)
                    .forEach(one -> latencies.add(now - one[1]));
        }
    }

    private void print(int rate, int pages, int soils, int seconds, long most) {
        long[] sorted = latencies.stream().mapToLong(Long::longValue).sorted().toArray();
        long pieces = (long) seconds * PIECES * pages;
        System.out.printf(
                Locale.ROOT,
                "%d readings/s in %d arrivals a second, %d soils, %d pages: %d of at most %d showings, median %.1f ms, p90 %.1f ms, p99"
                        + " %.1f ms, longest %.1f ms; %.1f kB/s to each page, %d pages asked for again; heap at most %d MB when looked at%n",
                rate,
                PIECES,
                soils,
                pages,
                sorted.length,
                pieces,
                sorted[sorted.length / 2] / 1e6,
                sorted[(int) (sorted.length * 0.9)] / 1e6,
                sorted[(int) (sorted.length * 0.99)] / 1e6,
                sorted[sorted.length - 1] / 1e6,
                bytes.get() / 1000.0 / seconds / pages,
                redrawn.get(),
                most >> 20);
    }
}
