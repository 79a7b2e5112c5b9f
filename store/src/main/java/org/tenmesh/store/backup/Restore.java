package org.tenmesh.store.backup;

import static java.util.Objects.requireNonNull;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.zip.GZIPInputStream;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveInputStream;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.Secrets;

/** Puts a store back from a folder of backups: a whole copy, and what was written after it up to the end or to a moment. */
public final class Restore {
    private static final String SETTINGS = "database/postgresql.auto.conf";
    private static final DateTimeFormatter TIME =
            DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss.SSSSSS'+00'").withZone(ZoneOffset.UTC);
    private static final long SPARE = 256L << 20;

    private Restore() {}

    /**
     * Restores into a folder that is not there yet. When something goes wrong, nothing is left in it.
     *
     * @param until the moment; empty for everything that was kept
     * @return the copy that it was begun from
     * @throws Refused when the backup cannot be read, was changed or does not reach the moment, or there is no room
     */
    public static Base into(Path store, Path backups, Optional<Instant> until, Consumer<String> says) {
        BackupFolder from = new BackupFolder(backups);
        Path folder = store.toAbsolutePath().normalize();
        if (Files.exists(folder)) {
            throw new Refused(folder + " is there already; a restore needs a new place and overwrites nothing");
        }
        Base base = base(from, until);
        Path partial = folder.resolveSibling(folder.getFileName() + ".partial");
        try {
            TreeSet<String> needed = needed(base, from.kept());
            Files.createDirectories(folder.getParent());
            long room = base.bytes() + needed.size() * Backups.SEGMENT_BYTES + SPARE;
            long free = Files.getFileStore(folder.getParent()).getUsableSpace();
            if (free < room) {
                throw new Refused(String.format(
                        Locale.ROOT,
                        "%s has %,d MB free, %,d MB are needed: make room or name another place; nothing was begun",
                        folder.getParent(),
                        free >> 20,
                        room >> 20));
            }
            BackupFolder.deleteTree(partial);
            Secrets.makeFolder(partial);
            says.accept("Unpacking the copy of " + base.ended());
            unpack(base, partial);
            Path wal = Files.createDirectory(partial.resolve("wal"));
            int done = 0;
            for (String name : needed) {
                says.accept("Unpacking what was written after it, " + ++done + " of " + needed.size());
                from.unpack(name, wal);
            }
            says.accept("Doing again what was written after it");
            String settings = settings(partial, wal, until);
            EmbeddedServer.recover(partial, new Secrets(partial.resolve("secrets"), new SecureRandom()));
            Files.writeString(partial.resolve(SETTINGS), settings);
            BackupFolder.deleteTree(wal);
            Files.move(partial, folder, StandardCopyOption.ATOMIC_MOVE);
            return base;
        } catch (IOException failed) {
            BackupFolder.deleteTree(partial);
            throw new Refused("the backup " + base.folder() + " could not be restored: " + failed.getMessage()
                    + "; nothing was left in " + folder);
        } catch (IllegalStateException failed) {
            BackupFolder.deleteTree(partial);
            boolean early = String.valueOf(failed.getMessage()).contains("before configured recovery target");
            throw new Refused(
                    early
                            ? "what is kept in " + backups
                                    + " ends before that moment: leave it out to restore all that is"
                                    + " kept; nothing was left in " + folder
                            : failed.getMessage() + "; nothing was left in " + folder);
        } catch (RuntimeException failed) {
            BackupFolder.deleteTree(partial);
            throw failed;
        }
    }

    private static Base base(BackupFolder from, Optional<Instant> until) {
        List<Base> bases = from.bases();
        if (bases.isEmpty()) {
            throw new Refused(
                    "there is no whole copy in " + from.path() + " (a folder base-… with " + Base.FILES + " in it)");
        }
        for (int i = bases.size() - 1; i >= 0; i--) {
            Base one = bases.get(i);
            if (until.isEmpty() || !one.ended().isAfter(until.get())) {
                return one;
            }
        }
        throw new Refused("the oldest whole copy in " + from.path() + " is of "
                + bases.get(0).ended() + ": nothing earlier can be restored");
    }

    /** Every kept segment from the copy's first on, without a gap, and what says which timeline came of which. */
    private static TreeSet<String> needed(Base base, TreeSet<String> kept) {
        Optional<String> gap = WalArchive.gap(base, kept);
        if (gap.filter(name -> name.compareTo(base.last()) <= 0).isPresent()) {
            throw new Refused("the backup " + base.folder() + " is not whole: " + gap.get() + " is missing beside it");
        }
        TreeSet<String> needed = new TreeSet<>();
        for (String name : kept) {
            boolean later = name.endsWith(".history")
                    || name.substring(8).compareTo(base.first().substring(8)) >= 0;
            if (later && gap.filter(missing -> name.compareTo(missing) >= 0).isEmpty()) {
                needed.add(name);
            }
        }
        return needed;
    }

    private static void unpack(Base base, Path into) throws IOException {
        try (InputStream file = Files.newInputStream(base.folder().resolve(Base.FILES));
                var digesting = BackupFolder.digesting(file);
                TarArchiveInputStream tar = new TarArchiveInputStream(
                        new GZIPInputStream(new BufferedInputStream(digesting, 1 << 16), 1 << 16))) {
            for (TarArchiveEntry entry = tar.getNextEntry(); entry != null; entry = tar.getNextEntry()) {
                Path target = into.resolve(entry.getName()).normalize();
                if (!target.startsWith(into)) {
                    throw new IOException("it names a file outside itself: " + entry.getName());
                }
                if (entry.isDirectory()) {
                    Files.createDirectories(target);
                } else {
                    Path parent = requireNonNull(target.getParent());
                    if (parent.equals(into.resolve("secrets"))) {
                        Secrets.makeFolder(parent);
                        Secrets.makeFile(target);
                    } else if (parent.equals(into.resolve("database"))) {
                        Secrets.makeFolder(parent);
                    } else {
                        Files.createDirectories(target.getParent());
                    }
                    Files.copy(tar, target, StandardCopyOption.REPLACE_EXISTING);
                }
            }
            digesting.transferTo(OutputStream.nullOutputStream());
            if (!HexFormat.of().formatHex(digesting.getMessageDigest().digest()).equals(base.sha256())) {
                throw new IOException(Base.FILES + " was changed since it was made");
            }
        }
    }

    /** Says what PostgreSQL is to recover; gives back the settings as they were. */
    private static String settings(Path partial, Path wal, Optional<Instant> until) throws IOException {
        Path file = partial.resolve(SETTINGS);
        String before = Files.exists(file) ? Files.readString(file) : "";
        boolean windows =
                System.getProperty("os.name", "").toLowerCase(Locale.ROOT).startsWith("windows");
        String fetch = windows ? "copy \"" + wal + "\\%f\" \"%p\"" : "cp \"" + wal + "/%f\" \"%p\"";
        String added = before + "\nrestore_command = '" + fetch.replace("'", "''") + "'\n"
                + until.map(moment -> "recovery_target_time = '" + TIME.format(moment) + "'\n")
                        .orElse("")
                + "recovery_target_action = 'promote'\n";
        Files.writeString(file, added);
        Files.writeString(partial.resolve("database/recovery.signal"), "", StandardOpenOption.CREATE);
        return before;
    }
}
