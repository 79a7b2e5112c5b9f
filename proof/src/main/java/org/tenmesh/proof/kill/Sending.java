package org.tenmesh.proof.kill;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * The process that is killed: a server with its database, and sources that send to it. Says {@code sent RUN COUNT} on standard output once so many
 * readings of a run are acknowledged. A source that hears no acknowledgement sends the same again.
 */
final class Sending {
    static final int SOILS = 300;
    static final String SOURCE = "kill study";

    /** Readings in one arrival. */
    static final int PIECE = 10;

    /** Instruments that send at once. */
    private static final int AT_ONCE = 8;

    private Sending() {}

    /** The day that is sent: its runs under new names, so that there are enough of them. */
    static Day day() {
        Day day = Simulator.simulate(Scenario.of(7, SOILS, LocalDate.of(2026, 11, 25)))
                .day();
        List<Run> runs = new ArrayList<>();
        for (int round = 0; round < 40; round++) {
            for (Run run : day.runs()) {
                runs.add(new Run(
                        run.run() + "-" + round,
                        run.method(),
                        run.instrument(),
                        run.operator(),
                        run.startedAt(),
                        run.readings()));
            }
        }
        return day.withRuns(runs);
    }

    /** The store in a folder, or on a server of somebody else's: URL, user, password and the folder of secrets. */
    static StoreSettings settings(List<String> where) {
        return where.size() == 1
                ? StoreSettings.embedded(Path.of(where.get(0)))
                : StoreSettings.byUrl(where.get(0), where.get(1), where.get(2), Path.of(where.get(3)));
    }

    /** The runs that the sources of one of several servers send. */
    static List<Run> share(Day day, int which, int of) {
        return IntStream.range(0, day.runs().size())
                .filter(i -> i % of == which)
                .mapToObj(i -> day.runs().get(i))
                .toList();
    }

    /** @param arguments a file with what was acknowledged before, readings a second, which of how many servers, and where the store is */
    public static void main(String[] arguments) throws Exception {
        Day day = day();
        Map<String, Integer> done = acknowledged(Path.of(arguments[0]));
        int rate = Integer.parseInt(arguments[1]);
        List<Run> share = share(day, Integer.parseInt(arguments[2]), Integer.parseInt(arguments[3]));
        StoreSettings settings = settings(List.of(arguments).subList(4, arguments.length));
        try (Store store = Store.open(settings, Clock.systemUTC(), new SecureRandom());
                Server server =
                        Server.start(ServerSettings.local(0), store, MethodFiles.shipped(), Clock.systemUTC())) {
            if (store.days(1).isEmpty()) {
                store.take(day.withRuns(List.of()), "0".repeat(64), SOURCE);
            }
            System.out.println("ready " + server.address().getPort());
            // What was acknowledged last is sent once more, as a source does that did not hear it.
            done.replaceAll((run, count) -> Math.max(0, count - 1) / PIECE * PIECE);
            long began = System.nanoTime();
            for (long i = 0; ; i++) {
                long due = began + i * PIECE * 1_000_000_000L / rate;
                TimeUnit.NANOSECONDS.sleep(Math.max(0, due - System.nanoTime()));
                List<Run> open = share.stream()
                        .filter(run ->
                                done.getOrDefault(run.run(), 0) < run.readings().size())
                        .limit(AT_ONCE)
                        .toList();
                send(store, open.get((int) (i % open.size())), done);
            }
        }
    }

    private static Map<String, Integer> acknowledged(Path file) throws Exception {
        Map<String, Integer> done = new HashMap<>();
        for (String line : Files.readAllLines(file)) {
            String[] words = line.split(" ");
            done.put(words[0], Integer.parseInt(words[1]));
        }
        return done;
    }

    private static void send(Store store, Run run, Map<String, Integer> done) throws InterruptedException {
        int from = done.getOrDefault(run.run(), 0);
        int to = Math.min(run.readings().size(), from + PIECE);
        Arrival arrival = arrival(run, from, to);
        while (true) {
            try {
                store.arrivals().take(arrival, SOURCE);
                break;
            } catch (Refused refused) {
                throw refused;
            } catch (RuntimeException gone) {
                // The database was killed: it comes back.
                Thread.sleep(100);
            }
        }
        done.put(run.run(), to);
        System.out.println("sent " + run.run() + " " + to);
    }

    static Arrival arrival(Run run, int from, int to) {
        return new Arrival(
                SOURCE,
                run.run() + " " + from,
                run.run() + " from reading " + from,
                Instant.now(),
                (run.run() + " " + from + " " + to).getBytes(StandardCharsets.UTF_8),
                List.of(new RunPart(
                        run.with(run.readings().part(from, to)),
                        to == run.readings().size())),
                Optional.empty());
    }
}
