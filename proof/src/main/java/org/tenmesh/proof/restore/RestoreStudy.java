package org.tenmesh.proof.restore;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.tenmesh.store.Store;
import org.tenmesh.store.backup.Restore;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.store.verified.RecordCheck;

/**
 * A laboratory of 60 days loses its machine at noon, while readings arrive, and is restored from a whole copy and the log that was kept. The lost disk
 * is then read after all, so that every row of every table can be compared: each restored row is one of the lost machine's, and each row that is
 * not restored was written after the log was kept last. Arguments: days, soils a day, seconds between two copies of the log, seconds of work before
 * the loss; usually 60, 400, 60 and 150. Exit status 0 when all of that holds.
 */
public final class RestoreStudy {
    /** Rows that are written again in their place: what they say is compared with the journal and not row by row. */
    private static final Set<String> WRITTEN_AGAIN = Set.of("journal.head", "reading.under_way", "release.unreleased");

    /** Between the moment an entry is given its time and the moment its transaction is in the log. */
    private static final Duration COMMIT = Duration.ofSeconds(5);

    private RestoreStudy() {}

    public static void main(String[] arguments) throws Exception {
        String days = arguments.length > 0 ? arguments[0] : "60";
        String soils = arguments.length > 1 ? arguments[1] : "400";
        String interval = arguments.length > 2 ? arguments[2] : "60";
        long work = arguments.length > 3 ? Long.parseLong(arguments[3]) : 150;
        Path temp = Files.createTempDirectory("restore");
        try {
            System.exit(run(temp, List.of(days, soils, interval), work) ? 0 : 1);
        } finally {
            System.out.println("left in " + temp);
        }
    }

    private static boolean run(Path temp, List<String> size, long work) throws Exception {
        Path lost = temp.resolve("lost");
        Path backups = temp.resolve("backups");
        List<String> command = new ArrayList<>(List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx700m",
                "-cp",
                System.getProperty("java.class.path"),
                Working.class.getName(),
                lost.toString(),
                backups.toString()));
        command.addAll(size);
        Process machine = new ProcessBuilder(command)
                .redirectError(temp.resolve("working.log").toFile())
                .start();
        long stored = 0;
        Instant keptUntil = Instant.EPOCH;
        Instant gone = Instant.EPOCH;
        try (BufferedReader says =
                new BufferedReader(new InputStreamReader(machine.getInputStream(), StandardCharsets.UTF_8))) {
            Optional<Instant> end = Optional.empty();
            for (String line = says.readLine(); line != null; line = says.readLine()) {
                String[] words = line.split(" ");
                Instant at = Instant.parse(words[3]);
                switch (words[0]) {
                    case "stored" -> {
                        stored = (long) Double.parseDouble(words[1]);
                        keptUntil = Instant.ofEpochMilli(Long.parseLong(words[2]));
                        end = end.or(() -> Optional.of(at.plusSeconds(work)));
                        if (at.isAfter(end.get())) {
                            gone = lose(machine, lost);
                        }
                    }
                    default -> System.out.println(line);
                }
            }
        }
        System.out.printf(
                "lost at %s, %d pieces of work stored, the log kept until %s (%.1f s before)%n",
                gone, stored, keptUntil, Duration.between(keptUntil, gone).toMillis() / 1e3);

        Path restored = temp.resolve("restored");
        long began = System.nanoTime();
        Restore.into(restored, backups, Optional.empty(), says -> {});
        System.out.printf("restored in %.1f s%n", Working.seconds(began));
        Map<String, Map<Long, Integer>> rows;
        List<String> wrong = new ArrayList<>();
        try (Store store = Store.open(StoreSettings.embedded(restored), Clock.systemUTC(), new SecureRandom())) {
            System.out.printf("open after %.1f s%n", Working.seconds(began));
            if (!store.verifyJournal().whole()) {
                wrong.add("the journal is broken: " + store.verifyJournal().finding());
            }
            RecordCheck check = store.compareWithJournal(says -> {});
            wrong.addAll(check.differences());
            wrong.addAll(check.unreadable());
            System.out.printf(
                    "checked against the journal after %.1f s: %,d things%n", Working.seconds(began), check.compared());
            rows = rows(restored);
        }
        Map<String, Map<Long, Integer>> were;
        Instant firstLost;
        try (Store store = Store.open(StoreSettings.embedded(lost), Clock.systemUTC(), new SecureRandom())) {
            were = rows(lost);
            firstLost = firstLost(lost, entries(rows));
        }
        long equal = 0;
        for (Map.Entry<String, Map<Long, Integer>> one : were.entrySet()) {
            String table = one.getKey();
            Map<Long, Integer> now = rows.getOrDefault(table, Map.of());
            Map<Long, Integer> left = new HashMap<>(one.getValue());
            long foreign = 0;
            long common = 0;
            for (Map.Entry<Long, Integer> row : now.entrySet()) {
                int had = left.getOrDefault(row.getKey(), 0);
                int both = Math.min(had, row.getValue());
                common += both;
                foreign += row.getValue() - both;
                left.put(row.getKey(), had - both);
            }
            long gaps = left.values().stream().mapToLong(Integer::longValue).sum();
            if (foreign == 0 && gaps == 0) {
                equal++;
            } else {
                System.out.printf(
                        Locale.ROOT, "%s: %,d rows the same, %,d lost, %,d otherwise%n", table, common, gaps, foreign);
            }
            if (foreign > 0 && !WRITTEN_AGAIN.contains(table)) {
                wrong.add(table + ": " + foreign + " restored rows are none of the lost machine's");
            }
        }
        System.out.printf(
                "%d of %d tables the same to the row; oldest entry that is lost: %s (%.1f s before the loss)%n",
                equal, were.size(), firstLost, Duration.between(firstLost, gone).toMillis() / 1e3);
        if (firstLost.isBefore(keptUntil.minus(COMMIT))) {
            wrong.add("an entry of " + firstLost + " is lost, although the log was kept until " + keptUntil);
        }
        wrong.forEach(System.out::println);
        return wrong.isEmpty();
    }

    /** Ends the program and every process of its database, without a warning. */
    private static Instant lose(Process machine, Path folder) throws IOException {
        List<ProcessHandle> all = new ArrayList<>(List.of(machine.toHandle()));
        long postmaster = Long.parseLong(Files.readAllLines(folder.resolve("database/postmaster.pid"))
                .get(0)
                .strip());
        ProcessHandle.of(postmaster).ifPresent(server -> {
            all.add(server);
            server.descendants().forEach(all::add);
        });
        all.forEach(ProcessHandle::destroyForcibly);
        return Instant.now();
    }

    private static Connection owner(Path folder) throws IOException, SQLException {
        return DriverManager.getConnection(
                EmbeddedServer.running(folder).orElseThrow(),
                EmbeddedServer.OWNER,
                Files.readString(folder.resolve("secrets").resolve(EmbeddedServer.OWNER))
                        .strip());
    }

    /** For each table how often each row is there, the row by 64 bits of its SHA-256. */
    private static Map<String, Map<Long, Integer>> rows(Path folder)
            throws IOException, SQLException, NoSuchAlgorithmException {
        Map<String, Map<Long, Integer>> tables = new TreeMap<>();
        MessageDigest sha256 = MessageDigest.getInstance("SHA-256");
        try (Connection connection = owner(folder);
                Statement statement = connection.createStatement()) {
            connection.setAutoCommit(false);
            List<String> names = new ArrayList<>();
            try (ResultSet found = statement.executeQuery(
                    "select schemaname || '.' || tablename from pg_tables where schemaname not like 'pg\\_%'"
                            + " and schemaname <> 'information_schema'")) {
                while (found.next()) {
                    names.add(found.getString(1));
                }
            }
            statement.setFetchSize(5_000);
            for (String name : names) {
                Map<Long, Integer> counts = new HashMap<>();
                try (ResultSet found = statement.executeQuery("select t::text from " + name + " t")) {
                    while (found.next()) {
                        byte[] digest = sha256.digest(found.getString(1).getBytes(StandardCharsets.UTF_8));
                        counts.merge(ByteBuffer.wrap(digest).getLong(), 1, Integer::sum);
                    }
                }
                tables.put(name, counts);
            }
        }
        return tables;
    }

    private static long entries(Map<String, Map<Long, Integer>> rows) {
        return Stream.ofNullable(rows.get("journal.entry"))
                .flatMap(counts -> counts.values().stream())
                .mapToLong(Integer::longValue)
                .sum();
    }

    /** When the first entry after so many was written. */
    private static Instant firstLost(Path folder, long entries) throws IOException, SQLException {
        try (Connection connection = owner(folder);
                Statement statement = connection.createStatement();
                ResultSet at = statement.executeQuery("select min(at) from journal.entry where seq > " + entries)) {
            at.next();
            OffsetDateTime first = at.getObject(1, OffsetDateTime.class);
            return first == null ? Instant.MAX : first.toInstant();
        }
    }
}
