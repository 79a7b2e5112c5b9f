package org.tenmesh.store.days;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Consumer;
import java.util.regex.Pattern;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Ids;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Imports into the laboratory record: what is new of each, whole or not at all. */
public final class DayTaking {
    private static final Pattern SHA256 = Pattern.compile("[0-9a-f]{64}");

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    public DayTaking(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    public Receipt take(Day day, Optional<LocalDate> date, String sourceSha256, String actor) {
        return take(day, date, sourceSha256, actor, handle -> {});
    }

    /** @param first what is checked and kept in the same transaction, before the import; where it throws nothing is stored */
    public Receipt take(Day day, Optional<LocalDate> date, String sourceSha256, String actor, Consumer<Handle> first) {
        if (!SHA256.matcher(sourceSha256).matches()) {
            throw new Refused("the digest of the source must be 64 lower-case hexadecimal digits, found \""
                    + sourceSha256 + "\"; nothing was stored");
        }
        if (actor.isBlank()) {
            throw new Refused("an import needs the name of who imports; nothing was stored");
        }
        try {
            return app.inTransaction(handle -> {
                first.accept(handle);
                return new Import(handle, day, date, sourceSha256, actor).take();
            });
        } catch (SQLException e) {
            throw failed(e);
        } catch (UnableToExecuteStatementException e) {
            if (Days.broke(e, "source_taken_once")) {
                throw takenBefore(sourceSha256);
            }
            throw e.getCause() instanceof SQLException cause ? failed(cause) : e;
        }
    }

    /**
     * Ends a run under way, in the handle's transaction: from then on it is a run as any other that was taken in.
     *
     * @param id under which its readings are stored
     * @param whole with everything that was read of it
     */
    public Receipt end(Handle handle, int id, Run whole, String register, String actor) throws SQLException {
        Day day = RunDate.alone(handle, register, whole);
        handle.createUpdate("delete from reading.under_way where id = :id")
                .bind("id", id)
                .execute();
        String source = Journal.sha256("run " + id + " of register " + register + ": " + RunDigest.of(whole));
        return new Import(handle, day, Optional.empty(), source, actor).take(OptionalInt.of(id));
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
        private final Importing context;
        private final Handle handle;
        private final Connection connection;
        private final Day day;
        private final String register;
        private final String sourceSha256;
        private final String actor;

        Import(Handle handle, Day day, Optional<LocalDate> date, String sourceSha256, String actor) {
            this.context = new Importing(handle, day, date, clock.instant());
            this.handle = handle;
            this.connection = handle.getConnection();
            this.day = day;
            this.register = context.register();
            this.sourceSha256 = sourceSha256;
            this.actor = actor;
        }

        public Receipt take() throws SQLException {
            return take(OptionalInt.empty());
        }

        /** @param ended id of the one run of the import, where its readings are stored already */
        Receipt take(OptionalInt ended) throws SQLException {
            if (Days.receipt(handle, sourceSha256).isPresent()) {
                throw takenBefore(sourceSha256);
            }
            int listed = context.dayId(context.dates().listed());
            String name = Days.name(register, context.dates().listed());
            Day known = DayLoading.ownLists(handle, listed);

            ImportedSubmissions submissions = new ImportedSubmissions(context);
            ImportedSoils soils = new ImportedSoils(context, submissions);
            List<Tray> trays = Fresh.of(day.trays(), known.trays(), Tray::tray, "day " + name, "tray");
            List<Material> materials = Fresh.of(
                    day.materials(),
                    known.materials(),
                    m -> m.material() + ", " + m.method() + ", " + m.analyte(),
                    "day " + name,
                    "material");
            List<Standard> standards = Fresh.of(
                    day.standards(),
                    known.standards(),
                    s -> s.standard() + ", " + s.method() + ", " + s.analyte(),
                    "day " + name,
                    "standard");
            List<TestPackage> packages =
                    Fresh.of(day.packages(), known.packages(), TestPackage::name, "day " + name, "package");
            List<Shortage> shortages = freshShortages();
            ImportedRuns runs = new ImportedRuns(context);
            runs.refuseUnderWay();
            if (ended.isPresent() && runs.fresh().isEmpty()) {
                throw new Refused("the run that ends is there already; nothing was stored");
            }
            Instant at = clock.instant().truncatedTo(ChronoUnit.MICROS);
            int source = insertSource(listed, at, soils.fresh().size(), runs.readings());

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
            List<Integer> runIds = ended.isPresent() ? runs.end(source, ended.getAsInt()) : runs.copy(source);
            new DayLists(handle, register).list(listed, soils.ids(), submissions.ids(), runIds, soils.freshNumbers());

            Map<String, Object> contents = new Contents()
                    .submissions(submissions.fresh())
                    .soils(soils.fresh())
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
                    soils.fresh().size(),
                    runs.fresh().stream().map(Run::run).toList(),
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
                            "submissions", submissions.fresh().size(),
                            "soils", soils.fresh().size(),
                            "trays", trays.size(),
                            "readings", runs.readings(),
                            "contents", contents,
                            "contents-version", Contents.VERSION,
                            "controls-sha256", Contents.sealed(handle, listed),
                            "runs", runs.inJournal(context.dates().listed())));
            return receipt;
        }

        private int insertSource(int listed, Instant at, int soils, long readings) {
            return handle.createUpdate("""
                            insert into intake.source
                                (day, sha256, actor, taken_at, soils, readings, laboratory, zone, address, invented, policy,
                                 advice, second_signature_for_accepted, accepted_on_report, report_forms)
                            values (:day, :sha256, :actor, :at, :soils, :readings, :laboratory, :zone, :address, :invented,
                                    :policy::jsonb, :advice, :secondSignature, :onReport, :reports::jsonb)
                            """)
                    .bind("day", listed)
                    .bind("sha256", sourceSha256)
                    .bind("actor", actor)
                    .bind("at", at.atOffset(ZoneOffset.UTC))
                    .bind("soils", soils)
                    .bind("readings", readings)
                    .bind("laboratory", context.laboratory().name())
                    .bind("zone", context.laboratory().zone())
                    .bind("address", context.laboratory().address())
                    .bind("invented", context.laboratory().invented())
                    .bind("policy", Policies.json(context.laboratory().policy()))
                    .bind(
                            "secondSignature",
                            context.laboratory().acceptedFailures().secondSignature())
                    .bind("onReport", context.laboratory().acceptedFailures().onReport())
                    .bind("reports", KeptForms.json(context.laboratory().reports()))
                    .bindArray(
                            "advice",
                            String.class,
                            context.laboratory().advice().stream().sorted().toList())
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
    }
}
