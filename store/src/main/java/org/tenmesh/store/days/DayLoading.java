package org.tenmesh.store.days;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.mapper.RowMapper;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.rows.Ids;

/** A day of the laboratory record as one value: the runs that started then, and all they refer to. */
public final class DayLoading {
    /** Later than any date of a laboratory. */
    private static final LocalDate FAR = LocalDate.of(9999, 12, 31);

    private record Key(String register, LocalDate date) {}

    private final Handle handle;
    private final Connection connection;
    private final int day;
    private final String register;
    private final LocalDate date;

    private DayLoading(Handle handle, int day) {
        this.handle = handle;
        this.connection = handle.getConnection();
        this.day = day;
        Key key = handle.createQuery("select register, on_date from intake.day where id = :day")
                .bind("day", day)
                .map((row, context) -> new Key(row.getString("register"), row.getObject("on_date", LocalDate.class)))
                .one();
        register = key.register();
        date = key.date();
    }

    /** The day, with its key when the database user may read it. */
    public static Optional<Day> load(Jdbi jdbi, String name, boolean withControls) {
        return load(jdbi, name, withControls, Optional.empty()).map(ReadDay::day);
    }

    /**
     * {@link #load(Jdbi, String, boolean)} reading only what is not known.
     *
     * @param before the same day as it was read before
     */
    public static Optional<ReadDay> load(Jdbi jdbi, String name, boolean withControls, Optional<ReadDay> before) {
        try {
            return jdbi.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
                Optional<Integer> id = Days.id(handle, name);
                return id.isEmpty()
                        ? Optional.<ReadDay>empty()
                        : Optional.of(new DayLoading(handle, id.get()).whole(withControls, before));
            });
        } catch (SQLException e) {
            throw new IllegalStateException("day " + name + " could not be read: " + e.getMessage(), e);
        }
    }

    /**
     * The runs of a day of which more is to come, by a text that says which run it is and how much of it was read.
     *
     * @param before what this gave before: only what is new is read
     */
    public static Map<String, Run> underWay(Jdbi jdbi, String name, Map<String, Run> before) {
        try {
            return jdbi.withHandle(handle -> {
                Map<String, Run> runs = new LinkedHashMap<>();
                StoredReadings.underWay(handle, "d.name = ?", name, before)
                        .forEach(one -> runs.put(one.digest(), one.run()));
                return runs;
            });
        } catch (SQLException e) {
            throw new IllegalStateException(
                    "runs under way of day " + name + " could not be read: " + e.getMessage(), e);
        }
    }

    /** What the imports of this day brought: no more of the record, no runs, and no key. */
    public static Day brought(Handle handle, int day) throws SQLException {
        DayLoading own = new DayLoading(handle, day);
        String where = "where t.day = " + day;
        return new Day(
                Laboratory.unnamed(),
                RecordTables.SUBMISSION.values(own.connection, where + " order by t.id"),
                RecordTables.SOIL.values(own.connection, where + " order by t.id"),
                own.trays("t.day = " + day, Map.of()),
                Map.of(),
                own.ownMaterials(),
                own.ownStandards(),
                List.of(),
                own.packages("t.day = " + day),
                RecordTables.SHORTAGE.values(own.connection, where + " order by t.ord"));
    }

    /** What holds from this day on or was laid out on it. */
    static Day ownLists(Handle handle, int day) throws SQLException {
        DayLoading own = new DayLoading(handle, day);
        return new Day(
                Laboratory.unnamed(),
                List.of(),
                List.of(),
                own.trays("t.day = " + day, Map.of()),
                Map.of(),
                own.ownMaterials(),
                own.ownStandards(),
                List.of(),
                own.packages("t.day = " + day),
                List.of());
    }

    /** The settings that came with the newest import of a register. */
    static Optional<Laboratory> newestLaboratory(Handle handle, String register) {
        return laboratory(handle, register, "order by d.on_date desc, s.id desc", FAR);
    }

    private ReadDay whole(boolean withControls, Optional<ReadDay> before) throws SQLException {
        Map<Integer, String> names = names();
        List<Submission> submissions = submissions(names);
        List<Soil> soils = soils(names);
        Map<String, Run> known = before.map(ReadDay::runs).orElse(Map.of());
        List<StoredReadings.Stored> stored = new ArrayList<>(StoredReadings.load(handle, "t.day = " + day, known));
        stored.addAll(StoredReadings.underWay(handle, "d.id = ?", day, known));
        List<Run> runs = stored.stream().map(StoredReadings.Stored::run).toList();
        Set<String> methods = new TreeSet<>();
        runs.forEach(run -> methods.add(run.method()));
        ReadDay whole = new ReadDay(
                new Day(
                        laboratory(),
                        submissions,
                        soils,
                        trays(soils),
                        withControls ? controls(handle, day) : Map.of(),
                        materials(methods),
                        standards(methods),
                        runs,
                        packages(submissions, soils),
                        shortages()),
                stored.stream().map(StoredReadings.Stored::digest).toList());
        return before.map(ReadDay::day).map(whole::keeping).orElse(whole);
    }

    /** The names that submissions have in this day's view, by id. */
    private Map<Integer, String> names() {
        Map<Integer, String> byId = new HashMap<>();
        Days.submissionNames(handle, day).forEach((name, id) -> byId.put(id, name));
        return byId;
    }

    private List<Submission> submissions(Map<Integer, String> names) throws SQLException {
        return RecordTables.SUBMISSION_NOW.values(
                connection,
                "t.id,",
                "join intake.submission_in_view l on l.submission = t.id where l.day = " + day
                        + " order by l.ord, t.id",
                row -> {
                    String name = names.getOrDefault(row.integer(), "");
                    Submission submission = RecordTables.SUBMISSION.read().of(row);
                    return submission.submission().equals(name) ? submission : named(submission, name);
                });
    }

    private static Submission named(Submission submission, String name) {
        return new Submission(
                name,
                submission.client(),
                submission.receivedAt(),
                submission.promisedOn(),
                submission.originCountry(),
                submission.originRegion(),
                submission.packageName(),
                submission.waterSupplied(),
                submission.note());
    }

    private List<Soil> soils(Map<Integer, String> names) throws SQLException {
        return RecordTables.SOIL_NOW.values(
                connection,
                "coalesce(c.submission, 0),",
                "join intake.soil_in_view l on l.soil = t.id left join intake.came_in c on c.soil = t.id where l.day = "
                        + day + " order by l.ord, t.id",
                row -> {
                    String name = names.getOrDefault(row.integer(), "");
                    Soil soil = RecordTables.SOIL.read().of(row);
                    return name.isEmpty() || soil.submission().equals(Optional.of(name))
                            ? soil
                            : new Soil(
                                    soil.labNumber(),
                                    Optional.of(name),
                                    soil.ordinal(),
                                    soil.clientLabel(),
                                    soil.topCm(),
                                    soil.bottomCm(),
                                    soil.packageName(),
                                    soil.regulated(),
                                    soil.matter());
                });
    }

    /** What was laid out on the day, and the trays of earlier days in which its other soils lie. */
    private List<Tray> trays(List<Soil> soils) throws SQLException {
        List<Tray> trays = new ArrayList<>(trays("t.day = " + day, Map.of()));
        Set<String> placed = new HashSet<>();
        trays.forEach(tray ->
                tray.wells().forEach(place -> place.labNumber().ifPresent(number -> placed.add(number.text()))));
        List<String> elsewhere = soils.stream()
                .map(soil -> soil.labNumber().text())
                .filter(number -> !placed.contains(number))
                .toList();
        if (elsewhere.isEmpty()) {
            return trays;
        }
        record Earlier(int tray, String name, LocalDate date) {}
        List<Earlier> earlier = handle.createQuery("""
                        select distinct on (p.lab_number) t.id, t.tray, d.on_date
                        from layout.place p
                        join layout.tray t on t.id = p.tray
                        join intake.day d on d.id = t.day
                        where p.lab_number = any(:numbers) and d.register = :register and d.on_date < :date
                        order by p.lab_number, d.on_date desc, t.id desc
                        """)
                .bindArray("numbers", String.class, elsewhere)
                .bind("register", register)
                .bind("date", date)
                .map((row, context) ->
                        new Earlier(row.getInt("id"), row.getString("tray"), row.getObject("on_date", LocalDate.class)))
                .list();
        Set<String> taken = new HashSet<>();
        trays.forEach(tray -> taken.add(tray.tray()));
        // The newest keeps its name: a name stands once in a day.
        Map<Integer, String> names = new LinkedHashMap<>();
        earlier.stream()
                .distinct()
                .sorted((a, b) -> a.date().equals(b.date())
                        ? Integer.compare(a.tray(), b.tray())
                        : b.date().compareTo(a.date()))
                .forEach(one ->
                        names.put(one.tray(), taken.add(one.name()) ? one.name() : Days.dated(one.name(), one.date())));
        trays.addAll(trays("t.id " + Ids.in(List.copyOf(names.keySet())), names));
        return trays;
    }

    /** @param names of those that are called otherwise here, by id */
    private List<Tray> trays(String where, Map<Integer, String> names) throws SQLException {
        record Head(int id, String name) {}
        List<Head> heads =
                RecordTables.TRAY.values(connection, "t.id,", "where " + where + " order by t.day, t.ord", row -> {
                    int id = row.integer();
                    String own = row.text();
                    return new Head(id, names.getOrDefault(id, own));
                });
        Map<Integer, List<Tray.Place>> wells = new HashMap<>();
        RecordTables.PLACE.values(
                connection,
                "t.tray,",
                "where t.tray " + Ids.in(heads.stream().map(Head::id).toList()) + " order by t.tray, t.well",
                row -> wells.computeIfAbsent(row.integer(), tray -> new ArrayList<>())
                        .add(RecordTables.PLACE.read().of(row)));
        return heads.stream()
                .map(head -> new Tray(head.name(), wells.getOrDefault(head.id(), List.of())))
                .toList();
    }

    private List<Material> ownMaterials() throws SQLException {
        return RecordTables.MATERIAL.values(connection, "where t.day = " + day + " order by t.ord");
    }

    private List<Standard> ownStandards() throws SQLException {
        return RecordTables.STANDARD.values(connection, "where t.day = " + day + " order by t.ord");
    }

    private List<Material> materials(Set<String> methods) throws SQLException {
        List<Material> materials = new ArrayList<>(ownMaterials());
        Set<String> missing = new TreeSet<>(methods);
        materials.forEach(material -> missing.remove(material.method()));
        for (Holding holding : holding("calibration.material", "method", missing)) {
            RecordTables.MATERIAL.values(connection, "where t.day = " + holding.day() + " order by t.ord").stream()
                    .filter(material -> material.method().equals(holding.key()))
                    .forEach(materials::add);
        }
        return materials;
    }

    private List<Standard> standards(Set<String> methods) throws SQLException {
        List<Standard> standards = new ArrayList<>(ownStandards());
        Set<String> missing = new TreeSet<>(methods);
        standards.forEach(standard -> missing.remove(standard.method()));
        for (Holding holding : holding("calibration.standard", "method", missing)) {
            RecordTables.STANDARD.values(connection, "where t.day = " + holding.day() + " order by t.ord").stream()
                    .filter(standard -> standard.method().equals(holding.key()))
                    .forEach(standards::add);
        }
        return standards;
    }

    private List<TestPackage> packages(List<Submission> submissions, List<Soil> soils) throws SQLException {
        List<TestPackage> packages = new ArrayList<>(packages("t.day = " + day));
        Set<String> missing = new TreeSet<>();
        submissions.forEach(submission -> submission.packageName().ifPresent(missing::add));
        soils.forEach(soil -> soil.packageName().ifPresent(missing::add));
        packages.forEach(one -> missing.remove(one.name()));
        for (Holding holding : holding("intake.package", "package", missing)) {
            packages("t.day = " + holding.day()).stream()
                    .filter(one -> one.name().equals(holding.key()))
                    .forEach(packages::add);
        }
        return packages;
    }

    private List<TestPackage> packages(String where) throws SQLException {
        Map<String, List<TestPackage.Asked>> asked = new HashMap<>();
        RecordTables.ASKED.values(
                connection,
                "t.package,",
                "where " + where + " order by t.package, t.ord",
                row -> asked.computeIfAbsent(row.text(), name -> new ArrayList<>())
                        .add(RecordTables.ASKED.read().of(row)));
        return RecordTables.PACKAGE.values(connection, "where " + where + " order by t.ord").stream()
                .map(one -> new TestPackage(one.name(), one.title(), asked.getOrDefault(one.name(), List.of())))
                .toList();
    }

    /** The earlier day whose list holds today for a method or package. */
    private record Holding(String key, int day) {}

    private List<Holding> holding(String table, String column, Set<String> keys) {
        if (keys.isEmpty()) {
            return List.of();
        }
        return handle.createQuery("""
                        select k.key, h.id
                        from unnest(:keys) as k (key)
                        cross join lateral (
                            select d.id from intake.day d
                            where d.register = :register and d.on_date < :date
                              and exists (select from %s m where m.%s = k.key and m.day = d.id)
                            order by d.on_date desc
                            limit 1) h
                        order by k.key
                        """.formatted(table, column))
                .bindArray("keys", String.class, List.copyOf(keys))
                .bind("register", register)
                .bind("date", date)
                .map((row, context) -> new Holding(row.getString("key"), row.getInt("id")))
                .list();
    }

    private List<Shortage> shortages() throws SQLException {
        return RecordTables.SHORTAGE.values(
                connection,
                "where t.day = " + day + " or (t.register, t.lab_number) in (select s.register, s.lab_number from"
                        + " intake.day_soil l join intake.soil s on s.id = l.soil where l.day = " + day
                        + ") order by t.day, t.ord");
    }

    public static Map<LabNumber, String> controls(Handle handle, int day) {
        Map<LabNumber, String> controls = new LinkedHashMap<>();
        handle.createQuery("""
                        select lab_number, material from sealed.control where day = :day
                        union
                        select c.lab_number, c.material
                        from intake.day_soil l
                        join intake.soil s on s.id = l.soil
                        join sealed.control c on c.register = s.register and c.lab_number = s.lab_number
                        where l.day = :day
                        order by lab_number
                        """)
                .bind("day", day)
                .map((row, context) -> Map.entry(new LabNumber(row.getString(1)), row.getString(2)))
                .forEach(entry -> controls.put(entry.getKey(), entry.getValue()));
        return controls;
    }

    private Laboratory laboratory() {
        return laboratory(handle, register, "order by d.on_date desc, s.id desc", date)
                // Runs may belong to days before the first import's own.
                .or(() -> laboratory(handle, register, "order by d.on_date, s.id desc", FAR))
                .orElseGet(Laboratory::unnamed);
    }

    private static Optional<Laboratory> laboratory(Handle handle, String register, String order, LocalDate until) {
        RowMapper<Laboratory> mapper = (rs, ctx) -> new Laboratory(
                rs.getString("laboratory"),
                rs.getString("zone"),
                rs.getString("address"),
                rs.getBoolean("invented"),
                Policies.of(List.of((String[]) rs.getArray("policy_names").getArray()), List.of((String[])
                        rs.getArray("policy_values").getArray())),
                Set.of((String[]) rs.getArray("advice").getArray()),
                register,
                new AcceptedFailures(
                        rs.getBoolean("second_signature_for_accepted"), rs.getBoolean("accepted_on_report")),
                KeptForms.of(List.of((String[]) rs.getArray("form_clients").getArray()), List.of((String[])
                        rs.getArray("forms").getArray())));
        return handle.createQuery("""
                        select s.laboratory, s.zone, s.address, s.invented, s.advice, s.second_signature_for_accepted,
                               s.accepted_on_report,
                               array(select e.key from jsonb_each_text(s.report_forms) e order by e.key) as form_clients,
                               array(select e.value from jsonb_each_text(s.report_forms) e order by e.key) as forms,
                               array(select e.key from jsonb_each_text(s.policy) e order by e.key) as policy_names,
                               array(select e.value from jsonb_each_text(s.policy) e order by e.key) as policy_values
                        from intake.source s
                        join intake.day d on d.id = s.day
                        where d.register = :register and d.on_date <= :until
                        """ + order + " limit 1")
                .bind("register", register)
                .bind("until", until)
                .map(mapper)
                .findOne();
    }
}
