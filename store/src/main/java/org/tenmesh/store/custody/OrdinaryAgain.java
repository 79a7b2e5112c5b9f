package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** The way back of soil that became regulated by a note that was a mistake: signed by two people. */
record OrdinaryAgain(Jdbi app, Journal journal, LedgerBook account) {
    void sign(String parcel, String reason, String person, boolean quality, Instant at) {
        if (reason.isBlank()) {
            throw new Refused("Say why it did not meet regulated soil. Nothing was signed.");
        }
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            Now its = now(handle, parcel)
                    .orElseThrow(() -> new Refused("Parcel " + parcel
                            + " is not of soil that became regulated by a note, or it is ordinary again already."
                            + " Nothing was signed."));
            String who = ChargeBook.now(handle, person);
            if (its.signatures().stream()
                    .anyMatch(one -> ChargeBook.now(handle, one.by()).equals(who))) {
                throw new Refused(
                        "You signed for parcel " + parcel + " already: a second person has to. Nothing was signed.");
            }
            if (!its.signatures().isEmpty()
                    && !quality
                    && its.signatures().stream().noneMatch(Became.Signature::quality)) {
                throw new Refused("One of the two signatures is that of somebody of quality. Nothing was signed.");
            }
            stays(handle, its).ifPresent(why -> {
                throw new Refused(why + " It stays regulated. Nothing was signed.");
            });
            int place = its.signatures().size() + 1;
            handle.createUpdate("""
                            insert into custody.ordinary_again (submission, version, place, quality, reason, person, at)
                            values (:submission, :version, :place, :quality, :reason, :person, :at)
                            """)
                    .bind("submission", its.submission())
                    .bind("version", its.version())
                    .bind("place", place)
                    .bind("quality", quality)
                    .bind("reason", reason)
                    .bind("person", person)
                    .bind("at", Kept.millis(at))
                    .execute();
            Kept kept = signed(its.name(), its.submission(), its.version(), place, quality, reason, person, at);
            journal.write(
                    handle,
                    at,
                    person,
                    kept.what(),
                    kept.subject(),
                    Json.object(
                            "sha256", kept.sha256(), "parcel", parcel, "signature", place + " of 2", "reason", reason));
            if (place == 2) {
                end(handle, parcel, "it did not meet regulated soil: " + reason, person, at);
            }
        });
    }

    private record Now(
            int submission, int version, String name, String parcel, Instant at, List<Became.Signature> signatures) {}

    /**
     * Ends what is here of a parcel whose soil is ordinary again. Other soils that lay in a tray with it stay, where they must be in the account still.
     */
    void end(Handle handle, String parcel, String note, String person, Instant at) {
        Set<String> still = SeenSoils.numbers(handle, parcel);
        List<Move> lines = Ledger.of(LedgerBook.moves(handle, Set.of(parcel))).here().stream()
                .filter(one -> one.state() == Held.State.HELD && !still.contains(stem(one)))
                .map(one -> new Move(
                        "ordinary-" + UUID.randomUUID(),
                        Move.What.ORDINARY,
                        parcel,
                        one.code(),
                        one.kind(),
                        "",
                        "",
                        one.massMg(),
                        one.pieces(),
                        "",
                        note,
                        person,
                        at))
                .toList();
        if (!lines.isEmpty()) {
            account.keep(handle, lines);
        }
    }

    /** The parcel or the lab number with which the code of a portion begins. */
    private static String stem(Held one) {
        return one.code().split("\\.", 2)[0];
    }

    private static Optional<Now> now(Handle handle, String parcel) {
        return handle.createQuery("""
                        select b.submission as id, b.version, u.submission, b.parcel, b.at
                        from custody.became_now b join intake.submission u on u.id = b.submission where b.parcel = :parcel
                        """)
                .bind("parcel", parcel)
                .map((rs, ctx) -> new Now(
                        rs.getInt("id"),
                        rs.getInt("version"),
                        rs.getString("submission"),
                        rs.getString("parcel"),
                        at(rs),
                        handle.createQuery(
                                        "select * from custody.ordinary_again where submission = :submission and version = :version order by place")
                                .bind("submission", rs.getInt("id"))
                                .bind("version", rs.getInt("version"))
                                .map((row, its) -> signature(row))
                                .list()))
                .findOne();
    }

    /** Why soil that became regulated is not ordinary again whoever signs, one sentence; empty where nothing speaks against it. */
    private static Optional<String> stays(Handle handle, Now its) {
        MetByNotes derived = MetByNotes.of(handle, 0);
        if (derived.met(handle, its.name(), its.submission())) {
            return Optional.of("The notes that count now say that submission " + its.name()
                    + " met regulated soil. Take the note back that was a mistake first.");
        }
        return another(handle, its).or(() -> inATray(handle, its, derived)).or(() -> inACharge(handle, its));
    }

    private static Optional<String> another(Handle handle, Now its) {
        boolean came = handle.createQuery(
                        "select exists (select from intake.came_in c join intake.soil s on s.id = c.soil where c.submission = :submission and s.regulated)")
                .bind("submission", its.submission())
                .mapTo(boolean.class)
                .one();
        boolean before = handle.createQuery(
                        "select exists (select from custody.parcel where code = :parcel and at < :at)")
                .bind("parcel", its.parcel())
                .bind("at", Kept.millis(its.at()))
                .mapTo(boolean.class)
                .one();
        if (came || before) {
            return Optional.of(
                    "Submission " + its.name() + " was regulated before that note, or some of its soils were.");
        }
        List<Parcel> others = LedgerBook.ofSubmissions(handle, Set.of(its.name())).stream()
                .filter(one -> !one.code().equals(its.parcel()))
                .toList();
        Set<String> codes = new TreeSet<>(others.stream().map(Parcel::code).toList());
        return Ledger.of(LedgerBook.moves(handle, codes)).here().stream()
                .findFirst()
                .map(held -> "Submission " + its.name() + " is in the account with parcel " + held.parcel() + " too.");
    }

    private record Beside(String day, String tray, boolean decided, boolean came, int submission, String name) {}

    /** A tray that was decided upon before, or with soil in it that is regulated whatever becomes of this. */
    private static Optional<String> inATray(Handle handle, Now its, MetByNotes derived) {
        return handle
                .createQuery("""
                        select distinct d.name as day, t.tray, n.decision = 'regulated' and n.at < :at as decided,
                               coalesce(x.regulated, false) as came, coalesce(b.submission, 0) as id, coalesce(u.submission, '') as submission
                        from intake.came_in c
                        join intake.soil s on s.id = c.soil
                        join layout.place h on h.lab_number = s.lab_number
                        join layout.tray t on t.id = h.tray
                        join intake.day d on d.id = t.day and d.register = s.register
                        left join custody.tray_decided_now n on n.tray = t.id
                        join layout.place m on m.tray = t.id and m.purpose = 'soil'
                        join intake.soil x on x.register = d.register and x.lab_number = m.lab_number
                        left join intake.came_in y on y.soil = x.id
                        left join custody.became_now b on b.submission = y.submission and b.submission <> c.submission
                        left join intake.submission u on u.id = b.submission
                        where c.submission = :submission and n.decision is distinct from 'ordinary'
                        order by 1, 2
                        """)
                .bind("submission", its.submission())
                .bind("at", Kept.millis(its.at()))
                .map((rs, ctx) -> new Beside(
                        rs.getString("day"),
                        rs.getString("tray"),
                        rs.getBoolean("decided"),
                        rs.getBoolean("came"),
                        rs.getInt("id"),
                        rs.getString("submission")))
                .list()
                .stream()
                .filter(one -> one.decided()
                        || one.came()
                        || (one.submission() > 0 && derived.met(handle, one.name(), one.submission())))
                .findFirst()
                .map(one -> "Tray " + one.tray() + " of " + one.day()
                        + (one.decided()
                                ? " was decided to be handled as regulated before. Decide on it anew first."
                                : " holds other regulated soil."));
    }

    private static Optional<String> inACharge(Handle handle, Now its) {
        return Ledger.of(LedgerBook.moves(handle, Set.of(its.parcel()))).portions().stream()
                .filter(held -> held.state() == Held.State.LOADED)
                .findFirst()
                .map(held -> held.code() + " lies in charge " + held.charge()
                        + ". Wait until the charge is signed, or take it out first.");
    }

    private static Kept signed(
            String name,
            int submission,
            int version,
            int place,
            boolean quality,
            String reason,
            String person,
            Instant at) {
        return Kept.of(
                Kept.ORDINARY_AGAIN,
                name + "/" + submission + "/" + version + "/" + place,
                new Sha256().text(String.valueOf(quality)).text(reason),
                person,
                at);
    }

    static Became.Signature signature(ResultSet rs) throws SQLException {
        return new Became.Signature(rs.getString("person"), rs.getBoolean("quality"), rs.getString("reason"), at(rs));
    }

    /** What the journal must say of the signatures. */
    static List<Kept> kept(Handle handle) {
        return handle.createQuery("""
                        select u.submission as name, o.* from custody.ordinary_again o join intake.submission u on u.id = o.submission
                        order by o.submission, o.version, o.place
                        """)
                .map((rs, ctx) -> signed(
                        rs.getString("name"),
                        rs.getInt("submission"),
                        rs.getInt("version"),
                        rs.getInt("place"),
                        rs.getBoolean("quality"),
                        rs.getString("reason"),
                        rs.getString("person"),
                        at(rs)))
                .list();
    }

    /** What is ordinary again, or left the account as that, without the signatures of two people, one of quality: whole sentences. */
    static List<String> notSigned(Handle handle) {
        List<String> wrong = new ArrayList<>();
        handle
                .createQuery("""
                        select u.submission, e.version, array_agg(o.person) as people, bool_or(o.quality) as quality
                        from custody.became_ended e
                        join intake.submission u on u.id = e.submission
                        join custody.ordinary_again o on o.submission = e.submission and o.version = e.version
                        group by u.submission, u.id, e.version order by u.id, e.version
                        """)
                .map((rs, ctx) -> Arrays.stream((String[]) rs.getArray("people").getArray())
                                                .map(one -> ChargeBook.now(handle, one))
                                                .distinct()
                                                .count()
                                        < 2
                                || !rs.getBoolean("quality")
                        ? "submission " + rs.getString("submission")
                                + " is ordinary again without the signatures of two people, one of them of quality"
                        : "")
                .list()
                .stream()
                .filter(says -> !says.isEmpty())
                .forEach(wrong::add);
        wrong.addAll(handle.createQuery("""
                        select distinct 'parcel ' || m.parcel || ' left the account as ordinary again, and two people did not sign that'
                        from custody.move m
                        where m.what = 'ordinary-again' and not exists (select from custody.became_ended e where e.parcel = m.parcel) order by 1
                        """).mapTo(String.class).list());
        return wrong;
    }

    private static Instant at(ResultSet rs) throws SQLException {
        return rs.getObject("at", OffsetDateTime.class).toInstant();
    }
}
