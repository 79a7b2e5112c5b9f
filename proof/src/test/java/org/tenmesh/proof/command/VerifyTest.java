package org.tenmesh.proof.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.time.Clock;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadElsewhere;
import org.tenmesh.core.desk.Rulings;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.store.Store;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.server.StoreSettings;

/** {@code tenmesh verify} on a laboratory that released everything of a day of every method. */
final class VerifyTest {
    @TempDir
    private static Path temp = Path.of("");

    private static String day = "";
    private static String head = "";
    private static final List<ReleasedResult> RELEASED = new ArrayList<>();

    @BeforeAll
    static void releaseADayOfEveryMethod() {
        Path folder = temp.resolve("day");
        Ran made = Ran.tenmesh("simulate", "--seed", 11, "--soils", 300, "--every-method", "--out", folder);
        assertThat(made.status()).as(made.err()).isZero();
        Ran taken = Ran.tenmesh("serve", "--once", "--port", 0, "--data", data(), "--take", folder);
        assertThat(taken.status()).as(taken.err()).isZero();
        try (Store store = store(0)) {
            day = store.days().get(0).name();
            RELEASED.addAll(releaseAll(store, day, 1, "2026-11-25T17:05:00+01:00"));
        }
    }

    /** Signs everything of the day's list as it stands in the view of that day. */
    private static List<ReleasedResult> releaseAll(Store store, String name, int revision, String signedAt) {
        Day theDay = store.quality().dayWithControls(name).orElseThrow();
        MethodBook book = MethodFiles.shipped();
        JudgedDay judged = DayJudge.judge(theDay, book);
        List<ReadElsewhere> elsewhere = store.days().stream()
                .map(DayEntry::name)
                .filter(other -> !other.equals(name))
                .map(other -> {
                    Day its = store.quality().dayWithControls(other).orElseThrow();
                    return ReadElsewhere.of(
                            other,
                            its,
                            Rulings.of(DayJudge.judge(its, book), List.of()),
                            theDay.soils().stream().map(Soil::labNumber).toList());
                })
                .toList();
        Desk desk = new Desk(
                name,
                0,
                theDay,
                judged,
                book,
                List.of(),
                List.of(),
                theDay.date(),
                elsewhere,
                List.of(),
                new DerivedSoils());
        List<ReleasedResult> all = new ArrayList<>();
        theDay.submissions().forEach(submission -> {
            List<Soil> soils = theDay.soils().stream()
                    .filter(soil -> soil.submission().equals(Optional.of(submission.submission())))
                    .toList();
            List<ReleasedResult> results = Releasing.draft(
                    theDay,
                    soils,
                    soils.stream()
                            .flatMap(soil -> desk.standing(soil.labNumber()).stream())
                            .toList(),
                    judged,
                    book);
            all.addAll(results);
            store.release(
                    name,
                    new Release(
                            submission.submission(),
                            revision,
                            "M. Whelan",
                            OffsetDateTime.parse(signedAt),
                            revision == 1 ? "first release" : "read again",
                            results));
        });
        return all;
    }

    /** A run of the next day reads soils of this one again: both days list their submissions with every release. */
    @Test
    void whatWasReadOnTwoDaysIsLookedForOnBoth() throws Exception {
        Path copy = temp.resolve("two-days");
        copy(data(), copy);
        try (Store store =
                Store.open(StoreSettings.embedded(copy.resolve("database")), Clock.systemUTC(), new SecureRandom())) {
            Day first = store.quality().dayWithControls(day).orElseThrow();
            Run again = first.runs().stream()
                    .filter(run -> run.method().equals("mehlich3-icp"))
                    .findFirst()
                    .orElseThrow();
            Readings.Builder readings = Readings.builder();
            for (int i = 0; i < again.readings().size(); i++) {
                Readings of = again.readings();
                readings.add(
                        of.position(i),
                        of.role(i),
                        of.identity(i),
                        of.channel(i),
                        of.quantity(i),
                        // A little more in each soil: other numbers than those of the first day.
                        of.role(i) == Role.SAMPLE ? of.value(i) * 1.001 : of.value(i),
                        of.unit(i),
                        of.at(i).plusDays(2),
                        of.dilution(i));
            }
            Day second = MadeDay.empty()
                    .laboratory(first.laboratory())
                    .runs(MadeRun.like(again)
                            .named("AGAIN-01")
                            .startedAt(again.startedAt().plusDays(2))
                            .readings(readings.build())
                            .run())
                    .day();
            store.take(second, "ab".repeat(32), "M. Whelan");
            assertThat(store.days()).hasSize(2);
            String next = store.days().get(0).name();
            List<ReleasedResult> amended = releaseAll(store, next, 2, "2026-11-27T17:05:00+01:00");
            assertThat(amended)
                    .anyMatch(
                            r -> r.method().equals("mehlich3-icp") && r.value().isPresent());
            // Some follows from what was read on both days.
            assertThat(amended)
                    .anyMatch(r -> r.method().equals("cec-sum-smp")
                            && r.value().isPresent()
                            && RELEASED.stream()
                                    .anyMatch(before -> before.labNumber().equals(r.labNumber())
                                            && before.method().equals(r.method())
                                            && before.analyte().equals(r.analyte())
                                            && before.value().isPresent()
                                            && !before.value().equals(r.value())));
        }
        Ran ran = Ran.tenmesh("verify", "--data", copy);
        assertThat(ran.status()).as(ran.out() + ran.err()).isZero();
        assertThat(ran.out()).contains("Differences: 0");
    }

    private static void copy(Path from, Path to) throws IOException {
        try (Stream<Path> all = Files.walk(from)) {
            for (Path path : all.toList()) {
                Files.copy(
                        path,
                        to.resolve(from.relativize(path).toString()),
                        LinkOption.NOFOLLOW_LINKS,
                        StandardCopyOption.COPY_ATTRIBUTES);
            }
        }
    }

    /** The shipped program called every calculated value tampered with: it looked for them among what was read. */
    @Test
    void everyReleasedResultOfEveryKindComesOutTheSame() {
        MethodBook book = MethodFiles.shipped();
        List<ReleasedResult> left =
                RELEASED.stream().filter(r -> !r.reported().isEmpty()).toList();
        assertThat(left).anyMatch(r -> calculated(book, r) && r.value().isPresent());
        assertThat(left).anyMatch(r -> !calculated(book, r) && r.value().isPresent());
        assertThat(left).anyMatch(r -> r.value().isEmpty() && r.reported().contains("<"));
        assertThat(left).anyMatch(r -> r.value().isEmpty() && r.reported().matches("\\D+"));

        Ran ran = verify();
        assertThat(ran.status()).as(ran.out() + ran.err()).isZero();
        assertThat(ran.err()).isEmpty();
        assertThat(ran.out())
                .contains(
                        String.format("Released results computed again: %,d%n", left.size()),
                        "Differences: 0",
                        "Keep the head apart from the data: ")
                .doesNotContain("Not covered");
        Ran json = verify("--json");
        assertThat(json.out())
                .contains(
                        "\"released_results\": " + left.size(),
                        "\"differences\": []",
                        "\"unusable\": []",
                        "\"not_covered\": []");
        head = json.out().replaceAll("(?s).*\"journal_head\": \"(\\w{64})\".*", "$1");
        assertThat(verify("--head", head).out()).contains("it holds the entry " + head);
    }

    @Test
    void aHeadThatIsNotInTheJournalIsADifferenceAndOneThatIsNoDigestIsRefused() {
        Ran other = verify("--head", "0123456789abcdef".repeat(4));
        assertThat(other.status()).isEqualTo(1);
        assertThat(other.out()).contains("the journal has no entry with the hash 0123456789abcdef");
        Ran none = verify("--head", "0123");
        assertThat(none.status()).isEqualTo(2);
        assertThat(none.err().strip().lines()).hasSize(1);
        assertThat(none.err()).contains("--head takes the 64 hexadecimal digits");
    }

    @Test
    void namesTheSoilWhoseReadingWasChangedAndWhatWasReleasedOfIt() throws Exception {
        ReleasedResult potassium = RELEASED.stream()
                .filter(r -> r.analyte().equals("K")
                        && r.method().equals("mehlich3-icp")
                        && r.value().isPresent())
                .findFirst()
                .orElseThrow();
        String soil = potassium.labNumber().text();
        String of = " where identity = '" + soil
                + "' and quantity like 'K %' and run in (select id from reading.run where method = 'mehlich3-icp')";
        Ran ran = whileChanged(
                "update reading.reading set value = value * 2" + of,
                "update reading.reading set value = value / 2" + of);
        assertThat(ran.status()).as(ran.out() + ran.err()).isEqualTo(1);
        assertThat(ran.err()).isEmpty();
        assertThat(ran.out())
                .contains("is not as it was taken: the readings of " + soil + " differ")
                .contains(soil + ", mehlich3-icp, K was released as "
                        + potassium.value().getAsDouble());
        assertThat(verify().status()).isZero();
    }

    /** The laboratory works by a version of its own from a date before the day; what it released by the shipped one stays. */
    @Test
    void computesEachResultUnderTheVersionThatTheReleaseNames() throws Exception {
        Path own = Files.createDirectory(temp.resolve("own-methods"));
        Files.writeString(
                own.resolve("om-loi-360.yaml"),
                Ran.tenmesh("methods", "--file", "om-loi-360")
                        .out()
                        .replace("version: 2026-11-01", "version: 2026-11-10")
                        .replace("slope: 1.0", "slope: 0.5"));
        assertThat(RELEASED)
                .anyMatch(r -> r.method().equals("om-loi-360") && r.value().isPresent());

        Ran ran = verify("--methods", own);
        assertThat(ran.status()).as(ran.out() + ran.err()).isZero();
        assertThat(ran.out()).contains("Differences: 0");
    }

    @Test
    void saysWhichVersionIsNotThere() throws Exception {
        String of = " where method = 'om-loi-360' and method_version = ";
        Ran ran = whileChanged(
                "update release.result set method_version = '2025-03-01'" + of + "'2026-11-01'",
                "update release.result set method_version = '2026-11-01'" + of + "'2025-03-01'");
        assertThat(ran.status()).isEqualTo(1);
        assertThat(ran.out()).contains("was changed after it was signed");
        assertThat(ran.err().strip().lines()).hasSize(1);
        assertThat(ran.err())
                .contains("what was released by om-loi-360 of 2025-03-01 cannot be computed again", "--methods");
    }

    @Test
    void aDayThatCannotBeReadIsOneSentenceWithStatus2() throws Exception {
        Ran ran = whileChanged(
                "update calibration.standard set unit = 'furlong' where unit = '[pH]'",
                "update calibration.standard set unit = '[pH]' where unit = 'furlong'");
        assertThat(ran.status()).as(ran.err()).isEqualTo(2);
        assertThat(ran.err())
                .contains("day " + day + " cannot be read: ", "furlong")
                .doesNotContain("\tat ");
        assertThat(ran.err().lines()).allMatch(line -> line.startsWith("tenmesh: "));
    }

    @Test
    void aFolderInUseOrWithoutADatabaseIsOneSentenceWithStatus2() {
        try (Store open = store(0)) {
            assertThat(open.days()).hasSize(1);
            Ran ran = verify();
            assertThat(ran.status()).isEqualTo(2);
            assertThat(ran.err().strip().lines()).hasSize(1);
            assertThat(ran.err()).contains("is in use by another Tenmesh");
        }
        Ran none = Ran.tenmesh("verify", "--data", temp.resolve("nowhere"));
        assertThat(none.status()).isEqualTo(2);
        assertThat(none.err().strip().lines()).hasSize(1);
    }

    private static boolean calculated(MethodBook book, ReleasedResult result) {
        return book.versions(result.method()).get(0) instanceof DerivedMethod;
    }

    private static Path data() {
        return temp.resolve("laboratory");
    }

    private static Store store(int port) {
        return Store.open(
                new StoreSettings.Embedded(data().resolve("database"), port), Clock.systemUTC(), new SecureRandom());
    }

    private static Ran verify(Object... more) {
        List<Object> words = new ArrayList<>(List.of("verify", "--data", data()));
        words.addAll(List.of(more));
        return Ran.tenmesh(words.toArray());
    }

    // As the owner of the database, who can switch the guards off.
    private static Ran whileChanged(String change, String back) throws Exception {
        run(change);
        try {
            return verify();
        } finally {
            run(back);
        }
    }

    private static void run(String sql) throws Exception {
        int port = freePort();
        String password = Files.readString(data().resolve("database/secrets/tenmesh_owner"))
                .strip();
        try (Store open = store(port);
                Connection owner = DriverManager.getConnection(
                        "jdbc:postgresql://127.0.0.1:" + port + "/postgres", "tenmesh_owner", password);
                Statement statement = owner.createStatement()) {
            assertThat(open.days()).hasSize(1);
            statement.execute("set session_replication_role = replica");
            statement.execute(sql);
        }
    }

    private static int freePort() throws IOException {
        try (ServerSocket socket = new ServerSocket(0)) {
            return socket.getLocalPort();
        }
    }
}
