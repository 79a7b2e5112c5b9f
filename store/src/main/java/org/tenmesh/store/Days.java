package org.tenmesh.store;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Pattern;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.mapper.RowMapper;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.postgresql.util.PSQLException;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Days in and out of the database. */
final class Days {
    private static final String WATER = "water";
    private static final Pattern SHA256 = Pattern.compile("[0-9a-f]{64}");

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    Days(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    Receipt take(Day day, String name, String sourceSha256, String actor) {
        if (name.isBlank() || name.length() > 64) {
            throw new Refused("a day's name has 1 to 64 characters, found \"" + name + "\"; nothing was stored");
        }
        if (!SHA256.matcher(sourceSha256).matches()) {
            throw new Refused("the digest of the source must be 64 lower-case hexadecimal digits, found \""
                    + sourceSha256 + "\"; nothing was stored");
        }
        if (actor.isBlank()) {
            throw new Refused("an import needs the name of who imports; nothing was stored");
        }
        try {
            return app.inTransaction(handle -> take(handle, day, name, sourceSha256, actor));
        } catch (SQLException e) {
            String state = String.valueOf(e.getSQLState());
            if (state.startsWith("22") || state.startsWith("23")) {
                // Not text (a NUL character), or two rows where there can be one: the day, not the database, is at
                // fault.
                throw new Refused("day " + name + " cannot be stored as it stands: " + e.getMessage()
                        + "; nothing of the import was stored");
            }
            throw new IllegalStateException("day " + name + " could not be stored: " + e.getMessage(), e);
        } catch (UnableToExecuteStatementException e) {
            if (broke(e, "source_taken_once")) {
                throw takenBefore(sourceSha256);
            }
            throw e;
        }
    }

    private Receipt take(Handle handle, Day day, String name, String sourceSha256, String actor) throws SQLException {
        if (receipt(handle, sourceSha256).isPresent()) {
            throw takenBefore(sourceSha256);
        }
        int dayId = lockDay(handle, name);
        Connection connection = handle.getConnection();
        Day known = loadWithoutReadings(handle, dayId);
        Map<String, String> knownRuns = runDigests(handle, dayId);

        List<Submission> submissions = fresh(
                day.submissions().stream().map(Days::toMicros).toList(),
                known.submissions(),
                Submission::submission,
                "submission",
                name);
        List<Soil> soils = fresh(day.soils(), known.soils(), s -> s.labNumber().text(), "lab number", name);
        List<Tray> trays = fresh(day.trays(), known.trays(), Tray::tray, "tray", name);
        List<Material> materials = fresh(
                day.materials(),
                known.materials(),
                m -> m.material() + ", " + m.method() + ", " + m.analyte(),
                "material",
                name);
        List<Standard> standards = fresh(
                day.standards(),
                known.standards(),
                s -> s.standard() + ", " + s.method() + ", " + s.analyte(),
                "standard",
                name);
        List<TestPackage> packages = fresh(day.packages(), known.packages(), TestPackage::name, "package", name);
        List<Shortage> shortages =
                fresh(day.shortages(), known.shortages(), s -> s.labNumber() + ", " + s.method(), "shortage", name);
        Map<String, String> digests = new HashMap<>();
        List<Run> runs = freshRuns(day.runs(), knownRuns, digests, name);
        long readings = runs.stream().mapToLong(run -> run.readings().size()).sum();

        Instant at = clock.instant().truncatedTo(ChronoUnit.MICROS);
        int source = insertSource(handle, dayId, sourceSha256, actor, at, soils.size(), readings, day.laboratory());
        copySubmissions(connection, dayId, known.submissions().size(), submissions);
        copySoils(connection, dayId, known.soils().size(), soils);
        copyTrays(connection, dayId, known.trays().size(), trays);
        copyMaterials(connection, dayId, known.materials().size(), materials);
        copyStandards(connection, dayId, known.standards().size(), standards);
        copyPackages(connection, dayId, known.packages().size(), packages);
        copyShortages(connection, dayId, known.shortages().size(), shortages);
        seal(handle, dayId, day.controls(), name);
        copyRuns(handle, dayId, source, runs, digests);
        Map<String, Object> contents = new Contents()
                .submissions(submissions)
                .soils(soils)
                .packages(packages)
                .shortages(shortages)
                .trays(trays)
                .materials(materials)
                .standards(standards)
                .laboratory(handle, source)
                .keep(handle);

        Receipt receipt = new Receipt(
                name, sourceSha256, soils.size(), runs.stream().map(Run::run).toList(), readings, actor, at);
        journal.write(
                handle,
                at,
                actor,
                "day-taken",
                name,
                Json.object(
                        "source", sourceSha256,
                        "submissions", submissions.size(),
                        "soils", soils.size(),
                        "trays", trays.size(),
                        "readings", readings,
                        "contents", contents,
                        "contents-version", Contents.VERSION,
                        "controls-sha256", Contents.sealed(handle, dayId),
                        "runs",
                                runs.stream()
                                        .map(run -> List.of(
                                                run.run(),
                                                digest(digests, run),
                                                RunDigests.byIdentity(run).keep(handle)))
                                        .toList()));
        return receipt;
    }

    Optional<Receipt> receipt(String sourceSha256) {
        return app.withHandle(handle -> receipt(handle, sourceSha256));
    }

    private static Optional<Receipt> receipt(Handle handle, String sourceSha256) {
        return handle.createQuery("""
                        select d.name, s.sha256, s.soils, s.readings, s.actor, s.taken_at,
                               array(select r.run from reading.run r where r.source = s.id order by r.id) as runs
                        from intake.source s
                        join intake.day d on d.id = s.day
                        where s.sha256 = :sha256
                        """)
                .bind("sha256", sourceSha256)
                .map((rs, ctx) -> new Receipt(
                        rs.getString("name"),
                        rs.getString("sha256"),
                        rs.getInt("soils"),
                        List.of((String[]) rs.getArray("runs").getArray()),
                        rs.getLong("readings"),
                        rs.getString("actor"),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant()))
                .findOne();
    }

    private Refused takenBefore(String sourceSha256) {
        return receipt(sourceSha256)
                .map(before -> new Refused("the same source was taken before, as day " + before.day() + " at "
                        + before.takenAt() + " by " + before.actor() + " (digest " + sourceSha256.substring(0, 12)
                        + "…); nothing was stored a second time"))
                .orElseGet(() -> new Refused("the same source is being taken at this moment (digest "
                        + sourceSha256.substring(0, 12) + "…); nothing was stored a second time"));
    }

    List<DayEntry> list() {
        return app.withHandle(handle -> entries(handle, Optional.empty()));
    }

    Optional<DayEntry> entry(String name) {
        return app.withHandle(
                handle -> entries(handle, Optional.of(name)).stream().findFirst());
    }

    private static List<DayEntry> entries(Handle handle, Optional<String> name) {
        return handle.createQuery("""
                        select d.name,
                               (array_agg(s.laboratory order by s.id desc))[1] as laboratory,
                               sum(s.soils) as soils,
                               (select count(*) from reading.run r where r.day = d.id) as runs,
                               min(s.taken_at) as taken_at,
                               encode(sha256(string_agg(s.sha256, '' order by s.id)::bytea), 'hex') as digest
                        from intake.day d
                        join intake.source s on s.day = d.id
                        where :name::text is null or d.name = :name
                        group by d.id, d.name
                        order by min(s.taken_at) desc, d.id desc
                        """)
                .bind("name", name)
                .map((rs, ctx) -> new DayEntry(
                        rs.getString("name"),
                        rs.getString("laboratory"),
                        rs.getInt("soils"),
                        rs.getInt("runs"),
                        rs.getObject("taken_at", OffsetDateTime.class).toInstant(),
                        rs.getString("digest")))
                .list();
    }

    Optional<Day> day(String name) {
        return load(app, name, false);
    }

    /** The day with its key, read by a database user who may. */
    static Optional<Day> load(Jdbi jdbi, String name, boolean withControls) {
        try {
            return jdbi.inTransaction(TransactionIsolationLevel.REPEATABLE_READ, handle -> {
                Optional<Integer> id = id(handle, name);
                if (id.isEmpty()) {
                    return Optional.<Day>empty();
                }
                Day day = loadWithoutReadings(handle, id.get());
                return Optional.of(new Day(
                        day.laboratory(),
                        day.submissions(),
                        day.soils(),
                        day.trays(),
                        withControls ? controls(handle, id.get()) : Map.of(),
                        day.materials(),
                        day.standards(),
                        loadRuns(handle, id.get()),
                        day.packages(),
                        day.shortages()));
            });
        } catch (SQLException e) {
            throw new IllegalStateException("day " + name + " could not be read: " + e.getMessage(), e);
        }
    }

    static Map<LabNumber, String> controls(Handle handle, int dayId) {
        Map<LabNumber, String> controls = new LinkedHashMap<>();
        handle.createQuery("select lab_number, material from sealed.control where day = :day order by lab_number")
                .bind("day", dayId)
                .map((rs, ctx) -> Map.entry(new LabNumber(rs.getString(1)), rs.getString(2)))
                .forEach(entry -> controls.put(entry.getKey(), entry.getValue()));
        return controls;
    }

    static Optional<Integer> id(Handle handle, String name) {
        return handle.createQuery("select id from intake.day where name = :name")
                .bind("name", name)
                .mapTo(Integer.class)
                .findOne();
    }

    static Refused unknownDay(String name) {
        return new Refused("there is no day \"" + name + "\"; nothing was stored");
    }

    /** Whether the database refused because of this constraint. */
    static boolean broke(UnableToExecuteStatementException e, String constraint) {
        return e.getCause() instanceof PSQLException cause
                && cause.getServerErrorMessage() != null
                && constraint.equals(cause.getServerErrorMessage().getConstraint());
    }

    private static int lockDay(Handle handle, String name) {
        handle.createUpdate("insert into intake.day (name) values (:name) on conflict do nothing")
                .bind("name", name)
                .execute();
        return handle.createQuery("select id from intake.day where name = :name for update")
                .bind("name", name)
                .mapTo(Integer.class)
                .one();
    }

    private static <T> List<T> fresh(List<T> given, List<T> known, Function<T, String> key, String what, String day) {
        Map<String, T> seen = new HashMap<>();
        for (T one : known) {
            seen.put(key.apply(one), one);
        }
        List<T> fresh = new ArrayList<>();
        for (T one : given) {
            T before = seen.putIfAbsent(key.apply(one), one);
            if (before == null) {
                fresh.add(one);
            } else if (!before.equals(one)) {
                throw new Refused(
                        "day " + day + " has " + what + " " + key.apply(one) + " already, and it is not the same: "
                                + before + " there, " + one + " in this import; nothing of the import was stored");
            }
        }
        return fresh;
    }

    private static List<Run> freshRuns(
            List<Run> given, Map<String, String> known, Map<String, String> digests, String day) {
        Map<String, String> seen = new HashMap<>(known);
        List<Run> fresh = new ArrayList<>();
        for (Run run : given) {
            String digest = digest(run);
            String before = seen.putIfAbsent(run.run(), digest);
            if (before == null) {
                digests.put(run.run(), digest);
                fresh.add(run);
            } else if (!before.equals(digest)) {
                throw new Refused("day " + day + " has run " + run.run()
                        + " already, with other readings; readings are never changed, so nothing of the import was"
                        + " stored: give the new readings a run of their own");
            }
        }
        return fresh;
    }

    private static String digest(Map<String, String> digests, Run run) {
        return digests.getOrDefault(run.run(), "");
    }

    /** SHA-256 over everything a run says, so that the same run is known again however it comes. */
    static String digest(Run run) {
        MessageDigest sha256;
        try {
            sha256 = MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
        Readings readings = run.readings();
        List<String> head = new ArrayList<>(List.of(
                run.run(),
                run.method(),
                run.instrument(),
                run.operator().orElse(""),
                run.startedAt().truncatedTo(ChronoUnit.MICROS).toString()));
        head.add("" + readings.size());
        for (List<String> names : List.of(readings.identities(), readings.channels(), readings.quantities())) {
            head.add("" + names.size());
            head.addAll(names);
        }
        for (String text : head) {
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            sha256.update(ByteBuffer.allocate(4).putInt(bytes.length).flip());
            sha256.update(bytes);
        }
        ByteBuffer rows = ByteBuffer.allocate(44 * 512);
        for (int i = 0; i < readings.size(); i++) {
            rows.putInt(readings.position(i))
                    .put((byte) readings.role(i).ordinal())
                    .put((byte) readings.unit(i).ordinal())
                    .putInt(readings.identityCode(i))
                    .putShort((short) readings.channelCode(i))
                    .putShort((short) readings.quantityCode(i))
                    .putDouble(readings.value(i))
                    .putLong(readings.atMillis(i))
                    .putInt(readings.offsetSeconds(i))
                    .putDouble(readings.dilution(i));
            if (rows.remaining() < 44) {
                sha256.update(rows.flip());
                rows.clear();
            }
        }
        sha256.update(rows.flip());
        return HexFormat.of().formatHex(sha256.digest());
    }

    private static int insertSource(
            Handle handle,
            int day,
            String sha256,
            String actor,
            Instant at,
            int soils,
            long readings,
            Laboratory laboratory) {
        return handle.createUpdate("""
                        insert into intake.source
                            (day, sha256, actor, taken_at, soils, readings, laboratory, zone, address, invented, policy,
                             advice)
                        values (:day, :sha256, :actor, :at, :soils, :readings, :laboratory, :zone, :address, :invented,
                                :policy::jsonb, :advice)
                        """)
                .bind("day", day)
                .bind("sha256", sha256)
                .bind("actor", actor)
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .bind("soils", soils)
                .bind("readings", readings)
                .bind("laboratory", laboratory.name())
                .bind("zone", laboratory.zone())
                .bind("address", laboratory.address())
                .bind("invented", laboratory.invented())
                .bind("policy", Policies.json(laboratory.policy()))
                .bindArray(
                        "advice",
                        String.class,
                        laboratory.advice().stream().sorted().toList())
                .executeAndReturnGeneratedKeys("id")
                .mapTo(Integer.class)
                .one();
    }

    private static void copySubmissions(Connection connection, int day, int from, List<Submission> submissions)
            throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "intake.submission (day, ord, submission, client, received_at, received_offset, promised_on,"
                        + " origin_country, origin_region, package, water_supplied, note)")) {
            int ord = from;
            for (Submission s : submissions) {
                rows.row(12)
                        .integer(day)
                        .integer(ord++)
                        .text(s.submission())
                        .text(s.client())
                        .time(s.receivedAt().toInstant())
                        .integer(s.receivedAt().getOffset().getTotalSeconds())
                        .date(s.promisedOn())
                        .text(s.originCountry())
                        .text(s.originRegion())
                        .text(s.packageName())
                        .bool(s.waterSupplied())
                        .text(s.note());
            }
            rows.end();
        }
    }

    private static void copySoils(Connection connection, int day, int from, List<Soil> soils) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "intake.soil (day, ord, lab_number, submission, ordinal, client_label, top_cm, bottom_cm, package,"
                        + " regulated, matter)")) {
            int ord = from;
            for (Soil s : soils) {
                rows.row(11)
                        .integer(day)
                        .integer(ord++)
                        .text(s.labNumber().text())
                        .text(s.submission())
                        .integer(s.ordinal())
                        .text(s.clientLabel())
                        .number(s.topCm())
                        .number(s.bottomCm())
                        .text(s.packageName())
                        .bool(s.regulated())
                        .text(s.matter() == Soil.Matter.WATER ? WATER : "soil");
            }
            rows.end();
        }
    }

    private static void copyTrays(Connection connection, int day, int from, List<Tray> trays) throws SQLException {
        try (CopyRows rows = new CopyRows(connection, "layout.tray (day, ord, tray)")) {
            int ord = from;
            for (Tray tray : trays) {
                rows.row(3).integer(day).integer(ord++).text(tray.tray());
            }
            rows.end();
        }
        try (CopyRows rows = new CopyRows(connection, "layout.place (day, tray, well, lab_number, purpose)")) {
            int ord = from;
            for (Tray tray : trays) {
                int ofTray = ord++;
                for (Tray.Place place : tray.wells()) {
                    rows.row(5)
                            .integer(day)
                            .integer(ofTray)
                            .small(place.well().index())
                            .text(place.labNumber().map(LabNumber::text))
                            .text(place.purpose().word());
                }
            }
            rows.end();
        }
    }

    private static void copyMaterials(Connection connection, int day, int from, List<Material> materials)
            throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection, "calibration.material (day, ord, material, method, analyte, mean, sd, unit, n)")) {
            int ord = from;
            for (Material m : materials) {
                rows.row(9)
                        .integer(day)
                        .integer(ord++)
                        .text(m.material())
                        .text(m.method())
                        .text(m.analyte())
                        .number(m.mean())
                        .number(m.sd())
                        .text(m.unit().ucum())
                        .integer(m.n());
            }
            rows.end();
        }
    }

    private static void copyStandards(Connection connection, int day, int from, List<Standard> standards)
            throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "calibration.standard (day, ord, method, standard, analyte, value, unit, tolerance, tolerance_pct)")) {
            int ord = from;
            for (Standard s : standards) {
                rows.row(9)
                        .integer(day)
                        .integer(ord++)
                        .text(s.method())
                        .text(s.standard())
                        .text(s.analyte())
                        .number(s.value())
                        .text(s.unit().ucum())
                        .number(s.tolerance())
                        .number(s.tolerancePct());
            }
            rows.end();
        }
    }

    private static void copyPackages(Connection connection, int day, int from, List<TestPackage> packages)
            throws SQLException {
        try (CopyRows rows = new CopyRows(connection, "intake.package (day, ord, package, title)")) {
            int ord = from;
            for (TestPackage one : packages) {
                rows.row(4).integer(day).integer(ord++).text(one.name()).text(one.title());
            }
            rows.end();
        }
        try (CopyRows rows = new CopyRows(connection, "intake.asked (day, package, ord, method, analytes)")) {
            for (TestPackage one : packages) {
                int ord = 0;
                for (TestPackage.Asked asked : one.asked()) {
                    rows.row(5)
                            .integer(day)
                            .text(one.name())
                            .integer(ord++)
                            .text(asked.method())
                            .texts(asked.analytes());
                }
            }
            rows.end();
        }
    }

    private static void copyShortages(Connection connection, int day, int from, List<Shortage> shortages)
            throws SQLException {
        try (CopyRows rows = new CopyRows(connection, "intake.shortage (day, ord, lab_number, method)")) {
            int ord = from;
            for (Shortage one : shortages) {
                rows.row(4)
                        .integer(day)
                        .integer(ord++)
                        .text(one.labNumber().text())
                        .text(one.method());
            }
            rows.end();
        }
    }

    private static void seal(Handle handle, int day, Map<LabNumber, String> controls, String name) {
        List<LabNumber> order = controls.keySet().stream().sorted().toList();
        boolean fits = handle.createQuery("select intake.seal(:day, :labNumbers, :materials)")
                .bind("day", day)
                .bindArray(
                        "labNumbers",
                        String.class,
                        order.stream().map(LabNumber::text).toList())
                .bindArray(
                        "materials",
                        String.class,
                        order.stream().map(controls::get).toList())
                .mapTo(Boolean.class)
                .one();
        if (!fits) {
            // No lab number here: this message may reach people who must not know the controls.
            throw new Refused("the key of the hidden controls of day " + name
                    + " is not the one that was sealed before; nothing of the import was stored");
        }
    }

    private static void copyRuns(Handle handle, int day, int source, List<Run> runs, Map<String, String> digests)
            throws SQLException {
        if (runs.isEmpty()) {
            return;
        }
        List<Integer> ids = handle.createQuery("select nextval('reading.run_id') from generate_series(1, :runs)")
                .bind("runs", runs.size())
                .mapTo(Integer.class)
                .list();
        try (CopyRows rows = new CopyRows(
                handle.getConnection(),
                "reading.run (id, day, source, run, method, instrument, operator, started_at, started_offset, readings,"
                        + " sha256)")) {
            for (int i = 0; i < ids.size(); i++) {
                Run run = runs.get(i);
                rows.row(11)
                        .integer(ids.get(i))
                        .integer(day)
                        .integer(source)
                        .text(run.run())
                        .text(run.method())
                        .text(run.instrument())
                        .text(run.operator())
                        .time(run.startedAt().toInstant())
                        .integer(run.startedAt().getOffset().getTotalSeconds())
                        .integer(run.readings().size())
                        .text(digest(digests, run));
            }
            rows.end();
        }
        try (CopyRows rows = new CopyRows(handle.getConnection(), READING_COLUMNS)) {
            for (int i = 0; i < ids.size(); i++) {
                copyReadings(rows, ids.get(i), runs.get(i).readings());
            }
            rows.end();
        }
    }

    static final String READING_COLUMNS =
            "reading.reading (run, line, at, value, dilution, position, at_offset, role, identity, channel, quantity, unit)";

    static void copyReadings(CopyRows rows, int run, Readings readings) throws SQLException {
        byte[][] roles = utf8(List.of(Role.values()), Role::word);
        byte[][] units = utf8(List.of(Unit.values()), Unit::ucum);
        byte[][] identities = utf8(readings.identities(), Function.identity());
        byte[][] channels = utf8(readings.channels(), Function.identity());
        byte[][] quantities = utf8(readings.quantities(), Function.identity());
        for (int i = 0; i < readings.size(); i++) {
            rows.row(12)
                    .integer(run)
                    .integer(i + 1)
                    .timeMillis(readings.atMillis(i))
                    .number(readings.value(i))
                    .number(readings.dilution(i))
                    .integer(readings.position(i))
                    .integer(readings.offsetSeconds(i))
                    .bytes(roles[readings.role(i).ordinal()])
                    .bytes(identities[readings.identityCode(i)])
                    .bytes(channels[readings.channelCode(i)])
                    .bytes(quantities[readings.quantityCode(i)])
                    .bytes(units[readings.unit(i).ordinal()]);
        }
    }

    private static <T> byte[][] utf8(List<T> values, Function<T, String> text) {
        return values.stream()
                .map(value -> text.apply(value).getBytes(StandardCharsets.UTF_8))
                .toArray(byte[][]::new);
    }

    private static Map<String, String> runDigests(Handle handle, int day) {
        Map<String, String> digests = new HashMap<>();
        handle.createQuery("select run, sha256 from reading.run where day = :day")
                .bind("day", day)
                .map((rs, ctx) -> Map.entry(rs.getString(1), rs.getString(2)))
                .forEach(entry -> digests.put(entry.getKey(), entry.getValue()));
        return digests;
    }

    static Day loadWithoutReadings(Handle handle, int day) throws SQLException {
        Connection connection = handle.getConnection();
        return new Day(
                laboratory(handle, day),
                submissions(connection, day),
                soils(connection, day),
                trays(connection, day),
                Map.of(),
                materials(connection, day),
                standards(connection, day),
                List.of(),
                packages(connection, day),
                shortages(connection, day));
    }

    private static Laboratory laboratory(Handle handle, int day) {
        RowMapper<Laboratory> mapper = (rs, ctx) -> new Laboratory(
                rs.getString("laboratory"),
                rs.getString("zone"),
                rs.getString("address"),
                rs.getBoolean("invented"),
                Policies.of(List.of((String[]) rs.getArray("policy_names").getArray()), List.of((String[])
                        rs.getArray("policy_values").getArray())),
                Set.of((String[]) rs.getArray("advice").getArray()));
        return handle.createQuery("""
                        select laboratory, zone, address, invented, advice,
                               array(select e.key from jsonb_each_text(policy) e order by e.key) as policy_names,
                               array(select e.value from jsonb_each_text(policy) e order by e.key) as policy_values
                        from intake.source
                        where day = :day
                        order by id desc
                        limit 1
                        """).bind("day", day).map(mapper).findOne().orElseGet(Laboratory::unnamed);
    }

    private static List<Submission> submissions(Connection connection, int day) throws SQLException {
        List<Submission> submissions = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select submission, client, received_at, received_offset, promised_on, origin_country, origin_region,"
                        + " package, water_supplied, note from intake.submission where day = " + day
                        + " order by ord")) {
            while (rows.next()) {
                submissions.add(new Submission(
                        rows.text(),
                        rows.text(),
                        at(rows.time(), rows.integer()),
                        rows.dateOrNone(),
                        rows.textOrNone(),
                        rows.textOrNone(),
                        rows.textOrNone(),
                        rows.boolOrNone(),
                        rows.textOrNone()));
            }
        }
        return submissions;
    }

    private static List<Soil> soils(Connection connection, int day) throws SQLException {
        List<Soil> soils = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select lab_number, submission, ordinal, client_label, top_cm, bottom_cm, package, regulated, matter"
                        + " from intake.soil where day = " + day + " order by ord")) {
            while (rows.next()) {
                soils.add(new Soil(
                        new LabNumber(rows.text()),
                        rows.textOrNone(),
                        rows.integerOrNone(),
                        rows.textOrNone(),
                        rows.numberOrNone(),
                        rows.numberOrNone(),
                        rows.textOrNone(),
                        rows.boolOrNone(),
                        rows.text().equals(WATER) ? Soil.Matter.WATER : Soil.Matter.SOIL));
            }
        }
        return soils;
    }

    private static List<TestPackage> packages(Connection connection, int day) throws SQLException {
        Map<String, List<TestPackage.Asked>> asked = new HashMap<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select package, method, analytes from intake.asked where day = " + day + " order by package, ord")) {
            while (rows.next()) {
                asked.computeIfAbsent(rows.text(), name -> new ArrayList<>())
                        .add(new TestPackage.Asked(rows.text(), rows.texts()));
            }
        }
        List<TestPackage> packages = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection, "select package, title from intake.package where day = " + day + " order by ord")) {
            while (rows.next()) {
                String name = rows.text();
                packages.add(new TestPackage(name, rows.text(), asked.getOrDefault(name, List.of())));
            }
        }
        return packages;
    }

    private static List<Shortage> shortages(Connection connection, int day) throws SQLException {
        List<Shortage> shortages = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection, "select lab_number, method from intake.shortage where day = " + day + " order by ord")) {
            while (rows.next()) {
                shortages.add(new Shortage(new LabNumber(rows.text()), rows.text()));
            }
        }
        return shortages;
    }

    private static List<Tray> trays(Connection connection, int day) throws SQLException {
        Map<Integer, String> names = new LinkedHashMap<>();
        Map<Integer, List<Tray.Place>> wells = new HashMap<>();
        try (CopiedRows rows =
                new CopiedRows(connection, "select ord, tray from layout.tray where day = " + day + " order by ord")) {
            while (rows.next()) {
                names.put(rows.integer(), rows.text());
            }
        }
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select tray, well, lab_number, purpose from layout.place where day = " + day
                        + " order by tray, well")) {
            while (rows.next()) {
                wells.computeIfAbsent(rows.integer(), tray -> new ArrayList<>())
                        .add(new Tray.Place(
                                new Well(rows.small()),
                                rows.textOrNone().map(LabNumber::new),
                                Bench.purpose(rows.text())));
            }
        }
        return names.entrySet().stream()
                .map(tray -> new Tray(tray.getValue(), wells.getOrDefault(tray.getKey(), List.of())))
                .toList();
    }

    private static List<Material> materials(Connection connection, int day) throws SQLException {
        List<Material> materials = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select material, method, analyte, mean, sd, unit, n from calibration.material where day = " + day
                        + " order by ord")) {
            while (rows.next()) {
                materials.add(new Material(
                        rows.text(),
                        rows.text(),
                        rows.text(),
                        rows.number(),
                        rows.number(),
                        unit(rows.text()),
                        rows.integerOrNone()));
            }
        }
        return materials;
    }

    private static List<Standard> standards(Connection connection, int day) throws SQLException {
        List<Standard> standards = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select method, standard, analyte, value, unit, tolerance, tolerance_pct from calibration.standard"
                        + " where day = " + day + " order by ord")) {
            while (rows.next()) {
                standards.add(new Standard(
                        rows.text(),
                        rows.text(),
                        rows.text(),
                        rows.number(),
                        unit(rows.text()),
                        rows.numberOrNone(),
                        rows.numberOrNone()));
            }
        }
        return standards;
    }

    private static List<Run> loadRuns(Handle handle, int day) throws SQLException {
        record Head(int id, int readings, Run withoutReadings) {}
        List<Head> heads = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                handle.getConnection(),
                "select id, readings, run, method, instrument, operator, started_at, started_offset from reading.run"
                        + " where day = " + day + " order by id")) {
            while (rows.next()) {
                heads.add(new Head(
                        rows.integer(),
                        rows.integer(),
                        new Run(
                                rows.text(),
                                rows.text(),
                                rows.text(),
                                rows.textOrNone(),
                                at(rows.time(), rows.integer()),
                                Readings.builder().build())));
            }
        }
        Map<Integer, Readings> readings =
                readings(handle, heads.stream().map(Head::id).toList());
        List<Run> runs = new ArrayList<>();
        for (Head head : heads) {
            Run run = head.withoutReadings();
            Readings found = readings.getOrDefault(head.id(), run.readings());
            if (found.size() != head.readings()) {
                throw new IllegalStateException("run " + run.run() + " was stored with " + head.readings()
                        + " readings, the database holds " + found.size() + ": restore it from a backup");
            }
            runs.add(new Run(run.run(), run.method(), run.instrument(), run.operator(), run.startedAt(), found));
        }
        return runs;
    }

    /** Readings by run; the ids ascending. */
    static Map<Integer, Readings> readings(Handle handle, List<Integer> runs) throws SQLException {
        if (runs.isEmpty()) {
            return Map.of();
        }
        // Until the table is analysed for the first time the planner does not know that the index pays.
        handle.execute("set local enable_seqscan = off");
        Map<Integer, InOrder> inOrder = new HashMap<>();
        runs.forEach(run -> inOrder.put(run, new InOrder()));
        try (CopiedRows rows = new CopiedRows(
                handle.getConnection(),
                "select run, line, position, role, identity, channel, quantity, value, unit, at, at_offset, dilution"
                        + " from reading.reading where run between " + runs.get(0) + " and "
                        + runs.get(runs.size() - 1))) {
            CopiedRows.Names names = new CopiedRows.Names();
            while (rows.next()) {
                InOrder run = inOrder.get(rows.integer());
                if (run != null) {
                    run.take(rows, names);
                }
            }
        }
        Map<Integer, Readings> readings = new HashMap<>();
        inOrder.forEach((run, all) -> readings.put(run, all.build()));
        return readings;
    }

    /**
     * The readings of a run, put in order. Rows lie nearly as they came, here and there a page early or late; sorting them
     * all in the database would go by way of the disk.
     */
    private static final class InOrder {
        private final Readings.Builder readings = Readings.builder();
        private final Map<Integer, ByteBuffer> early = new HashMap<>();
        private int next = 1;

        void take(CopiedRows rows, CopiedRows.Names names) {
            int line = rows.integer();
            if (line != next) {
                early.put(line, rows.keep());
                return;
            }
            add(rows, names);
            for (ByteBuffer kept = early.remove(next); kept != null; kept = early.remove(next)) {
                rows.turnTo(kept);
                add(rows, names);
            }
        }

        Readings build() {
            if (!early.isEmpty()) {
                throw new IllegalStateException(
                        "the database has lost reading " + next + " of a run: restore it from a backup");
            }
            return readings.build();
        }

        private void add(CopiedRows rows, CopiedRows.Names names) {
            readings.add(
                    rows.integer(),
                    Role.of(rows.text(names)).orElseThrow(),
                    rows.text(names),
                    rows.text(names),
                    rows.text(names),
                    rows.number(),
                    unit(rows.text(names)),
                    rows.timeMillis(),
                    rows.integer(),
                    rows.number());
            next++;
        }
    }

    static Unit unit(String ucum) {
        return Unit.ofUcum(ucum)
                .orElseThrow(() -> new IllegalStateException(
                        "the database holds the unit " + ucum + ", which this version does not know"));
    }

    static OffsetDateTime at(Instant instant, int offsetSeconds) {
        return instant.atOffset(ZoneOffset.ofTotalSeconds(offsetSeconds));
    }

    private static Submission toMicros(Submission s) {
        return new Submission(
                s.submission(),
                s.client(),
                s.receivedAt().truncatedTo(ChronoUnit.MICROS),
                s.promisedOn(),
                s.originCountry(),
                s.originRegion(),
                s.packageName(),
                s.waterSupplied(),
                s.note());
    }
}
