package org.tenmesh.store.equipment;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.statement.PreparedBatch;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** What people hold after looking back: written once, each with its entry in the journal. May be used by several threads. */
public final class HoldBook {
    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    public HoldBook(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    /**
     * Lays a hold; its number and the moment are given here.
     *
     * @throws Refused where a day is not known
     */
    public Hold lay(Hold hold) {
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        return app.inTransaction(handle -> {
            lock(handle);
            long number = handle.createQuery("select coalesce(max(number), 0) + 1 from equipment.hold")
                    .mapTo(Long.class)
                    .one();
            Hold kept = new Hold(
                    number, hold.about(), hold.reason().strip(), hold.spans(), hold.person(), now, Optional.empty());
            handle.createUpdate(
                            "insert into equipment.hold (number, about, reason, actor, at) values (:number, :about, :reason, :actor, :at)")
                    .bind("number", number)
                    .bind("about", kept.about())
                    .bind("reason", kept.reason())
                    .bind("actor", kept.person())
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            PreparedBatch rows = handle.prepareBatch("""
                    insert into equipment.hold_span (hold, ord, day, run, first_position, last_position)
                    values (:hold, :ord, :day, :run, :first, :last)
                    """);
            Map<String, Integer> days = new HashMap<>();
            int ord = 0;
            for (Hold.Span span : kept.spans()) {
                rows.bind("hold", number)
                        .bind("ord", ++ord)
                        .bind(
                                "day",
                                days.computeIfAbsent(
                                        span.day(),
                                        day -> Days.id(handle, day).orElseThrow(() -> Days.unknownDay(day))))
                        .bind("run", span.run())
                        .bind("first", span.first())
                        .bind("last", span.last())
                        .add();
            }
            rows.execute();
            journal.write(handle, now, kept.person(), "hold-laid", kept.key(), Json.object("says", kept.line()));
            return kept;
        });
    }

    /**
     * Lifts a hold.
     *
     * @throws Refused where there is none of this number, or it was lifted before
     */
    public void lift(long number, String reason, String person) {
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        Hold.Lifted lifted = new Hold.Lifted(reason.strip(), person, now);
        app.useTransaction(handle -> {
            lock(handle);
            Hold hold = EquipmentRows.holds(handle).stream()
                    .filter(one -> one.number() == number)
                    .findFirst()
                    .orElseThrow(() -> new Refused("there is no hold " + number + "; nothing was changed"));
            if (hold.lifted().isPresent()) {
                throw new Refused("hold " + number + " was lifted before; nothing was changed");
            }
            handle.createUpdate(
                            "insert into equipment.hold_lifted (hold, reason, actor, at) values (:hold, :reason, :actor, :at)")
                    .bind("hold", number)
                    .bind("reason", lifted.reason())
                    .bind("actor", person)
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle, now, person, "hold-lifted", hold.key(), Json.object("says", number + ". " + lifted.line()));
        });
    }

    /** Every hold that was ever laid, the oldest first. */
    public List<Hold> all() {
        return app.withHandle(EquipmentRows::holds);
    }

    private static void lock(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('equipment.hold'))");
    }
}
