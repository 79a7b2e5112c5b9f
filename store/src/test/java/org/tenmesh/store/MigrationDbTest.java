package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.zip.ZipEntry;
import java.util.zip.ZipInputStream;
import org.flywaydb.core.Flyway;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.postgresql.PGConnection;
import org.postgresql.ds.PGSimpleDataSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.server.Connections;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.Secrets;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.store.verified.RecordCheck;

/** A database of version 0.1, brought up to date: every row of it is found again. */
final class MigrationDbTest {
    private static final String LAST_OF_01 = "16";
    private static final Path FOLDER = OpenStore.folder("migrated");
    /** Parents before what refers to them. */
    static final List<String> FIRST = List.of(
            "intake.day", "intake.source", "intake.submission", "reading.run", "release.release", "people.person");

    /** What was stored before version 0.1 and where it stands now: a query of each, or a table that kept its columns. */
    static final List<String> OLD_AND_NEW = List.of(
            "select d.name, s.ord, s.submission, s.client, s.received_at, s.received_offset, s.promised_on, s.origin_country,"
                    + " s.origin_region, s.package, s.water_supplied, s.note from before.intake_submission s join"
                    + " before.intake_day d on d.id = s.day"
                    + " | select d.former_name, l.ord, s.submission, s.client, s.received_at, s.received_offset,"
                    + " s.promised_on, s.origin_country, s.origin_region, s.package, s.water_supplied, s.note from"
                    + " intake.day_submission l join intake.submission s on s.id = l.submission join intake.day d on d.id ="
                    + " l.day",
            "select d.name, s.ord, s.lab_number, s.submission, b.client, s.ordinal, s.client_label, s.top_cm, s.bottom_cm,"
                    + " s.package, s.regulated, s.matter from before.intake_soil s join before.intake_day d on d.id = s.day"
                    + " left join before.intake_submission b on b.day = s.day and b.submission = s.submission"
                    + " | select d.former_name, l.ord, s.lab_number, s.submission, b.client, s.ordinal, s.client_label,"
                    + " s.top_cm, s.bottom_cm, s.package, s.regulated, s.matter from intake.day_soil l join intake.soil s"
                    + " on s.id = l.soil join intake.day d on d.id = l.day left join intake.came_in c on c.soil = s.id left"
                    + " join intake.submission b on b.id = c.submission",
            "select d.name, t.ord, t.tray, p.well, p.lab_number, p.purpose from before.layout_tray t join before.layout_place p"
                    + " on p.day = t.day and p.tray = t.ord join before.intake_day d on d.id = t.day"
                    + " | select d.former_name, t.ord, t.tray, p.well, p.lab_number, p.purpose from layout.tray t join"
                    + " layout.place p on p.tray = t.id join intake.day d on d.id = t.day",
            "select d.name, c.lab_number, c.material from before.sealed_control c join before.intake_day d on d.id = c.day"
                    + " | select d.former_name, c.lab_number, c.material from sealed.control c join intake.day d on d.id ="
                    + " c.day and d.register = c.register",
            "select d.name, s.lab_number, s.method from before.intake_shortage s join before.intake_day d on d.id = s.day"
                    + " | select d.former_name, s.lab_number, s.method from intake.shortage s join intake.day d on d.id ="
                    + " s.day",
            "select d.name, r.submission, b.client, r.revision, r.signed_by, r.signed_at, r.signed_offset, r.reason from"
                    + " before.release_release r join before.intake_day d on d.id = r.day join before.intake_submission b on"
                    + " b.day = r.day and b.submission = r.submission"
                    + " | select d.former_name, b.submission, b.client, r.revision, r.signed_by, r.signed_at,"
                    + " r.signed_offset, r.reason from release.release r join intake.day d on d.id = r.day join"
                    + " intake.submission b on b.id = r.submission_id",
            "select distinct d.name, r.run, g.identity from before.reading_reading g join before.reading_run r on r.id = g.run"
                    + " join before.intake_day d on d.id = r.day where g.role in ('sample', 'duplicate')"
                    + " | select d.former_name, r.run, i.identity from reading.identity i join reading.run r on r.id = i.run"
                    + " join intake.day d on d.id = r.day",
            "select cause, action, reason, actor, at from before.causes_action"
                    + " | select cause, action, reason, actor, at from causes.action",
            "calibration.material",
            "calibration.standard",
            "intake.source",
            "intake.package",
            "intake.asked",
            "reading.run",
            "reading.reading",
            "release.result",
            "sealed.control_value",
            "people.person",
            "people.session",
            "journal.entry",
            "journal.head");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @BeforeAll
    static void bringUpToDate() throws Exception {
        withVersion01(FOLDER, MigrationDbTest::fillFromFixture);
        store = Store.open(StoreSettings.embedded(FOLDER), Clock.systemUTC(), new SecureRandom());
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    /**
     * Old and new rows are the same, column by column.
     *
     * @param oldAndNew a query of the old tables and one of the new ones; or the name of a table that kept its columns
     */
    static List<String> oldAndNew() {
        return OLD_AND_NEW;
    }

    @ParameterizedTest
    @MethodSource("oldAndNew")
    void findsEveryRowAgain(String oldAndNew) throws SQLException {
        String[] both = oldAndNew.contains(" | ") ? oldAndNew.split(" \\| ") : unchanged(oldAndNew);
        String difference = "select count(*) from ((%1$s except all %2$s) union all (%2$s except all %1$s)) x"
                .formatted("(" + both[0] + ")", "(" + both[1] + ")");
        assertThat(OpenStore.ask(store, difference)).isEqualTo("0");
        assertThat(OpenStore.ask(store, "select count(*) from (" + both[0] + ") x"))
                .isEqualTo(OpenStore.ask(store, "select count(*) from (" + both[1] + ") x"));
    }

    private static String[] unchanged(String table) throws SQLException {
        String before = table.replace('.', '_');
        String columns = OpenStore.ask(
                store,
                "select string_agg(column_name, ', ' order by ordinal_position) from information_schema.columns where"
                        + " table_schema = 'before' and table_name = '" + before + "'");
        return new String[] {"select " + columns + " from before." + before, "select " + columns + " from " + table};
    }

    @Test
    void comparesEveryOldTable() throws Exception {
        String tables = OpenStore.ask(
                store,
                "select string_agg(tablename, ' ' order by tablename) from pg_tables where schemaname = 'before'");
        assertThat(tables.split(" ")).hasSize(fixture().size() - 1);
        for (String table : List.of("judgement_result", "judgement_cause", "judgement_gate", "judgement_kept")) {
            assertThat(OpenStore.ask(store, "select count(*) from before." + table))
                    .isEqualTo(OpenStore.ask(store, "select count(*) from " + table.replaceFirst("_", ".")));
        }
    }

    @Test
    void namesADayForItsDateAndFindsItByItsFormerName() {
        assertThat(store.days()).extracting(DayEntry::name).containsExactly("2026-11-26", "2026-11-25");
        assertThat(store.days())
                .extracting(DayEntry::date)
                .containsExactly(LocalDate.of(2026, 11, 26), LocalDate.of(2026, 11, 25));
        assertThat(store.dayEntry("2026-11-24").orElseThrow().name()).isEqualTo("2026-11-25");
    }

    @Test
    void givesTheWholeDayToTheJudgeAsBefore() throws SQLException {
        for (DayEntry entry : store.days()) {
            Day day = store.quality().dayWithControls(entry.name()).orElseThrow();
            String former =
                    OpenStore.ask(store, "select former_name from intake.day where name = '" + entry.name() + "'");
            String ofDay = " where day = (select id from before.intake_day where name = '" + former + "')";
            assertThat(day.soils().stream().map(soil -> soil.labNumber().text()).toList())
                    .isEqualTo(list("select lab_number from before.intake_soil" + ofDay + " order by ord"));
            assertThat(day.submissions().stream()
                            .map(s -> s.submission() + s.client())
                            .toList())
                    .isEqualTo(list(
                            "select submission || client from before.intake_submission" + ofDay + " order by ord"));
            assertThat(day.trays().stream().map(tray -> tray.tray()).toList())
                    .isEqualTo(list("select tray from before.layout_tray" + ofDay + " order by ord"));
            assertThat(day.controls().entrySet().stream()
                            .map(c -> c.getKey() + c.getValue())
                            .sorted()
                            .toList())
                    .isEqualTo(list("select lab_number || material from before.sealed_control" + ofDay
                            + " order by lab_number"));
            assertThat(day.materials())
                    .hasSize(Integer.parseInt(
                            OpenStore.ask(store, "select count(*) from before.calibration_material" + ofDay)));
            assertThat(day.standards())
                    .hasSize(Integer.parseInt(
                            OpenStore.ask(store, "select count(*) from before.calibration_standard" + ofDay)));
            assertThat(day.packages())
                    .hasSize(Integer.parseInt(
                            OpenStore.ask(store, "select count(*) from before.intake_package" + ofDay)));
            assertThat(day.runs().stream()
                            .map(run -> run.run() + RunDigest.of(run))
                            .toList())
                    .isEqualTo(list("select run || sha256 from before.reading_run" + ofDay + " order by id"));
            assertThat(store.actions(entry.name()))
                    .hasSize(Integer.parseInt(
                            OpenStore.ask(store, "select count(*) from before.causes_action" + ofDay)));
        }
    }

    @Test
    void keepsReleasesUnderTheirSubmissionsAndTheJournalWhole() throws SQLException {
        assertThat(store.verifyJournal().whole()).isTrue();
        RecordCheck check = store.compareWithJournal(says -> {});
        assertThat(check.differences()).isEmpty();
        assertThat(check.unreadable()).isEmpty();
        List<LaboratoryRecord.KnownSubmission> first = store.record().submissions("S0001");
        assertThat(first).hasSize(2);
        for (LaboratoryRecord.KnownSubmission submission : first) {
            assertThat(store.record().releases(submission.key()))
                    .extracting(Release::revision)
                    .containsExactly(1, 2);
            assertThat(submission.revision()).isEqualTo(2);
            assertThat(submission.labNumbers()).isNotEmpty();
        }
        assertThat(store.releases("2026-11-25")).hasSize(3);
        assertThat(store.releases("2026-11-26")).hasSize(3);
    }

    @Test
    void aNewRedoMeetsASoilOfVersion01() throws Exception {
        Path folder = OpenStore.folder("redone");
        withVersion01(folder, MigrationDbTest::fillFromFixture);
        try (Store redone = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            meetsItsOriginal(redone);
        }
        OpenStore.delete(folder);
    }

    private static void meetsItsOriginal(Store store) {
        Day before = store.day("2026-11-25").orElseThrow();
        Run original = before.runs().stream()
                .filter(run -> run.run().equals("PH1-01"))
                .findFirst()
                .orElseThrow();
        LabNumber number = before.soils().get(0).labNumber();
        Run redo = InventedDay.run("PH1-01", List.of(number), 5);
        Run tomorrow = MadeRun.like(redo)
                .method(original.method())
                .startedAt(original.startedAt().plusDays(2))
                .run();

        Receipt receipt = store.take(InventedDay.onlyRuns(List.of(tomorrow)), OpenStore.freshDigest(), "M. Whelan");

        assertThat(receipt.day()).isEqualTo("2026-11-27");
        Day day = store.day("2026-11-27").orElseThrow();
        assertThat(day.soils()).containsExactly(before.soils().get(0));
        assertThat(day.laboratory()).isEqualTo(before.laboratory());
        assertThat(day.standards())
                .containsAll(before.standards().stream()
                        .filter(standard -> standard.method().equals(original.method()))
                        .toList());
        assertThat(store.record().soil("own", number).orElseThrow().runs())
                .extracting(LaboratoryRecord.KnownRun::day)
                .startsWith("2026-11-27")
                .contains("2026-11-25");
        RecordCheck check = store.compareWithJournal(says -> {});
        assertThat(check.differences()).isEmpty();
        assertThat(check.unreadable()).isEmpty();
    }

    /** The same soil on two days is one soil; another soil of the same number is kept in a register of its own. */
    @Test
    void mergesOnlyWhatIsTheSame() throws Exception {
        Path folder = OpenStore.folder("merged");
        withVersion01(folder, connection -> {
            try (Statement statement = connection.createStatement()) {
                for (String day : List.of("first", "again", "other")) {
                    statement.execute("insert into intake.day (name) values ('" + day + "')");
                    statement.execute(
                            "insert into intake.source (day, sha256, actor, taken_at, soils, readings, laboratory, zone,"
                                    + " address, invented, policy) select id, encode(sha256(name::bytea), 'hex'), 'x', '2026-11-2"
                                    + day.length() % 3
                                    + "T08:00:00Z', 1, 0, 'L', 'UTC', '', true, '{}' from intake.day where name = '"
                                    + day + "'");
                }
                statement.execute(
                        "insert into intake.submission (day, ord, submission, client, received_at, received_offset)"
                                + " select id, 0, 'S1', case name when 'other' then 'B' else 'A' end, '2026-11-20T08:00:00Z', 0 from"
                                + " intake.day");
                statement.execute(
                        "insert into intake.soil (day, ord, lab_number, submission, ordinal) select id, 0, '17', 'S1', 1"
                                + " from intake.day");
                statement.execute("update intake.day set name = '2026-11-21' where name = 'again'");
            }
        });
        try (Store merged = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            List<LaboratoryRecord.KnownSoil> soils = merged.record().soils(new LabNumber("17"));
            assertThat(soils)
                    .extracting(LaboratoryRecord.KnownSoil::register)
                    .containsExactlyInAnyOrder("own", "day other");
            assertThat(merged.record()
                            .soil("own", new LabNumber("17"))
                            .orElseThrow()
                            .days())
                    .hasSize(2);
            assertThat(merged.record().submissions("S1"))
                    .extracting(s -> s.submission().client())
                    .containsExactlyInAnyOrder("A", "B");
            assertThat(merged.dayEntry("other").orElseThrow().register()).isEqualTo("day other");
            assertThat(merged.dayEntry("2026-11-21"))
                    .isEqualTo(merged.dayEntry("again").or(() -> merged.dayEntry("2026-11-21")));
        }
        OpenStore.delete(folder);
    }

    private static void fillFromFixture(Connection connection) throws Exception {
        Map<String, byte[]> tables = fixture();
        List<String> order = new ArrayList<>(FIRST);
        tables.keySet().stream().filter(table -> !FIRST.contains(table)).forEach(order::add);
        try (Statement statement = connection.createStatement()) {
            statement.execute("create schema before");
            statement.execute("delete from journal.head");
            for (String table : order) {
                if (table.equals("sequences")) {
                    continue;
                }
                connection
                        .unwrap(PGConnection.class)
                        .getCopyAPI()
                        .copyIn("copy " + table + " from stdin", new ByteArrayInputStream(tables.get(table)));
                statement.execute("create table before." + table.replace('.', '_') + " as table " + table);
            }
            for (String line : new String(tables.get("sequences"), StandardCharsets.UTF_8).split("\n")) {
                String[] nameAndValue = line.split("\t");
                statement.execute("select setval('" + nameAndValue[0] + "', " + nameAndValue[1] + ")");
            }
        }
    }

    private interface Filling {
        void fill(Connection connection) throws Exception;
    }

    /** A database with the tables of version 0.1, its server stopped again. */
    private static void withVersion01(Path folder, Filling filling) throws Exception {
        Secrets.makeFolder(folder);
        Secrets secrets = new Secrets(folder.resolve("secrets"), new SecureRandom());
        try (EmbeddedServer server = EmbeddedServer.start(folder, 0, secrets)) {
            PGSimpleDataSource owner = new PGSimpleDataSource();
            owner.setUrl(server.url());
            owner.setUser(EmbeddedServer.OWNER);
            owner.setPassword(secrets.password(EmbeddedServer.OWNER));
            Flyway.configure(Connections.class.getClassLoader())
                    .dataSource(owner)
                    .locations("classpath:org/tenmesh/store/migration")
                    .defaultSchema("migration")
                    .createSchemas(true)
                    .target(LAST_OF_01)
                    .load()
                    .migrate();
            try (Connection connection = owner.getConnection()) {
                filling.fill(connection);
            }
        }
    }

    /** The tables of a database of version 0.1, by name. */
    static Map<String, byte[]> fixture() throws IOException {
        Map<String, byte[]> tables = new LinkedHashMap<>();
        try (InputStream file = Optional.ofNullable(MigrationDbTest.class.getResourceAsStream("store-0.1.zip"))
                        .orElseThrow();
                ZipInputStream zip = new ZipInputStream(file)) {
            for (ZipEntry entry = zip.getNextEntry(); entry != null; entry = zip.getNextEntry()) {
                tables.put(entry.getName().replace(".copy", ""), zip.readAllBytes());
            }
        }
        return tables;
    }

    private static List<String> list(String sql) throws SQLException {
        String joined = OpenStore.ask(
                store,
                "select string_agg(x.v, e'\\n') from (" + sql.replaceFirst("select (.*?) from", "select $1 as v from")
                        + ") x");
        return joined == null ? List.of() : List.of(joined.split("\n"));
    }
}
