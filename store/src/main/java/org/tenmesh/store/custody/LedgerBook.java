package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Prepared;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.bench.NoteRows;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Refused;

/**
 * The account of regulated soil as it is kept. A line that does not fit is refused, so what is kept always adds up; {@code verify} computes it again.
 * May be used by several threads.
 */
public final class LedgerBook {
    private static final String PARCELS = """
            select p.*, e.permit as entered, e.permit_version as entered_version, e.keep_until as entered_until
            from custody.parcel p left join custody.permit_entered e on e.parcel = p.code
            """;

    private final Object lastLock = new Object();
    private AddedUp last = AddedUp.NOTHING;

    private final Jdbi app;
    private final Journal journal;

    public LedgerBook(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * What is received.
     *
     * @param id made by whoever sends it, so that a parcel that is sent twice is kept once
     * @param permit the permit that admits it, as it decides today
     * @param massG as weighed at the dock, g; empty when not weighed
     * @param pieces bags in it
     */
    public record Received(
            String id,
            String submission,
            Origin origin,
            String because,
            Signed<Permit> permit,
            OptionalLong massG,
            int pieces,
            String condition,
            String place) {}

    /**
     * Receives a parcel into the account.
     *
     * @param today the laboratory's date
     * @return the parcel with its code, {@code R26329-1}
     * @throws Refused where the permit is not signed or does not hold today
     */
    public Parcel receive(Received received, LocalDate today, String person, Instant at) {
        return app.inTransaction(handle -> receive(handle, received, today, person, at));
    }

    /** The same within a transaction that does more, such as booking the submission in. */
    public Parcel receive(Handle handle, Received received, LocalDate today, String person, Instant at) {
        hold(handle);
        Optional<String> before = handle.createQuery("select parcel from custody.move where id = :id")
                .bind("id", received.id())
                .mapTo(String.class)
                .findOne();
        if (before.isPresent()) {
            return parcels(handle).stream()
                    .filter(one -> one.code().equals(before.get()))
                    .findFirst()
                    .orElseThrow();
        }
        holds(handle, received.permit(), today);
        Permit permit = received.permit().paper();
        Parcel parcel = new Parcel(
                code(handle, today),
                received.submission(),
                received.origin(),
                received.because(),
                permit.number(),
                received.permit().version(),
                today,
                permit.keepUntil(today),
                received.condition(),
                received.massG().isPresent());
        insert(handle, parcel, person, at);
        keep(
                handle,
                List.of(new Move(
                        received.id(),
                        Move.What.RECEIVED,
                        parcel.code(),
                        parcel.code(),
                        PortionKind.PARCEL,
                        "",
                        received.place(),
                        Math.multiplyExact(received.massG().orElse(0), 1000L),
                        received.pieces(),
                        "",
                        received.condition(),
                        person,
                        at)));
        prepared(handle, Set.of(received.submission()), at);
        return parcel;
    }

    /** @throws Refused where a permit is not signed so or does not hold on this date */
    static void holds(Handle handle, Signed<Permit> asked, LocalDate today) {
        Permit permit = asked.paper();
        boolean signed = Papers.permits(handle).stream()
                .anyMatch(one -> one.signed().filter(asked::equals).isPresent());
        if (!signed || today.isAfter(permit.expires()) || today.isBefore(permit.issued())) {
            throw new Refused("The " + permit.kind().phrase() + " " + permit.number()
                    + " is not signed or does not hold on " + today + ". Nothing was received.");
        }
    }

    /** The parcel of a submission that was not entered by mistake and is not ordinary again, the newest where there are several. */
    Optional<Parcel> ofSubmission(Handle handle, String submission) {
        List<Parcel> its = ofSubmissions(handle, Set.of(submission));
        Ledger ledger = Ledger.of(
                moves(handle, new TreeSet<>(its.stream().map(Parcel::code).toList())));
        return its.stream()
                .filter(one -> ledger.portion(one.code())
                        .filter(held -> held.state() != Held.State.MISTAKEN && held.state() != Held.State.ORDINARY)
                        .isPresent())
                .findFirst();
    }

    /**
     * Takes soil into the account that is found to be regulated when it is in the laboratory already.
     *
     * @param permit under which it is kept; where none is known it waits for one
     */
    Parcel found(
            Handle handle,
            String submission,
            Origin origin,
            String because,
            Optional<Signed<Permit>> permit,
            int pieces,
            String place,
            LocalDate today,
            String person,
            Instant at) {
        Parcel parcel = new Parcel(
                code(handle, today),
                submission,
                origin,
                because,
                permit.map(Signed::name).orElse(""),
                permit.map(Signed::version).orElse(0),
                today,
                permit.flatMap(one -> one.paper().keepUntil(today)),
                "regulated since it was ground",
                false);
        insert(handle, parcel, person, at);
        keep(
                handle,
                List.of(new Move(
                        receipt(handle, submission),
                        Move.What.RECEIVED,
                        parcel.code(),
                        parcel.code(),
                        PortionKind.PARCEL,
                        "",
                        place,
                        0,
                        pieces,
                        "",
                        because,
                        person,
                        at)));
        return parcel;
    }

    /** As the dock calls it, so that a booking that comes later finds the parcel; after it left the account, once more. */
    private static String receipt(Handle handle, String submission) {
        String id = "dock-" + submission;
        int left = handle.createQuery("""
                        select count(*)::int from custody.move m join custody.parcel p on p.code = m.parcel
                        where p.submission = :submission and m.what in ('mistaken', 'ordinary-again') and m.portion = p.code
                        """)
                .bind("submission", submission)
                .mapTo(int.class)
                .one();
        return left == 0 ? id : id + "-" + (left + 1);
    }

    static List<Parcel> ofSubmissions(Handle handle, Set<String> submissions) {
        return handle.createQuery(PARCELS
                        + " where p.submission = any(:names) and p.submission <> '' order by p.at desc, p.code desc")
                .bindArray("names", String.class, List.copyOf(submissions))
                .map((rs, ctx) -> withPermit(rs))
                .list();
    }

    /**
     * Keeps what preparing these submissions left of regulated soil and the account has no line of yet, in the transaction of whoever noted it.
     *
     * @param at the moment of the new lines
     */
    public void prepared(Handle handle, Set<String> submissions, Instant at) {
        hold(handle);
        List<Parcel> parcels = ofSubmissions(handle, submissions);
        if (!parcels.isEmpty()) {
            Set<String> codes = new TreeSet<>(parcels.stream().map(Parcel::code).toList());
            List<Move> lines = Prepared.lines(
                    NoteRows.racks(handle, Optional.of(at.minus(NoteRows.BACK))), parcels, moves(handle, codes), at);
            if (!lines.isEmpty()) {
                keep(handle, lines);
            }
        }
    }

    private static String code(Handle handle, LocalDate today) {
        String stem = String.format("R%02d%03d-", today.getYear() % 100, today.getDayOfYear());
        int next = handle.createQuery("""
                        select coalesce(max(substr(code, length(:stem) + 1)::int), 0) + 1 from custody.parcel where code like :stem || '%'
                        """).bind("stem", stem).mapTo(int.class).one();
        return stem + next;
    }

    private void insert(Handle handle, Parcel parcel, String person, Instant at) {
        handle.createUpdate("""
                        insert into custody.parcel
                            (code, submission, country, places, because, permit, permit_version, received_on, keep_until, condition, weighed,
                             actor, at)
                        values (:code, :submission, :country, :places, :because, :permit, :version, :on, :until, :condition, :weighed, :actor,
                                :at)
                        """)
                .bind("code", parcel.code())
                .bind("submission", parcel.submission())
                .bind("country", parcel.origin().country().orElse(null))
                .bindArray("places", String.class, parcel.origin().places())
                .bind("because", parcel.because())
                .bind("permit", parcel.permit())
                .bind("version", parcel.permitVersion())
                .bind("on", parcel.receivedOn())
                .bind("until", parcel.keepUntil().orElse(null))
                .bind("condition", parcel.condition())
                .bind("weighed", parcel.weighed())
                .bind("actor", person)
                .bind("at", Kept.millis(at))
                .execute();
        Kept.of(Kept.PARCEL, parcel.code(), digest(parcel), person, at).write(handle, journal);
    }

    /**
     * Keeps lines, all or none. Lines whose ids are kept already are not kept again.
     *
     * @throws Refused with the first line that does not fit
     */
    public void keep(List<Move> lines) {
        app.useTransaction(handle -> {
            hold(handle);
            keep(handle, lines);
        });
    }

    /** The same within a transaction that does more, and that holds the account. */
    public void keep(Handle handle, List<Move> lines) {
        if (lines.isEmpty()) {
            throw new Refused("Nothing was chosen. Nothing was kept.");
        }
        Set<String> known = Set.copyOf(handle.createQuery("select id from custody.move where id = any(:ids)")
                .bindArray("ids", String.class, lines.stream().map(Move::id).toList())
                .mapTo(String.class)
                .list());
        List<Move> fresh =
                lines.stream().filter(line -> !known.contains(line.id())).toList();
        Set<String> parcels = new TreeSet<>(fresh.stream().map(Move::parcel).toList());
        Ledger ledger = Ledger.of(moves(handle, parcels));
        for (Move line : fresh) {
            ledger.add(line).ifPresent(fault -> {
                throw new Refused("This does not fit the account: " + fault.says() + ". Nothing was kept.");
            });
        }
        if (!fresh.isEmpty()) {
            store(handle, fresh);
        }
    }

    /**
     * Keeps where soils are now, in the transaction of whoever moved them: a line for each soil that must be in the account. One that nobody entered
     * yet is taken of its parcel with it.
     *
     * @param places by lab number
     * @param leaves whether they leave the shelf for good: then one that lies in a charge, or was destroyed, has its line already
     * @throws Refused where the account says that one is not there
     */
    public void follow(Handle handle, Map<String, String> places, boolean leaves, String person, Instant at) {
        hold(handle);
        follow(handle, SeenSoils.parcels(handle, places.keySet()), places, leaves, person, at);
    }

    /** @param parcels of which each soil is, by lab number */
    void follow(
            Handle handle,
            Map<String, String> parcels,
            Map<String, String> places,
            boolean leaves,
            String person,
            Instant at) {
        Ledger ledger = Ledger.of(moves(handle, Set.copyOf(parcels.values())));
        List<Move> lines = new ArrayList<>();
        parcels.forEach((number, parcel) -> {
            Optional<Held> held = ledger.portion(number);
            String place = places.getOrDefault(number, "");
            if (held.isEmpty()) {
                lines.add(moved(Move.What.TAKEN, parcel, number, parcel, place, 1, person, at));
            } else if (held.get().state() == Held.State.HELD) {
                lines.add(moved(Move.What.MOVED, parcel, number, "", place, 0, person, at));
            } else if (!leaves) {
                throw new Refused(number + " is " + held.get().state().phrase()
                        + " by the account of regulated soil. Put the account right first. Nothing was done.");
            }
        });
        if (!lines.isEmpty()) {
            keep(handle, lines);
        }
    }

    private static Move moved(
            Move.What what,
            String parcel,
            String number,
            String from,
            String place,
            int pieces,
            String person,
            Instant at) {
        return new Move(
                "shelf-" + UUID.randomUUID(),
                what,
                parcel,
                number,
                PortionKind.SOIL,
                from,
                place,
                0,
                pieces,
                "",
                "by the shelf",
                person,
                at);
    }

    private void store(Handle handle, List<Move> lines) {
        String batch = UUID.randomUUID().toString();
        var rows = handle.prepareBatch("""
                insert into custody.move
                    (batch, id, what, parcel, portion, kind, from_portion, place, mass_mg, pieces, charge, note, person, at)
                values (:batch, :id, :what, :parcel, :portion, :kind, :from, :place, :massMg, :pieces, :charge, :note, :person, :at)
                """);
        List<Move> kept = new ArrayList<>();
        for (Move line : lines) {
            kept.add(atMillis(line));
            rows.bind("batch", batch)
                    .bind("id", line.id())
                    .bind("what", line.what().word())
                    .bind("parcel", line.parcel())
                    .bind("portion", line.portion())
                    .bind("kind", line.kind().word())
                    .bind("from", line.from())
                    .bind("place", line.place())
                    .bind("massMg", line.massMg())
                    .bind("pieces", line.pieces())
                    .bind("charge", line.charge())
                    .bind("note", line.note())
                    .bind("person", line.person())
                    .bind("at", Kept.millis(line.at()))
                    .add();
        }
        rows.execute();
        Move last = lines.get(lines.size() - 1);
        Kept.of(Kept.MOVES, batch, digest(kept), last.person(), last.at()).write(handle, journal);
    }

    private static Move atMillis(Move line) {
        return new Move(
                line.id(),
                line.what(),
                line.parcel(),
                line.portion(),
                line.kind(),
                line.from(),
                line.place(),
                line.massMg(),
                line.pieces(),
                line.charge(),
                line.note(),
                line.person(),
                line.at().truncatedTo(ChronoUnit.MILLIS));
    }

    /** Every parcel, the newest first. */
    public List<Parcel> parcels() {
        return app.withHandle(LedgerBook::parcels);
    }

    /** The same within a transaction. */
    public static List<Parcel> parcels(Handle handle) {
        return handle.createQuery(PARCELS + " order by p.at desc, p.code desc")
                .map((rs, ctx) -> withPermit(rs))
                .list();
    }

    /** Grows with every line and every permit that is entered later: as long as it is the same, no parcel stands otherwise. */
    public long newest() {
        return app.withHandle(handle -> handle.createQuery(
                        "select (select coalesce(max(seq), 0) from custody.move) + (select count(*) from custody.permit_entered)")
                .mapTo(Long.class)
                .one());
    }

    /** Every line of the account, in the order in which they were kept. */
    public List<Move> moves() {
        return app.withHandle(LedgerBook::moves);
    }

    /** The same within a transaction. */
    public static List<Move> moves(Handle handle) {
        return MoveRows.after(handle, 0);
    }

    static List<Move> moves(Handle handle, Set<String> parcels) {
        return handle.createQuery("select * from custody.move where parcel = any(:parcels) order by seq")
                .bindArray("parcels", String.class, List.copyOf(parcels))
                .map((rs, ctx) -> MoveRows.move(rs))
                .list();
    }

    /** The account as it is now; lines that were added up before are not read again. */
    public AddedUp addedUp() {
        return app.withHandle(handle -> {
            synchronized (lastLock) {
                last = last.now(handle);
                return last;
            }
        });
    }

    /** What the laboratory record shows of the soils that must be in the account. */
    public List<Seen> seen() {
        return app.withHandle(SeenSoils::seen);
    }

    /** Soils that are marked as regulated and were never received into the account, the newest first. */
    public List<Seen.Stray> strays() {
        return app.withHandle(SeenSoils::strays);
    }

    /** What the journal must say of everything that is kept of parcels and lines. */
    public static List<Kept> kept(Handle handle) {
        List<Kept> all = new ArrayList<>(handle.createQuery("select * from custody.parcel order by at, code")
                .map((rs, ctx) -> Kept.of(
                        Kept.PARCEL,
                        rs.getString("code"),
                        digest(parcel(rs)),
                        rs.getString("actor"),
                        rs.getObject("at", OffsetDateTime.class).toInstant()))
                .list());
        Map<String, List<Move>> batches = new LinkedHashMap<>();
        handle.createQuery("select * from custody.move order by seq")
                .map((rs, ctx) -> Map.entry(rs.getString("batch"), MoveRows.move(rs)))
                .forEach(row -> batches.computeIfAbsent(row.getKey(), batch -> new ArrayList<>())
                        .add(row.getValue()));
        batches.forEach((batch, lines) -> {
            Move last = lines.get(lines.size() - 1);
            all.add(Kept.of(Kept.MOVES, batch, digest(lines), last.person(), last.at()));
        });
        return all;
    }

    /** A parcel with the permit that was entered later, where one was. */
    private static Parcel withPermit(ResultSet rs) throws SQLException {
        Parcel came = parcel(rs);
        String entered = rs.getString("entered");
        return entered == null
                ? came
                : new Parcel(
                        came.code(),
                        came.submission(),
                        came.origin(),
                        came.because(),
                        entered,
                        rs.getInt("entered_version"),
                        came.receivedOn(),
                        Optional.ofNullable(rs.getObject("entered_until", LocalDate.class)),
                        came.condition(),
                        came.weighed());
    }

    private static Parcel parcel(ResultSet rs) throws SQLException {
        return new Parcel(
                rs.getString("code"),
                rs.getString("submission"),
                new Origin(Optional.ofNullable(rs.getString("country")), Arrays.asList((String[])
                        rs.getArray("places").getArray())),
                rs.getString("because"),
                rs.getString("permit"),
                rs.getInt("permit_version"),
                rs.getObject("received_on", LocalDate.class),
                Optional.ofNullable(rs.getObject("keep_until", LocalDate.class)),
                rs.getString("condition"),
                rs.getBoolean("weighed"));
    }

    private static Sha256 digest(Parcel parcel) {
        return new Sha256()
                .text(parcel.code())
                .text(parcel.submission())
                .text(parcel.origin().country().orElse(""))
                .texts(parcel.origin().places())
                .text(parcel.because())
                .text(parcel.permit())
                .number(parcel.permitVersion())
                .text(parcel.receivedOn().toString())
                .text(parcel.keepUntil().map(LocalDate::toString).orElse(""))
                .text(parcel.condition())
                .text(String.valueOf(parcel.weighed()));
    }

    private static Sha256 digest(List<Move> lines) {
        Sha256 digest = new Sha256().number(lines.size());
        for (Move line : lines) {
            digest.text(line.id())
                    .text(line.what().word())
                    .text(line.parcel())
                    .text(line.portion())
                    .text(line.kind().word())
                    .text(line.from())
                    .text(line.place())
                    .number(line.massMg())
                    .number(line.pieces())
                    .text(line.charge())
                    .text(line.note())
                    .text(line.person())
                    .number(line.at().toEpochMilli());
        }
        return digest;
    }

    /** Takes the lock of the account, before any that the journal takes: whoever changes it later in the transaction waits for nobody then. */
    public static void hold(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('custody.move'))");
    }
}
