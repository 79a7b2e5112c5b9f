package org.tenmesh.store.sheets;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.custody.BecameBook;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.days.DayTaking;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** What was done at the dock, each act with its entry in the journal. */
public final class DockActs {
    private static final String COLUMNS = """
            select a.*, w.submission from intake.dock_act a join intake.worksheet w on w.id = a.worksheet
            """;

    private final Jdbi app;
    private final Journal journal;
    private final DayTaking taking;
    private final LedgerBook account;

    public DockActs(Jdbi app, Journal journal, DayTaking taking) {
        this.app = app;
        this.journal = journal;
        this.taking = taking;
        this.account = new LedgerBook(app, journal);
    }

    /**
     * Keeps an act, unless it is refused in the light of those that are kept already. Acts about one submission come one after the other.
     *
     * @param refusal says of the acts before, in their order, why this one cannot be kept; empty when it can
     * @throws Refused with that reason, where the submission waits no longer, or the id is that of another act
     */
    public void keep(DockAct act, Function<List<DockAct>, Optional<String>> refusal) {
        app.useTransaction(handle -> keep(handle, act, refusal, () -> {}));
    }

    /**
     * Books a regulated submission in and receives its parcel into the account of regulated soil: both or neither.
     *
     * @param today the laboratory's date
     * @throws Refused as {@link #keep}, and as {@link LedgerBook#receive}
     */
    public void book(
            DockAct act,
            Function<List<DockAct>, Optional<String>> refusal,
            LedgerBook.Received received,
            LocalDate today) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            keep(handle, act, refusal, () -> account.receive(handle, received, today, act.actor(), act.at()));
        });
    }

    /**
     * Takes a booking back, and its parcel out of the account of regulated soil: both or neither.
     *
     * @param lines of the account as it stands in this transaction, those that go with it; throws {@link Refused} where there can be none
     * @throws Refused as {@link #keep}, and where a line does not fit the account
     */
    public void takeBack(
            DockAct act, Function<List<DockAct>, Optional<String>> refusal, Function<List<Move>, List<Move>> lines) {
        app.useTransaction(handle -> {
            LedgerBook.hold(handle);
            keep(handle, act, refusal, () -> {
                List<Move> its = lines.apply(LedgerBook.moves(handle));
                if (!its.isEmpty()) {
                    account.keep(handle, its);
                }
            });
        });
    }

    /** @param with what is kept in the same transaction; not done again for an act that is kept already */
    private void keep(Handle handle, DockAct act, Function<List<DockAct>, Optional<String>> refusal, Runnable with) {
        int sheet = Sheets.waiting(handle, act.submission());
        // The lock of worksheets: while this is decided nobody lays the submission out.
        List<DockAct> before = of(handle, act.submission());
        Optional<DockAct> same =
                before.stream().filter(one -> one.id().equals(act.id())).findFirst();
        if (same.isPresent()) {
            if (same.get().what() != act.what() || !same.get().about().equals(act.about())) {
                throw new Refused("The number " + act.id() + " stands for something else already. Nothing was done.");
            }
            return;
        }
        refusal.apply(before).ifPresent(why -> {
            throw new Refused(why + " Nothing was done.");
        });
        insert(handle, sheet, act);
        with.run();
    }

    private void insert(Handle handle, int sheet, DockAct act) {
        OffsetDateTime at = act.at().truncatedTo(ChronoUnit.MILLIS).atOffset(ZoneOffset.UTC);
        handle.createUpdate("""
                            insert into intake.dock_act (id, worksheet, what, number, about, says, reason, actor, at)
                            values (:id, :sheet, :what, :number, :about, :says, :reason, :actor, :at)
                            """)
                .bind("id", act.id())
                .bind("sheet", sheet)
                .bind("what", act.what().word())
                .bind("number", act.number())
                .bind("about", act.about())
                .bind("says", act.says())
                .bind("reason", act.reason())
                .bind("actor", act.actor())
                .bind("at", at)
                .execute();
        journal.write(
                handle,
                at.toInstant(),
                act.actor(),
                "dock-act",
                act.submission(),
                Json.object(
                        "what", act.what().word(),
                        "number", act.number(),
                        "about", act.about(),
                        "says", act.says(),
                        "reason", act.reason(),
                        "id", act.id()));
    }

    /** Takes the lock of worksheets: until the transaction ends nobody lays a submission out. */
    public static void hold(Handle handle) {
        Sheets.hold(handle);
    }

    /**
     * Makes submissions regulated that wait for their layout as ordinary soil and met regulated soil, in the transaction of the note by which that is
     * known. Where a permit admits them is settled before they are laid out.
     *
     * @param met by everything that was noted of racks and mills
     * @param account takes them into the account of regulated soil
     */
    public void madeRegulated(Handle handle, List<Met> met, BecameBook account, Instant at) {
        for (Met one : met) {
            for (String submission : one.round().loads().stream()
                    .map(Rack.Load::submission)
                    .distinct()
                    .toList()) {
                Sheets.waits(handle, submission).ifPresent(sheet -> {
                    List<DockAct> before = Booking.counting(of(handle, submission));
                    if (before.stream().noneMatch(DockActs::isRegulated)) {
                        Origin stated = before.stream()
                                .filter(act -> act.what() == DockAct.What.ORIGIN)
                                .reduce((first, last) -> last)
                                .map(act -> Origin.written(Optional.of(act.says()), List.of(act.about())))
                                .orElseGet(() -> Origin.written(Optional.empty(), List.of()));
                        int bags = (int) before.stream()
                                .filter(act -> act.what() == DockAct.What.THERE || act.what() == DockAct.What.EXTRA)
                                .count();
                        String permit = account.waits(handle, submission, stated, bags, one, at);
                        insert(
                                handle,
                                sheet,
                                new DockAct(
                                        "met-" + one.ground().id() + "-" + submission,
                                        submission,
                                        DockAct.What.MADE_REGULATED,
                                        0,
                                        permit,
                                        "",
                                        one.because(),
                                        one.ground().person(),
                                        at));
                    }
                });
            }
        }
    }

    private static boolean isRegulated(DockAct act) {
        return act.what() == DockAct.What.MADE_REGULATED
                || act.what() == DockAct.What.BOOKED && act.says().equals(DockAct.REGULATED);
    }

    /**
     * Takes a layout; its submissions wait no longer. All or nothing, in one transaction with the question whether it fits.
     *
     * @param date on whose list it goes
     * @param refusal says of what was done with each of its submissions, as it stands now, why the layout does not fit; empty where it does
     * @throws Refused with that reason, or where one of them waits no longer
     */
    public Receipt layOut(
            Day day,
            LocalDate date,
            String sourceSha256,
            List<String> submissions,
            Function<Map<String, List<DockAct>>, Optional<String>> refusal,
            String actor,
            Instant at) {
        return taking.take(day, Optional.of(date), sourceSha256, actor, handle -> {
            // Before the lock of worksheets, as a note about a rack takes it: what it makes regulated is seen here, or
            // it sees this layout.
            LedgerBook.hold(handle);
            Map<String, List<DockAct>> acts = new LinkedHashMap<>();
            Map<String, Integer> ids = new LinkedHashMap<>();
            for (String submission : submissions) {
                // The lock of worksheets: until the end nothing more is done with them.
                ids.put(submission, Sheets.waiting(handle, submission));
                acts.put(submission, of(handle, submission));
            }
            refusal.apply(acts).ifPresent(why -> {
                throw new Refused(why + " Nothing was laid out.");
            });
            ids.forEach((submission, id) -> {
                Sheets.settle(handle, id, true, "", actor, at);
                journal.write(handle, at, actor, "worksheet-laid-out", submission, Json.object());
            });
        });
    }

    /** Every act about submissions that wait, in the order in which they were kept, by the name of the submission. */
    public Map<String, List<DockAct>> waiting() {
        return app.withHandle(handle -> {
            Map<String, List<DockAct>> acts = new LinkedHashMap<>();
            handle.createQuery(
                            COLUMNS
                                    + " where not exists (select from intake.worksheet_settled s where s.worksheet = w.id) order by a.seq")
                    .map((rs, ctx) -> act(rs))
                    .forEach(act -> acts.computeIfAbsent(act.submission(), name -> new ArrayList<>())
                            .add(act));
            return acts;
        });
    }

    /** Every act about one submission, whether it waits or not. */
    public List<DockAct> of(String submission) {
        return app.withHandle(handle -> of(handle, submission));
    }

    private static List<DockAct> of(Handle handle, String submission) {
        return handle.createQuery(COLUMNS + " where w.submission = :submission order by a.seq")
                .bind("submission", submission)
                .map((rs, ctx) -> act(rs))
                .list();
    }

    private static DockAct act(ResultSet rs) throws SQLException {
        String what = rs.getString("what");
        return new DockAct(
                rs.getString("id"),
                rs.getString("submission"),
                DockAct.What.of(what)
                        .orElseThrow(() -> new IllegalStateException("intake.dock_act holds an act \"" + what + "\"")),
                rs.getInt("number"),
                rs.getString("about"),
                rs.getString("says"),
                rs.getString("reason"),
                rs.getString("actor"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }
}
