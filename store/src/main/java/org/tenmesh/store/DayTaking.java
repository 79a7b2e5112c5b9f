package org.tenmesh.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.regex.Pattern;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
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
import org.tenmesh.core.reduction.Run;

/** Imports into the laboratory record: what is new of each, whole or not at all. */
final class DayTaking {
    /** How long after a box was received its soils may be listed in an import without it. */
    private static final int WAITS_DAYS = 31;

    private static final Pattern SHA256 = Pattern.compile("[0-9a-f]{64}");

    private record KnownSubmission(int id, Submission submission) {}

    /** @param submission id of the one it came in, 0 when that is not known */
    private record KnownSoil(int id, int submission, Soil soil) {}

    private record KnownRun(String run, LocalDate date, Instant startedAt, String sha256) {}

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    DayTaking(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    Receipt take(Day day, Optional<LocalDate> date, String sourceSha256, String actor) {
        if (!SHA256.matcher(sourceSha256).matches()) {
            throw new Refused("the digest of the source must be 64 lower-case hexadecimal digits, found \""
                    + sourceSha256 + "\"; nothing was stored");
        }
        if (actor.isBlank()) {
            throw new Refused("an import needs the name of who imports; nothing was stored");
        }
        try {
            return app.inTransaction(handle -> new Import(handle, day, date, sourceSha256, actor).take());
        } catch (SQLException e) {
            throw failed(e);
        } catch (UnableToExecuteStatementException e) {
            if (Days.broke(e, "source_taken_once")) {
                throw takenBefore(sourceSha256);
            }
            throw e.getCause() instanceof SQLException cause ? failed(cause) : e;
        }
    }

    private static RuntimeException failed(SQLException e) {
        String state = String.valueOf(e.getSQLState());
        if (state.startsWith("22") || state.startsWith("23")) {
            // Not text (a NUL character), or two rows where there can be one: the import, not the database, is at
            // fault.
            return new Refused("the import cannot be stored as it stands: " + e.getMessage()
                    + "; nothing of the import was stored");
        }
        return new IllegalStateException("the import could not be stored: " + e.getMessage(), e);
    }

    private Refused takenBefore(String sourceSha256) {
        return app.withHandle(handle -> Days.receipt(handle, sourceSha256))
                .map(before -> new Refused("the same source was taken before, as day " + before.day() + " at "
                        + before.takenAt() + " by " + before.actor() + " (digest " + sourceSha256.substring(0, 12)
                        + "…); nothing was stored a second time"))
                .orElseGet(() -> new Refused("the same source is being taken at this moment (digest "
                        + sourceSha256.substring(0, 12) + "…); nothing was stored a second time"));
    }

    /** One import in its transaction. */
    private final class Import {
        private final Handle handle;
        private final Connection connection;
        private final Day day;
        private final String register;
        private final Laboratory laboratory;
        private final LaboratoryDates dates;
        private final String sourceSha256;
        private final String actor;
        private final Map<LocalDate, Integer> dayIds = new TreeMap<>();

        Import(Handle handle, Day day, Optional<LocalDate> date, String sourceSha256, String actor) {
            this.handle = handle;
            this.connection = handle.getConnection();
            this.day = day;
            this.register = day.laboratory().register();
            this.sourceSha256 = sourceSha256;
            this.actor = actor;
            lockRegister();
            // A folder that says nothing of its laboratory, as a redo may, changes nothing of it.
            this.laboratory = day.laboratory().equals(Laboratory.unnamed())
                    ? DayLoading.newestLaboratory(handle, register).orElse(day.laboratory())
                    : day.laboratory();
            ZoneId zone = ZoneId.of(laboratory.zone());
            this.dates = new LaboratoryDates(day, zone, date, LocalDate.ofInstant(clock.instant(), zone));
        }

        Receipt take() throws SQLException {
            if (Days.receipt(handle, sourceSha256).isPresent()) {
                throw takenBefore(sourceSha256);
            }
            int listed = dayId(dates.listed());
            String name = Days.name(register, dates.listed());
            Day known = DayLoading.ownLists(handle, listed);

            Submissions submissions = new Submissions();
            Soils soils = new Soils(submissions);
            List<Tray> trays = fresh(day.trays(), known.trays(), Tray::tray, "day " + name, "tray");
            List<Material> materials = fresh(
                    day.materials(),
                    known.materials(),
                    m -> m.material() + ", " + m.method() + ", " + m.analyte(),
                    "day " + name,
                    "material");
            List<Standard> standards = fresh(
                    day.standards(),
                    known.standards(),
                    s -> s.standard() + ", " + s.method() + ", " + s.analyte(),
                    "day " + name,
                    "standard");
            List<TestPackage> packages =
                    fresh(day.packages(), known.packages(), TestPackage::name, "day " + name, "package");
            List<Shortage> shortages = freshShortages();
            Runs runs = new Runs();
            Instant at = clock.instant().truncatedTo(ChronoUnit.MICROS);
            int source = insertSource(listed, at, soils.fresh.size(), runs.readings());

            submissions.copy(listed);
            soils.copy(listed);
            submissions.claimWaitingSoils();
            copyTrays(listed, known.trays().size(), trays);
            RecordTables.MATERIAL.copy(
                    connection,
                    List.of("day", "ord"),
                    materials,
                    (m, i, row) -> row.integer(listed).integer(known.materials().size() + i));
            RecordTables.STANDARD.copy(
                    connection,
                    List.of("day", "ord"),
                    standards,
                    (s, i, row) -> row.integer(listed).integer(known.standards().size() + i));
            copyPackages(listed, known.packages().size(), packages);
            RecordTables.SHORTAGE.copy(
                    connection,
                    List.of("register", "day", "ord"),
                    shortages,
                    (s, i, row) -> row.text(register).integer(listed).integer(i));
            seal(listed, name);
            List<Integer> runIds = runs.copy(source);
            new DayLists(handle, register).list(listed, soils.ids(), submissions.ids(), runIds, soils.freshNumbers());

            Map<String, Object> contents = new Contents()
                    .submissions(submissions.fresh)
                    .soils(soils.fresh)
                    .packages(packages)
                    .shortages(shortages)
                    .trays(trays)
                    .materials(materials)
                    .standards(standards)
                    .laboratory(handle, source)
                    .keep(handle);

            Receipt receipt = new Receipt(
                    name,
                    sourceSha256,
                    soils.fresh.size(),
                    runs.fresh.stream().map(Run::run).toList(),
                    runs.readings(),
                    actor,
                    at);
            journal.write(
                    handle,
                    at,
                    actor,
                    "day-taken",
                    Days.inJournal(handle, listed),
                    Json.object(
                            "source", sourceSha256,
                            "submissions", submissions.fresh.size(),
                            "soils", soils.fresh.size(),
                            "trays", trays.size(),
                            "readings", runs.readings(),
                            "contents", contents,
                            "contents-version", Contents.VERSION,
                            "controls-sha256", Contents.sealed(handle, listed),
                            "runs", runs.inJournal(dates.listed())));
            return receipt;
        }

        private void lockRegister() {
            handle.createUpdate("insert into intake.register (register) values (:register) on conflict do nothing")
                    .bind("register", register)
                    .execute();
            handle.createQuery("select register from intake.register where register = :register for update")
                    .bind("register", register)
                    .mapTo(String.class)
                    .one();
        }

        private int dayId(LocalDate date) {
            return dayIds.computeIfAbsent(date, wanted -> {
                handle.createUpdate("""
                                insert into intake.day (name, register, on_date) values (:name, :register, :date)
                                on conflict (register, on_date) do nothing
                                """)
                        .bind("name", Days.name(register, wanted))
                        .bind("register", register)
                        .bind("date", wanted)
                        .execute();
                return handle.createQuery("select id from intake.day where register = :register and on_date = :date")
                        .bind("register", register)
                        .bind("date", wanted)
                        .mapTo(Integer.class)
                        .one();
            });
        }

        private int insertSource(int listed, Instant at, int soils, long readings) {
            return handle.createUpdate("""
                            insert into intake.source
                                (day, sha256, actor, taken_at, soils, readings, laboratory, zone, address, invented, policy,
                                 advice, second_signature_for_accepted, accepted_on_report)
                            values (:day, :sha256, :actor, :at, :soils, :readings, :laboratory, :zone, :address, :invented,
                                    :policy::jsonb, :advice, :secondSignature, :onReport)
                            """)
                    .bind("day", listed)
                    .bind("sha256", sourceSha256)
                    .bind("actor", actor)
                    .bind("at", at.atOffset(ZoneOffset.UTC))
                    .bind("soils", soils)
                    .bind("readings", readings)
                    .bind("laboratory", laboratory.name())
                    .bind("zone", laboratory.zone())
                    .bind("address", laboratory.address())
                    .bind("invented", laboratory.invented())
                    .bind("policy", Policies.json(laboratory.policy()))
                    .bind("secondSignature", laboratory.acceptedFailures().secondSignature())
                    .bind("onReport", laboratory.acceptedFailures().onReport())
                    .bindArray(
                            "advice",
                            String.class,
                            laboratory.advice().stream().sorted().toList())
                    .executeAndReturnGeneratedKeys("id")
                    .mapTo(Integer.class)
                    .one();
        }

        private List<Shortage> freshShortages() throws SQLException {
            Set<Shortage> known = new HashSet<>();
            handle.createQuery("""
                            select lab_number, method from intake.shortage
                            where register = :register and lab_number = any(:labNumbers)
                            """)
                    .bind("register", register)
                    .bindArray(
                            "labNumbers",
                            String.class,
                            day.shortages().stream()
                                    .map(shortage -> shortage.labNumber().text())
                                    .toList())
                    .map((row, context) -> new Shortage(new LabNumber(row.getString(1)), row.getString(2)))
                    .forEach(known::add);
            return day.shortages().stream().filter(known::add).toList();
        }

        private void copyTrays(int listed, int from, List<Tray> trays) throws SQLException {
            List<Integer> ids = Ids.next(handle, "layout.tray_id", trays.size());
            RecordTables.TRAY.copy(
                    connection,
                    List.of("id", "day", "ord"),
                    trays,
                    (tray, i, row) -> row.integer(ids.get(i)).integer(listed).integer(from + i));
            List<Tray.Place> places = new ArrayList<>();
            List<Integer> trayOfPlace = new ArrayList<>();
            for (int i = 0; i < trays.size(); i++) {
                for (Tray.Place place : trays.get(i).wells()) {
                    places.add(place);
                    trayOfPlace.add(ids.get(i));
                }
            }
            RecordTables.PLACE.copy(
                    connection, List.of("tray"), places, (place, i, row) -> row.integer(trayOfPlace.get(i)));
        }

        private void copyPackages(int listed, int from, List<TestPackage> packages) throws SQLException {
            RecordTables.PACKAGE.copy(
                    connection,
                    List.of("day", "ord"),
                    packages,
                    (one, i, row) -> row.integer(listed).integer(from + i));
            for (TestPackage one : packages) {
                RecordTables.ASKED.copy(
                        connection,
                        List.of("day", "package", "ord"),
                        one.asked(),
                        (asked, i, row) -> row.integer(listed).text(one.name()).integer(i));
            }
        }

        private void seal(int listed, String name) {
            List<LabNumber> order = day.controls().keySet().stream().sorted().toList();
            boolean fits = handle.createQuery("select intake.seal(:day, :labNumbers, :materials)")
                    .bind("day", listed)
                    .bindArray(
                            "labNumbers",
                            String.class,
                            order.stream().map(LabNumber::text).toList())
                    .bindArray(
                            "materials",
                            String.class,
                            order.stream().map(day.controls()::get).toList())
                    .mapTo(Boolean.class)
                    .one();
            if (!fits) {
                // No lab number here: this message may reach people who must not know the controls.
                throw new Refused("the key of the hidden controls of day " + name
                        + " is not the one that was sealed before; nothing of the import was stored");
            }
        }

        /** The submissions of the import: known ones with their ids, and what is new. */
        private final class Submissions {
            private final Map<String, Integer> idsByName = new LinkedHashMap<>();
            private final List<Submission> fresh;
            private final List<Integer> freshIds;

            Submissions() throws SQLException {
                List<Integer> candidates = handle.createQuery(
                                "select id from intake.submission where register = :register and submission = any(:names)")
                        .bind("register", register)
                        .bindArray(
                                "names",
                                String.class,
                                day.submissions().stream()
                                        .map(Submission::submission)
                                        .toList())
                        .mapTo(Integer.class)
                        .list();
                List<KnownSubmission> known = RecordTables.SUBMISSION.values(
                        connection,
                        "t.id,",
                        "where t.id " + Ids.in(candidates),
                        row -> new KnownSubmission(
                                row.integer(), RecordTables.SUBMISSION.read().of(row)));
                List<Submission> given =
                        day.submissions().stream().map(Import.this::toMicros).toList();
                fresh = fresh(
                        given,
                        known.stream().map(KnownSubmission::submission).toList(),
                        submission -> submission.submission() + ", received on " + receivedOn(submission),
                        "register " + register,
                        "submission");
                freshIds = Ids.next(handle, "intake.submission_id", fresh.size());
                for (Submission submission : given) {
                    int place = fresh.indexOf(submission);
                    idsByName.put(
                            submission.submission(),
                            place >= 0
                                    ? freshIds.get(place)
                                    : known.stream()
                                            .filter(one -> one.submission().equals(submission))
                                            .findFirst()
                                            .orElseThrow()
                                            .id());
                }
            }

            void copy(int listed) throws SQLException {
                RecordTables.SUBMISSION.copy(
                        connection,
                        List.of("id", "register", "received_on", "day"),
                        fresh,
                        (submission, i, row) -> row.integer(freshIds.get(i))
                                .text(register)
                                .date(Optional.of(receivedOn(submission)))
                                .integer(listed));
            }

            /**
             * Soils that came in an earlier import, before the submission that they name. Where soils of more than one day wait for that
             * name it is not known whose they are, and they stay under none.
             */
            void claimWaitingSoils() {
                Set<String> named = new HashSet<>();
                day.soils().forEach(soil -> soil.submission().ifPresent(named::add));
                for (int i = 0; i < fresh.size(); i++) {
                    Submission submission = fresh.get(i);
                    if (!named.contains(submission.submission())) {
                        handle.createUpdate("""
                                        with waiting as (
                                            select s.id, s.day
                                            from intake.day d
                                            join intake.soil s on s.day = d.id
                                            where d.register = :register and d.on_date between :from and :until
                                              and s.submission = :name
                                              and not exists (select from intake.came_in c where c.soil = s.id))
                                        insert into intake.came_in (soil, submission)
                                        select id, :submission from waiting
                                        where (select count(distinct day) from waiting) = 1
                                        """)
                                .bind("submission", freshIds.get(i))
                                .bind("register", register)
                                .bind("from", receivedOn(submission))
                                .bind("until", receivedOn(submission).plusDays(WAITS_DAYS))
                                .bind("name", submission.submission())
                                .execute();
                    }
                }
            }

            List<Integer> ids() {
                return List.copyOf(idsByName.values());
            }
        }

        /** The soils of the import: known ones with their ids, and what is new. */
        private final class Soils {
            private final Map<String, Integer> ids = new LinkedHashMap<>();
            private final List<Soil> fresh = new ArrayList<>();
            /** Soil and submission, of what is not yet known to belong together. */
            private final Map<Integer, Integer> cameIn = new LinkedHashMap<>();

            Soils(Submissions submissions) throws SQLException {
                List<Integer> candidates = handle.createQuery(
                                "select id from intake.soil where register = :register and lab_number = any(:labNumbers)")
                        .bind("register", register)
                        .bindArray(
                                "labNumbers",
                                String.class,
                                day.soils().stream()
                                        .map(soil -> soil.labNumber().text())
                                        .toList())
                        .mapTo(Integer.class)
                        .list();
                Map<String, KnownSoil> known = new HashMap<>();
                if (!candidates.isEmpty()) {
                    RecordTables.SOIL
                            .values(
                                    connection,
                                    "t.id, coalesce(c.submission, 0),",
                                    "left join intake.came_in c on c.soil = t.id where t.id " + Ids.in(candidates),
                                    row -> new KnownSoil(
                                            row.integer(),
                                            row.integer(),
                                            RecordTables.SOIL.read().of(row)))
                            .forEach(one -> known.put(one.soil().labNumber().text(), one));
                }
                Map<String, Integer> earlier = earlierSubmissions(submissions);
                Map<String, Soil> here = new HashMap<>();
                for (Soil soil : day.soils()) {
                    String number = soil.labNumber().text();
                    Soil twice = here.putIfAbsent(number, soil);
                    if (twice != null) {
                        if (!twice.equals(soil)) {
                            throw another(number, twice, soil);
                        }
                        continue;
                    }
                    KnownSoil before = known.get(number);
                    if (before != null && !before.soil().equals(soil)) {
                        throw another(number, before.soil(), soil);
                    }
                    int submission = soil.submission()
                            .map(name -> submissions.idsByName.getOrDefault(name, earlier.getOrDefault(name, 0)))
                            .orElse(0);
                    if (before == null) {
                        fresh.add(soil);
                        ids.put(number, 0);
                    } else {
                        ids.put(number, before.id());
                        boolean named = soil.submission()
                                .filter(submissions.idsByName::containsKey)
                                .isPresent();
                        if (before.submission() != 0 && named && before.submission() != submission) {
                            throw new Refused("register " + register + " has lab number " + number
                                    + " already, in a submission "
                                    + soil.submission().orElse("")
                                    + " that was received on another date; nothing of the import was stored");
                        }
                        if (before.submission() == 0 && submission != 0) {
                            cameIn.put(before.id(), submission);
                        }
                    }
                }
                List<Integer> freshIds = Ids.next(handle, "intake.soil_id", fresh.size());
                for (int i = 0; i < freshIds.size(); i++) {
                    Soil soil = fresh.get(i);
                    int id = freshIds.get(i);
                    ids.put(soil.labNumber().text(), id);
                    soil.submission()
                            .map(name -> submissions.idsByName.getOrDefault(name, earlier.getOrDefault(name, 0)))
                            .filter(submission -> submission != 0)
                            .ifPresent(submission -> cameIn.put(id, submission));
                }
            }

            private Refused another(String number, Soil there, Soil here) {
                return new Refused("register " + register + " has lab number " + number
                        + " already, for another soil: " + there + " there, " + here
                        + " in this import; nothing of the import was stored. A lab number is given once in a register:"
                        + " number the soil anew, or, if somebody else numbers these soils, name their register in"
                        + " laboratory.yaml");
            }

            /**
             * Submissions that the import's soils name and only earlier imports brought: on the list of the same day, or received shortly
             * before and still without a soil. Any other of that name, as there is one each morning, is somebody else's.
             */
            private Map<String, Integer> earlierSubmissions(Submissions submissions) {
                List<String> names = day.soils().stream()
                        .flatMap(soil -> soil.submission().stream())
                        .filter(name -> !submissions.idsByName.containsKey(name))
                        .distinct()
                        .toList();
                Map<String, Integer> earlier = new HashMap<>();
                if (!names.isEmpty()) {
                    handle.createQuery("""
                                    select distinct on (b.submission) b.submission, b.id
                                    from intake.submission b
                                    where b.register = :register and b.submission = any(:names)
                                      and b.received_on between :from and :until
                                      and (exists (select from intake.day_submission l
                                                   where l.submission = b.id and l.day = :listed)
                                           or not exists (select from intake.came_in c where c.submission = b.id))
                                    order by b.submission, b.received_on desc
                                    """)
                            .bind("register", register)
                            .bind("from", dates.listed().minusDays(WAITS_DAYS))
                            .bind("until", dates.listed())
                            .bind("listed", dayId(dates.listed()))
                            .bindArray("names", String.class, names)
                            .map((row, context) -> Map.entry(row.getString(1), row.getInt(2)))
                            .forEach(entry -> earlier.put(entry.getKey(), entry.getValue()));
                }
                return earlier;
            }

            void copy(int listed) throws SQLException {
                RecordTables.SOIL.copy(
                        connection,
                        List.of("id", "register", "day"),
                        fresh,
                        (soil, i, row) -> row.integer(
                                        ids.getOrDefault(soil.labNumber().text(), 0))
                                .text(register)
                                .integer(listed));
                if (!cameIn.isEmpty()) {
                    try (CopyRows rows = new CopyRows(connection, "intake.came_in (soil, submission)")) {
                        for (Map.Entry<Integer, Integer> one : cameIn.entrySet()) {
                            rows.row(2).integer(one.getKey()).integer(one.getValue());
                        }
                        rows.end();
                    }
                }
            }

            List<Integer> ids() {
                return List.copyOf(ids.values());
            }

            List<String> freshNumbers() {
                return fresh.stream().map(soil -> soil.labNumber().text()).toList();
            }
        }

        /** The runs of the import that are not there yet. */
        private final class Runs {
            private final List<Run> fresh = new ArrayList<>();
            private final List<Integer> days = new ArrayList<>();
            private final List<LocalDate> dateOf = new ArrayList<>();
            private final List<String> digests = new ArrayList<>();

            Runs() {
                Map<String, List<KnownRun>> known = new HashMap<>();
                handle.createQuery("""
                                select r.run, d.on_date, r.started_at, r.sha256
                                from reading.run r
                                join intake.day d on d.id = r.day
                                where d.register = :register and r.run = any(:runs)
                                """)
                        .bind("register", register)
                        .bindArray(
                                "runs",
                                String.class,
                                day.runs().stream().map(Run::run).toList())
                        .map((row, context) -> new KnownRun(
                                row.getString("run"),
                                row.getObject("on_date", LocalDate.class),
                                row.getObject("started_at", OffsetDateTime.class)
                                        .toInstant(),
                                row.getString("sha256")))
                        .forEach(one -> known.computeIfAbsent(one.run(), run -> new ArrayList<>())
                                .add(one));
                for (Run run : day.runs()) {
                    List<String> identities = StoredReadings.identities(run);
                    LocalDate date = dates.of(run, identities, () -> isRedo(run, identities));
                    Instant startedAt = run.startedAt().toInstant().truncatedTo(ChronoUnit.MICROS);
                    String digest = RunDigest.of(run);
                    List<KnownRun> sameName = known.computeIfAbsent(run.run(), name -> new ArrayList<>());
                    Optional<KnownRun> same = sameName.stream()
                            .filter(one -> one.startedAt().equals(startedAt)
                                    || one.date().equals(date))
                            .findFirst();
                    if (same.isEmpty()) {
                        sameName.add(new KnownRun(run.run(), date, startedAt, digest));
                        fresh.add(run);
                        days.add(dayId(date));
                        dateOf.add(date);
                        digests.add(digest);
                    } else if (!same.get().sha256().equals(digest)) {
                        throw new Refused(
                                "day " + Days.name(register, same.get().date()) + " has run " + run.run()
                                        + " already, with other readings; readings are never changed, so nothing of the import was"
                                        + " stored: give the new readings a run of their own");
                    }
                }
            }

            /** Whether most of what a run read had been read by its method before it started, in this import or an earlier one. */
            private boolean isRedo(Run run, List<String> identities) {
                Set<String> before = new HashSet<>(handle.createQuery("""
                                select distinct i.identity
                                from reading.identity i
                                join reading.run r on r.id = i.run
                                join intake.day d on d.id = r.day
                                where d.register = :register and r.method = :method and r.started_at < :startedAt
                                  and i.identity = any(:identities)
                                """)
                        .bind("register", register)
                        .bind("method", run.method())
                        .bind("startedAt", run.startedAt())
                        .bindArray("identities", String.class, identities)
                        .mapTo(String.class)
                        .list());
                day.runs().stream()
                        .filter(other -> other.method().equals(run.method())
                                && other.startedAt()
                                        .toInstant()
                                        .isBefore(run.startedAt().toInstant()))
                        .forEach(other -> before.addAll(StoredReadings.identities(other)));
                return 2 * identities.stream().filter(before::contains).count() > identities.size();
            }

            long readings() {
                return fresh.stream().mapToLong(run -> run.readings().size()).sum();
            }

            List<Integer> copy(int source) throws SQLException {
                return StoredReadings.copy(handle, source, fresh, days, digests);
            }

            /** What the journal says of each: its name, with its day where that is another, and its digests. */
            List<List<String>> inJournal(LocalDate listed) {
                List<List<String>> all = new ArrayList<>();
                for (int i = 0; i < fresh.size(); i++) {
                    Run run = fresh.get(i);
                    all.add(List.of(
                            days.get(i).equals(dayId(listed)) ? run.run() : Days.runOf(dateOf.get(i), run.run()),
                            digests.get(i),
                            RunDigests.byIdentity(run).keep(handle)));
                }
                return all;
            }
        }

        private LocalDate receivedOn(Submission submission) {
            return submission.receivedAt().toLocalDate();
        }

        private Submission toMicros(Submission s) {
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

    private static <T> List<T> fresh(List<T> given, List<T> known, Function<T, String> key, String where, String what) {
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
                throw new Refused(where + " has " + what + " " + key.apply(one) + " already, and it is not the same: "
                        + before + " there, " + one + " in this import; nothing of the import was stored");
            }
        }
        return fresh;
    }
}
