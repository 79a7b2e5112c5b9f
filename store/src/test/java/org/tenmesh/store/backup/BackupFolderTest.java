package org.tenmesh.store.backup;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BackupFolderTest {
    private static final String SEGMENT = "0000000100000000000000";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    /** The steady archive and a whole copy meet at a segment: it is kept once and whole, and neither fails. */
    @Test
    void twoKeepTheSameSegmentAtOnce() throws Exception {
        BackupFolder backups = new BackupFolder(temp.resolve("backups"));
        Files.createDirectories(backups.wal());
        ExecutorService both = Executors.newFixedThreadPool(2);
        CyclicBarrier together = new CyclicBarrier(2);
        try {
            for (int i = 16; i < 56; i++) {
                byte[] bytes = new byte[300_000];
                new Random(i).nextBytes(bytes);
                Path segment = Files.write(
                        temp.resolve(SEGMENT + Integer.toHexString(i).toUpperCase()), bytes);
                List<Future<Boolean>> kept = new ArrayList<>();
                for (int who = 0; who < 2; who++) {
                    kept.add(both.submit(() -> {
                        together.await(10, TimeUnit.SECONDS);
                        return backups.keep(segment);
                    }));
                }
                for (Future<Boolean> one : kept) {
                    one.get(30, TimeUnit.SECONDS);
                }
                Path unpacked = Files.createDirectories(temp.resolve("unpacked"));
                backups.unpack(segment.getFileName().toString(), unpacked);
                assertThat(unpacked.resolve(segment.getFileName())).hasBinaryContent(bytes);
            }
        } finally {
            both.shutdownNow();
        }
        assertThat(files(backups)).hasSize(40).allMatch(name -> name.endsWith(".gz"));
    }

    @Test
    void whatAMachineLeftHalfKeptIsDroppedLater() throws Exception {
        BackupFolder backups = new BackupFolder(temp.resolve("backups"));
        Files.createDirectories(backups.wal());
        Instant now = Instant.parse("2026-11-30T08:00:00Z");
        Path left = Files.writeString(backups.wal().resolve(SEGMENT + "10.41.7.partial"), "half");
        Path young = Files.writeString(backups.wal().resolve(SEGMENT + "11.42.7.partial"), "under way");
        Files.setLastModifiedTime(left, FileTime.from(now.minus(Duration.ofDays(2))));
        Files.setLastModifiedTime(young, FileTime.from(now.minusSeconds(5)));
        backups.dropHalfKept(now.minus(Duration.ofDays(1)));
        assertThat(files(backups)).containsExactly(young.getFileName().toString());
    }

    private static List<String> files(BackupFolder backups) throws Exception {
        try (Stream<Path> all = Files.list(backups.wal())) {
            return all.map(path -> path.getFileName().toString()).sorted().toList();
        }
    }
}
