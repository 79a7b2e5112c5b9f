package org.tenmesh.store.backup;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import java.util.zip.Deflater;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import org.tenmesh.store.rows.Refused;

/**
 * A folder of backups: {@code base-TIME} for each whole copy, and {@code wal} with what PostgreSQL wrote before, during and after, a file a
 * segment of 16 MB, compressed. A file is there whole or not at all.
 */
final class BackupFolder {
    static final Pattern SEGMENT = Pattern.compile("[0-9A-F]{24}");
    private static final Pattern WAL = Pattern.compile("([0-9A-F]{24}|[0-9A-F]{8}\\.history)\\.gz");
    private static final String GZ = ".gz";
    private static final int PIECE = 1 << 16;

    private final Path folder;

    BackupFolder(Path folder) {
        this.folder = folder.toAbsolutePath().normalize();
    }

    Path path() {
        return folder;
    }

    Path wal() {
        return folder.resolve("wal");
    }

    /**
     * Makes sure that it can be written and has room, before anything is begun.
     *
     * @param bytes that may be needed
     * @throws Refused saying which folder, and what is wrong with it
     */
    void expectRoom(long bytes) {
        try {
            Files.createDirectories(wal());
            Path trial = Files.createTempFile(folder, "trial", ".tmp");
            Files.delete(trial);
            long free = Files.getFileStore(folder).getUsableSpace();
            if (free < bytes) {
                throw new Refused(String.format(
                        "%s has %,d MB free, up to %,d MB are needed: make room or name another folder; nothing was begun",
                        folder, free >> 20, (bytes >> 20) + 1));
            }
        } catch (IOException refused) {
            throw new Refused("the folder of backups " + folder + " cannot be written (" + refused.getMessage()
                    + "): put that right or name another; nothing was begun");
        }
    }

    /** Every whole copy, the oldest first. */
    List<Base> bases() {
        if (!Files.isDirectory(folder)) {
            throw new Refused("there is no folder " + folder);
        }
        List<Base> bases = new ArrayList<>();
        try (Stream<Path> all = Files.list(folder)) {
            for (Path one : all.filter(path -> Files.isRegularFile(path.resolve(Base.SAYS)))
                    .sorted()
                    .toList()) {
                bases.add(Base.read(one));
            }
        } catch (IOException refused) {
            throw new Refused("the folder of backups " + folder + " cannot be read: " + refused.getMessage());
        }
        // Names begin with the clock, which may have been set back between two copies; what was written tells which is
        // later.
        Map<String, String> began = new HashMap<>();
        bases.forEach(base -> began.putIfAbsent(base.system(), base.folder().toString()));
        bases.sort(Comparator.comparing((Base base) -> began.get(base.system()))
                .thenComparingInt(Base::timeline)
                .thenComparing(Base::first));
        return bases;
    }

    /** Names of the segments, and of the files that say which timeline came of which, that are kept. */
    TreeSet<String> kept() throws IOException {
        TreeSet<String> names = new TreeSet<>();
        if (Files.isDirectory(wal())) {
            try (Stream<Path> all = Files.list(wal())) {
                all.map(path -> path.getFileName().toString())
                        .filter(name -> WAL.matcher(name).matches())
                        .forEach(name -> names.add(name.substring(0, name.length() - GZ.length())));
            }
        }
        return names;
    }

    /**
     * Keeps a file that PostgreSQL has finished.
     *
     * @return whether it is new
     * @throws Refused when another file of this name is kept: two laboratories write into one folder
     */
    boolean keep(Path finished) throws IOException {
        String name = finished.getFileName().toString();
        Path target = wal().resolve(name + GZ);
        if (Files.exists(target)) {
            if (!sha256(Files.newInputStream(finished))
                    .equals(sha256(new GZIPInputStream(Files.newInputStream(target), PIECE)))) {
                throw new Refused("the folder of backups " + folder + " holds another " + name
                        + ": another copy of this laboratory writes into it; give each a folder of its own");
            }
            return false;
        }
        // A whole copy that is made meanwhile keeps the same segment: each writes into a file of its own.
        Path partial = wal().resolve(name + "." + ProcessHandle.current().pid() + "."
                + Thread.currentThread().getId() + ".partial");
        try {
            try (FileChannel channel = open(partial);
                    OutputStream out = compressed(Channels.newOutputStream(channel));
                    InputStream in = Files.newInputStream(finished)) {
                in.transferTo(out);
                out.flush();
                ((GZIPOutputStream) out).finish();
                channel.force(true);
            }
            Files.move(partial, target, StandardCopyOption.ATOMIC_MOVE);
        } finally {
            Files.deleteIfExists(partial);
        }
        return true;
    }

    /** Deletes what was left by a machine that went down while it kept something. */
    void dropHalfKept(Instant before) throws IOException {
        if (!Files.isDirectory(wal())) {
            return;
        }
        List<Path> half;
        try (Stream<Path> all = Files.list(wal())) {
            half = all.filter(path -> path.getFileName().toString().endsWith(".partial"))
                    .toList();
        }
        for (Path one : half) {
            if (Files.getLastModifiedTime(one).toInstant().isBefore(before)) {
                Files.deleteIfExists(one);
            }
        }
    }

    /** Puts a kept file into a folder as PostgreSQL wrote it. */
    void unpack(String name, Path into) throws IOException {
        try (InputStream in = new GZIPInputStream(Files.newInputStream(wal().resolve(name + GZ)), PIECE)) {
            Files.copy(in, into.resolve(name));
        }
    }

    static FileChannel open(Path file) throws IOException {
        return FileChannel.open(
                file, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING, StandardOpenOption.WRITE);
    }

    /** Quickly rather than small: a copy is made while people work. */
    static OutputStream compressed(OutputStream out) throws IOException {
        return new GZIPOutputStream(out, PIECE) {
            {
                def.setLevel(Deflater.BEST_SPEED);
            }
        };
    }

    static String sha256(InputStream opened) throws IOException {
        try (InputStream in = opened) {
            MessageDigest digest = digest();
            byte[] piece = new byte[PIECE];
            for (int n = in.read(piece); n >= 0; n = in.read(piece)) {
                digest.update(piece, 0, n);
            }
            return HexFormat.of().formatHex(digest.digest());
        }
    }

    static DigestInputStream digesting(InputStream in) {
        return new DigestInputStream(in, digest());
    }

    private static MessageDigest digest() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java has SHA-256", impossible);
        }
    }

    static void deleteTree(Path root) {
        if (!Files.exists(root)) {
            return;
        }
        try (Stream<Path> walk = Files.walk(root)) {
            List<Path> all = walk.toList();
            for (int i = all.size() - 1; i >= 0; i--) {
                Files.delete(all.get(i));
            }
        } catch (IOException failed) {
            throw new UncheckedIOException(root + " cannot be deleted", failed);
        }
    }
}
