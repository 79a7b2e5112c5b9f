package org.tenmesh.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.StoredReadings;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.rows.CopyRows;
import org.tenmesh.store.server.StoreSettings;

/**
 * Measures, in one run on one server: how long a store takes to open the first and the second time, and how many
 * readings a second {@code take} stores, and {@code arrivals().take} run by run while the runs are under way, against a bare COPY of the same
 * rows into a table without index, trigger or journal. Prints; judges nothing. Arguments: a folder that does not exist yet (it is left there), and soils;
 * usually 4,000 and 40,000.
 */
final class IngestSpeed {
    private static final int ROUNDS = 5;

    private IngestSpeed() {}

    public static void main(String[] arguments) throws Exception {
        Path folder = arguments.length > 0 ? Path.of(arguments[0]) : OpenStore.folder("speed");
        Files.createDirectories(folder.toAbsolutePath().getParent());
        for (String which : List.of("first", "second")) {
            long start = System.nanoTime();
            try (Store store = open(folder)) {
                System.out.printf(
                        "%-6s open %6.2f s, %d days%n",
                        which, seconds(start), store.days().size());
            }
        }
        try (Store store = open(folder)) {
            List<Integer> sizes =
                    arguments.length > 1 ? List.of(Integer.parseInt(arguments[1])) : List.of(4_000, 40_000);
            for (int soils : sizes) {
                measure(store, soils);
            }
        }
    }

    private static void measure(Store store, int soils) throws Exception {
        Day day = InventedDay.of(soils);
        long readings =
                day.runs().stream().mapToLong(run -> run.readings().size()).sum();
        double bareBest = Double.MAX_VALUE;
        double takeBest = Double.MAX_VALUE;
        double arriveBest = Double.MAX_VALUE;
        // Alternating, the best of each: what else runs on the machine disturbs both alike.
        for (int round = 0; round < ROUNDS; round++) {
            bareBest = Math.min(bareBest, bareCopy(store, day));
            String name = OpenStore.freshDay();
            long start = System.nanoTime();
            OpenStore.take(store, day, name, Journal.sha256(name), "M. Whelan");
            takeBest = Math.min(takeBest, seconds(start));
            arriveBest = Math.min(arriveBest, arrive(store, day));
        }
        long start = System.nanoTime();
        int back = store.quality().dayWithControls(store.days().get(0).name()).orElseThrow().runs().stream()
                .mapToInt(run -> run.readings().size())
                .sum();
        double readSeconds = seconds(start);
        System.out.printf(
                "%7d readings arriving run by run, each with its bytes and its journal entry: %6.3f s (%,.0f/s), speed / bare COPY %.2f%n",
                readings, arriveBest, readings / arriveBest, bareBest / arriveBest);
        System.out.printf(
                "%7d readings: bare COPY %6.3f s (%,.0f/s), take %6.3f s (%,.0f/s), speed of take / bare COPY %.2f;"
                        + " read back %.3f s (%,.0f/s)%n",
                readings,
                bareBest,
                readings / bareBest,
                takeBest,
                readings / takeBest,
                bareBest / takeBest,
                readSeconds,
                back / readSeconds);
    }

    private static double arrive(Store store, Day day) {
        String register = OpenStore.freshDay().substring(11);
        List<Arrival> arrivals = day.runs().stream()
                .map(run -> new Arrival(
                        register,
                        run.run(),
                        run.run(),
                        Instant.now(),
                        // About as long as a line of an export for each reading.
                        new byte[40 * run.readings().size()],
                        List.of(new RunPart(run, false)),
                        Optional.empty()))
                .toList();
        long start = System.nanoTime();
        arrivals.forEach(one -> store.arrivals().in(register).take(one, "capture"));
        return seconds(start);
    }

    private static double bareCopy(Store store, Day day) throws SQLException {
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement()) {
            statement.execute("drop table if exists public.bare");
            statement.execute(
                    "create table public.bare (run int, line int, at timestamptz, value float8, dilution float8,"
                            + " position int, at_offset int, role text, identity text, channel text, quantity text, unit text)");
            long start = System.nanoTime();
            connection.setAutoCommit(false);
            int id = 0;
            try (CopyRows rows = new CopyRows(connection, "public.bare")) {
                for (Run run : day.runs()) {
                    StoredReadings.copy(rows, ++id, run.readings());
                }
                rows.end();
            }
            connection.commit();
            return seconds(start);
        }
    }

    private static Store open(Path folder) {
        return Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom());
    }

    private static double seconds(long sinceNanos) {
        return (System.nanoTime() - sinceNanos) / 1e9;
    }
}
