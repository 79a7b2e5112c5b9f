package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.bench.NoteRows;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Refused;

/**
 * Soil that is found to be regulated after it was laid out: from that moment it is regulated wherever it is. May be used by several threads.
 */
public final class BecameBook {
    private final Jdbi app;
    private final Journal journal;
    private final LedgerBook account;
    private volatile MetByNotes last = new MetByNotes(-1, Map.of());

    public BecameBook(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
        this.account = new LedgerBook(app, journal);
    }

    /**
     * Makes everything regulated that was laid out as ordinary and met regulated soil, in the transaction of the note by which that is known.
     *
     * @param met by everything that was noted of racks and mills
     */
    public void follow(Handle handle, List<Met> met, Instant at) {
        for (Met one : met) {
            one.round().loads().stream()
                    .map(Rack.Load::submission)
                    .distinct()
                    .forEach(name -> LaidOut.nearest(handle, name, one.ground().deviceAt())
                            .filter(its -> !its.regulated())
                            .ifPresent(its -> become(handle, its, one, at)));
        }
    }

    /**
     * Takes a submission into the account that waits for its layout and met regulated soil.
     *
     * @param stated its origin, as far as it was stated at the dock
     * @param bags that were seen there
     * @return the number of the permit under which it is kept; empty text where none is known
     */
    public String waits(Handle handle, String submission, Origin stated, int bags, Met met, Instant at) {
        Optional<Parcel> before = account.ofSubmission(handle, submission);
        if (before.isPresent()) {
            return before.get().permit();
        }
        String zone = handle.createQuery("select zone from intake.source order by id desc limit 1")
                .mapTo(String.class)
                .findOne()
                .orElse("UTC");
        LocalDate today = at.atZone(ZoneId.of(zone)).toLocalDate();
        Parcel parcel = account.found(
                handle,
                submission,
                stated,
                met.because(),
                permit(handle, met.from(), today),
                Math.max(1, bags),
                "rack " + met.round().rack(),
                today,
                met.ground().person(),
                at);
        account.prepared(handle, Set.of(submission), at);
        return parcel.permit();
    }

    private void become(Handle handle, LaidOut its, Met met, Instant at) {
        LocalDate today = at.atZone(ZoneId.of(its.zone())).toLocalDate();
        BenchAct ground = met.ground();
        int version = 1
                + handle.createQuery(
                                "select coalesce(max(version), 0) from custody.became where submission = :submission")
                        .bind("submission", its.id())
                        .mapTo(int.class)
                        .one();
        Parcel parcel = account.ofSubmission(handle, its.name())
                .orElseGet(() -> account.found(
                        handle,
                        its.name(),
                        its.origin(),
                        met.because(),
                        permit(handle, met.from(), today),
                        Math.max(1, its.soils()),
                        "laid out",
                        today,
                        ground.person(),
                        at));
        handle.createUpdate("""
                        insert into custody.became (submission, version, parcel, ground, because, actor, at)
                        values (:submission, :version, :parcel, :ground, :because, :actor, :at)
                        """)
                .bind("submission", its.id())
                .bind("version", version)
                .bind("parcel", parcel.code())
                .bind("ground", ground.id())
                .bind("because", met.because())
                .bind("actor", ground.person())
                .bind("at", Kept.millis(at))
                .execute();
        Kept.of(
                        Kept.BECAME,
                        subject(its.name(), its.id(), version),
                        digest(parcel.code(), ground.id(), met.because()),
                        ground.person(),
                        at)
                .write(handle, journal);
        account.prepared(handle, Set.of(its.name()), at);
        Map<String, String> places = places(handle, parcel.code());
        places.keySet().retainAll(notThere(handle, its.name(), places.keySet()));
        if (!places.isEmpty()) {
            Map<String, String> parcels = new HashMap<>();
            places.keySet().forEach(number -> parcels.put(number, parcel.code()));
            account.follow(handle, parcels, places, true, ground.person(), at);
        }
    }

    /** The permit under which the soil that was met is kept, where it holds today. */
    private static Optional<Signed<Permit>> permit(Handle handle, Set<String> submissions, LocalDate today) {
        Permits permits = Permits.inForce(
                Papers.permits(handle).stream()
                        .flatMap(one -> one.signed().stream())
                        .toList(),
                today);
        return LedgerBook.parcels(handle).stream()
                .filter(parcel -> submissions.contains(parcel.submission()))
                .flatMap(parcel -> permits.permits().stream()
                        .filter(one -> one.name().equals(parcel.permit())
                                && !today.isAfter(one.paper().expires())
                                && !today.isBefore(one.paper().issued())))
                .findFirst();
    }

    /** Those of these soils of which the parcels that a submission had before have nothing, or nothing that is not ordinary again. */
    private static Set<String> notThere(Handle handle, String submission, Set<String> numbers) {
        Set<String> parcels = new TreeSet<>();
        LedgerBook.ofSubmissions(handle, Set.of(submission)).forEach(one -> parcels.add(one.code()));
        Ledger before = Ledger.of(LedgerBook.moves(handle, parcels));
        Set<String> notThere = new TreeSet<>();
        for (String number : numbers) {
            if (before.portion(number)
                    .filter(held -> held.state() != Held.State.ORDINARY)
                    .isEmpty()) {
                notThere.add(number);
            }
        }
        return notThere;
    }

    // The first has the subject that it had before there was a way back.
    private static String subject(String name, int submission, int version) {
        return name + "/" + submission + (version == 1 ? "" : "/" + version);
    }

    /** Where the soils of a parcel are that stand on the shelf, are lent, or have left: the account begins with that. */
    private static Map<String, String> places(Handle handle, String parcel) {
        Map<String, String> places = new HashMap<>();
        handle.createQuery("""
                        select o.lab_number,
                               case when s.lent_to <> '' then 'lent to ' || s.lent_to || ' until ' || s.lent_until
                                    else coalesce(b.place || ', ', '') || s.box end as place
                        from intake.soil o join shelf.standing s on s.soil = o.id join shelf.box b on b.box = s.box
                        where o.id = any(:soils)
                        union all
                        select a.about, case a.what when 'handed-over' then 'handed over: ' || a.to_what else 'discarded, list ' || a.to_what end
                        from shelf.act a where a.soil = any(:soils) and a.what in ('handed-over', 'discarded')
                        """)
                .bindArray("soils", Integer.class, SeenSoils.ofParcel(handle, parcel))
                .map((rs, ctx) -> places.put(rs.getString(1), rs.getString(2)))
                .list();
        return places;
    }

    /** Every submission that became regulated after its layout, the newest first. */
    public List<Became> became() {
        return app.withHandle(handle -> {
            Map<String, List<Became.Signature>> signatures = new HashMap<>();
            handle.createQuery("select * from custody.ordinary_again order by place")
                    .map((rs, ctx) -> signatures
                            .computeIfAbsent(
                                    rs.getInt("submission") + "/" + rs.getInt("version"), key -> new ArrayList<>())
                            .add(OrdinaryAgain.signature(rs)))
                    .list();
            return handle.createQuery("""
                        select u.id, u.submission, b.version, b.parcel, b.because, b.actor, b.at,
                               coalesce((select max(r.revision) from release.release r
                                         where r.submission_id = b.submission and r.signed_at < b.at), 0) as released
                        from custody.became b join intake.submission u on u.id = b.submission order by b.at desc, b.submission desc
                        """)
                    .map((rs, ctx) -> new Became(
                            rs.getString("submission"),
                            rs.getString("parcel"),
                            rs.getString("because"),
                            rs.getString("actor"),
                            at(rs),
                            rs.getInt("released"),
                            derived(handle).met(handle, rs.getString("submission"), rs.getInt("id")),
                            signatures.getOrDefault(rs.getInt("id") + "/" + rs.getInt("version"), List.of())))
                    .list();
        });
    }

    /** As of the newest note; as long as there is none, the notes are not read again. */
    private MetByNotes derived(Handle handle) {
        long newest = handle.createQuery("select coalesce(max(seq), 0) from bench.act")
                .mapTo(Long.class)
                .one();
        if (last.newest() != newest) {
            last = MetByNotes.of(handle, newest);
        }
        return last;
    }

    /**
     * Signs that soil that became regulated by a note did not meet regulated soil. With the second signature it is ordinary again: what is here of it
     * leaves the account. The row that says that it became regulated stays.
     *
     * @param quality whether the person is of quality, as one of the two must be
     * @throws Refused without a reason, while the notes say that it met regulated soil, where something else makes it regulated, while something of it
     *     lies in a charge, where the same person signed before, and where neither is of quality
     */
    public void ordinaryAgain(String parcel, String reason, String person, boolean quality, Instant at) {
        new OrdinaryAgain(app, journal, account).sign(parcel, reason, person, quality, at);
    }

    /** Regulated soil that stands on the shelf among ordinary soil, "lab number: place", in the order of the numbers. */
    public List<String> toMove() {
        return app.withHandle(
                handle -> handle.createQuery("""
                        select o.lab_number || ': ' || coalesce(x.place || ', ', '') || x.box
                        from shelf.standing s join shelf.box x on x.box = s.box join intake.soil o on o.id = s.soil
                        where s.keeping = 'regulated' and not x.regulated order by o.lab_number
                        """).mapTo(String.class).list());
    }

    /** The trays in which soil lies that became regulated after its layout, the newest first. */
    public List<Became.InOneTray> trays() {
        return app.withHandle(handle -> any(handle) ? trays(handle) : List.of());
    }

    // Asked at every opening of the page Today, and nearly always there is none.
    private static boolean any(Handle handle) {
        return handle.createQuery("select exists (select 1 from custody.became_soil)")
                .mapTo(boolean.class)
                .one();
    }

    private static List<Became.InOneTray> trays(Handle handle) {
        return handle.createQuery("""
                        select d.name as day, t.tray,
                               array_agg(p.lab_number order by p.well) filter (where n.regulated) as regulated,
                               array_agg(p.lab_number order by p.well) filter (where n.regulated is not true) as ordinary,
                               x.decision, x.reason, x.actor, x.at,
                               bool_or(exists (
                                   select from intake.soil o join intake.came_in c on c.soil = o.id
                                   join custody.became_ended e on e.submission = c.submission
                                   where o.register = d.register and o.lab_number = p.lab_number and e.at >= x.at)) as anew
                        from layout.tray t
                        join intake.day d on d.id = t.day
                        join layout.place p on p.tray = t.id and p.purpose = 'soil' and p.lab_number is not null
                        left join intake.soil_now n on n.register = d.register and n.lab_number = p.lab_number
                        left join custody.tray_decided_now x on x.tray = t.id
                        where t.id in (select h.tray from custody.became_soil b
                                       join intake.soil s on s.id = b.soil
                                       join layout.place h on h.lab_number = s.lab_number
                                       join layout.tray ht on ht.id = h.tray
                                       join intake.day hd on hd.id = ht.day and hd.register = s.register)
                        group by d.on_date, d.name, t.ord, t.tray, x.decision, x.reason, x.actor, x.at
                        order by d.on_date desc, t.ord
                        """)
                .map((rs, ctx) -> new Became.InOneTray(
                        rs.getString("day"),
                        rs.getString("tray"),
                        texts(rs, "regulated"),
                        texts(rs, "ordinary"),
                        rs.getString("decision") == null
                                ? Optional.empty()
                                : Optional.of(new Became.Decided(
                                        Became.Decision.of(rs.getString("decision"))
                                                .orElseThrow(),
                                        rs.getString("reason"),
                                        rs.getString("actor"),
                                        at(rs))),
                        rs.getBoolean("anew")))
                .list();
    }

    /**
     * Keeps what somebody decided of the ordinary soil in a tray with regulated soil. The newest decision counts.
     *
     * @throws Refused without a reason, or where no regulated soil lies in the tray
     */
    public void decide(String day, String tray, Became.Decision decision, String reason, String person, Instant at) {
        if (reason.isBlank()) {
            throw new Refused("A decision needs a reason. Nothing was kept.");
        }
        if (trays().stream()
                .noneMatch(one -> one.day().equals(day) && one.tray().equals(tray))) {
            throw new Refused("In tray " + tray + " of " + day
                    + " lies no soil that became regulated after its layout. Nothing was kept.");
        }
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            int id = handle.createQuery(
                            "select t.id from layout.tray t join intake.day d on d.id = t.day where d.name = :day and t.tray = :tray")
                    .bind("day", day)
                    .bind("tray", tray)
                    .mapTo(int.class)
                    .one();
            int version = 1
                    + handle.createQuery(
                                    "select coalesce(max(version), 0) from custody.tray_decided where tray = :tray")
                            .bind("tray", id)
                            .mapTo(int.class)
                            .one();
            handle.createUpdate("""
                            insert into custody.tray_decided (tray, version, decision, reason, actor, at)
                            values (:tray, :version, :decision, :reason, :actor, :at)
                            """)
                    .bind("tray", id)
                    .bind("version", version)
                    .bind("decision", decision.word())
                    .bind("reason", reason)
                    .bind("actor", person)
                    .bind("at", Kept.millis(at))
                    .execute();
            Kept.of(Kept.TRAY_DECIDED, id + "/" + version, digest(decision.word(), reason), person, at)
                    .write(handle, journal);
            OrdinaryAgain again = new OrdinaryAgain(app, journal, account);
            ended(handle, id).forEach(parcel -> again.end(handle, parcel, reason, person, at));
        });
    }

    /** The parcels of soil of a tray that is ordinary again. */
    private static List<String> ended(Handle handle, int tray) {
        return handle.createQuery("""
                        select distinct e.parcel
                        from layout.tray t
                        join intake.day d on d.id = t.day
                        join layout.place p on p.tray = t.id
                        join intake.soil s on s.register = d.register and s.lab_number = p.lab_number
                        join intake.came_in c on c.soil = s.id
                        join custody.became_ended e on e.submission = c.submission
                        where t.id = :tray order by 1
                        """).bind("tray", tray).mapTo(String.class).list();
    }

    /**
     * Enters the permit of a parcel that came into the account without a known one.
     *
     * @param today the laboratory's date
     * @throws Refused without a reason, where its permit is known, or where this one is not signed or does not hold today
     */
    public void enterPermit(
            String parcel, Signed<Permit> permit, String reason, LocalDate today, String person, Instant at) {
        if (reason.isBlank()) {
            throw new Refused("Say why this permit admits it. Nothing was kept.");
        }
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            Parcel its = LedgerBook.parcels(handle).stream()
                    .filter(one -> one.code().equals(parcel))
                    .findFirst()
                    .orElseThrow(() -> new Refused("There is no parcel " + parcel + ". Nothing was kept."));
            if (its.permitKnown()) {
                throw new Refused(
                        "The permit of parcel " + parcel + " is known: " + its.permit() + ". Nothing was kept.");
            }
            LedgerBook.holds(handle, permit, today);
            Optional<LocalDate> until = permit.paper().keepUntil(its.receivedOn());
            handle.createUpdate("""
                            insert into custody.permit_entered (parcel, permit, permit_version, keep_until, reason, actor, at)
                            values (:parcel, :permit, :version, :until, :reason, :actor, :at)
                            """)
                    .bind("parcel", parcel)
                    .bind("permit", permit.name())
                    .bind("version", permit.version())
                    .bind("until", until.orElse(null))
                    .bind("reason", reason)
                    .bind("actor", person)
                    .bind("at", Kept.millis(at))
                    .execute();
            Kept.of(
                            Kept.PERMIT_ENTERED,
                            parcel,
                            digest(
                                    permit.name(),
                                    String.valueOf(permit.version()),
                                    until.map(LocalDate::toString).orElse(""),
                                    reason),
                            person,
                            at)
                    .write(handle, journal);
        });
    }

    /** What the journal must say of all of this. */
    public static List<Kept> kept(Handle handle) {
        List<Kept> all = new ArrayList<>(handle.createQuery(
                        "select u.submission, b.* from custody.became b join intake.submission u on u.id = b.submission order by b.submission, b.version")
                .map((rs, ctx) -> Kept.of(
                        Kept.BECAME,
                        subject(rs.getString(1), rs.getInt(2), rs.getInt("version")),
                        digest(rs.getString("parcel"), rs.getString("ground"), rs.getString("because")),
                        rs.getString("actor"),
                        at(rs)))
                .list());
        all.addAll(OrdinaryAgain.kept(handle));
        all.addAll(handle.createQuery("select * from custody.tray_decided order by tray, version")
                .map((rs, ctx) -> Kept.of(
                        Kept.TRAY_DECIDED,
                        rs.getInt("tray") + "/" + rs.getInt("version"),
                        digest(rs.getString("decision"), rs.getString("reason")),
                        rs.getString("actor"),
                        at(rs)))
                .list());
        all.addAll(handle.createQuery("select * from custody.permit_entered order by parcel")
                .map((rs, ctx) -> Kept.of(
                        Kept.PERMIT_ENTERED,
                        rs.getString("parcel"),
                        digest(
                                rs.getString("permit"),
                                String.valueOf(rs.getInt("permit_version")),
                                Optional.ofNullable(rs.getObject("keep_until", LocalDate.class))
                                        .map(LocalDate::toString)
                                        .orElse(""),
                                rs.getString("reason")),
                        rs.getString("actor"),
                        at(rs)))
                .list());
        return all;
    }

    /**
     * Submissions that met regulated soil, by what was noted since the account follows notes, and are kept as ordinary soil: whole sentences.
     */
    public static List<String> ordinary(Handle handle) {
        Set<String> followed = NoteRows.followed(handle);
        Set<String> told = new TreeSet<>();
        List<String> ordinary = new ArrayList<>();
        for (Met met : Met.of(NoteRows.racks(handle, Optional.empty()))) {
            if (followed.contains(met.ground().id())
                    || met.before().filter(act -> followed.contains(act.id())).isPresent()) {
                for (Rack.Load load : met.round().loads()) {
                    boolean wrong = LaidOut.nearest(
                                    handle, load.submission(), met.ground().deviceAt())
                            .map(its -> !its.regulated())
                            .orElseGet(() -> waitsAsOrdinary(handle, load.submission()));
                    if (wrong && told.add(load.submission())) {
                        ordinary.add("submission " + load.submission()
                                + " is kept as ordinary soil and met regulated soil: " + met.because());
                    }
                }
            }
        }
        return ordinary;
    }

    /** What is ordinary again, or left the account as that, without the signatures of two people, one of quality: whole sentences. */
    public static List<String> notSigned(Handle handle) {
        return OrdinaryAgain.notSigned(handle);
    }

    private static boolean waitsAsOrdinary(Handle handle, String submission) {
        return handle.createQuery("""
                        select exists (
                            select from intake.worksheet w
                            where w.submission = :submission and not exists (select from intake.worksheet_settled s where s.worksheet = w.id)
                              and not exists (
                                select from intake.dock_act a where a.worksheet = w.id
                                  and (a.what = 'made-regulated' or (a.what = 'booked' and a.says = 'regulated'))))
                        """)
                .bind("submission", submission)
                .mapTo(boolean.class)
                .one();
    }

    private static Sha256 digest(String... texts) {
        return new Sha256().texts(List.of(texts));
    }

    private static List<String> texts(ResultSet rs, String column) throws SQLException {
        java.sql.Array array = rs.getArray(column);
        return array == null ? List.of() : Arrays.asList((String[]) array.getArray());
    }

    private static Instant at(ResultSet rs) throws SQLException {
        return rs.getObject("at", OffsetDateTime.class).toInstant();
    }
}
