package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.Statement;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.verified.RecordCheck;

/**
 * Whoever owns the database switches the guards off and changes what is stored. Each change must be found and named, in one
 * sentence, by comparing what is stored with the journal.
 */
final class TamperingDbTest {
    private static final String DAY = "2026-11-25";
    private static final Pattern TABLE = Pattern.compile("(?:update|delete from|insert into) (\\w+\\.\\w+)");
    private static final Path FOLDER = OpenStore.folder("tampered");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    /**
     * One way to tamper.
     *
     * @param says part of the one sentence that must come
     */
    private record Tampering(String what, String says, String... sql) {
        @Override
        public String toString() {
            return what;
        }
    }

    @BeforeAll
    static void aLaboratory() throws Exception {
        store = OpenStore.open(FOLDER);
        store.people().add(new Person("M. Whelan", PersonRole.IN_CHARGE, "argon2 of one"), "Tenmesh");
        store.people().add(new Person("T. Byrne", PersonRole.BENCH, "argon2 of another"), "M. Whelan");
        Day day = InventedDay.of(60);
        store.take(day, OpenStore.freshDigest(), "M. Whelan");
        store.act(
                DAY,
                new Grounds("P1.drift.1", "", "", "", 0),
                Action.ORDER_REDO,
                "",
                "T. Byrne",
                Instant.parse("2026-11-25T14:00:00.123456Z"));
        store.act(
                DAY,
                new Grounds("P1.drift.1", "", "", "", 0),
                Action.ACCEPT,
                "the client was asked",
                "M. Whelan",
                Instant.parse("2026-11-25T15:00:00Z"));
        store.act(
                DAY,
                new Grounds("blank-high@P1#0123456789", "ab".repeat(32), "P1", "Zn 0.4 mg/kg in the blank.", 12),
                Action.SHUT_GATE,
                "new extractant",
                "M. Whelan",
                Instant.parse("2026-11-25T15:30:00Z"));
        store.release(DAY, release(1, "first release"));
        store.release(
                DAY,
                List.of(new SignedReport(
                        release(2, "redo of potassium"), new byte[] {1, 2, 3}, ReportForm.defaults())));
        store.people().add(new Person("L. Reed", PersonRole.AUDITOR, "argon2 of a third"), "M. Whelan");
        store.people().rename("L. Reed", "L. Sallow", "M. Whelan");
        store.note("M. Whelan", "report-printed", DAY + "/S1/2", Map.of("pages", "3"));
        store.note("M. Whelan", "report-printed", DAY + "/S1/2", Map.of("pages", "4"));
        OpenStore.run(store, "create schema before");
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    static Stream<Tampering> tamperings() {
        String second = numbers(1);
        String third = numbers(2);
        String unreleased = numbers(40);
        String other = numbers(41);
        String run = "day 2026-11-25: run P1 is not as it was taken: ";
        String release = "day 2026-11-25: release 2 of submission S1";
        String ofRelease = " where release = (select max(id) from release.release)";
        return Stream.of(
                new Tampering(
                        "a reading of a released soil",
                        run + "the readings of " + second + " differ",
                        "update reading.reading set value = value * 1.1 where identity = '" + second
                                + "' and quantity = 'K 766.490'"),
                new Tampering(
                        "two released soils exchanged",
                        run + "the readings of " + second + ", " + third + " differ",
                        exchange(second, third)),
                new Tampering(
                        "all readings of a soil deleted",
                        run + "it has 1245 readings, 1265 were stored; those of " + second + " are gone",
                        "delete from reading.reading where identity = '" + second + "'"),
                new Tampering(
                        "a reading of a soil not yet released",
                        run + "the readings of " + unreleased + " differ",
                        "update reading.reading set value = value * 1.1 where identity = '" + unreleased
                                + "' and quantity = 'K 766.490'"),
                new Tampering(
                        "two soils not yet released exchanged",
                        run + "the readings of " + unreleased + ", " + other + " differ",
                        exchange(unreleased, other)),
                new Tampering(
                        "a whole run deleted",
                        "day 2026-11-25: run P1 is gone",
                        "delete from reading.reading",
                        "delete from reading.run"),
                new Tampering(
                        "the operator of a run",
                        "day 2026-11-25: run P1 is not as it was taken",
                        "update reading.run set operator = 'another'"),
                new Tampering(
                        "the digest of a run",
                        "day 2026-11-25: run P1: the digest or number of readings that is stored with it is not the journal's",
                        "update reading.run set sha256 = repeat('a', 64)"),
                new Tampering(
                        "who took the day in", " is by T. Byrne on ", "update intake.source set actor = 'T. Byrne'"),
                new Tampering(
                        "a run put in",
                        "day 2026-11-25: run P9 is not in the journal",
                        "insert into reading.run select nextval('reading.run_id'), day, source, 'P9', method, instrument,"
                                + " operator, started_at, started_offset, 0, sha256 from reading.run"),
                new Tampering(
                        "a standard's value",
                        "standard STD-1, mehlich3-icp, P was changed",
                        "update calibration.standard set value = 55 where standard = 'STD-1'"),
                new Tampering(
                        "a released value",
                        release + ": the result " + second + ", ph-water-1-1, pH was changed",
                        "update release.result set value = 7" + ofRelease + " and ord = 0"),
                new Tampering(
                        "the text that the report prints",
                        release + ": the result " + second + ", ph-water-1-1, pH was changed",
                        "update release.result set reported = '7.1'" + ofRelease + " and ord = 0"),
                new Tampering(
                        "an uncertainty",
                        release + ": the result " + second + ", ph-water-1-1, pH was changed",
                        "update release.result set uncertainty = '0.01'" + ofRelease + " and ord = 0"),
                new Tampering(
                        "a unit",
                        release + ": the result " + numbers(0) + ", mehlich3-icp, K was changed",
                        "update release.result set unit = 'g/kg'" + ofRelease + " and ord = 1"),
                new Tampering(
                        "a released row deleted",
                        release + ": the result " + second + ", ph-water-1-1, pH is gone",
                        "delete from release.result" + ofRelease + " and ord = 0"),
                new Tampering(
                        "a released row put in",
                        release + ": the result " + second + ", ph-water-1-1, EC was put in",
                        "insert into release.result select release, 9, lab_number, method, method_version, 'EC', value, unit,"
                                + " reported, uncertainty, held_because from release.result" + ofRelease
                                + " and ord = 0"),
                new Tampering(
                        "a value nulled and another text",
                        release + ": the result " + second + ", ph-water-1-1, pH was changed",
                        "update release.result set value = null, reported = '< 1'" + ofRelease + " and ord = 0"),
                new Tampering(
                        "why a result was held",
                        release + ": the result " + numbers(0) + ", mehlich3-icp, K was changed",
                        "update release.result set held_because = ''" + ofRelease + " and ord = 1"),
                new Tampering(
                        "who signed",
                        release + " is signed by T. Byrne, the journal says M. Whelan",
                        "update release.release set signed_by = 'T. Byrne' where revision = 2"),
                new Tampering(
                        "who did the work behind a release",
                        release
                                + " says of its approval \"nobody did\", the journal says \"Signed by somebody who did none of"
                                + " the work; it was done by T. Byrne.\"",
                        "update release.release set approval = 'nobody did' where revision = 2"),
                new Tampering(
                        "that a second person was not asked for",
                        "decision on the second person 1: false, x, by M. Whelan ",
                        "insert into release.second_person values (1, false, 'x', 'M. Whelan', '2026-11-25T08:00:00Z')"),
                new Tampering(
                        "the reason of a revision",
                        release + " gives the reason \"nothing\", the journal says \"redo of potassium\"",
                        "update release.release set reason = 'nothing' where revision = 2"),
                new Tampering(
                        "the time of signing",
                        release + " is dated 2026-11-24T17:05:00.500002+01:00, the journal says"
                                + " 2026-11-25T17:05:00.500002+01:00",
                        "update release.release set signed_at = signed_at - interval '1 day' where revision = 2"),
                new Tampering(
                        "a microsecond of the time of signing",
                        release + " is dated 2026-11-25T17:05:00.500003+01:00",
                        "update release.release set signed_at = signed_at + interval '1 microsecond' where revision = 2"),
                new Tampering(
                        "a whole release deleted",
                        "release 2026-11-25/S1/2 (day/submission/revision), signed by M. Whelan on"
                                + " 2026-11-25T16:05:00.500Z, is gone",
                        "delete from release.report",
                        "delete from release.result" + ofRelease,
                        "delete from release.release where revision = 2"),
                new Tampering(
                        "the bytes of a report",
                        "the report of release 2026-11-25/S1/2 (day/submission/revision) is not the file that was made",
                        "update release.report set pdf = '\\x010204'"),
                new Tampering(
                        "the bytes of a report with their digest",
                        "the report of release 2026-11-25/S1/2 (day/submission/revision) is not the file that was made",
                        "update release.report set pdf = '\\x010204', sha256 = encode(sha256('\\x010204'), 'hex')"),
                new Tampering(
                        "a report deleted",
                        "the report of release 2026-11-25/S1/2 (day/submission/revision) is gone",
                        "delete from release.report"),
                new Tampering(
                        "a report put in",
                        "the report of release 2026-11-25/S1/1 (day/submission/revision) is not in the journal",
                        "insert into release.report select (select min(id) from release.release), made_at, made_later,"
                                + " paper, layout, sha256, pdf from release.report"),
                new Tampering(
                        "a release put in",
                        "day 2026-11-25: release 1 of submission S2 is not in the journal",
                        "insert into release.release (day, submission, submission_id, revision, signed_by, signed_at,"
                                + " signed_offset, reason, held) select day, 'S2', (select id from intake.submission where"
                                + " submission = 'S2'), 1, signed_by, signed_at, signed_offset, reason, 0 from"
                                + " release.release where revision = 1"),
                new Tampering(
                        "an action on a cause deleted",
                        "action on cause 2026-11-25/P1.drift.1: the journal (entry 4) says \"order-redo\" by T. Byrne on"
                                + " 2026-11-25T14:00:00.123Z, it is gone",
                        "delete from causes.action where action = 'order-redo'"),
                new Tampering(
                        "an action on a cause reworded",
                        "says \"accept\" by M. Whelan on 2026-11-25T15:00:00Z because \"the client was asked\", stored is"
                                + " \"accept\" by M. Whelan on 2026-11-25T15:00:00Z because \"the client insisted\"",
                        "update causes.action set reason = 'the client insisted' where action = 'accept'"),
                new Tampering(
                        "what an action on a cause was decided on",
                        "decided on 12 lab numbers of run P1 and evidence " + "cd".repeat(32),
                        "update causes.action set evidence_digest = repeat('cd', 32) where action = 'shut-gate'"),
                new Tampering(
                        "an action on a cause put in",
                        "action on cause 2026-11-25/P1.drift.2: \"accept\" by T. Byrne on 2026-11-25T15:00:00Z because"
                                + " \"fine\" is not in the journal",
                        "insert into causes.action (day, cause, action, reason, actor, at) select id, 'P1.drift.2',"
                                + " 'accept', 'fine', 'T. Byrne', '2026-11-25T15:00:00Z' from intake.day"),
                new Tampering(
                        "an answer to a cause put in",
                        "answer to cause 2026-11-25/P1.drift.2: confirmed, 3 of 4 changed, 2.5, drift, made up, 2026-11-25"
                                + " 15:00:00.000: it is not in the journal, so it was put in outside the program",
                        "insert into causes.answer (day, cause, kind, said, log10_ratio, compared, changed, sentence, at)"
                                + " select id, 'P1.drift.2', 'drift', 'confirmed', 2.5, 4, 3, 'made up',"
                                + " '2026-11-25T15:00:00Z' from intake.day"),
                new Tampering(
                        "a run order put in",
                        "it is not in the journal, so it was put in outside the program",
                        "insert into reading.run_order (name, method, instrument, made_at, made_offset, actor, sha256)"
                                + " values ('ICP-A-9', 'mehlich3-icp', 'ICP-A', '2026-11-25T15:00:00Z', 0, 'Mallory',"
                                + " repeat('ab', 32))"),
                new Tampering(
                        "a person inserted",
                        "person Mallory is not in the journal: added outside the program",
                        "insert into people.person values ('Mallory', 'in-charge', 'a hash', true)"),
                new Tampering(
                        "a person deleted",
                        "person T. Byrne is gone",
                        "delete from people.person where name = 'T. Byrne'"),
                new Tampering(
                        "a name",
                        "person L. Sallow is gone",
                        "update people.person set name = 'L. Reed Sallow' where name = 'L. Sallow'"),
                new Tampering(
                        "a former name deleted",
                        "the journal says that L. Sallow was called L. Reed before, which is gone",
                        "delete from people.former_name"),
                new Tampering(
                        "a former name of somebody else",
                        "that T. Byrne was called E. Rush before is not in the journal",
                        "insert into people.former_name select 'E. Rush', id, now() from people.person where name = 'T. Byrne'"),
                new Tampering(
                        "a role",
                        "person T. Byrne is in-charge, the journal says bench",
                        "update people.person set role = 'in-charge' where name = 'T. Byrne'"),
                new Tampering(
                        "a password hash",
                        "person T. Byrne: the password was changed outside the program",
                        "update people.person set password_hash = 'argon2 of mine' where name = 'T. Byrne'"),
                new Tampering(
                        "the key of a control deleted",
                        "day 2026-11-25: the key of the hidden controls is not the one that was sealed",
                        "delete from sealed.control where lab_number = '" + numbers(17) + "'"),
                new Tampering(
                        "the salt of the key",
                        "day 2026-11-25: the key of the hidden controls is not the one that was sealed",
                        "delete from sealed.salt"),
                new Tampering(
                        "the standard deviations of the materials",
                        "control material LOAM-A, ph-water-1-1, pH was changed",
                        "update calibration.material set sd = sd * 10 where material = 'LOAM-A'"),
                new Tampering(
                        "the client's labels of two soils exchanged",
                        "soil " + second + " was changed",
                        "update intake.soil set client_label = case client_label when 'field 1' then 'field 2' else 'field 1'"
                                + " end where client_label in ('field 1', 'field 2')"),
                new Tampering(
                        "a client",
                        "submission S2 was changed",
                        "update intake.submission set client = 'another' where submission = 'S2'"),
                new Tampering(
                        "what a package asks for",
                        "package acidity was changed",
                        "update intake.asked set analytes = '{pH}' where package = 'acidity'"),
                new Tampering(
                        "a limit of the policy",
                        "laboratory and policy in import ",
                        "update intake.source set policy = policy || '{\"retentionDays\":\"1\"}'"),
                new Tampering(
                        "the form of reports",
                        "laboratory and policy in import ",
                        "update intake.source set report_forms = report_forms || '{\"\":\"a4 table\"}'"),
                new Tampering(
                        "two wells of a tray exchanged",
                        "tray T1 was changed",
                        "update layout.place set lab_number = case well when 0 then '" + second + "' else '"
                                + numbers(0)
                                + "' end where tray = (select id from layout.tray where tray = 'T1') and well in (0, 1)"),
                new Tampering(
                        "a shortage deleted",
                        "shortage of soil " + third + ", ph-water-1-1 is gone",
                        "delete from intake.shortage where lab_number = '" + third + "'"),
                new Tampering(
                        "a soil put in",
                        "soil 26329-9999-X is not in the journal: it was put in outside the program",
                        "insert into intake.soil (id, register, lab_number, matter, day) select nextval('intake.soil_id'),"
                                + " 'own', '26329-9999-X', 'soil', id from intake.day"),
                new Tampering(
                        "a soil taken off the list of its day",
                        "lab number " + second + " is missing on the list of day 2026-11-25, for which it came",
                        "delete from intake.day_soil where soil = (select id from intake.soil where lab_number = '"
                                + second + "')"),
                new Tampering(
                        "a soil put under another submission",
                        "lab number " + second + " stands under submission S2, it came in S1",
                        "update intake.came_in set submission = (select id from intake.submission where submission = 'S2')"
                                + " where soil = (select id from intake.soil where lab_number = '" + second + "')"),
                new Tampering(
                        "what a run is found by",
                        "day 2026-11-25: run P1 is not found by all it read, or by what it did not read: " + second,
                        "delete from reading.identity where identity = '" + second + "'"),
                new Tampering(
                        "a release put under another submission",
                        release + " was put under another submission",
                        "update release.release set submission_id = (select id from intake.submission where submission ="
                                + " 'S2') where revision = 2"),
                new Tampering(
                        "a day's date",
                        "day 2026-11-25 is the day 2026-11-24 by its register and date",
                        "update intake.day set on_date = '2026-11-24'"),
                new Tampering(
                        "a day's name",
                        "day 2026-11-25, taken by M. Whelan on ",
                        "update intake.day set name = '2026-11-26'"),
                new Tampering(
                        "the list of digests together with the soil",
                        "the digests of its soils that journal entry 3 vouches for are gone or were changed",
                        "update journal.contents set lines = replace(lines, '" + second + "', '26329-9999-X')"));
    }

    @ParameterizedTest
    @MethodSource("tamperings")
    void findsAndNames(Tampering tampering) throws Exception {
        RecordCheck check = whileTampered(tampering.sql(), () -> store.compareWithJournal(says -> {}));

        assertThat(check.differences())
                .as("found")
                .anySatisfy(sentence ->
                        assertThat(sentence).contains(tampering.says()).doesNotContain("\n"));
        assertThat(check.unreadable()).isEmpty();
    }

    static Stream<Tampering> ofTheJournal() {
        return Stream.of(
                new Tampering(
                        "who did it",
                        "entry 3 was changed after it was written",
                        "update journal.entry set actor = 'nobody' where seq = 3"),
                new Tampering(
                        "what was done",
                        "entry 5 was changed after it was written",
                        "update journal.entry set detail = replace(detail, 'asked', 'told') where seq = 5"),
                new Tampering(
                        "an entry in the middle",
                        "entry 4 is gone, entry 5 follows",
                        "delete from journal.entry where seq = 4"),
                new Tampering(
                        "the last entries, the head left",
                        "the journal ends with entry 7, entry 12 had been written",
                        "delete from journal.entry where seq > 7"));
    }

    @ParameterizedTest
    @MethodSource("ofTheJournal")
    void findsWhereTheJournalIsBroken(Tampering tampering) throws Exception {
        JournalCheck check = whileTampered(tampering.sql(), () -> store.verifyJournal());

        assertThat(check.whole()).isFalse();
        assertThat(check.finding()).isEqualTo(tampering.says());
    }

    /** Nothing inside the database can tell; a head that was kept elsewhere can. */
    @Test
    void findsTheLastEntriesCutOffAndTheHeadSetBackOnlyByAHeadKeptElsewhere() throws Exception {
        String kept = store.verifyJournal().head();
        String[] cut = {
            "delete from journal.entry where seq = (select max(seq) from journal.entry)",
            "update journal.head set (seq, sha256) = (select seq, sha256 from journal.entry order by seq desc limit 1)"
        };

        assertThat(store.journalHolds(kept)).isTrue();
        assertThat(whileTampered(cut, () -> store.verifyJournal()).whole()).isTrue();
        assertThat(whileTampered(cut, () -> store.compareWithJournal(says -> {}))
                        .differences())
                .isEmpty();
        assertThat(whileTampered(cut, () -> store.journalHolds(kept))).isFalse();
        assertThat(store.journalHolds("a".repeat(64))).isFalse();
    }

    @Test
    void findsNothingWhereNothingWasChanged() {
        List<String> said = new ArrayList<>();
        RecordCheck check = store.compareWithJournal(said::add);

        assertThat(check.differences()).isEmpty();
        assertThat(check.notCovered()).isEmpty();
        assertThat(check.unreadable()).isEmpty();
        assertThat(check.compared()).isGreaterThan(60 + 3 + 6 + 2 + 2 + 2 + 4);
        assertThat(said).contains("Comparing day 2026-11-25 with the journal (1 of 1)");
    }

    /** The journal as version 0.1 wrote it: without digests of what was taken in, but with those of runs and results. */
    @Test
    void saysWhatAnEarlierVersionKeptNoDigestsOf() throws Exception {
        List<String> asBefore = journalOfVersion01();
        RecordCheck check = whileTampered(asBefore.toArray(String[]::new), () -> {
            assertThat(store.verifyJournal().whole()).isTrue();
            return store.compareWithJournal(says -> {});
        });

        assertThat(check.differences()).isEmpty();
        assertThat(check.notCovered()).hasSize(4);
        assertThat(check.notCovered().get(0))
                .startsWith("day 2026-11-25: what was taken on ")
                .contains("was taken before digests of it were kept", "standards", "its runs are");
        assertThat(check.notCovered().get(2)).contains("person M. Whelan: the password was set before");

        for (Tampering still : List.of(
                new Tampering("", "run P1 is not as it was taken", exchange(numbers(1), numbers(2))),
                new Tampering(
                        "",
                        "release 2 of submission S1: its results are not those that were signed",
                        "update release.result set reported = '7.1' where release = (select max(id) from release.release)"),
                new Tampering(
                        "",
                        "day 2026-11-25 has 59 soils, the journal says that 60 were taken",
                        "delete from intake.soil where lab_number = '" + numbers(3) + "'"))) {
            List<String> both = new ArrayList<>(asBefore);
            both.addAll(List.of(still.sql()));
            assertThat(whileTampered(both.toArray(String[]::new), () -> store.compareWithJournal(says -> {}))
                            .differences())
                    .anySatisfy(sentence -> assertThat(sentence).contains(still.says()));
        }
    }

    private static List<String> journalOfVersion01() throws Exception {
        List<String> sql = new ArrayList<>();
        String previous = Journal.START;
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery("""
                        select *, (case when detail::jsonb -> 'runs' is null then detail::jsonb
                                        else jsonb_set(detail::jsonb, '{runs,0}', (detail::jsonb #> '{runs,0}') - 2) end
                                   - 'contents' - 'contents-version' - 'controls-sha256' - 'signed-at'
                                   - 'password-sha256' - 'approval')::text as before
                        from journal.entry order by seq""")) {
            while (rows.next()) {
                JournalEntry entry = new JournalEntry(
                        rows.getLong("seq"),
                        rows.getObject("at", OffsetDateTime.class).toInstant(),
                        rows.getString("actor"),
                        rows.getString("what"),
                        rows.getString("subject"),
                        rows.getString("before"),
                        previous,
                        "");
                String sha256 = Journal.chain(previous, entry.canonical());
                sql.add("update journal.entry set detail = '" + entry.detail().replace("'", "''")
                        + "', previous_sha256 = '" + previous + "', sha256 = '" + sha256 + "' where seq = "
                        + entry.seq());
                previous = sha256;
            }
        }
        sql.add("update release.release set approval = ''");
        sql.add("update journal.head set sha256 = '" + previous + "'");
        return sql;
    }

    private interface Looking<T> {
        T look() throws Exception;
    }

    private static <T> T whileTampered(String[] tampering, Looking<T> looking) throws Exception {
        Set<String> tables = new LinkedHashSet<>();
        for (String sql : tampering) {
            TABLE.matcher(sql)
                    .results()
                    .map((MatchResult found) -> found.group(1))
                    .forEach(tables::add);
        }
        List<String> change = new ArrayList<>(List.of("set session_replication_role = replica"));
        tables.forEach(table -> change.add("create table " + kept(table) + " as table " + table));
        change.addAll(List.of(tampering));
        List<String> putBack = new ArrayList<>(List.of("set session_replication_role = replica"));
        tables.forEach(table -> {
            putBack.add("delete from " + table);
            putBack.add("insert into " + table + " overriding system value table " + kept(table));
            putBack.add("drop table " + kept(table));
        });
        try {
            OpenStore.run(store, change.toArray(String[]::new));
            return looking.look();
        } finally {
            OpenStore.run(store, putBack.toArray(String[]::new));
        }
    }

    private static String kept(String table) {
        return "before." + table.replace('.', '_');
    }

    private static String exchange(String one, String two) {
        return "update reading.reading set identity = case identity when '" + one + "' then '" + two + "' else '" + one
                + "' end where identity in ('" + one + "', '" + two + "')";
    }

    private static String numbers(int i) {
        return InventedDay.of(60).soils().get(i).labNumber().text();
    }

    private static Release release(int revision, String reason) {
        return new Release(
                "S1",
                revision,
                "M. Whelan",
                OffsetDateTime.parse("2026-11-25T17:05:00.500002+01:00"),
                reason,
                List.of(
                        new ReleasedResult(
                                new LabNumber(numbers(1)),
                                "ph-water-1-1",
                                "2026-01-01",
                                "pH",
                                OptionalDouble.of(6.123456789),
                                "[pH]",
                                "6.1",
                                "0.1",
                                ""),
                        new ReleasedResult(
                                new LabNumber(numbers(0)),
                                "mehlich3-icp",
                                "2026-01-01",
                                "K",
                                OptionalDouble.empty(),
                                "mg/kg",
                                "",
                                "",
                                "drift along the run")));
    }
}
