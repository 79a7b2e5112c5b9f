package org.tenmesh.store.backup;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.Secrets;

/**
 * Keeps what the database writes, at a steady interval, beside a whole copy: what was acknowledged longer ago than the interval outlives
 * the machine. PostgreSQL holds each segment until it is kept (a replication slot); while the folder of backups cannot be written nothing
 * is lost and the disk of the database fills, by at most 8 GB: then, and where there is no copy yet, a whole copy is made.
 */
public final class WalArchive implements AutoCloseable {
    /** The usual interval. */
    public static final Duration USUAL = Duration.ofSeconds(60);

    private static final String SLOT = "tenmesh_archive";

    private final Path folder;
    private final BackupFolder backups;
    private final Secrets secrets;
    private final Clock clock;
    private final Consumer<String> tells;
    private final ScheduledExecutorService thread;
    private String written = "";
    private volatile String trouble = "";
    private volatile Optional<Instant> keptUntil = Optional.empty();

    /**
     * Begins at once, on a thread of its own.
     *
     * @param store folder of an open store
     * @param tells is told in one sentence when it cannot go on, and when it goes on
     * @throws Refused when the folder of backups cannot be written
     */
    public static WalArchive start(Path store, Path backups, Duration interval, Clock clock, Consumer<String> tells) {
        BackupFolder into = new BackupFolder(backups);
        into.expectRoom(0);
        WalArchive archive = new WalArchive(store.toAbsolutePath().normalize(), into, clock, tells);
        archive.thread.scheduleWithFixedDelay(archive::step, 0, interval.toMillis(), TimeUnit.MILLISECONDS);
        return archive;
    }

    private WalArchive(Path folder, BackupFolder backups, Clock clock, Consumer<String> tells) {
        this.folder = folder;
        this.backups = backups;
        this.secrets = new Secrets(folder.resolve("secrets"), new SecureRandom());
        this.clock = clock;
        this.tells = tells;
        thread = Executors.newSingleThreadScheduledExecutor(work -> {
            Thread one = new Thread(work, "backup");
            one.setDaemon(true);
            return one;
        });
    }

    /** Lets the database throw away what nobody archives any more. */
    public static void end(Path store) {
        Optional<String> url = EmbeddedServer.running(store);
        if (url.isEmpty()) {
            return;
        }
        try (Connection connection = Backups.owner(
                        url.get(), new Secrets(store.toAbsolutePath().resolve("secrets"), new SecureRandom()));
                Statement statement = connection.createStatement()) {
            statement.execute("select pg_drop_replication_slot(slot_name) from pg_replication_slots where slot_name = '"
                    + SLOT + "' and not active");
        } catch (SQLException failed) {
            throw new IllegalStateException(
                    "what was held for backups could not be let go: " + failed.getMessage(), failed);
        }
    }

    /** Up to when everything that was acknowledged is in the folder of backups; empty before the first time. */
    public Optional<Instant> keptUntil() {
        return keptUntil;
    }

    /** Why it cannot go on; empty text while it can. */
    public String trouble() {
        return trouble;
    }

    private void step() {
        try {
            Instant before = clock.instant();
            keep();
            keptUntil = Optional.of(before);
            if (!trouble.isEmpty()) {
                trouble = "";
                tells.accept("backups go on: everything is kept again");
            }
        } catch (RuntimeException | IOException | SQLException failed) {
            String why = String.valueOf(failed.getMessage()).lines().findFirst().orElse("");
            if (!why.equals(trouble)) {
                trouble = why;
                tells.accept("the backup into " + backups.path() + " stands still, and is tried again: " + why);
            }
        }
    }

    private void keep() throws SQLException, IOException {
        String url = EmbeddedServer.running(folder).orElseThrow(() -> new Refused("the database does not run"));
        Files.createDirectories(backups.wal());
        backups.dropHalfKept(clock.instant().minus(Duration.ofDays(1)));
        try (Connection connection = Backups.owner(url, secrets);
                Statement statement = connection.createStatement()) {
            String held = "select count(*) from pg_replication_slots where slot_name = '" + SLOT + "'";
            if (Backups.ask(statement, held + " and wal_status = 'lost'").equals("1")) {
                statement.execute("select pg_drop_replication_slot('" + SLOT + "')");
            }
            if (Backups.ask(statement, held).equals("0")) {
                statement.execute("select pg_create_physical_replication_slot('" + SLOT + "', true)");
            }
            finished(statement);
            if (!covered(statement)) {
                Backups.take(folder, backups.path(), clock, says -> {});
            }
        }
    }

    /** Keeps every finished segment since the last time, and lets the database throw them away. */
    private void finished(Statement statement) throws SQLException, IOException {
        if (!Backups.ask(statement, "select pg_current_wal_insert_lsn()").equals(written)) {
            statement.execute("select pg_switch_wal()");
        }
        String held = Backups.ask(
                statement,
                "select pg_walfile_name(restart_lsn) from pg_replication_slots where slot_name = '" + SLOT + "'");
        // At the border of two segments version 17 names the later one, which is not begun; those before the named one
        // are finished.
        String current = Backups.ask(statement, "select pg_walfile_name(pg_current_wal_lsn())");
        TreeSet<String> names = new TreeSet<>();
        Path wal = folder.resolve("database/pg_wal");
        try (Stream<Path> all = Files.list(wal)) {
            all.map(path -> path.getFileName().toString())
                    .filter(name -> name.endsWith(".history")
                            || (BackupFolder.SEGMENT.matcher(name).matches()
                                    && name.compareTo(held) >= 0
                                    && name.compareTo(current) < 0))
                    .forEach(names::add);
        }
        TreeSet<String> kept = backups.kept();
        for (String name : names) {
            if (!kept.contains(name) || name.equals(names.first())) {
                backups.keep(wal.resolve(name));
            }
        }
        written = Backups.ask(statement, "select pg_current_wal_insert_lsn()");
        statement.execute("select pg_replication_slot_advance('" + SLOT + "', greatest(restart_lsn, pg_lsn '0/0' + ("
                + Backups.SEGMENT_BYTES + " * (('x' || substr('" + current + "', 9, 8))::bit(32)::bigint * "
                + 0x1_0000_0000L / Backups.SEGMENT_BYTES + " + ('x' || substr('" + current
                + "', 17, 8))::bit(32)::bigint)))) from pg_replication_slots where slot_name = '" + SLOT + "'");
    }

    /** Whether a whole copy is there from which everything that is kept can be reached. */
    private boolean covered(Statement statement) throws SQLException, IOException {
        String system = Backups.ask(statement, "select system_identifier from pg_control_system()");
        int timeline = Integer.parseInt(Backups.ask(statement, "select timeline_id from pg_control_checkpoint()"));
        List<Base> bases = backups.bases().stream()
                .filter(base -> base.system().equals(system) && base.timeline() == timeline)
                .toList();
        if (bases.isEmpty()) {
            return false;
        }
        return gap(bases.get(bases.size() - 1), backups.kept()).isEmpty();
    }

    /** The first segment that is missing between a copy and the newest segment of its timeline. */
    static Optional<String> gap(Base base, TreeSet<String> kept) {
        String timeline = base.first().substring(0, 8);
        Optional<String> newest = kept.descendingSet().stream()
                .filter(name -> BackupFolder.SEGMENT.matcher(name).matches() && name.startsWith(timeline))
                .findFirst();
        String until = newest.filter(name -> name.compareTo(base.last()) > 0).orElse(base.last());
        for (String name = base.first(); name.compareTo(until) <= 0; name = Backups.next(name, Backups.SEGMENT_BYTES)) {
            if (!kept.contains(name)) {
                return Optional.of(name);
            }
        }
        return Optional.empty();
    }

    /** Keeps what was written so far, and stops. */
    @Override
    public void close() {
        thread.shutdown();
        try {
            thread.awaitTermination(60, TimeUnit.SECONDS);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return;
        }
        step();
    }
}
