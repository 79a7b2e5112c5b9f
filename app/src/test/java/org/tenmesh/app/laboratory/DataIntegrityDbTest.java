package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.orders.ReadAsOrdered;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.day.DayReading;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.backup.Backups;
import org.tenmesh.store.backup.Restore;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.store.sheets.KeptSheet;

/**
 * The list of data integrity, DI-1 to DI-22, each with what is essential of it, on one store. What it asks of people's work at the pages is
 * {@link IntegrityOnPagesDbTest} by the same numbers; docs/validation/integrity.md says what is tested elsewhere and what no program can do.
 */
final class DataIntegrityDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final Instant AT = Instant.parse("2026-11-25T14:00:00.123456Z");
    private static final String IN_CHARGE = "M. Whelan";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final Day SIMULATED =
            Simulator.simulate(Scenario.of(41, 60, DATE)).day();
    private static String day = "";
    private static final List<ReleasedResult> RELEASED = new ArrayList<>();

    @BeforeAll
    static void aLaboratory() {
        store = EmptyStore.open(folder());
        store.people().add(new Person(IN_CHARGE, PersonRole.IN_CHARGE, "argon2"), "console");
        day = store.take(SIMULATED, DATE, "0".repeat(64), IN_CHARGE).day();
        Release first =
                FirstRelease.of(store, day, SIMULATED.submissions().get(0).submission(), METHODS, IN_CHARGE);
        RELEASED.addAll(first.results());
        store.release(day, first);
    }

    @AfterAll
    static void close() {
        store.close();
    }

    private static Path folder() {
        return temp.resolve("laboratory/database");
    }

    private static Connection as(String user) throws Exception {
        return DriverManager.getConnection(
                EmbeddedServer.running(folder()).orElseThrow(),
                user,
                Files.readString(folder().resolve("secrets").resolve(user)).strip());
    }

    private static KeptSheet.Said said(String client) {
        return new KeptSheet.Said(client, Optional.empty(), Optional.empty(), Optional.empty());
    }

    private static String keep(String text) {
        return store.sheets()
                .keep("s.csv", text.getBytes(StandardCharsets.UTF_8), said("Tern Bay (invented)"), IN_CHARGE, AT, DATE);
    }

    private static JournalEntry newest() {
        return store.journal(1).get(0);
    }

    @Test
    void di01EveryChangeNamesWhoWhenWhatAndWhy() {
        Instant before = Instant.now();
        String sheet = keep("DI-1");
        store.sheets().change(sheet, 1, said("Tern Bay Growers (invented)"), "full name", "T. Byrne", Instant.now());
        JournalEntry entry = newest();
        assertThat(entry.actor()).isEqualTo("T. Byrne");
        assertThat(entry.subject()).isEqualTo(sheet);
        assertThat(entry.detail()).contains("full name", "Tern Bay Growers (invented)");
        assertThat(entry.at()).isBetween(before.minusMillis(1), Instant.now());
    }

    @Test
    void di02NobodyCanSwitchTheTrailOffAndABrokenChainIsFound() throws Exception {
        for (String user : List.of("tenmesh_app", "tenmesh_quality", "tenmesh_bench")) {
            try (Connection connection = as(user);
                    Statement statement = connection.createStatement()) {
                for (String sql : List.of(
                        "update journal.entry set actor = 'x'",
                        "delete from journal.entry",
                        "truncate journal.entry",
                        "alter table journal.entry disable trigger entry_stays",
                        "set session_replication_role = replica")) {
                    assertThatThrownBy(() -> statement.execute(sql))
                            .as(user + ": " + sql)
                            .isInstanceOf(SQLException.class);
                }
            }
        }
        assertThat(store.verifyJournal().whole()).isTrue();
        try (Connection owner = as("tenmesh_owner");
                Statement statement = owner.createStatement()) {
            statement.execute("set session_replication_role = replica");
            statement.execute("update journal.entry set actor = actor || 'x' where seq = 1");
            assertThat(store.verifyJournal().whole()).isFalse();
            statement.execute("update journal.entry set actor = left(actor, -1) where seq = 1");
        }
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void di03ACorrectionLeavesTheFirstValueAndNeedsAReason() throws Exception {
        String sheet = keep("DI-3");
        assertThatThrownBy(() -> store.sheets().change(sheet, 1, said("Other"), " ", IN_CHARGE, AT))
                .isInstanceOf(Refused.class);
        store.sheets().change(sheet, 1, said("Other (invented)"), "the client rang", IN_CHARGE, AT);
        try (Connection owner = as("tenmesh_owner");
                Statement statement = owner.createStatement();
                ResultSet both = statement.executeQuery(
                        "select string_agg(v.client, ' -> ' order by version) from intake.worksheet_version v join intake.worksheet w"
                                + " on w.id = v.worksheet where w.submission = '" + sheet + "'")) {
            both.next();
            assertThat(both.getString(1)).isEqualTo("Tern Bay (invented) -> Other (invented)");
        }
    }

    @Test
    void di04WhatCameIsKeptAsItCameAndRecognisedWhenItComesAgain() {
        byte[] bytes = "export of DI-4".getBytes(StandardCharsets.UTF_8);
        Arrival arrival = new Arrival("drop", "DI-4", "x.csv", AT, bytes, List.of(), Optional.of("no heading"));
        assertThat(store.arrivals().take(arrival, "capture").before()).isFalse();
        assertThat(store.arrivals().bytes("drop", "DI-4").orElseThrow()).isEqualTo(bytes);
        assertThat(store.arrivals().take(arrival, "capture").before()).isTrue();
        Arrival edited = new Arrival("drop", "DI-4", "x.csv", AT, new byte[] {1}, List.of(), Optional.of("no heading"));
        assertThatThrownBy(() -> store.arrivals().take(edited, "capture"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("other bytes");
    }

    @Test
    void di05EveryReleasedValueIsComputedAgainToTheDigit() {
        ComputedAgain again = new ComputedAgain(store, METHODS);
        again.day(day);
        again.end();
        assertThat(again.differences()).isEmpty();
        assertThat(again.unusable()).isEmpty();
        assertThat(again.results())
                .isEqualTo(RELEASED.stream()
                        .filter(one -> !one.reported().isEmpty())
                        .count())
                .isPositive();
    }

    @Test
    void di06LettingAFailureStandNeedsAReasonAndANameAndIsCounted() {
        Grounds grounds = new Grounds("drift@DI-6#0123456789", "ab".repeat(32), "P1", "K drifts by 4 %.", 12);
        assertThatThrownBy(() -> store.act(day, grounds, Action.ACCEPT, " ", IN_CHARGE, AT))
                .isInstanceOf(Refused.class);
        store.act(day, grounds, Action.ACCEPT, "the client was asked", IN_CHARGE, AT);
        assertThat(store.actions(day))
                .filteredOn(act -> act.grounds().cause().equals(grounds.cause()))
                .singleElement()
                .satisfies(act -> {
                    assertThat(act.actor()).isEqualTo(IN_CHARGE);
                    assertThat(act.grounds().labNumbers()).isEqualTo(12);
                });
    }

    @Test
    void di07EveryReadingOfASoilIsKeptHoweverOftenItWasRead() {
        Run first = SIMULATED.runs().get(0);
        Run again = new Run(
                "DI-7",
                first.method(),
                first.instrument(),
                first.operator(),
                first.startedAt().plusDays(2),
                first.readings());
        store.take(SIMULATED.withRuns(List.of(again)), "7".repeat(64), IN_CHARGE);
        Soil soil = SIMULATED.soils().stream()
                .filter(one ->
                        first.readings().identities().contains(one.labNumber().text()))
                .findFirst()
                .orElseThrow();
        assertThat(store.record().soil("own", soil.labNumber()).orElseThrow().runs())
                .extracting(run -> run.run())
                .contains(first.run(), "DI-7");
    }

    @Test
    void di08AccountsArePersonalEndWhenIdleAndKeepTheirHistory() {
        store.people().add(new Person("B. Gone", PersonRole.BENCH, "argon2"), IN_CHARGE);
        assertThatThrownBy(() -> store.people().add(new Person("b. gone", PersonRole.BENCH, "argon2"), IN_CHARGE))
                .isInstanceOf(Refused.class);
        store.note("B. Gone", "report-printed", "DI-8", Map.of());
        String token = store.people().startSession("B. Gone", Duration.ofHours(1));
        assertThat(store.people().session(token, Duration.ofHours(1), true)).isPresent();
        assertThat(store.people().session(token, Duration.ZERO, true)).isEmpty();
        token = store.people().startSession("B. Gone", Duration.ofHours(1));
        store.people().change(new Person("B. Gone", PersonRole.BENCH, "argon2", false), IN_CHARGE);
        assertThat(store.people().session(token, Duration.ofHours(1), true)).isEmpty();
        assertThat(store.journal(50)).anyMatch(entry -> entry.actor().equals("B. Gone"));
    }

    @Test
    void di09WhoRanATrayIsNotItsOnlyApprover() {
        Soil soil = SIMULATED.soils().stream()
                .filter(one -> one.submission()
                        .equals(Optional.of(SIMULATED.submissions().get(1).submission())))
                .findFirst()
                .orElseThrow();
        String operator = SIMULATED.runs().stream()
                .filter(run ->
                        run.readings().identities().contains(soil.labNumber().text()))
                .findFirst()
                .flatMap(Run::operator)
                .orElseThrow();
        Release own = new Release(
                SIMULATED.submissions().get(1).submission(),
                1,
                operator,
                OffsetDateTime.parse("2026-11-25T17:10:00+01:00"),
                "first release",
                RELEASED);
        assertThatThrownBy(() -> store.release(day, own))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("who did work behind it, while a second person is asked for; nothing was stored");
        assertThat(store.approvals()
                        .of(day, SIMULATED.submissions().get(0).submission())
                        .get(1))
                .startsWith("Signed by somebody who did none of the work; it was done by bench ");
    }

    @Test
    void di09TheBenchCannotSeeWhichSoilsAreControls() throws Exception {
        assertThat(store.quality().dayWithControls(day).orElseThrow().controls())
                .isNotEmpty();
        assertThat(store.day(day).orElseThrow().controls()).isEmpty();
        try (Connection bench = as("tenmesh_bench");
                Statement statement = bench.createStatement()) {
            for (String sql : List.of(
                    "select * from sealed.control",
                    "select * from judgement.result",
                    "select * from intake.submission")) {
                assertThatThrownBy(() -> statement.executeQuery(sql)).isInstanceOf(SQLException.class);
            }
            assertThat(statement.executeQuery("select * from bench.place").next())
                    .isTrue();
        }
    }

    @Test
    void di10AReleaseNamesWhoAndWhenAndALaterChangeShows() throws Exception {
        assertThat(store.journal(1000))
                .filteredOn(entry -> entry.what().equals("released"))
                .singleElement()
                .satisfies(entry -> {
                    assertThat(entry.actor()).isEqualTo(IN_CHARGE);
                    assertThat(entry.detail()).contains("2026-11-25T17:05+01:00", "results-sha256");
                });
        String where = " where ord = 0 and release = (select min(id) from release.release)";
        try (Connection owner = as("tenmesh_owner");
                Statement statement = owner.createStatement()) {
            statement.execute("set session_replication_role = replica");
            statement.execute("update release.result set reported = reported || '1'" + where);
            assertThat(store.compareWithJournal(says -> {}).differences())
                    .anyMatch(said -> said.contains("was changed after it was signed"));
            statement.execute("update release.result set reported = left(reported, -1)" + where);
        }
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }

    @Test
    void di11NothingOfARunWithoutItsControlsIsFit() {
        Day without = SIMULATED.withRuns(SIMULATED.runs().stream()
                .map(run -> {
                    Readings.Builder kept = Readings.builder();
                    Readings all = run.readings();
                    for (int i = 0; i < all.size(); i++) {
                        if (all.role(i) == Role.SAMPLE || all.role(i) == Role.STANDARD) {
                            kept.add(
                                    all.position(i),
                                    all.role(i),
                                    all.identity(i),
                                    all.channel(i),
                                    all.quantity(i),
                                    all.value(i),
                                    all.unit(i),
                                    all.at(i),
                                    all.dilution(i));
                        }
                    }
                    return run.with(kept.build());
                })
                .toList());
        assertThat(DayJudge.judge(SIMULATED, METHODS).results()).anyMatch(one -> one.verdict() == Verdict.FIT);
        assertThat(DayJudge.judge(without, METHODS).results())
                .isNotEmpty()
                .noneMatch(one -> one.verdict() == Verdict.FIT);
    }

    @Test
    void di12EachDatabaseUserMayDoItsOwnAndNothingElse() throws Exception {
        record May(String user, String sql, boolean allowed) {}
        for (May may : List.of(
                new May("tenmesh_app", "select count(*) from release.release", true),
                new May("tenmesh_app", "select count(*) from sealed.control", false),
                new May("tenmesh_quality", "select count(*) from sealed.control", true),
                new May("tenmesh_quality", "insert into release.release default values", false),
                new May("tenmesh_bench", "select count(*) from bench.run", true),
                new May("tenmesh_bench", "select count(*) from release.release", false))) {
            try (Connection connection = as(may.user());
                    Statement statement = connection.createStatement()) {
                if (may.allowed()) {
                    statement.execute(may.sql());
                } else {
                    assertThatThrownBy(() -> statement.execute(may.sql()))
                            .as(may.toString())
                            .hasMessageContaining("permission denied");
                }
            }
        }
    }

    @Test
    void di13WhatIsJudgedNamesTheVersionOfItsMethodAndTheDayKeepsItsPolicy() throws Exception {
        assertThat(RELEASED)
                .allMatch(one -> LocalDate.parse(one.methodVersion()).compareTo(DATE) <= 0);
        Path own = Files.createDirectory(temp.resolve("own"));
        Files.writeString(
                own.resolve("ph-water-1-1.yaml"),
                MethodFiles.shippedText("ph-water-1-1").replaceFirst("version: [0-9-]+", "version: 2027-01-01"));
        MethodBook later = MethodFiles.read(own);
        assertThat(Content.digest(DayJudge.judge(SIMULATED, later).results()))
                .isEqualTo(Content.digest(DayJudge.judge(SIMULATED, METHODS).results()));

        // A limit that is changed on a later day is that day's alone.
        Policy before = store.day(day).orElseThrow().laboratory().policy();
        Day next = Simulator.simulate(Scenario.of(43, 24, DATE.plusDays(1))).day();
        Laboratory was = next.laboratory();
        Policy stricter =
                Policy.defaults().with(Setting.CHECK_INTERVAL_SOILS, 10).named("2026-11-26");
        String tomorrow = store.take(
                        new Day(
                                new Laboratory(
                                        was.name(),
                                        was.zone(),
                                        was.address(),
                                        was.invented(),
                                        stricter,
                                        was.advice(),
                                        was.register(),
                                        was.acceptedFailures(),
                                        was.reports()),
                                next.submissions(),
                                next.soils(),
                                next.trays(),
                                next.controls(),
                                next.materials(),
                                next.standards(),
                                next.runs()),
                        DATE.plusDays(1),
                        "d".repeat(64),
                        IN_CHARGE)
                .day();
        assertThat(store.day(tomorrow).orElseThrow().laboratory().policy()).isEqualTo(stricter);
        assertThat(store.day(day).orElseThrow().laboratory().policy()).isEqualTo(before);
        assertThat(before.whole(Setting.CHECK_INTERVAL_SOILS)).isEqualTo(20);
    }

    @Test
    void di14TimesKeepTheirOffsetOverTheChangeOfTheClock() {
        OffsetDateTime summer = OffsetDateTime.parse("2026-10-25T02:30:00+02:00");
        OffsetDateTime winter = OffsetDateTime.parse("2026-10-25T02:10:00+01:00");
        Readings two = Readings.builder()
                .add(1, Role.STANDARD, "4.01", "1", "potential", 170, Unit.MILLIVOLT, summer, 1)
                .add(2, Role.STANDARD, "7.00", "1", "potential", 1, Unit.MILLIVOLT, winter, 1)
                .build();
        Run run = new Run("DI-14", "ph-water-1-1", "probe", Optional.empty(), summer, two);
        store.arrivals()
                .take(
                        new Arrival(
                                "lines",
                                "DI-14",
                                "DI-14",
                                AT,
                                new byte[] {1},
                                List.of(new RunPart(run, true)),
                                Optional.empty()),
                        "capture");
        String of = "2026-10-25";
        Readings kept = store.day(of).orElseThrow().runs().get(0).readings();
        assertThat(kept.at(0)).isEqualTo(summer);
        assertThat(kept.at(kept.size() - 1)).isEqualTo(winter);
        assertThat(Duration.between(kept.at(0), kept.at(kept.size() - 1))).isEqualTo(Duration.ofMinutes(40));
    }

    @Test
    void di14ARunOverMidnightStaysWholeOnTheDayItBegan() {
        OffsetDateTime late = OffsetDateTime.parse("2026-10-20T23:50:00+02:00");
        Readings two = Readings.builder()
                .add(1, Role.STANDARD, "4.01", "1", "potential", 170, Unit.MILLIVOLT, late, 1)
                .add(2, Role.STANDARD, "7.00", "1", "potential", 1, Unit.MILLIVOLT, late.plusMinutes(20), 1)
                .build();
        store.arrivals()
                .take(
                        new Arrival(
                                "lines",
                                "DI-14-M",
                                "DI-14-M",
                                AT,
                                new byte[] {1},
                                List.of(new RunPart(
                                        new Run("DI-14-M", "ph-water-1-1", "probe", Optional.empty(), late, two),
                                        true)),
                                Optional.empty()),
                        "capture");
        assertThat(store.day("2026-10-20").orElseThrow().runs())
                .singleElement()
                .satisfies(run -> assertThat(run.readings().size()).isEqualTo(2));
        assertThat(store.day("2026-10-21")).isEmpty();
    }

    @Test
    void di14ADecimalCommaIsToldAndNeverReadAsAnotherNumber() throws Exception {
        Path folder = temp.resolve("comma");
        DayFolder.write(SIMULATED, folder);
        Path materials = folder.resolve("materials.csv");
        String text = Files.readString(materials);
        String comma = text.replaceFirst("(?m),(\\d+)\\.(\\d+),", ",\"$1,$2\",");
        assertThat(comma).isNotEqualTo(text);
        Files.writeString(materials, comma);
        DayReading read = DayFolder.read(folder);
        assertThat(read.problems())
                .isNotEmpty()
                .anySatisfy(problem -> assertThat(problem.found()).matches(".*\\d+,\\d+.*"));
        assertThat(SIMULATED.materials()).containsAll(read.day().materials());
        assertThat(read.day().materials().size())
                .isLessThan(SIMULATED.materials().size());
    }

    @Test
    void di15ABackupIsRestoredAndIsTheSame() {
        Backups.take(folder(), temp.resolve("backups"), Clock.systemUTC(), says -> {});
        Path restored = temp.resolve("restored");
        Restore.into(restored, temp.resolve("backups"), Optional.empty(), says -> {});
        try (Store back = Store.open(StoreSettings.embedded(restored), Clock.systemUTC(), new SecureRandom())) {
            assertThat(back.verifyJournal().whole()).isTrue();
            assertThat(back.compareWithJournal(says -> {}).differences()).isEmpty();
            assertThat(back.releases(day)).isEqualTo(store.releases(day));
        }
    }

    @Test
    void di16AClockThatWasSetBackIsWrittenDown() throws Exception {
        try (Connection owner = as("tenmesh_owner");
                Statement statement = owner.createStatement()) {
            statement.execute("update journal.head set written_at = now() + interval '2 hours'");
        }
        store.note(IN_CHARGE, "report-printed", "DI-16", Map.of());
        assertThat(store.journal(2))
                .extracting(JournalEntry::what)
                .containsExactly("report-printed", Journal.CLOCK_SET_BACK);
    }

    @Test
    void di17TheRecordIsReadAndCheckedWithoutTheProgram() throws Exception {
        Path out = temp.resolve("record");
        var written = store.writeOpenFiles(out, false, IN_CHARGE, says -> {});
        String previous = "0".repeat(64);
        for (String line : Files.readAllLines(out.resolve("journal.txt"))) {
            byte[] hash = MessageDigest.getInstance("SHA-256")
                    .digest((previous + line.substring(65)).getBytes(StandardCharsets.UTF_8));
            previous = HexFormat.of().formatHex(hash);
            assertThat(previous).isEqualTo(line.substring(0, 64));
        }
        assertThat(previous).isEqualTo(written.head());
        assertThat(Files.readString(out.resolve("release/result.csv")))
                .contains(RELEASED.get(0).labNumber().text());
        assertThat(Files.readString(out.resolve("README.md"))).contains("### release.result");
    }

    @Test
    void di18WhatHasNoNumberSaysWhyAndIsNeverZeroOrBlank() {
        Unit unit = Unit.MILLIGRAM_PER_KILOGRAM;
        Set<String> texts = new TreeSet<>();
        List<Amount> amounts = List.of(
                new Amount.Below(5, 0, unit),
                new Amount.Above(500, 600, unit),
                new Amount.Saturated(unit),
                new Amount.NotEnoughSoil(unit),
                new Amount.Measured(7, unit));
        for (Amount amount : amounts) {
            texts.add(Stated.text(amount, new Rounding(0), OptionalDouble.empty()));
        }
        assertThat(texts).hasSize(amounts.size()).noneMatch(text -> text.isBlank() || text.equals("0"));
        // What is missing is held and has a reason in place of a text.
        assertThat(RELEASED)
                .noneMatch(one -> one.reported().isBlank() && one.heldBecause().isBlank());
        assertThat(RELEASED)
                .noneMatch(one -> one.value().isPresent() && one.reported().isBlank());
    }

    @Test
    void di19WhatWasReadMustBeWhatTheOrderHasAtThatPosition() {
        Readings read = Readings.builder()
                .add(
                        1,
                        Role.SAMPLE,
                        SIMULATED.soils().get(1).labNumber().text(),
                        "1",
                        "potential",
                        1,
                        Unit.MILLIVOLT,
                        OffsetDateTime.parse("2026-11-25T09:00:00+01:00"),
                        1)
                .build();
        RunOrder order = new RunOrder(
                "DI-19",
                "ph-water-1-1",
                "probe",
                OffsetDateTime.parse("2026-11-25T08:00:00+01:00"),
                List.of(new RunOrder.Place(
                        1, Role.SAMPLE, SIMULATED.soils().get(0).labNumber().text())));
        assertThat(ReadAsOrdered.of(order, read, true).differences()).hasSize(1);
    }

    @Test
    void di20PublishedExamplesAreComputedAtTheStartAndWrittenDown() {
        StringWriter told = new StringWriter();
        StartChecks.run(store, new Console(new PrintWriter(told), new PrintWriter(told), false));
        assertThat(told.toString()).isEmpty();
        JournalEntry entry = newest();
        assertThat(entry.what()).isEqualTo(StartChecks.RUN);
        assertThat(entry.detail()).contains("\"failed\":\"0\"").containsPattern("\"checks\":\"[1-9]\\d\\d+\"");
    }

    @Test
    void di21AValueTypedByHandIsAskedForTwiceWhereTheSourceSaysSo() throws Exception {
        Path file = temp.resolve("capture.yaml");
        Files.writeString(file, """
                sources:
                  - name: by-hand
                    kind: hand
                    instrument: PH1
                    method: ph-water-1-1
                    twice: true
                    asked:
                      - quantity: potential
                        unit: mV
                """);
        CaptureSettings settings = CaptureFile.read(file, METHODS.ids()::contains);
        assertThat(settings.problems()).isEmpty();
        assertThat(settings.sources().get(0).way())
                .isInstanceOfSatisfying(
                        Source.Hand.class, hand -> assertThat(hand.twice()).isTrue());
    }

    /** Every table with a guard against change: nobody but the owner of the database has a right to delete there, and the guard refuses the owner. */
    @Test
    void di22NothingOfTheRecordCanBePurged() throws Exception {
        try (Connection owner = as("tenmesh_owner");
                Statement statement = owner.createStatement()) {
            List<String> guarded = new ArrayList<>();
            try (ResultSet tables = statement.executeQuery("""
                    select distinct t.tgrelid::regclass::text as name from pg_trigger t join pg_proc p on p.oid = t.tgfoid
                    where p.proname = 'refuse_change' and t.tgenabled <> 'D'
                    """)) {
                while (tables.next()) {
                    guarded.add(tables.getString(1));
                }
            }
            assertThat(guarded)
                    .hasSizeGreaterThan(40)
                    .contains(
                            "reading.reading", "release.result", "release.report", "journal.entry", "capture.arrival");
            for (String table : guarded) {
                for (String sql : List.of("delete from " + table, "truncate " + table + " cascade")) {
                    assertThatThrownBy(() -> statement.execute(sql))
                            .as(sql)
                            .hasMessageContaining("never changed or deleted");
                }
                for (String user : List.of("tenmesh_app", "tenmesh_quality", "tenmesh_bench")) {
                    try (ResultSet may = statement.executeQuery("select has_table_privilege('" + user + "', '" + table
                            + "', 'DELETE') or has_table_privilege('" + user + "', '" + table + "', 'TRUNCATE')")) {
                        may.next();
                        assertThat(may.getBoolean(1))
                                .as(user + " may delete from " + table)
                                .isFalse();
                    }
                }
            }
        }
    }
}
