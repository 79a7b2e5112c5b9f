package org.tenmesh.store.record;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.store.bench.NoteRows;
import org.tenmesh.store.custody.BecameBook;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.DockActs;

/** What people noted at the bench: written once, in order, each with its entry in the journal. May be used by several threads. */
public final class BenchActs {
    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    private final LedgerBook account;
    private final BecameBook became;
    private final DockActs dock;

    public BenchActs(Jdbi app, Journal journal, DockActs dock, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.account = new LedgerBook(app, journal);
        this.became = new BecameBook(app, journal);
        this.dock = dock;
    }

    /**
     * Keeps an act; its {@code storedAt} is the moment of this call. One whose id is kept already is not kept again.
     *
     * @param sentBy who was signed in on the device when it was sent
     * @return as it is kept now, or was the first time it was sent
     * @throws Refused when the day is unknown, or the id is that of another act
     */
    public BenchAct keep(BenchAct act, String sentBy) {
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        Instant deviceAt = act.deviceAt().truncatedTo(ChronoUnit.MILLIS);
        BenchAct kept = new BenchAct(
                act.id(),
                act.subject(),
                act.step(),
                act.what(),
                act.about(),
                act.told(),
                act.person(),
                act.device(),
                deviceAt,
                now,
                act.measured());
        return app.inTransaction(handle -> {
            Optional<Integer> day = day(handle, act.subject());
            if (day.isEmpty()) {
                // In this order everywhere: the account, worksheets, the journal.
                LedgerBook.hold(handle);
                DockActs.hold(handle);
            }
            journal.hold(handle);
            int stored = handle.createUpdate("""
                            insert into bench.act
                                (id, day, kind, code, step, what, about, told, person, sent_by, device, device_at, stored_at, measured)
                            values (:id, :day, :kind, :code, :step, :what, :about, :told, :person, :sentBy, :device, :deviceAt, :now, :measured)
                            on conflict (id) do nothing
                            """)
                    .bind("id", act.id())
                    .bind("day", day.orElse(null))
                    .bind("kind", act.subject().kind().word())
                    .bind("code", act.subject().code())
                    .bind("step", act.step())
                    .bind("what", act.what().word())
                    .bind("about", act.about())
                    .bind("told", act.told())
                    .bind("person", act.person())
                    .bind("sentBy", sentBy)
                    .bind("device", act.device())
                    .bind("deviceAt", deviceAt.atOffset(ZoneOffset.UTC))
                    .bind("now", now.atOffset(ZoneOffset.UTC))
                    .bind("measured", measured(act))
                    .execute();
            if (stored == 0) {
                BenchAct before = byId(handle, act.id());
                if (!same(before, kept)) {
                    throw new Refused("the device has used the number " + act.id()
                            + " for something else before: " + before.what().phrase() + ", "
                            + before.subject().code() + "; nothing was stored");
                }
                return before;
            }
            journal.write(
                    handle,
                    now,
                    act.person(),
                    "bench-act",
                    day.map(id -> Days.inJournal(handle, id) + "/").orElse("")
                            + act.subject().code(),
                    Json.object(
                            "what", act.what().word(),
                            "step", act.step(),
                            "about", act.about(),
                            "told", act.told(),
                            "kind", act.subject().kind().word(),
                            "sent-by", sentBy,
                            "device", act.device(),
                            "device-at", deviceAt.toString(),
                            "measured", measured(act),
                            "id", act.id()));
            if (day.isEmpty()) {
                follow(handle, kept);
            }
            return kept;
        });
    }

    /**
     * What a note about a rack or a mill means for regulated soil, in the same transaction: whatever was noted before or after it, ordinary soil that
     * met regulated soil is regulated, at the dock or in its trays, and the account has a line of what preparing leaves.
     */
    private void follow(Handle handle, BenchAct kept) {
        Instant since = kept.storedAt().minus(NoteRows.BACK);
        if (kept.what() != BenchAct.What.WEIGHED && kept.what() != BenchAct.What.COARSE) {
            List<Met> met = Met.of(NoteRows.racks(handle, Optional.of(since)));
            dock.madeRegulated(handle, met, became, kept.storedAt());
            became.follow(handle, met, kept.storedAt());
        }
        if (kept.subject().kind() == Subject.Kind.RACK) {
            account.prepared(handle, NoteRows.submissions(handle, kept.subject().code(), since), kept.storedAt());
        }
    }

    private static Optional<Integer> day(Handle handle, Subject subject) {
        return subject.kind() == Subject.Kind.RACK || subject.kind() == Subject.Kind.EQUIPMENT
                ? Optional.empty()
                : Optional.of(Days.id(handle, subject.day()).orElseThrow(() -> Days.unknownDay(subject.day())));
    }

    private static BenchAct byId(Handle handle, String id) {
        return handle.createQuery(NoteRows.COLUMNS + " where a.id = :id")
                .bind("id", id)
                .map((rs, ctx) -> NoteRows.act(rs))
                .one();
    }

    private static boolean same(BenchAct a, BenchAct b) {
        return a.subject().equals(b.subject())
                && a.step().equals(b.step())
                && a.what() == b.what()
                && a.about().equals(b.about())
                && a.person().equals(b.person())
                && a.measured().equals(b.measured())
                && a.deviceAt().equals(b.deviceAt());
    }

    /** Number of the newest act, 0 before the first: as long as it is the same, nothing was noted. */
    public long newest() {
        return app.withHandle(handle -> handle.createQuery("select coalesce(max(seq), 0) from bench.act")
                .mapTo(Long.class)
                .one());
    }

    /** Everything noted about trays and soils of a day, in the order in which it was stored. */
    public List<BenchAct> of(String day) {
        return app.withHandle(handle -> handle.createQuery(NoteRows.COLUMNS + " where d.name = :day order by a.seq")
                .bind("day", day)
                .map((rs, ctx) -> NoteRows.act(rs))
                .list());
    }

    /** The newest of what was noted about racks, at most so many, in the order in which it was stored. */
    public List<BenchAct> racks(int most) {
        return app.withHandle(handle -> handle.createQuery(
                        "select * from (" + NoteRows.COLUMNS.replace("select a.id", "select a.seq, a.id")
                                + " where a.day is null order by a.seq desc limit :most) newest order by seq")
                .bind("most", most)
                .map((rs, ctx) -> NoteRows.act(rs))
                .list());
    }

    /**
     * What says whether a mill or a rack is clean: its cleanings, and what was ground in it or lay on it since the last of them, by the clocks of the
     * devices, in the order in which it was stored. Notes about racks that name no mill are among them.
     */
    public List<BenchAct> sinceCleaned(String code) {
        return app.withHandle(handle -> handle.createQuery(NoteRows.COLUMNS + """
                         where a.day is null
                           and (a.code = :code or (a.step = 'rack.grind' and a.about in (:code, ''))
                                or (a.what = 'taken-back' and a.kind in ('rack', 'equipment')))
                           and a.device_at >= coalesce(
                               (select max(c.device_at) from bench.act c
                                where c.code = :code and c.what = 'cleaned'
                                  and not exists (select from bench.act t where t.what = 'taken-back' and t.about = c.id)), '-infinity')
                         order by a.seq
                        """)
                .bind("code", code)
                .map((rs, ctx) -> NoteRows.act(rs))
                .list());
    }

    /** The mills of which anything was noted. */
    public List<String> equipment() {
        return app.withHandle(
                handle -> handle.createQuery("""
                        select code from bench.act where kind = 'equipment'
                        union select about from bench.act where step = 'rack.grind' and about <> '' and what in ('begun', 'done') order by 1
                        """).mapTo(String.class).list());
    }

    private static String measured(BenchAct act) {
        return act.measured().entrySet().stream()
                .map(one -> one.getKey().word() + " " + one.getValue())
                .collect(Collectors.joining(", "));
    }
}
