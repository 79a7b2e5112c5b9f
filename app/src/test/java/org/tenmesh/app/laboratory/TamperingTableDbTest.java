package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.EmbeddedServer;

/**
 * The 31 ways to tamper that were tried on version 0.1 as the owner of the database, of which it found 9: each one, whether the guard of the
 * table refuses it, and the exit status of {@code verify} once the guards are switched off, without and with an anchor kept elsewhere. The table in
 * docs/validation/integrity.md has the same rows.
 */
final class TamperingTableDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final String IN_CHARGE = "M. Whelan";
    private static final Pattern TABLE = Pattern.compile("(?:update|delete from|insert into) (\\w+\\.\\w+)");
    private static final MethodBook METHODS = MethodFiles.shipped();

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    private static String day = "";
    private static List<String> released = List.of();
    private static List<String> open = List.of();
    private static List<Anchor> anchors = List.of();

    /** What is refused before anything is changed, as long as nobody switches it off. */
    private enum Guard {
        REFUSES,
        NONE
    }

    /**
     * @param says part of a sentence of verify; empty where only an anchor finds it
     */
    private record Row(int number, String what, Guard guard, String says, List<String> sql) {
        boolean onlyByAnchor() {
            return says.isEmpty();
        }

        @Override
        public String toString() {
            return number + " " + what;
        }
    }

    @BeforeAll
    static void aLaboratory() {
        store = EmptyStore.open(folder());
        store.people().add(new Person(IN_CHARGE, PersonRole.IN_CHARGE, "argon2"), "console");
        store.people().add(new Person("T. Byrne", PersonRole.BENCH, "argon2 of another"), IN_CHARGE);
        Day simulated = Simulator.simulate(Scenario.of(41, 60, DATE)).day();
        Day taken = new Day(
                simulated.laboratory(),
                simulated.submissions(),
                simulated.soils(),
                simulated.trays(),
                simulated.controls(),
                simulated.materials(),
                simulated.standards(),
                simulated.runs(),
                List.of(new TestPackage(
                        "acidity", "Acidity", List.of(new TestPackage.Asked("ph-water-1-1", List.of("pH"))))),
                List.of());
        day = store.take(taken, DATE, "0".repeat(64), IN_CHARGE).day();
        Day kept = store.quality().dayWithControls(day).orElseThrow();
        String submission = kept.submissions().get(0).submission();
        released = kept.soils().stream()
                .filter(soil -> soil.submission().equals(Optional.of(submission)))
                .map(soil -> soil.labNumber().text())
                .toList();
        open = kept.soils().stream()
                .filter(soil ->
                        soil.submission().isPresent() && !soil.submission().equals(Optional.of(submission)))
                .map(soil -> soil.labNumber().text())
                .toList();
        Grounds grounds = new Grounds("drift@P1#0123456789", "ab".repeat(32), "P1", "K drifts by 4 %.", 12);
        store.act(day, grounds, Action.ORDER_REDO, "", IN_CHARGE, Instant.parse("2026-11-25T14:00:00Z"));
        store.act(
                day, grounds, Action.ACCEPT, "the client was asked", IN_CHARGE, Instant.parse("2026-11-25T15:00:00Z"));
        store.release(day, FirstRelease.of(store, day, submission, METHODS, IN_CHARGE));
        // The last entry vouches for no row: whoever cuts off one that does is found by the row that is left.
        store.note(IN_CHARGE, "report-printed", day + "/" + submission + "/1", Map.of("pages", "3"));
        anchors = List.of(store.anchor());
    }

    @AfterAll
    static void close() {
        store.close();
    }

    private static Path folder() {
        return temp.resolve("laboratory/database");
    }

    private static Row row(int number, String what, Guard guard, String says, String... sql) {
        return new Row(number, what, guard, says, List.of(sql));
    }

    private static String exchange(String one, String two) {
        return "update reading.reading set identity = case identity when '" + one + "' then '" + two + "' else '" + one
                + "' end where identity in ('" + one + "', '" + two + "')";
    }

    private static String oneReading(String soil) {
        return "update reading.reading set value = value * 1.1 where ctid = (select min(ctid) from reading.reading where identity = '"
                + soil + "')";
    }

    private static String oneResult(String set) {
        return "update release.result set " + set
                + " where ord = (select min(ord) from release.result where reported <> '' and value is not null)";
    }

    static Stream<Row> rows() {
        String signed = released.get(0);
        String another = released.get(1);
        String last = "journal.entry where seq = (select max(seq) from journal.entry)";
        return Stream.of(
                row(
                        1,
                        "a reading of a released soil",
                        Guard.REFUSES,
                        "the readings of " + signed + " differ",
                        oneReading(signed)),
                row(2, "two released soils exchanged", Guard.REFUSES, another + " differ", exchange(signed, another)),
                row(
                        3,
                        "all readings of a soil deleted",
                        Guard.REFUSES,
                        "those of " + signed + " are gone",
                        "delete from reading.reading where identity = '" + signed + "'"),
                row(
                        4,
                        "a released value",
                        Guard.REFUSES,
                        "was changed after it was signed",
                        oneResult("value = value + 1")),
                row(
                        5,
                        "the value of a standard",
                        Guard.REFUSES,
                        "was changed after it was taken",
                        "update calibration.standard set value = value * 1.1 where ctid = (select min(ctid) from calibration.standard)"),
                row(
                        6,
                        "who did it, in the journal",
                        Guard.REFUSES,
                        "entry 3 was changed after it was written",
                        "update journal.entry set actor = 'nobody' where seq = 3"),
                row(
                        7,
                        "what was done, in the journal",
                        Guard.REFUSES,
                        "was changed after it was written",
                        "update journal.entry set detail = replace(detail, 'asked', 'told') where detail like '%was asked%'"),
                row(
                        8,
                        "an entry in the middle of the journal",
                        Guard.REFUSES,
                        "entry 3 is gone, entry 4 follows",
                        "delete from journal.entry where seq = 3"),
                row(
                        9,
                        "the last entries of the journal, its head left",
                        Guard.REFUSES,
                        "the journal ends with entry",
                        "delete from " + last),
                row(
                        10,
                        "a reading of a soil not released",
                        Guard.REFUSES,
                        "the readings of " + open.get(0) + " differ",
                        oneReading(open.get(0))),
                row(
                        11,
                        "two soils not released exchanged",
                        Guard.REFUSES,
                        " differ",
                        exchange(open.get(0), open.get(1))),
                row(
                        12,
                        "a whole run deleted",
                        Guard.REFUSES,
                        " is gone",
                        "delete from reading.reading where run = (select min(id) from reading.run)",
                        "delete from reading.run where id = (select min(id) from reading.run)"),
                row(
                        13,
                        "the text that the report prints",
                        Guard.REFUSES,
                        "was changed after it was signed",
                        oneResult("reported = reported || '1'")),
                row(
                        14,
                        "an uncertainty",
                        Guard.REFUSES,
                        "was changed after it was signed",
                        oneResult("uncertainty = '0.001'")),
                row(15, "a unit", Guard.REFUSES, "was changed after it was signed", oneResult("unit = 'g/kg'")),
                row(
                        16,
                        "a released result deleted",
                        Guard.REFUSES,
                        " is gone",
                        "delete from release.result where ord = (select min(ord) from release.result where reported <> '')"),
                row(
                        17,
                        "a released value taken away and another text",
                        Guard.REFUSES,
                        "was changed after it was signed",
                        oneResult("value = null, reported = '< 1'")),
                row(
                        18,
                        "who signed",
                        Guard.REFUSES,
                        "is signed by T. Byrne, the journal says M. Whelan",
                        "update release.release set signed_by = 'T. Byrne'"),
                row(
                        19,
                        "reason and date of a release",
                        Guard.REFUSES,
                        "gives the reason \"nothing\", the journal says \"first release\"",
                        "update release.release set reason = 'nothing', signed_at = signed_at - interval '1 day'"),
                row(
                        20,
                        "a whole release deleted",
                        Guard.REFUSES,
                        ", is gone",
                        "delete from release.result",
                        "delete from release.release"),
                row(
                        21,
                        "an action on a cause deleted",
                        Guard.REFUSES,
                        "it is gone",
                        "delete from causes.action where action = 'order-redo'"),
                row(
                        22,
                        "an action on a cause reworded",
                        Guard.REFUSES,
                        "because \"the client insisted\"",
                        "update causes.action set reason = 'the client insisted' where action = 'accept'"),
                row(
                        23,
                        "a person put in",
                        Guard.NONE,
                        "person Mallory is not in the journal",
                        "insert into people.person (name, role, password_hash, active) values ('Mallory', 'in-charge', 'a hash', true)"),
                row(
                        24,
                        "the key of a hidden control deleted",
                        Guard.REFUSES,
                        "the key of the hidden controls is not the one that was sealed",
                        "delete from sealed.control where ctid = (select min(ctid) from sealed.control)"),
                row(
                        25,
                        "the standard deviations of control materials times 10",
                        Guard.REFUSES,
                        "was changed after it was taken",
                        "update calibration.material set sd = sd * 10"),
                row(
                        26,
                        "the client's labels of two soils exchanged",
                        Guard.REFUSES,
                        "soil " + signed + " was changed",
                        "update intake.soil set client_label = case lab_number when '" + signed
                                + "' then 'label of another' else 'label of the first' end" + " where lab_number in ('"
                                + signed + "', '" + another + "')"),
                row(
                        27,
                        "a client",
                        Guard.REFUSES,
                        "was changed after it was taken",
                        "update intake.submission set client = 'another' where id = (select min(id) from intake.submission)"),
                row(
                        28,
                        "what a package asks for",
                        Guard.REFUSES,
                        "package acidity was changed",
                        "update intake.asked set analytes = '{EC}'"),
                row(
                        29,
                        "a limit of the policy",
                        Guard.REFUSES,
                        "laboratory and policy in import",
                        "update intake.source set policy = policy || '{\"retentionDays\":\"1\"}'"),
                row(
                        30,
                        "a password",
                        Guard.NONE,
                        "person T. Byrne: the password was changed outside the program",
                        "update people.person set password_hash = 'argon2 of mine' where name = 'T. Byrne'"),
                row(
                        31,
                        "the last entries of the journal deleted and its head set back",
                        Guard.REFUSES,
                        "",
                        "delete from " + last,
                        "update journal.head set (seq, sha256) = (select seq, sha256 from journal.entry order by seq desc limit 1)"));
    }

    @ParameterizedTest
    @MethodSource("rows")
    void eachIsFoundByWhatTheTableSays(Row row) throws Exception {
        assertThat(refused(row)).isEqualTo(row.guard() == Guard.REFUSES);
        Set<String> tables = new LinkedHashSet<>();
        row.sql()
                .forEach(sql -> TABLE.matcher(sql)
                        .results()
                        .map((MatchResult found) -> found.group(1))
                        .forEach(tables::add));
        try (Connection owner = owner();
                Statement statement = owner.createStatement()) {
            statement.execute("set session_replication_role = replica");
            for (String table : tables) {
                statement.execute("create table public." + kept(table) + " as table " + table);
            }
            try {
                for (String sql : row.sql()) {
                    assertThat(statement.executeUpdate(sql)).as(sql).isPositive();
                }
                StringWriter said = new StringWriter();
                int alone = verify(List.of(), said);
                if (row.onlyByAnchor()) {
                    // Nothing inside the database can tell.
                    assertThat(alone).isEqualTo(Status.DONE);
                } else {
                    assertThat(said.toString()).contains(row.says());
                    assertThat(alone).isEqualTo(Status.HELD);
                }
                StringWriter withAnchor = new StringWriter();
                assertThat(verify(anchors, withAnchor)).isEqualTo(Status.HELD);
            } finally {
                for (String table : tables) {
                    statement.execute("delete from " + table);
                    statement.execute("insert into " + table + " overriding system value table public." + kept(table));
                    statement.execute("drop table public." + kept(table));
                }
            }
        }
    }

    @Test
    void nothingIsFoundWhereNothingWasChanged() throws Exception {
        StringWriter said = new StringWriter();
        assertThat(verify(anchors, said)).as(said.toString()).isEqualTo(Status.DONE);
        assertThat(rows().map(Row::number).toList())
                .isEqualTo(Stream.iterate(1, n -> n + 1).limit(31).toList());
    }

    /** What people read has the same rows with the same answers. */
    @Test
    void theTableInTheDocumentsIsThisOne() throws Exception {
        String page = Files.readString(Path.of("../docs/validation/integrity.md"));
        rows().forEach(row -> assertThat(page)
                .contains("| " + row.number() + " | " + row.what() + " | "
                        + (row.guard() == Guard.REFUSES ? "refused" : "no guard") + " | "
                        + (row.onlyByAnchor() ? "0, not found" : "1") + " | 1 |"));
    }

    private static String kept(String table) {
        return "kept_" + table.replace('.', '_');
    }

    /** Whether the owner is refused as long as the guards are on. */
    private static boolean refused(Row row) throws Exception {
        try (Connection owner = owner();
                Statement statement = owner.createStatement()) {
            owner.setAutoCommit(false);
            try {
                statement.execute(row.sql().get(0));
                return false;
            } catch (SQLException refused) {
                assertThat(refused.getMessage()).contains("never changed or deleted");
                return true;
            } finally {
                owner.rollback();
            }
        }
    }

    private static int verify(List<Anchor> kept, StringWriter said) throws Exception {
        PrintWriter out = new PrintWriter(said);
        int status = new Verifying(new Console(out, out, false)).verify(store, METHODS, Optional.empty(), kept, false);
        out.flush();
        return status;
    }

    private static Connection owner() throws Exception {
        return DriverManager.getConnection(
                EmbeddedServer.running(folder()).orElseThrow(),
                EmbeddedServer.OWNER,
                Files.readString(folder().resolve("secrets").resolve(EmbeddedServer.OWNER))
                        .strip());
    }
}
