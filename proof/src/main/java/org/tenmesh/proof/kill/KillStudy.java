package org.tenmesh.proof.kill;

import static java.util.Objects.requireNonNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;

/**
 * Kills a server, or its database, at random moments while readings arrive, each time without a warning (SIGKILL), and starts it again. Then
 * counts readings that were acknowledged and are lost, readings that are stored twice or otherwise than they were sent, and whether the
 * journal is whole and vouches for everything. Arguments: kills, readings a second, seed; usually 200, 200 and 1. Exit status 0 when nothing is
 * lost, twice or broken.
 */
public final class KillStudy {
    private static final int SHORTEST_MILLIS = 500;
    private static final int LONGEST_MILLIS = 6_000;

    private final Path folder;
    private final int rate;
    private final Random random;

    private KillStudy(Path folder, int rate, long seed) {
        this.folder = folder.resolve("database");
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
        SendingProcess server =
                new SendingProcess(requireNonNull(folder.getParent()), rate, 0, 1, List.of(folder.toString()));
        while (true) {
            // Of one start the database is killed some times, the server at last.
            boolean alive = true;
            while (alive && servers + databases < kills) {
                Thread.sleep(SHORTEST_MILLIS + random.nextInt(LONGEST_MILLIS - SHORTEST_MILLIS));
                if (!server.alive()) {
                    throw new IllegalStateException("the server ended by itself after kill " + (servers + databases));
                }
                if (random.nextBoolean() && kill()) {
                    databases++;
                } else {
                    alive = false;
                    servers++;
                }
            }
            server.kill();
            System.out.printf(
                    Locale.ROOT, "%d kills, %,d readings acknowledged%n", servers + databases, server.acknowledged());
            if (servers + databases >= kills) {
                break;
            }
            server.again();
        }
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            WhatIsStored stored = WhatIsStored.in(store, server.sent());
            stored.print(String.format(
                    Locale.ROOT,
                    "%d kills at %d readings/s: %d of the server, %d of the database",
                    servers + databases,
                    rate,
                    servers,
                    databases));
            return stored.whole();
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
}
