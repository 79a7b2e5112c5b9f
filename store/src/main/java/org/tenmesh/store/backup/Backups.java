package org.tenmesh.store.backup;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Stream;
import java.util.zip.GZIPOutputStream;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveOutputStream;
import org.postgresql.ds.PGSimpleDataSource;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.Secrets;

/**
 * Whole copies of the program's own database, made while it is in use. PostgreSQL's manual, section 26.3.4 of version 17 (low-level base
 * backup): what is copied while it changes is put right by the segments that were written meanwhile, which are kept with it.
 */
public final class Backups {
    private static final DateTimeFormatter NAME =
            DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'").withZone(ZoneOffset.UTC);
    /** Made anew by every server that starts: the same section of the manual. */
    private static final Set<String> EMPTY = Set.of(
            "pg_wal",
            "pg_replslot",
            "pg_dynshmem",
            "pg_notify",
            "pg_serial",
            "pg_snapshots",
            "pg_stat_tmp",
            "pg_subtrans");

    private static final Set<String> LEFT_OUT = Set.of("postmaster.pid", "postmaster.opts", "pg_internal.init");
    private static final long SPARE = 64L << 20;
    /** As the program makes its databases; PostgreSQL's usual size. */
    static final long SEGMENT_BYTES = 16L << 20;

    private Backups() {}

    /** The copies in a folder of backups, the oldest first. */
    public static List<Base> in(Path backups) {
        return new BackupFolder(backups).bases();
    }

    /**
     * Copies the database of a store, open or not.
     *
     * @param store folder of the store, with {@code database} and {@code secrets}
     * @param backups folder to copy into
     * @throws Refused when the folder cannot be written or has no room, before anything is begun
     */
    public static Base take(Path store, Path backups, Clock clock, Consumer<String> says) {
        BackupFolder into = new BackupFolder(backups);
        Path folder = store.toAbsolutePath().normalize();
        if (into.path().startsWith(folder)) {
            throw new Refused(backups + " lies in the folder that is to be backed up; name one on another disk");
        }
        into.expectRoom(size(folder.resolve("database")) + SPARE);
        Secrets secrets = new Secrets(folder.resolve("secrets"), new SecureRandom());
        Optional<String> running = EmbeddedServer.running(folder);
        if (running.isPresent()) {
            return take(running.get(), folder, secrets, into, clock, says);
        }
        try (EmbeddedServer server = EmbeddedServer.start(folder, 0, secrets)) {
            return take(server.url(), folder, secrets, into, clock, says);
        }
    }

    static Connection owner(String url, Secrets secrets) throws SQLException {
        PGSimpleDataSource source = new PGSimpleDataSource();
        source.setUrl(url);
        source.setUser(EmbeddedServer.OWNER);
        source.setPassword(secrets.password(EmbeddedServer.OWNER));
        source.setApplicationName("tenmesh backup");
        return source.getConnection();
    }

    private static Base take(
            String url, Path folder, Secrets secrets, BackupFolder into, Clock clock, Consumer<String> says) {
        Instant began = clock.instant().truncatedTo(ChronoUnit.SECONDS);
        String name = "base-" + NAME.format(began);
        Path partial = into.path().resolve(name + ".partial");
        BackupFolder.deleteTree(partial);
        try (Connection connection = owner(url, secrets);
                Statement statement = connection.createStatement()) {
            Secrets.makeFolder(partial);
            says.accept("Waiting for a checkpoint of the database");
            // What is written from now on stays until this session ends.
            ask(
                    statement,
                    "select pg_create_physical_replication_slot('tenmesh_base_' || pg_backend_pid(), true, true)");
            String first = ask(statement, "select pg_walfile_name(pg_backup_start('tenmesh', true))");
            String[] head = ask(statement, "select seq || ' ' || sha256 from journal.head")
                    .split(" ");
            long bytes;
            String last;
            Path file = partial.resolve(Base.FILES);
            try (FileChannel channel = BackupFolder.open(file);
                    OutputStream out = BackupFolder.compressed(Channels.newOutputStream(channel));
                    TarArchiveOutputStream tar = new TarArchiveOutputStream(out)) {
                tar.setBigNumberMode(TarArchiveOutputStream.BIGNUMBER_POSIX);
                tar.setLongFileMode(TarArchiveOutputStream.LONGFILE_POSIX);
                bytes = copy(folder.resolve("database"), "database/", tar, says)
                        + copy(folder.resolve("secrets"), "secrets/", tar, says);
                try (ResultSet stopped = statement.executeQuery(
                        "select pg_walfile_name(lsn), labelfile, spcmapfile from pg_backup_stop(false)")) {
                    stopped.next();
                    last = stopped.getString(1);
                    put(tar, "database/backup_label", stopped.getString(2));
                    if (!stopped.getString(3).isBlank()) {
                        throw new Refused("the database has table spaces outside its folder, which are not copied;"
                                + " back it up as the manual of PostgreSQL says");
                    }
                }
                tar.finish();
                out.flush();
                ((GZIPOutputStream) out).finish();
                channel.force(true);
            }
            says.accept("Copying what was written meanwhile");
            ask(statement, "select pg_switch_wal()");
            segments(statement, folder, first, last, into);
            Base base = new Base(
                    into.path().resolve(name),
                    began,
                    clock.instant(),
                    ask(statement, "select system_identifier from pg_control_system()"),
                    Integer.parseInt(first.substring(0, 8), 16),
                    first,
                    last,
                    bytes,
                    BackupFolder.sha256(Files.newInputStream(file)),
                    Long.parseLong(head[0]),
                    head[1]);
            base.write(partial);
            Files.move(partial, base.folder(), StandardCopyOption.ATOMIC_MOVE);
            return base;
        } catch (IOException | SQLException failed) {
            BackupFolder.deleteTree(partial);
            throw new Refused("the backup into " + into.path() + " could not be made: " + failed.getMessage()
                    + "; earlier ones are as they were");
        }
    }

    /** Keeps every segment from the first to the last, which is finished. */
    private static void segments(Statement statement, Path folder, String first, String last, BackupFolder into)
            throws IOException, SQLException {
        Path wal = folder.resolve("database/pg_wal");
        for (String name = first; name.compareTo(last) <= 0; name = next(name, SEGMENT_BYTES)) {
            into.keep(wal.resolve(name));
        }
        try (Stream<Path> all = Files.list(wal)) {
            for (Path history : all.filter(path -> path.getFileName().toString().endsWith(".history"))
                    .toList()) {
                into.keep(history);
            }
        }
    }

    /** The segment after this one on its timeline: eight digits each of timeline, 4 GB and segment in it. */
    static String next(String segment, long segmentBytes) {
        long high = Long.parseLong(segment.substring(8, 16), 16);
        long low = Long.parseLong(segment.substring(16), 16) + 1;
        if (low == 0x1_0000_0000L / segmentBytes) {
            high++;
            low = 0;
        }
        return segment.substring(0, 8) + String.format("%08X%08X", high, low);
    }

    private static long copy(Path folder, String prefix, TarArchiveOutputStream tar, Consumer<String> says)
            throws IOException {
        long bytes = 0;
        long told = 0;
        List<Path> all;
        try (Stream<Path> walk = Files.walk(folder)) {
            all = walk.filter(path -> !path.equals(folder)).sorted().toList();
        }
        for (Path path : all) {
            Path inside = folder.relativize(path);
            String name = inside.toString().replace('\\', '/');
            String file = inside.getFileName().toString();
            boolean inEmpty = inside.getNameCount() > 1
                    && EMPTY.contains(inside.getName(0).toString());
            if (LEFT_OUT.contains(file) || file.startsWith("pgsql_tmp") || inEmpty) {
                continue;
            }
            if (Files.isDirectory(path)) {
                tar.putArchiveEntry(new TarArchiveEntry(prefix + name + "/"));
                tar.closeArchiveEntry();
                if (name.equals("pg_wal")) {
                    tar.putArchiveEntry(new TarArchiveEntry(prefix + "pg_wal/archive_status/"));
                    tar.closeArchiveEntry();
                }
                continue;
            }
            bytes += copyFile(path, prefix + name, tar);
            if (bytes >> 26 != told) {
                told = bytes >> 26;
                says.accept("Copying the database, " + (bytes >> 20) + " MB");
            }
        }
        return bytes;
    }

    /** A file as long as it is when it is opened: what is added later is in the segments, as is why it is gone or shorter. */
    private static long copyFile(Path path, String name, TarArchiveOutputStream tar) throws IOException {
        try (FileChannel channel = FileChannel.open(path);
                InputStream in = Channels.newInputStream(channel)) {
            long size = channel.size();
            TarArchiveEntry entry = new TarArchiveEntry(name);
            entry.setSize(size);
            tar.putArchiveEntry(entry);
            byte[] piece = new byte[1 << 16];
            long left = size;
            while (left > 0) {
                int n = in.read(piece, 0, (int) Math.min(piece.length, left));
                if (n < 0) {
                    Arrays.fill(piece, (byte) 0);
                    n = (int) Math.min(piece.length, left);
                }
                tar.write(piece, 0, n);
                left -= n;
            }
            tar.closeArchiveEntry();
            return size;
        } catch (NoSuchFileException gone) {
            return 0;
        }
    }

    private static void put(TarArchiveOutputStream tar, String name, String text) throws IOException {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        TarArchiveEntry entry = new TarArchiveEntry(name);
        entry.setSize(bytes.length);
        tar.putArchiveEntry(entry);
        tar.write(bytes);
        tar.closeArchiveEntry();
    }

    private static long size(Path folder) {
        try (Stream<Path> all = Files.walk(folder)) {
            return all.filter(path -> !path.startsWith(folder.resolve("pg_wal")))
                    .mapToLong(path -> path.toFile().length())
                    .sum();
        } catch (IOException | UncheckedIOException refused) {
            throw new Refused("the database in " + folder + " cannot be read: " + refused.getMessage());
        }
    }

    static String ask(Statement statement, String sql) throws SQLException {
        try (ResultSet answer = statement.executeQuery(sql)) {
            answer.next();
            return String.valueOf(answer.getString(1));
        }
    }
}
