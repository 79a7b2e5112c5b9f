package org.tenmesh.proof.kill;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.store.verified.RecordCheck;

/**
 * Kills a server, or its database, at random moments while readings arrive, each time without a warning (SIGKILL), and starts it again. Then
 * counts readings that were acknowledged and are lost, readings that are stored twice or otherwise than they were sent, and whether the
 * journal is whole and vouches for everything. Arguments: kills, readings a second, seed; usually 200, 200 and 1. Exit status 0 when nothing is
 * lost, twice or broken.
 */
public final class KillStudy {
    private static final int SHORTEST_MILLIS = 500;
    private static final int LONGEST_MILLIS = 6_000;
    private static final int START_SECONDS = 240;

    private final Path folder;
    private final Path acknowledged;
    private final int rate;
    private final Random random;
    private final Map<String, Integer> sent = new TreeMap<>();

    private KillStudy(Path folder, int rate, long seed) {
        this.folder = folder.resolve("database");
        this.acknowledged = folder.resolve("acknowledged.txt");
        this.rate = rate;
        this.random = new Random(seed);
    }

    public static void main(String[] arguments) throws Exception {
        int kills = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 200;
        int rate = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 200;
        long seed = arguments.length > 2 ? Long.parseLong(arguments[2]) : 1;
        KillStudy study = new KillStudy(Files.createTempDirectory("kill"), rate, seed);
        System.exit(study.run(kills) ? 0 : 1);
    }

    private boolean run(int kills) throws Exception {
        int servers = 0;
        int databases = 0;
        int done = 0;
        while (done < kills) {
            write();
            Process server = start();
            CountDownLatch ready = new CountDownLatch(1);
            Thread listener = new Thread(() -> listen(server, ready), "acknowledged");
            listener.start();
            if (!ready.await(START_SECONDS, TimeUnit.SECONDS)) {
                server.destroyForcibly();
                throw new IllegalStateException(
                        "the server did not start within " + START_SECONDS + " s after kill " + done);
            }
            // Of one start the database is killed some times, the server at last.
            boolean alive = true;
            while (alive && done < kills) {
                Thread.sleep(SHORTEST_MILLIS + random.nextInt(LONGEST_MILLIS - SHORTEST_MILLIS));
                if (!server.isAlive()) {
                    throw new IllegalStateException("the server ended by itself after kill " + done);
                }
                if (random.nextBoolean() && kill()) {
                    databases++;
                } else {
                    alive = false;
                    servers++;
                    server.destroyForcibly();
                }
                done++;
            }
            if (alive) {
                server.destroyForcibly();
            }
            server.waitFor();
            listener.join();
            System.out.printf(
                    Locale.ROOT,
                    "%d kills, %,d readings acknowledged%n",
                    done,
                    sent.values().stream().mapToLong(Integer::longValue).sum());
        }
        return look(servers, databases);
    }

    private void write() throws IOException {
        List<String> lines = new ArrayList<>();
        synchronized (sent) {
            sent.forEach((run, count) -> lines.add(run + " " + count));
        }
        Files.write(acknowledged, lines);
    }

    private Process start() throws IOException {
        return new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx512m",
                        "-cp",
                        System.getProperty("java.class.path"),
                        Sending.class.getName(),
                        folder.toString(),
                        acknowledged.toString(),
                        "" + rate)
                .redirectError(folder.resolveSibling("server.log").toFile())
                .start();
    }

    private void listen(Process server, CountDownLatch ready) {
        try (BufferedReader lines =
                new BufferedReader(new InputStreamReader(server.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                String[] words = line.split(" ");
                if (words[0].equals("ready")) {
                    ready.countDown();
                } else if (words[0].equals("sent") && words.length == 3) {
                    synchronized (sent) {
                        sent.merge(words[1], Integer.parseInt(words[2]), Math::max);
                    }
                }
            }
        } catch (IOException e) {
            // Killed in the middle of a line.
        }
    }

    /** Kills the database's main process; false when it is not there at this moment. */
    private boolean kill() throws IOException {
        try (var all = Files.walk(folder, 3)) {
            Path pid = all.filter(path -> path.endsWith("postmaster.pid"))
                    .findFirst()
                    .orElse(null);
            if (pid == null) {
                return false;
            }
            long id = Long.parseLong(Files.readAllLines(pid).get(0).strip());
            return ProcessHandle.of(id).map(ProcessHandle::destroyForcibly).orElse(false);
        } catch (java.io.UncheckedIOException | NumberFormatException meanwhile) {
            return false;
        }
    }

    private boolean look(int servers, int databases) throws Exception {
        Day day = Sending.day();
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            Map<String, Run> stored = new HashMap<>();
            store.days()
                    .forEach(entry -> store.day(entry.name())
                            .ifPresent(one -> one.runs().forEach(run -> stored.put(run.run(), run))));
            long lost = 0;
            long twice = 0;
            long different = 0;
            long readings = 0;
            for (Run run : day.runs()) {
                int promised = sent.getOrDefault(run.run(), 0);
                Run its = stored.get(run.run());
                int there = its == null ? 0 : its.readings().size();
                readings += there;
                lost += Math.max(0, promised - there);
                // What was stored and not acknowledged any more may be one arrival.
                twice += Math.max(0, there - Math.min(run.readings().size(), promised + Sending.PIECE));
                boolean same = its == null
                        || there <= run.readings().size()
                                && its.readings().sameAs(run.readings().part(0, there));
                different += same ? 0 : 1;
            }
            JournalCheck journal = store.verifyJournal();
            RecordCheck record = store.compareWithJournal(says -> {});
            System.out.printf(
                    Locale.ROOT,
                    "%d kills at %d readings/s: %d of the server, %d of the database; %,d readings stored; acknowledged and lost %d, stored twice"
                            + " %d, runs that differ from what was sent %d; journal: %s; %,d rows compared, %d differ, %d unreadable%n",
                    servers + databases,
                    rate,
                    servers,
                    databases,
                    readings,
                    lost,
                    twice,
                    different,
                    journal.finding(),
                    record.compared(),
                    record.differences().size(),
                    record.unreadable().size());
            record.differences().stream().limit(10).forEach(System.out::println);
            record.unreadable().stream().limit(10).forEach(System.out::println);
            return lost + twice + different == 0
                    && journal.whole()
                    && record.differences().isEmpty()
                    && record.unreadable().isEmpty();
        }
    }
}
