package org.tenmesh.capture.folders;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.nio.file.attribute.PosixFilePermission;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.Eventually;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.runs.Entrance;
import org.tenmesh.capture.runs.FilePieces;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.capture.state.Watch;

/** One look after the other, with a time of its own. */
class FolderSourceTest {
    private static final String HEAD = "Pos,Label,Dilution,Taken,P 213.618 (counts/s)\n";
    private static final String ICP = """
            sources:
              - name: icp
                kind: folder
                folder: drop
                files: "*.csv"
                quiet_seconds: 5
                instrument: ICP1
                method: mehlich3-icp
                reader: plasma-wide-table
            """;

    @TempDir
    private Path folder;

    private final KeptInbox inbox = new KeptInbox();
    private final Clock clock = Clock.fixed(KeptInbox.NOON, ZoneOffset.UTC);
    private Path drop = Path.of("drop");
    private long nanos;
    private Optional<Watch> its = Optional.empty();

    private Watch watch() {
        return its.orElseThrow();
    }

    @BeforeEach
    void folders() throws IOException {
        drop = Files.createDirectories(folder.resolve("drop"));
    }

    private FolderSource source(String yaml) {
        Source source = Sources.one(folder, yaml);
        Watch watch = new Watch(source, clock, () -> nanos);
        its = Optional.of(watch);
        return new FolderSource(
                source,
                new FilePieces(source, inbox, ZoneOffset.UTC),
                new Entrance(inbox, watch, System::nanoTime),
                watch,
                clock,
                ZoneOffset.UTC,
                () -> nanos);
    }

    private void seconds(long some) {
        nanos += Duration.ofSeconds(some).toNanos();
    }

    private static String rows(int from, int to) {
        StringBuilder rows = new StringBuilder();
        for (int i = from; i <= to; i++) {
            rows.append("%d,26329-%04d,,2026-11-25 09:%02d:00,%d.5%n".formatted(i, i, i, 1000 + i));
        }
        return rows.toString();
    }

    private Map<String, String> files() throws IOException {
        Map<String, String> files = new TreeMap<>();
        try (Stream<Path> all = Files.walk(drop)) {
            for (Path file : all.filter(Files::isRegularFile).toList()) {
                files.put(drop.relativize(file).toString().replace('\\', '/'), Files.readString(file));
            }
        }
        return files;
    }

    @Test
    void takesAFileWhenItsSizeAndTimeStayedTheSame() throws Exception {
        FolderSource icp = source(ICP);
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        assertThat(icp.look()).isEqualTo(1);
        seconds(4);
        Files.writeString(file, rows(3, 3), StandardOpenOption.APPEND);
        assertThat(icp.look()).isEqualTo(1);
        seconds(4);
        assertThat(icp.look()).as("it grew 4 s ago").isEqualTo(1);
        assertThat(inbox.pieces()).isEmpty();
        seconds(1);
        assertThat(icp.look()).isZero();
        assertThat(inbox.values("M3-01")).containsExactly(1001.5, 1002.5, 1003.5);
        String whole = HEAD + rows(1, 3);
        assertThat(files())
                .containsOnlyKeys("taken/2026-11-25/M3-01.csv", "taken/2026-11-25/M3-01.csv.sha256")
                .containsEntry("taken/2026-11-25/M3-01.csv", whole)
                .containsEntry(
                        "taken/2026-11-25/M3-01.csv.sha256",
                        Piece.sha256(whole.getBytes(StandardCharsets.UTF_8)) + "  M3-01.csv\n");
        assertThat(watch().now().newest().get(0).became()).isEqualTo("taken");
        assertThat(watch().now().newest().get(0).readings()).isEqualTo(3);
    }

    @Test
    void takesAFileAtOnceThatWasRenamedIntoPlace() throws Exception {
        FolderSource icp = source(ICP);
        Path temporary = drop.resolve("M3-01.csv.part");
        Files.writeString(temporary, HEAD + rows(1, 2));
        assertThat(icp.look()).isZero();
        Files.move(temporary, drop.resolve("M3-01.csv"), StandardCopyOption.ATOMIC_MOVE);
        assertThat(icp.look()).isZero();
        assertThat(inbox.values("M3-01")).hasSize(2);
    }

    @Test
    void waitsForAFileThatSomebodyLocks() throws Exception {
        FolderSource icp = source(ICP);
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        Files.writeString(drop.resolve("M3-01.csv.lck"), "");
        icp.look();
        seconds(60);
        assertThat(icp.look()).isEqualTo(1);
        Files.delete(drop.resolve("M3-01.csv.lck"));
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE);
                FileLock lock = channel.lock()) {
            assertThat(lock.isValid()).isTrue();
            assertThat(icp.look()).isEqualTo(1);
        }
        assertThat(icp.look()).isZero();
        assertThat(inbox.values("M3-01")).hasSize(2);
    }

    @Test
    void setsAsideWhatCannotBeReadWithTheReasonBesideItAndTakesItWhenItComesRight() throws Exception {
        FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0"));
        String wrong = HEAD + "1,26329-0001,,2026-11-25 09:01:00,12.3.4\n";
        Files.writeString(drop.resolve("M3-01.csv"), wrong);
        icp.look();
        assertThat(files())
                .containsOnlyKeys("set-aside/M3-01.csv", "set-aside/M3-01.csv.reason.txt")
                .containsEntry("set-aside/M3-01.csv", wrong);
        assertThat(files().get("set-aside/M3-01.csv.reason.txt"))
                .startsWith(
                        "Nothing of this file was taken: M3-01.csv, line 2, P 213.618 (counts/s): found \"12.3.4\"");
        assertThat(inbox.reasons()).hasSize(1);
        Files.writeString(drop.resolve("M3-01.csv"), wrong.replace("12.3.4", "12.34"));
        icp.look();
        assertThat(inbox.values("M3-01")).containsExactly(12.34);
        Files.writeString(drop.resolve("cut.csv"), (HEAD + rows(1, 2)).strip());
        icp.look();
        assertThat(inbox.reasons().get(1)).contains("its last line has no line break, so it may be cut");
    }

    @Test
    void aFileThatWasSetAsideIsTakenWhenItsReaderWasCorrected() throws Exception {
        Path reader = folder.resolve("own.yaml");
        String yaml = """
                name: own
                title: own
                form: delimited
                decimal: %s
                position: "{Pos}"
                identity: "{Label}"
                time: "{Taken}"
                time_format: "uuuu-MM-dd HH:mm:ss"
                values:
                  - {column: P, quantity: "P 213.618", unit: "/s"}
                """;
        Files.writeString(reader, yaml.formatted("comma"));
        String own = ICP.replace("plasma-wide-table", "own.yaml").replace("quiet_seconds: 5", "quiet_seconds: 0");
        String text = "Pos,Label,Taken,P\n1,26329-0001,2026-11-25 09:01:00,12.5\n";
        for (int i = 0; i < 2; i++) {
            Files.writeString(drop.resolve("M3-01.csv"), text);
            source(own).look();
        }
        assertThat(inbox.reasons()).as("the same thing is set aside once").hasSize(1);
        Files.writeString(reader, yaml.formatted("point"));
        Files.writeString(drop.resolve("M3-01.csv"), text);
        source(own).look();
        assertThat(inbox.values("M3-01")).containsExactly(12.5);
        Files.writeString(drop.resolve("M3-01.csv"), text);
        source(own).look();
        assertThat(inbox.values("M3-01")).containsExactly(12.5);
        assertThat(inbox.pieces()).hasSize(2);
    }

    @Test
    void takesWhatIsSentAgainOnceAndTellsTheSameFileInTwoFolders() throws Exception {
        String now = ICP.replace("quiet_seconds: 5", "quiet_seconds: 0");
        FolderSource icp = source(now);
        for (String name : List.of("M3-01.csv", "M3-01.csv", "copy of it.csv")) {
            Files.writeString(drop.resolve(name), HEAD + rows(1, 2));
            icp.look();
        }
        assertThat(inbox.values("M3-01")).hasSize(2);
        assertThat(inbox.runs()).containsExactly("M3-01");
        assertThat(watch().now().keptBefore()).isEqualTo(2);
        assertThat(files()).containsKeys("taken/2026-11-25/M3-01.csv", "taken/2026-11-25/2-M3-01.csv");
        drop = Files.createDirectories(folder.resolve("other"));
        FolderSource other = source(now.replace("name: icp", "name: icp2")
                .replace("folder: drop", "folder: other")
                .replace("ICP1", "ICP2"));
        Files.writeString(drop.resolve("M3-01.csv"), HEAD + rows(1, 2));
        other.look();
        assertThat(inbox.reasons())
                .containsExactly(
                        "the same bytes were taken from source icp as M3-01.csv at 2026-11-25T12:00Z: expected each"
                                + " file in one folder");
    }

    @Test
    void takesOnlyTheNewRowsOfAFileThatGrowsInItsPlace() throws Exception {
        String left = ICP + "    taken: leave\n";
        FolderSource icp = source(left.replace("quiet_seconds: 5", "quiet_seconds: 0"));
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        icp.look();
        icp.look();
        Files.writeString(file, rows(3, 4), StandardOpenOption.APPEND);
        icp.look();
        assertThat(inbox.values("M3-01")).containsExactly(1001.5, 1002.5, 1003.5, 1004.5);
        assertThat(inbox.pieces()).hasSize(2);
        assertThat(inbox.stored("M3-01").orElseThrow().ended()).isFalse();
        // After a new start it is known from the store what was taken.
        FolderSource later = source(left.replace("quiet_seconds: 5", "quiet_seconds: 0"));
        later.look();
        assertThat(inbox.values("M3-01")).hasSize(4);
        Files.writeString(file, rows(5, 5), StandardOpenOption.APPEND);
        later.look();
        assertThat(inbox.values("M3-01")).hasSize(5);
        assertThat(files()).containsOnlyKeys("M3-01.csv");
    }

    @Test
    void setsAsideAFileWhoseBeginningChanged() throws Exception {
        FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0") + "    taken: leave\n");
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        icp.look();
        Files.writeString(file, (HEAD + rows(1, 3)).replace("1002.5", "1002.6"));
        icp.look();
        assertThat(inbox.reasons()).hasSize(1);
        assertThat(inbox.reasons().get(0))
                .contains(
                        "run M3-01 began otherwise: reading 2 was stored as position 2, sample 26329-0002, P 213.618 1002.5");
        // Readings are the same and bytes are not: the line of another instrument, perhaps.
        Files.writeString(file, HEAD.replace("Pos,", "Pos, ") + rows(1, 3));
        icp.look();
        assertThat(inbox.reasons().get(1)).startsWith("its first");
        assertThat(inbox.values("M3-01")).hasSize(2);
        assertThat(files()).containsKeys("M3-01.csv", "set-aside/M3-01.csv", "set-aside/M3-01.csv.reason.txt");
    }

    @Test
    void saysThatItsFolderIsGoneAndGoesOnWhenItIsBack() throws Exception {
        FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0"));
        Path away = folder.resolve("away");
        Files.move(drop, away);
        icp.look();
        assertThat(watch().now().wrong().toString()).contains("is not there; it is tried again");
        Files.move(away, drop);
        Files.writeString(drop.resolve("M3-01.csv"), HEAD + rows(1, 2));
        icp.look();
        assertThat(watch().now().wrong()).isEmpty();
        assertThat(inbox.values("M3-01")).hasSize(2);
    }

    @Test
    void saysThatItsFolderCannotBeReadAndGoesOnWhenItCan() throws Exception {
        assumeTrue(drop.getFileSystem().supportedFileAttributeViews().contains("posix"));
        FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0"));
        Files.writeString(drop.resolve("M3-01.csv"), HEAD + rows(1, 2));
        Set<PosixFilePermission> before = Files.getPosixFilePermissions(drop);
        Files.setPosixFilePermissions(drop, Set.of());
        try {
            assumeFalse(Files.isReadable(drop), "whoever may read everything");
            icp.look();
            assertThat(watch().now().wrong().toString())
                    .contains("cannot be used")
                    .contains("it is tried again");
            assertThat(inbox.pieces()).isEmpty();
        } finally {
            Files.setPosixFilePermissions(drop, before);
        }
        icp.look();
        assertThat(watch().now().wrong()).isEmpty();
        assertThat(inbox.values("M3-01")).containsExactly(1001.5, 1002.5);
    }

    @Test
    void takesAFileOnceThoughItsDiskIsFull() throws Exception {
        Optional<SmallDisk> small = SmallDisk.at(drop);
        assumeTrue(small.isPresent(), "a file system of its own");
        try (SmallDisk disk = small.get()) {
            FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0"));
            Files.writeString(drop.resolve("M3-01.csv"), HEAD + rows(1, 2));
            disk.fill(0);
            for (int i = 0; i < 3; i++) {
                icp.look();
                assertThat(inbox.values("M3-01")).containsExactly(1001.5, 1002.5);
            }
            assertThat(watch().now().wrong().toString()).contains("it is tried again");
            disk.makeSpace();
            icp.look();
            assertThat(watch().now().wrong()).isEmpty();
            assertThat(inbox.values("M3-01")).containsExactly(1001.5, 1002.5);
            assertThat(files())
                    .containsEntry("taken/2026-11-25/M3-01.csv", HEAD + rows(1, 2))
                    .containsKey("taken/2026-11-25/M3-01.csv.sha256")
                    .doesNotContainKey("M3-01.csv");
        }
    }

    @Test
    void takesNothingOfAFileThatAFullDiskCutAndAllOfItWhenItComesAgain() throws Exception {
        Optional<SmallDisk> small = SmallDisk.at(drop);
        assumeTrue(small.isPresent(), "a file system of its own");
        try (SmallDisk disk = small.get()) {
            FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0"));
            StringBuilder whole = new StringBuilder(HEAD);
            for (String hour : List.of("08", "09", "10", "11")) {
                whole.append(rows(1, 55).replace(" 09:", " " + hour + ":"));
            }
            // The instrument writes until the disk is full, in the middle of a row, and gives up.
            disk.fill(4096);
            assertThatThrownBy(() -> Files.writeString(drop.resolve("M3-01.csv"), whole))
                    .isInstanceOf(IOException.class);
            assertThat(Files.size(drop.resolve("M3-01.csv"))).isEqualTo(4096);
            icp.look();
            disk.makeSpace();
            icp.look();
            assertThat(inbox.values("M3-01")).as("of a file that was cut").isEmpty();
            assertThat(inbox.reasons()).isNotEmpty();

            Files.writeString(drop.resolve("M3-01.csv"), whole);
            icp.look();
            assertThat(inbox.values("M3-01")).hasSize(4 * 55);
            assertThat(watch().now().wrong()).isEmpty();
        }
    }

    @Test
    void leavesAFileWhereItIsUntilTheStoreIsBack() throws Exception {
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        inbox.gone(true);
        try (Capture capture = Capture.start(
                Sources.read(folder, ICP.replace("quiet_seconds: 5", "quiet_seconds: 1")),
                inbox,
                Clock.systemUTC(),
                ZoneOffset.UTC,
                List.of())) {
            Eventually.holds(
                    "told", () -> capture.states().get(0).wrong().toString().contains("the store does not answer"));
            assertThat(file).exists();
            inbox.loseAnswers(1);
            inbox.gone(false);
            Eventually.holds("taken", () -> !Files.exists(file));
            assertThat(inbox.values("M3-01")).hasSize(2);
            // The system tells of a new file long before the next regular look.
            Instant dropped = Instant.now();
            Files.writeString(drop.resolve("M3-02.csv"), HEAD + rows(3, 4));
            Eventually.holds("taken", () -> inbox.values("M3-02").size() == 2);
            assertThat(Duration.between(dropped, Instant.now())).isLessThan(Duration.ofSeconds(8));
        }
    }

    @Test
    void theClockOneHourBackChangesNothing() throws Exception {
        FolderSource icp = source(ICP);
        Path file = drop.resolve("M3-01.csv");
        Files.writeString(file, HEAD + rows(1, 2));
        Files.setLastModifiedTime(file, FileTime.from(KeptInbox.NOON.plus(Duration.ofHours(1))));
        icp.look();
        seconds(5);
        icp.look();
        assertThat(inbox.values("M3-01")).hasSize(2);
        assertThat(watch().silence()).isEqualTo(Duration.ZERO);
    }

    @Test
    void refusesAFileThatIsTooLargeUnread() throws Exception {
        FolderSource icp = source(ICP.replace("quiet_seconds: 5", "quiet_seconds: 0") + "    most_megabytes: 1\n");
        try (OutputStream out = Files.newOutputStream(drop.resolve("big.csv"))) {
            out.write(new byte[1_000_001]);
        }
        icp.look();
        assertThat(files().get("set-aside/big.csv.reason.txt")).contains("at most 1 MB");
    }
}
