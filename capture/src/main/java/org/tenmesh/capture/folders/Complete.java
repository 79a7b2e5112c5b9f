package org.tenmesh.capture.folders;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Tells when a file is written to its end: size and time stayed the same for the stated while and nobody locks it. A file that had a temporary
 * name in the same folder and was renamed is complete at once. Used by one thread.
 */
final class Complete {
    private static final List<String> TEMPORARY =
            List.of(".tmp", ".part", ".partial", ".crdownload", ".filepart", ".swp");

    private final Duration quiet;
    private final Map<Path, Seen> seen = new HashMap<>();
    private final Set<Object> temporary = new HashSet<>();

    private record Seen(long size, FileTime time, @Nullable Object key, long sinceNanos) {}

    Complete(Duration quiet) {
        this.quiet = quiet;
    }

    /** Whether a name says that the file is not meant to be read yet. */
    static boolean isTemporary(Path file) {
        String name = file.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.startsWith(".")
                || name.startsWith("~")
                || name.endsWith("~")
                || TEMPORARY.stream().anyMatch(name::endsWith);
    }

    /** Remembers a file under its temporary name. */
    void temporary(BasicFileAttributes of) {
        Object key = of.fileKey();
        if (key != null) {
            temporary.add(key);
        }
    }

    /** Whether it is complete, at a time that grows whatever the clock does. */
    boolean is(Path file, BasicFileAttributes now, long nanos) {
        Object key = now.fileKey();
        if (now.size() == 0) {
            // Made, and not yet written.
            return false;
        }
        if (key != null && temporary.remove(key)) {
            seen.remove(file);
            return !isLocked(file);
        }
        Seen before = seen.get(file);
        if (before == null
                || before.size() != now.size()
                || !before.time().equals(now.lastModifiedTime())
                || (key != null && !key.equals(before.key()))) {
            seen.put(file, new Seen(now.size(), now.lastModifiedTime(), key, nanos));
            return quiet.isZero() && !isLocked(file);
        }
        return nanos - before.sinceNanos() >= quiet.toNanos() && !isLocked(file);
    }

    /** Forgets files that are no longer there. */
    void keepOnly(Set<Path> there) {
        seen.keySet().retainAll(there);
    }

    private static boolean isLocked(Path file) {
        String name = file.getFileName().toString();
        for (String beside : List.of(name + ".lck", name + ".lock", "~$" + name)) {
            if (Files.exists(file.resolveSibling(beside))) {
                return true;
            }
        }
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ, StandardOpenOption.WRITE)) {
            FileLock lock = channel.tryLock();
            if (lock == null) {
                return true;
            }
            lock.release();
            return false;
        } catch (AccessDeniedException readOnly) {
            // Nobody can be asked about a file that only may be read.
            return false;
        } catch (OverlappingFileLockException own) {
            return true;
        } catch (IOException inUse) {
            // Where systems refuse to open what another program writes.
            return true;
        }
    }
}
