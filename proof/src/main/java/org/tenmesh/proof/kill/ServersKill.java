package org.tenmesh.proof.kill;

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
import org.tenmesh.store.Store;

/**
 * Several servers on one PostgreSQL that somebody else runs, each with sources of its own; one after the other is killed under load (SIGKILL) and
 * started again a moment later. Prints whether the others went on, what was acknowledged and lost or stored twice, and whether the journal is whole.
 * Arguments: URL, user, password, servers, kills, readings a second of each, seed; usually 3, 12, 60 and 1. The database must be empty. Exit status
 * 0 when nothing is lost, twice or broken and no server waited for another.
 */
public final class ServersKill {
    private static final int SHORTEST_MILLIS = 2_000;
    private static final int LONGEST_MILLIS = 6_000;
    private static final int WATCHED_MILLIS = 3_000;

    private ServersKill() {}

    public static void main(String[] arguments) throws Exception {
        Path folder = Files.createTempDirectory("servers-kill");
        List<String> where = List.of(
                arguments[0],
                arguments[1],
                arguments[2],
                folder.resolve("secrets").toString());
        int count = arguments.length > 3 ? Integer.parseInt(arguments[3]) : 3;
        int kills = arguments.length > 4 ? Integer.parseInt(arguments[4]) : 12;
        int rate = arguments.length > 5 ? Integer.parseInt(arguments[5]) : 60;
        Random random = new Random(arguments.length > 6 ? Long.parseLong(arguments[6]) : 1);
        List<SendingProcess> servers = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            servers.add(new SendingProcess(folder, rate, i, count, where));
        }
        double longestPauseS = 0;
        for (int kill = 0; kill < kills; kill++) {
            Thread.sleep(SHORTEST_MILLIS + random.nextInt(LONGEST_MILLIS - SHORTEST_MILLIS));
            SendingProcess killed = servers.get(random.nextInt(count));
            killed.kill();
            long end = System.nanoTime() + WATCHED_MILLIS * 1_000_000L;
            while (System.nanoTime() < end) {
                for (SendingProcess other : servers) {
                    if (other != killed) {
                        longestPauseS = Math.max(longestPauseS, (System.nanoTime() - other.lastNanos()) / 1e9);
                    }
                }
                Thread.sleep(5);
            }
            killed.again();
            System.out.printf(
                    Locale.ROOT, "%d kills, longest pause of another server %.2f s%n", kill + 1, longestPauseS);
        }
        Map<String, Integer> sent = new HashMap<>();
        for (SendingProcess server : servers) {
            server.kill();
            sent.putAll(server.sent());
        }
        try (Store store = Store.open(Sending.settings(where), Clock.systemUTC(), new SecureRandom())) {
            WhatIsStored stored = WhatIsStored.in(store, sent);
            stored.print(String.format(
                    Locale.ROOT,
                    "%d servers at %d readings/s each, %d of them killed: longest pause of another %.2f s",
                    count,
                    rate,
                    kills,
                    longestPauseS));
            System.exit(stored.whole() && longestPauseS < WATCHED_MILLIS / 1e3 ? 0 : 1);
        }
    }
}
