package org.tenmesh.store.record;

import java.sql.SQLException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.RecordTables;
import org.tenmesh.store.days.StoredReadings;
import org.tenmesh.store.release.Releases;
import org.tenmesh.store.rows.Ids;

/**
 * Submissions, soils, trays, runs and releases by their own addresses, for as long as records are kept. Nothing here tells a hidden
 * control. May be used by several threads.
 */
public final class LaboratoryRecord {
    /**
     * The address of a submission.
     *
     * @param register who named it
     * @param submission what it is called; the same name may come again on another date
     * @param receivedOn the date it was received, by its own clock
     */
    public record SubmissionKey(String register, String submission, LocalDate receivedOn) {}

    /**
     * A submission and how far it is.
     *
     * @param labNumbers of its soils, in the order they were listed
     * @param days names of the laboratory days on whose lists it stands, the newest first
     * @param revision of its newest release; 0 before the first
     * @param held results that the newest release held back
     */
    public record KnownSubmission(
            SubmissionKey key,
            Submission submission,
            List<LabNumber> labNumbers,
            List<String> days,
            int revision,
            int held) {
        public KnownSubmission {
            labNumbers = List.copyOf(labNumbers);
            days = List.copyOf(days);
        }

        /** Whether nothing of it is left to release. */
        public boolean released() {
            return revision > 0 && held == 0;
        }
    }

    /** The address of a tray: the day it was laid out and its name. */
    public record TrayKey(String day, String tray) {}

    /** A run without its readings; day and name are its address. */
    public record KnownRun(String day, String run, String method, String instrument, OffsetDateTime startedAt) {}

    /**
     * A soil and where it is found.
     *
     * @param register who gave the lab number
     * @param submission the one it came in; empty for what belongs to none, or to one that is not known yet
     * @param days names of the laboratory days on whose lists it stands, the newest first
     * @param trays in which it was laid out, the newest first
     * @param runs that read it, the newest first
     */
    public record KnownSoil(
            String register,
            Soil soil,
            Optional<SubmissionKey> submission,
            List<String> days,
            List<TrayKey> trays,
            List<KnownRun> runs) {
        public KnownSoil {
            days = List.copyOf(days);
            trays = List.copyOf(trays);
            runs = List.copyOf(runs);
        }
    }

    private final Jdbi app;
    private final Releases releases;

    public LaboratoryRecord(Jdbi app, Releases releases) {
        this.app = app;
        this.releases = releases;
    }

    /** Which of these lab numbers are known in a register. */
    public Set<LabNumber> known(String register, Collection<LabNumber> labNumbers) {
        return app.withHandle(handle -> {
            Set<LabNumber> known = new HashSet<>();
            handle.createQuery(
                            "select lab_number from intake.soil where register = :register and lab_number = any(:numbers)")
                    .bind("register", register)
                    .bindArray(
                            "numbers",
                            String.class,
                            labNumbers.stream().map(LabNumber::text).toList())
                    .mapTo(String.class)
                    .forEach(number -> known.add(new LabNumber(number)));
            return known;
        });
    }

    /** Whether a control material has assigned values in a register. */
    public boolean knowsMaterial(String register, String material) {
        return app.withHandle(handle -> handle.createQuery("""
                        select exists (select from calibration.material m join intake.day d on d.id = m.day
                                       where d.register = :register and m.material = :material)
                        """)
                .bind("register", register)
                .bind("material", material)
                .mapTo(Boolean.class)
                .one());
    }

    /** Whether it is known in a register what a standard of a method holds. */
    public boolean knowsStandard(String register, String method, String standard) {
        return app.withHandle(handle -> handle.createQuery("""
                        select exists (select from calibration.standard s join intake.day d on d.id = s.day
                                       where d.register = :register and s.method = :method and s.standard = :standard)
                        """)
                .bind("register", register)
                .bind("method", method)
                .bind("standard", standard)
                .mapTo(Boolean.class)
                .one());
    }

    /** The soil that carries this lab number in a register. */
    public Optional<KnownSoil> soil(String register, LabNumber labNumber) {
        return soils(labNumber).stream()
                .filter(soil -> soil.register().equals(register))
                .findFirst();
    }

    /** The soils that carry this lab number, one in each register that has it; the one listed last first. */
    public List<KnownSoil> soils(LabNumber labNumber) {
        return reading(handle -> {
            List<Integer> ids = handle.createQuery(
                            "select id from intake.soil where lab_number = :number order by id desc")
                    .bind("number", labNumber.text())
                    .mapTo(Integer.class)
                    .list();
            List<KnownSoil> soils = new ArrayList<>();
            for (int id : ids) {
                soils.add(soil(handle, id));
            }
            return soils;
        });
    }

    private static KnownSoil soil(Handle handle, int id) throws SQLException {
        Soil soil = RecordTables.SOIL
                .values(handle.getConnection(), "where t.id = " + id)
                .get(0);
        String register = handle.createQuery("select register from intake.soil where id = :id")
                .bind("id", id)
                .mapTo(String.class)
                .one();
        Optional<SubmissionKey> submission = handle.createQuery("""
                        select b.register, b.submission, b.received_on
                        from intake.came_in c join intake.submission b on b.id = c.submission
                        where c.soil = :id
                        """)
                .bind("id", id)
                .map((row, context) -> new SubmissionKey(
                        row.getString("register"),
                        row.getString("submission"),
                        row.getObject("received_on", LocalDate.class)))
                .findOne();
        List<String> days =
                handle.createQuery("""
                        select d.name from intake.day_soil l join intake.day d on d.id = l.day
                        where l.soil = :id order by d.on_date desc
                        """).bind("id", id).mapTo(String.class).list();
        List<TrayKey> trays = handle.createQuery("""
                        select d.name, t.tray
                        from layout.place p
                        join layout.tray t on t.id = p.tray
                        join intake.day d on d.id = t.day
                        where p.lab_number = :number and d.register = :register
                        order by d.on_date desc, t.id desc
                        """)
                .bind("number", soil.labNumber().text())
                .bind("register", register)
                .map((row, context) -> new TrayKey(row.getString("name"), row.getString("tray")))
                .list();
        List<KnownRun> runs = handle.createQuery("""
                        select d.name, r.run, r.method, r.instrument, r.started_at, r.started_offset
                        from reading.identity i
                        join reading.run r on r.id = i.run
                        join intake.day d on d.id = r.day
                        where i.identity = :number and d.register = :register
                        order by r.started_at desc, r.id desc
                        """)
                .bind("number", soil.labNumber().text())
                .bind("register", register)
                .map((row, context) -> new KnownRun(
                        row.getString("name"),
                        row.getString("run"),
                        row.getString("method"),
                        row.getString("instrument"),
                        Days.at(
                                row.getObject("started_at", OffsetDateTime.class)
                                        .toInstant(),
                                row.getInt("started_offset"))))
                .list();
        return new KnownSoil(register, soil, submission, days, trays, runs);
    }

    /** A tray as it was laid out. */
    public Optional<Tray> tray(String day, String tray) {
        return reading(handle -> {
            Optional<Integer> id = Days.id(handle, day)
                    .flatMap(known -> handle.createQuery("select id from layout.tray where day = :day and tray = :tray")
                            .bind("day", known)
                            .bind("tray", tray)
                            .mapTo(Integer.class)
                            .findOne());
            return id.isEmpty()
                    ? Optional.<Tray>empty()
                    : Optional.of(new Tray(
                            tray,
                            RecordTables.PLACE.values(
                                    handle.getConnection(), "where t.tray = " + id.get() + " order by t.well")));
        });
    }

    /** A run with its readings. */
    public Optional<Run> run(String day, String run) {
        return reading(handle -> {
            Optional<Integer> id = Days.id(handle, day)
                    .flatMap(known -> handle.createQuery("select id from reading.run where day = :day and run = :run")
                            .bind("day", known)
                            .bind("run", run)
                            .mapTo(Integer.class)
                            .findOne());
            return id.isEmpty()
                    ? Optional.<Run>empty()
                    : StoredReadings.load(handle, "t.id = " + id.get()).stream().findFirst();
        });
    }

    /** The submissions of this name, whatever register and date: the one received last first. */
    public List<KnownSubmission> submissions(String name) {
        return submissions("where s.submission = :name order by s.received_on desc, s.id desc", Map.of("name", name));
    }

    public Optional<KnownSubmission> submission(SubmissionKey key) {
        return submissions(key.submission()).stream()
                .filter(submission -> submission.key().equals(key))
                .findFirst();
    }

    /** The submissions on the list of a day, in the order in which they came. */
    public List<KnownSubmission> submissionsOf(String day) {
        return submissions(
                "where s.id in (select l.submission from intake.day_submission l join intake.day d on d.id = l.day"
                        + " where d.name = :day) order by s.id",
                Map.of("day", day));
    }

    /** The soils of a submission, in the order of the client's sheet. */
    public List<Soil> soilsOf(SubmissionKey key) {
        return reading(handle -> {
            Optional<Integer> id = id(handle, key);
            return id.isEmpty()
                    ? List.<Soil>of()
                    : RecordTables.SOIL.values(
                            handle.getConnection(),
                            "where t.id in (select soil from intake.came_in where submission = " + id.get()
                                    + ") order by t.ordinal nulls last, t.id");
        });
    }

    private static Optional<Integer> id(Handle handle, SubmissionKey key) {
        return handle.createQuery("""
                        select id from intake.submission
                        where register = :register and submission = :submission and received_on = :date
                        """)
                .bind("register", key.register())
                .bind("submission", key.submission())
                .bind("date", key.receivedOn())
                .mapTo(Integer.class)
                .findOne();
    }

    /** Every release of a submission, the oldest first. */
    public List<Release> releases(SubmissionKey key) {
        Optional<Integer> id = app.withHandle(handle -> id(handle, key));
        return id.map(known -> releases.releases(known, key.submission())).orElse(List.of());
    }

    /** Submissions of which something is still to be released, whatever their day: the one promised first first. */
    public List<KnownSubmission> openWork() {
        // What is promised may have been said anew, so the order is that of what is said now.
        return submissions(
                        "where s.id in (select u.submission from release.unreleased u) order by s.received_at, s.id",
                        Map.of())
                .stream()
                .sorted(Comparator.comparing(
                        known -> known.submission().promisedOn().orElse(LocalDate.MAX)))
                .toList();
    }

    /** Names of the newest days with submissions of which something is still to be released, the newest first. */
    public List<String> openDays(int most) {
        return app.withHandle(handle ->
                handle.createQuery("""
                        select d.name from intake.day d
                        where d.id in (
                            select l.day from release.unreleased u join intake.day_submission l on l.submission = u.submission)
                        order by d.on_date desc, d.id desc limit :most
                        """).bind("most", most).mapTo(String.class).list());
    }

    /** Names of the other days on whose lists a soil of this day stands, the newest first: what was read there concerns it. */
    public List<String> daysSharing(String day) {
        return app.withHandle(handle -> handle.createQuery("""
                        select distinct o.name, o.on_date, o.id
                        from intake.day d
                        join intake.day_soil mine on mine.day = d.id
                        join intake.day_soil theirs on theirs.soil = mine.soil and theirs.day <> d.id
                        join intake.day o on o.id = theirs.day
                        where d.name = :day
                        order by o.on_date desc, o.id desc
                        """)
                .bind("day", day)
                .map((row, context) -> row.getString("name"))
                .list());
    }

    /** Name of the newest day on whose list a soil with this lab number stands as it was laid out. */
    public Optional<String> newestDayOfSoil(String labNumber) {
        return newestDay("join intake.soil s on s.day = d.id where s.lab_number = :name", labNumber);
    }

    /** Name of the newest day on which a tray of this name was laid out. */
    public Optional<String> newestDayOfTray(String tray) {
        return newestDay("join layout.tray t on t.day = d.id where t.tray = :name", tray);
    }

    /** Name of the newest day on which a run of this name started, one that is under way included. */
    public Optional<String> newestDayOfRun(String run) {
        return newestDay(
                "where exists (select from reading.run r where r.day = d.id and r.run = :name)"
                        + " or exists (select from reading.under_way u where u.day = d.id and u.run = :name)",
                run);
    }

    /** Name of the newest day with which a submission of this name came. */
    public Optional<String> newestDayOfSubmission(String submission) {
        return newestDay("join intake.submission s on s.day = d.id where s.submission = :name", submission);
    }

    /** Name of the newest day with which a submission of this name came that has been released. */
    public Optional<String> newestDayOfReport(String submission) {
        return newestDay(
                "join intake.submission s on s.day = d.id join release.release n on n.submission_id = s.id"
                        + " where s.submission = :name",
                submission);
    }

    private Optional<String> newestDay(String holding, String name) {
        return app.withHandle(handle -> handle.createQuery(
                        "select d.name from intake.day d " + holding + " order by d.on_date desc, d.id desc limit 1")
                .bind("name", name)
                .mapTo(String.class)
                .findOne());
    }

    private List<KnownSubmission> submissions(String which, Map<String, String> parameters) {
        record Row(int id, String register, LocalDate receivedOn, int revision, int held) {}
        return reading(handle -> {
            List<Row> rows = handle.createQuery("""
                            select s.id, s.register, s.received_on, coalesce(r.revision, 0) as revision, coalesce(r.held, 0) as held
                            from intake.submission s
                            left join lateral (
                                select n.revision, n.held from release.release n where n.submission_id = s.id
                                order by n.revision desc limit 1) r on true
                            """ + which)
                    .bindMap(parameters)
                    .map((row, context) -> new Row(
                            row.getInt("id"),
                            row.getString("register"),
                            row.getObject("received_on", LocalDate.class),
                            row.getInt("revision"),
                            row.getInt("held")))
                    .list();
            List<Integer> ids = rows.stream().map(Row::id).toList();
            Map<Integer, Submission> submissions = new HashMap<>();
            RecordTables.SUBMISSION_NOW.values(
                    handle.getConnection(),
                    "t.id,",
                    "where t.id " + Ids.in(ids),
                    row -> submissions.put(
                            row.integer(), RecordTables.SUBMISSION.read().of(row)));
            Map<Integer, List<String>> labNumbers = texts(handle, ids, """
                    select c.submission, s.lab_number from intake.came_in c join intake.soil s on s.id = c.soil
                    where c.submission = any(:ids) order by s.id
                    """);
            Map<Integer, List<String>> days = texts(handle, ids, """
                    select l.submission, d.name from intake.day_submission l join intake.day d on d.id = l.day
                    where l.submission = any(:ids) order by d.on_date desc
                    """);
            List<KnownSubmission> known = new ArrayList<>();
            for (Row row : rows) {
                Submission submission = submissions.get(row.id());
                if (submission != null) {
                    known.add(new KnownSubmission(
                            new SubmissionKey(row.register(), submission.submission(), row.receivedOn()),
                            submission,
                            labNumbers.getOrDefault(row.id(), List.of()).stream()
                                    .map(LabNumber::new)
                                    .toList(),
                            days.getOrDefault(row.id(), List.of()),
                            row.revision(),
                            row.held()));
                }
            }
            return known;
        });
    }

    private static Map<Integer, List<String>> texts(Handle handle, List<Integer> ids, String query) {
        Map<Integer, List<String>> texts = new HashMap<>();
        handle.createQuery(query)
                .bindArray("ids", Integer.class, ids)
                .map((row, context) -> Map.entry(row.getInt(1), row.getString(2)))
                .forEach(one -> texts.computeIfAbsent(one.getKey(), id -> new ArrayList<>())
                        .add(one.getValue()));
        return texts;
    }

    private interface Work<T> {
        T with(Handle handle) throws SQLException;
    }

    private <T> T reading(Work<T> work) {
        try {
            return app.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, work::with);
        } catch (SQLException e) {
            throw new IllegalStateException("the record could not be read: " + e.getMessage(), e);
        }
    }
}
