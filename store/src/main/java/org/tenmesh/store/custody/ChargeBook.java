package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Refused;

/** Charges that destroy regulated soil: opened, loaded, recorded, judged, signed by two, released. May be used by several threads. */
public final class ChargeBook {
    private final Jdbi app;
    private final Journal journal;
    private final LedgerBook ledger;

    public ChargeBook(Jdbi app, Journal journal, LedgerBook ledger) {
        this.app = app;
        this.journal = journal;
        this.ledger = ledger;
    }

    /**
     * Opens a charge.
     *
     * @param today the laboratory's date
     * @throws Refused where there is one of this name, the version of the permit does not decide today, or the treatment is not as it has it
     */
    public void open(Charge charge, LocalDate today) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            if (find(handle, charge.name()).isPresent()) {
                throw new Refused("There is a charge " + charge.name()
                        + " already. Give this one another name. Nothing was opened.");
            }
            Permits.inForce(
                            Papers.permits(handle).stream()
                                    .flatMap(one -> one.signed().stream())
                                    .toList(),
                            today)
                    .refusesCharge(charge.permit(), charge.permitVersion())
                    .ifPresent(why -> {
                        throw new Refused("Under the permit " + charge.permit() + ", version " + charge.permitVersion()
                                + ", no charge is opened: " + why + ". Nothing was opened.");
                    });
            if (!treatment(
                            handle,
                            charge.permit(),
                            charge.permitVersion(),
                            charge.treatment().name())
                    .equals(Optional.of(charge.treatment()))) {
                throw new Refused("The permit " + charge.permit() + ", version " + charge.permitVersion()
                        + ", does not allow this treatment, or nobody signed it. Nothing was opened.");
            }
            handle.createUpdate("""
                            insert into custody.charge
                                (name, device, permit, permit_version, treatment, sensors, uncertainty_k, opened_by, opened_at)
                            values (:name, :device, :permit, :version, :treatment, :sensors, :uncertainty, :by, :at)
                            """)
                    .bind("name", charge.name())
                    .bind("device", charge.device())
                    .bind("permit", charge.permit())
                    .bind("version", charge.permitVersion())
                    .bind("treatment", charge.treatment().name())
                    .bindArray("sensors", String.class, charge.sensors())
                    .bind("uncertainty", charge.uncertaintyK())
                    .bind("by", charge.openedBy())
                    .bind("at", Kept.millis(charge.openedAt()))
                    .execute();
            Kept.of(Kept.OPENED, charge.name(), digest(charge), charge.openedBy(), charge.openedAt())
                    .write(handle, journal);
        });
    }

    private static Optional<Treatment> treatment(Handle handle, String permit, int version, String name) {
        return Papers.permits(handle).stream()
                .filter(one -> one.name().equals(permit)
                        && one.version() == version
                        && one.signature().isPresent())
                .findFirst()
                .flatMap(one -> one.paper().treatment(name));
    }

    /**
     * Loads portions, all or none. Everything at a place is loaded by the codes that the account has there.
     *
     * @throws Refused where the charge is closed, its treatment does not fit, or a portion came under another permit
     */
    public void load(String charge, List<String> codes, String person, Instant at) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            ChargeState state = open(handle, charge);
            Ledger account = Ledger.of(LedgerBook.moves(handle));
            Map<String, Parcel> parcels =
                    LedgerBook.parcels(handle).stream().collect(Collectors.toMap(Parcel::code, one -> one));
            List<Move> lines = new ArrayList<>();
            for (String code : codes.stream().distinct().toList()) {
                Held held = account.portion(code)
                        .orElseThrow(() -> new Refused(code + " is not in the account. Nothing was loaded."));
                if (!state.charge().treatment().fits(held.kind())) {
                    throw new Refused(state.charge().treatment().name() + " is not for "
                            + held.kind().phrase() + " (" + code + "). Nothing was loaded.");
                }
                Parcel parcel = parcels.get(held.parcel());
                if (parcel != null && !parcel.permitKnown()) {
                    throw new Refused("The permit of parcel " + parcel.code() + " is not known (" + code
                            + "): enter it on the page of the parcel first. Nothing was loaded.");
                }
                if (parcel == null || !parcel.permit().equals(state.charge().permit())) {
                    throw new Refused(code + " came under another permit than "
                            + state.charge().permit() + ". Nothing was loaded.");
                }
                lines.add(line(Move.What.LOADED, held, charge, "", person, at));
            }
            ledger.keep(handle, lines);
        });
    }

    /** Takes a portion out again, before the charge is closed. */
    public void unload(String charge, String code, String person, Instant at) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            open(handle, charge);
            Held held = Ledger.of(LedgerBook.moves(handle))
                    .portion(code)
                    .orElseThrow(() -> new Refused(code + " is not in the account. Nothing was unloaded."));
            ledger.keep(handle, List.of(line(Move.What.UNLOADED, held, charge, "", person, at)));
        });
    }

    private static Move line(Move.What what, Held held, String charge, String note, String person, Instant at) {
        return new Move(
                UUID.randomUUID().toString(),
                what,
                held.parcel(),
                held.code(),
                held.kind(),
                "",
                "",
                held.massMg(),
                held.pieces(),
                charge,
                note,
                person,
                at);
    }

    /**
     * Adds points to the record of a charge that is not closed yet.
     *
     * @param source where they come from: a file's name, "typed"
     */
    public void record(String charge, String source, List<Charge.Point> points, String person, Instant at) {
        if (points.isEmpty()) {
            throw new Refused("There is no point in it. Nothing was kept.");
        }
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            open(handle, charge);
            ChargeRecord.add(handle, journal, charge, source, Optional.empty(), points, person, at);
        });
    }

    /**
     * Closes a charge: its record is judged. What failed is unloaded and stays regulated.
     *
     * @param openedAgain when the device was opened again
     * @param confirmed what the person at the device confirmed of what the treatment asks to be confirmed
     */
    public HeatRecord close(String charge, Instant openedAgain, Set<String> confirmed, String person, Instant at) {
        return app.inTransaction(handle -> {
            LedgerBook.hold(handle);
            ChargeState state = open(handle, charge);
            Ledger account = Ledger.of(LedgerBook.moves(handle));
            List<Held> load = account.load(charge);
            if (load.isEmpty()) {
                throw new Refused("Nothing lies in charge " + charge + ". Nothing was closed.");
            }
            Set<String> unknown = LedgerBook.parcels(handle).stream()
                    .filter(parcel -> !parcel.permitKnown())
                    .map(Parcel::code)
                    .collect(Collectors.toSet());
            load.stream()
                    .filter(held -> unknown.contains(held.parcel()))
                    .findFirst()
                    .ifPresent(held -> {
                        throw new Refused("The permit of parcel " + held.parcel() + " is not known (" + held.code()
                                + "): enter it on the page of the parcel first. Nothing was closed.");
                    });
            if (openedAgain.isAfter(at)) {
                throw new Refused("The device cannot have been opened after now. Nothing was closed.");
            }
            HeatRecord judged = judged(state, openedAgain, confirmed);
            handle.createUpdate("""
                            insert into custody.charge_closed (charge, opened_again, confirmed, passed, reasons, actor, at)
                            values (:charge, :again, :confirmed, :passed, :reasons, :actor, :at)
                            """)
                    .bind("charge", charge)
                    .bind("again", Kept.millis(openedAgain))
                    .bindArray("confirmed", String.class, List.copyOf(confirmed))
                    .bind("passed", judged.passed())
                    .bindArray("reasons", String.class, judged.reasons())
                    .bind("actor", person)
                    .bind("at", Kept.millis(at))
                    .execute();
            Kept.of(Kept.CLOSED, charge, digest(closed(handle, charge).orElseThrow()), person, at)
                    .write(handle, journal);
            if (!judged.passed()) {
                ledger.keep(
                        handle,
                        load.stream()
                                .map(held -> line(Move.What.UNLOADED, held, charge, "the charge failed", person, at))
                                .toList());
            }
            return judged;
        });
    }

    /** The record of a charge judged by its limits and by what was confirmed. */
    public static HeatRecord judged(ChargeState state, Instant openedAgain, Set<String> confirmed) {
        HeatRecord heat = HeatRecord.of(
                state.charge(), state.lastLoaded().orElse(state.charge().openedAt()), openedAgain, state.points());
        List<String> notConfirmed = state.charge().treatment().confirm().stream()
                .filter(one -> !confirmed.contains(one))
                .toList();
        if (notConfirmed.isEmpty()) {
            return heat;
        }
        List<String> reasons = new ArrayList<>(heat.reasons());
        notConfirmed.forEach(one -> reasons.add("not confirmed: " + one));
        return new HeatRecord(false, heat.limits(), heat.hottestColdestC(), heat.gaps(), reasons);
    }

    /**
     * Signs a charge that passed. With the second signature everything in it is destroyed.
     *
     * @throws Refused where it did not pass, or the same person signed before, under whichever name
     */
    public void sign(String charge, String person, Instant at) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            ChargeState state = find(handle, charge).orElseThrow(() -> unknown(charge));
            if (state.closed().filter(ChargeState.Closed::passed).isEmpty()) {
                throw new Refused("Charge " + charge + " has not passed. Nothing was signed.");
            }
            if (state.signatures().size() == 2) {
                throw new Refused("Charge " + charge + " has both signatures. Nothing was signed.");
            }
            String who = now(handle, person);
            if (state.signatures().stream()
                    .anyMatch(one -> now(handle, one.by()).equals(who))) {
                throw new Refused(
                        "You signed charge " + charge + " already: a second person has to. Nothing was signed.");
            }
            int place = state.signatures().size() + 1;
            handle.createUpdate(
                            "insert into custody.charge_signature (charge, place, person, at) values (:charge, :place, :person, :at)")
                    .bind("charge", charge)
                    .bind("place", place)
                    .bind("person", person)
                    .bind("at", Kept.millis(at))
                    .execute();
            Kept.of(Kept.CHARGE_SIGNED, charge + "/" + place, new Sha256().text(person), person, at)
                    .write(handle, journal);
            if (place == 2) {
                ledger.keep(
                        handle,
                        Ledger.of(LedgerBook.moves(handle)).load(charge).stream()
                                .map(held -> line(Move.What.DESTROYED, held, charge, "", person, at))
                                .toList());
            }
        });
    }

    /** The name that a person has now, whichever of theirs this is. */
    public static String now(Handle handle, String name) {
        return handle.createQuery("""
                        select p.name from people.former_name f join people.person p on p.id = f.person where f.name = :name
                        """)
                .bind("name", name)
                .mapTo(String.class)
                .findOne()
                .orElse(name);
    }

    /** Says what became of what a destroyed charge left. */
    public void release(String charge, ChargeState.Residue residue) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            ChargeState state = find(handle, charge).orElseThrow(() -> unknown(charge));
            if (!state.destroyed() || state.residue().isPresent()) {
                throw new Refused("Charge " + charge + " is " + state.words() + ". Nothing was released.");
            }
            handle.createUpdate("""
                            insert into custody.charge_residue (charge, carrier, destination, ticket, person, at)
                            values (:charge, :carrier, :destination, :ticket, :person, :at)
                            """)
                    .bind("charge", charge)
                    .bind("carrier", residue.carrier())
                    .bind("destination", residue.destination())
                    .bind("ticket", residue.ticket())
                    .bind("person", residue.by())
                    .bind("at", Kept.millis(residue.at()))
                    .execute();
            Kept.of(Kept.RESIDUE, charge, digest(residue), residue.by(), residue.at())
                    .write(handle, journal);
        });
    }

    private static ChargeState open(Handle handle, String charge) {
        ChargeState state = find(handle, charge).orElseThrow(() -> unknown(charge));
        if (state.closed().isPresent()) {
            throw new Refused("Charge " + charge + " is closed: " + state.words() + ". Nothing was done.");
        }
        return state;
    }

    private static Refused unknown(String charge) {
        return new Refused("There is no charge " + charge + ". Nothing was done.");
    }

    /** Every charge, the newest first. */
    public List<ChargeState> charges() {
        return app.withHandle(ChargeBook::charges);
    }

    /** The same within a transaction. */
    public static List<ChargeState> charges(Handle handle) {
        return handle
                .createQuery("select name from custody.charge order by opened_at desc, name")
                .mapTo(String.class)
                .list()
                .stream()
                .flatMap(name -> find(handle, name).stream())
                .toList();
    }

    /** Charges that are not closed, the newest first. */
    public List<ChargeState> underWay() {
        return app.withHandle(handle -> handle.createQuery("""
                        select name from custody.charge c
                        where not exists (select from custody.charge_closed e where e.charge = c.name)
                        order by opened_at desc, name
                        """).mapTo(String.class).list().stream()
                .flatMap(name -> find(handle, name).stream())
                .toList());
    }

    public Optional<ChargeState> charge(String name) {
        return app.withHandle(handle -> find(handle, name));
    }

    private static Optional<ChargeState> find(Handle handle, String name) {
        return handle.createQuery("select * from custody.charge where name = :name")
                .bind("name", name)
                .map((rs, ctx) -> charge(handle, rs))
                .findOne()
                .map(charge -> state(handle, charge));
    }

    private static Charge charge(Handle handle, ResultSet rs) throws SQLException {
        String permit = rs.getString("permit");
        int version = rs.getInt("permit_version");
        String treatment = rs.getString("treatment");
        return new Charge(
                rs.getString("name"),
                rs.getString("device"),
                permit,
                version,
                treatment(handle, permit, version, treatment)
                        .orElseThrow(() -> new IllegalStateException("the permit " + permit + ", version " + version
                                + ", no longer has the treatment " + treatment)),
                texts(rs, "sensors"),
                rs.getDouble("uncertainty_k"),
                rs.getString("opened_by"),
                at(rs, "opened_at"));
    }

    private static ChargeState state(Handle handle, Charge charge) {
        List<Map.Entry<String, Instant>> loaded = handle.createQuery(
                        "select portion, at from custody.move where charge = :charge and what = 'loaded' order by seq")
                .bind("charge", charge.name())
                .map((rs, ctx) -> Map.entry(rs.getString("portion"), at(rs, "at")))
                .list();
        List<Charge.Point> points = new ArrayList<>();
        List<String> sources = handle.createQuery(
                        "select * from custody.charge_record where charge = :charge order by ord")
                .bind("charge", charge.name())
                .map((rs, ctx) -> {
                    points.addAll(ChargeRecord.points(rs));
                    return rs.getString("source");
                })
                .list();
        return new ChargeState(
                charge,
                loaded.stream().map(Map.Entry::getKey).distinct().toList(),
                loaded.stream().map(Map.Entry::getValue).max(Instant::compareTo),
                points,
                sources,
                closed(handle, charge.name()),
                handle.createQuery("select * from custody.charge_signature where charge = :charge order by place")
                        .bind("charge", charge.name())
                        .map((rs, ctx) -> new ChargeState.Signature(rs.getString("person"), at(rs, "at")))
                        .list(),
                handle.createQuery("select * from custody.charge_residue where charge = :charge")
                        .bind("charge", charge.name())
                        .map((rs, ctx) -> residue(rs))
                        .findOne());
    }

    private static Optional<ChargeState.Closed> closed(Handle handle, String charge) {
        return handle.createQuery("select * from custody.charge_closed where charge = :charge")
                .bind("charge", charge)
                .map((rs, ctx) -> closed(rs))
                .findOne();
    }

    private static ChargeState.Closed closed(ResultSet rs) throws SQLException {
        return new ChargeState.Closed(
                at(rs, "opened_again"),
                texts(rs, "confirmed"),
                rs.getBoolean("passed"),
                texts(rs, "reasons"),
                rs.getString("actor"),
                at(rs, "at"));
    }

    private static ChargeState.Residue residue(ResultSet rs) throws SQLException {
        return new ChargeState.Residue(
                rs.getString("carrier"),
                rs.getString("destination"),
                rs.getString("ticket"),
                rs.getString("person"),
                at(rs, "at"));
    }

    /** What the journal must say of everything that is kept of charges. */
    public static List<Kept> kept(Handle handle) {
        List<Kept> all = new ArrayList<>();
        all.addAll(handle.createQuery("select * from custody.charge order by opened_at, name")
                .map((rs, ctx) -> Kept.of(
                        Kept.OPENED,
                        rs.getString("name"),
                        digest(charge(handle, rs)),
                        rs.getString("opened_by"),
                        at(rs, "opened_at")))
                .list());
        all.addAll(ChargeRecord.kept(handle));
        all.addAll(handle.createQuery("select * from custody.charge_closed order by at, charge")
                .map((rs, ctx) -> Kept.of(
                        Kept.CLOSED, rs.getString("charge"), digest(closed(rs)), rs.getString("actor"), at(rs, "at")))
                .list());
        all.addAll(handle.createQuery("select * from custody.charge_signature order by charge, place")
                .map((rs, ctx) -> Kept.of(
                        Kept.CHARGE_SIGNED,
                        rs.getString("charge") + "/" + rs.getInt("place"),
                        new Sha256().text(rs.getString("person")),
                        rs.getString("person"),
                        at(rs, "at")))
                .list());
        all.addAll(handle.createQuery("select * from custody.charge_residue order by at, charge")
                .map((rs, ctx) -> Kept.of(
                        Kept.RESIDUE,
                        rs.getString("charge"),
                        digest(residue(rs)),
                        rs.getString("person"),
                        at(rs, "at")))
                .list());
        return all;
    }

    private static Sha256 digest(Charge charge) {
        return new Sha256()
                .text(charge.device())
                .text(charge.permit())
                .number(charge.permitVersion())
                .text(charge.treatment().name())
                .texts(charge.sensors())
                .number(charge.uncertaintyK());
    }

    private static Sha256 digest(ChargeState.Closed closed) {
        return new Sha256()
                .number(closed.openedAgain().toEpochMilli())
                .texts(closed.confirmed())
                .text(String.valueOf(closed.passed()))
                .texts(closed.reasons());
    }

    private static Sha256 digest(ChargeState.Residue residue) {
        return new Sha256().text(residue.carrier()).text(residue.destination()).text(residue.ticket());
    }

    private static List<String> texts(ResultSet rs, String column) throws SQLException {
        return Arrays.asList((String[]) rs.getArray(column).getArray());
    }

    private static Instant at(ResultSet rs, String column) throws SQLException {
        return rs.getObject(column, OffsetDateTime.class).toInstant();
    }
}
