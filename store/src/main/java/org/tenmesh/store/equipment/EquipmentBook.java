package org.tenmesh.store.equipment;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/**
 * Lots and equipment: written once, each with its entry in the journal, which says the whole of it in one line. May be used by several
 * threads.
 */
public final class EquipmentBook {
    /** How far a device's clock may be ahead. */
    private static final Duration AHEAD = Duration.ofMinutes(5);

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;

    public EquipmentBook(Jdbi app, Journal journal, Clock clock) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
    }

    /**
     * Registers a lot.
     *
     * @return as it is kept, with the moment of this call
     * @throws Refused where the name is taken, or a lot that it was made from is not known
     */
    public Lot register(Lot lot) {
        Lot kept = new Lot(
                lot.name(),
                lot.kind(),
                lot.standsFor(),
                lot.method(),
                lot.source(),
                lot.contents(),
                lot.received(),
                lot.expires(),
                lot.daysOpen(),
                lot.madeFrom(),
                lot.registeredBy(),
                now());
        app.useTransaction(handle -> {
            lock(handle);
            refuseTaken(handle, kept.thing());
            for (String part : kept.madeFrom()) {
                if (id(handle, Thing.lot(part)).isEmpty()) {
                    throw new Refused("lot " + kept.name() + " is made from lot " + part
                            + ", which is not registered; nothing was stored");
                }
            }
            int id = handle.createUpdate("""
                            insert into equipment.lot
                                (name, kind, stands_for, method, source, received, expires, days_open, actor, at)
                            values (:name, :kind, :for, :method, :source, :received, :expires, :open, :actor, :at)
                            """)
                    .bind("name", kept.name())
                    .bind("kind", kept.kind().word())
                    .bind("for", kept.standsFor())
                    .bind("method", kept.method())
                    .bind("source", kept.source())
                    .bind("received", kept.received())
                    .bind("expires", kept.expires().orElse(null))
                    .bind("open", boxed(kept.daysOpen()))
                    .bind("actor", kept.registeredBy())
                    .bind("at", kept.registeredAt().atOffset(ZoneOffset.UTC))
                    .executeAndReturnGeneratedKeys("id")
                    .mapTo(int.class)
                    .one();
            int ord = 0;
            for (Lot.Content content : kept.contents()) {
                handle.createUpdate("""
                                insert into equipment.lot_content (lot, ord, analyte, value, uncertainty, unit)
                                values (:lot, :ord, :analyte, :value, :uncertainty, :unit)
                                """)
                        .bind("lot", id)
                        .bind("ord", ++ord)
                        .bind("analyte", content.analyte())
                        .bind("value", content.value())
                        .bind("uncertainty", boxed(content.uncertainty()))
                        .bind("unit", content.unit().ucum())
                        .execute();
            }
            ord = 0;
            for (String part : kept.madeFrom()) {
                handle.createUpdate("insert into equipment.lot_part (lot, ord, part) values (:lot, :ord, :part)")
                        .bind("lot", id)
                        .bind("ord", ++ord)
                        .bind("part", id(handle, Thing.lot(part)).orElseThrow())
                        .execute();
            }
            journal.write(
                    handle,
                    kept.registeredAt(),
                    kept.registeredBy(),
                    "lot-registered",
                    kept.name(),
                    Json.object("says", kept.line()));
        });
        return kept;
    }

    /**
     * Registers a piece of equipment.
     *
     * @return as it is kept, with the moment of this call
     * @throws Refused where the name is taken
     */
    public Equipment register(Equipment one) {
        Equipment kept = new Equipment(
                one.name(),
                one.kind(),
                one.identity(),
                one.instrument(),
                one.channel(),
                one.dues(),
                one.registeredBy(),
                now());
        app.useTransaction(handle -> {
            lock(handle);
            refuseTaken(handle, kept.thing());
            int id = handle.createUpdate("""
                            insert into equipment.equipment (name, kind, identity, instrument, channel, actor, at)
                            values (:name, :kind, :identity, :instrument, :channel, :actor, :at)
                            """)
                    .bind("name", kept.name())
                    .bind("kind", kept.kind().word())
                    .bind("identity", kept.identity())
                    .bind("instrument", kept.instrument())
                    .bind("channel", kept.channel())
                    .bind("actor", kept.registeredBy())
                    .bind("at", kept.registeredAt().atOffset(ZoneOffset.UTC))
                    .executeAndReturnGeneratedKeys("id")
                    .mapTo(int.class)
                    .one();
            int ord = 0;
            for (Equipment.Due due : kept.dues()) {
                handle.createUpdate("""
                                insert into equipment.due (equipment, ord, what, every_days, by_day, low, high, unit)
                                values (:equipment, :ord, :what, :every, :by, :low, :high, :unit)
                                """)
                        .bind("equipment", id)
                        .bind("ord", ++ord)
                        .bind("what", due.what())
                        .bind("every", boxed(due.everyDays()))
                        .bind("by", due.by().orElse(null))
                        .bind("low", boxed(due.low()))
                        .bind("high", boxed(due.high()))
                        .bind("unit", due.unit())
                        .execute();
            }
            journal.write(
                    handle,
                    kept.registeredAt(),
                    kept.registeredBy(),
                    "equipment-registered",
                    kept.name(),
                    Json.object("says", kept.line()));
        });
        return kept;
    }

    /**
     * Notes what became of a thing; its number and the moment of storing are given here. Whether a check with limits passed is decided by
     * its number, whatever the act says.
     *
     * @throws Refused where the thing, the check or what is to be taken back is not known, a check with limits has no number, or it is
     *     to have happened later than now
     */
    public Act note(Act act) {
        Instant now = now();
        return app.inTransaction(handle -> {
            lock(handle);
            int id = id(handle, act.thing()).orElseThrow(() -> unknown(act.thing()));
            Instant at = act.at().truncatedTo(ChronoUnit.MICROS);
            refuseLater(act.thing(), at, now);
            Register register = EquipmentRows.register(handle);
            boolean passed = true;
            if (act.what() == Act.What.CHECKED) {
                passed = passed(register, act);
            } else if (act.what() == Act.What.TAKEN_BACK) {
                Act before = register.noted(act.thing()).stream()
                        .filter(one -> Long.toString(one.number()).equals(act.about()))
                        .findFirst()
                        .orElseThrow(() -> new Refused("nothing of number " + act.about() + " was noted about "
                                + words(act.thing()) + "; nothing was stored"));
                if (!register.stands(before)) {
                    throw new Refused("that was taken back before; nothing was stored");
                }
            }
            Act kept = new Act(
                    next(handle, "act"),
                    act.thing(),
                    act.what(),
                    act.about(),
                    act.value(),
                    passed,
                    act.says(),
                    at,
                    act.person(),
                    now);
            handle.createUpdate("""
                            insert into equipment.act
                                (number, lot, equipment, what, about, value, passed, says, happened_at, actor, at)
                            values (:number, :lot, :equipment, :what, :about, :value, :passed, :says, :happened, :actor, :at)
                            """)
                    .bind("number", kept.number())
                    .bind("lot", of(kept.thing(), Thing.Kind.LOT, id))
                    .bind("equipment", of(kept.thing(), Thing.Kind.EQUIPMENT, id))
                    .bind("what", kept.what().word())
                    .bind("about", kept.about())
                    .bind("value", boxed(kept.value()))
                    .bind("passed", kept.passed())
                    .bind("says", kept.says())
                    .bind("happened", kept.at().atOffset(ZoneOffset.UTC))
                    .bind("actor", kept.person())
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle,
                    now,
                    kept.person(),
                    "equipment-noted",
                    kept.thing().key(),
                    Json.object("says", kept.line()));
            return kept;
        });
    }

    private static boolean passed(Register register, Act act) {
        Equipment.Due due = register.equipment(act.thing().name())
                .flatMap(one -> one.due(act.about()))
                .orElseThrow(() ->
                        new Refused(words(act.thing()) + " has no check \"" + act.about() + "\"; nothing was stored"));
        if (!due.hasLimits()) {
            return act.passed();
        }
        if (act.value().isEmpty()) {
            throw new Refused("\"" + due.what() + "\" passes from " + due.limits()
                    + ": expected the number that was read; nothing was stored");
        }
        return due.passes(act.value().getAsDouble());
    }

    /**
     * Notes that a thing was used for a run or tray; its number and the moment of storing are given here.
     *
     * @throws Refused where the thing or the day is not known, or it is to have happened later than now
     */
    public Use note(Use use) {
        Instant now = now();
        return app.inTransaction(handle -> {
            lock(handle);
            int id = id(handle, use.thing()).orElseThrow(() -> unknown(use.thing()));
            int day = Days.id(handle, use.day()).orElseThrow(() -> Days.unknownDay(use.day()));
            Instant at = use.at().truncatedTo(ChronoUnit.MICROS);
            refuseLater(use.thing(), at, now);
            Use kept = new Use(
                    next(handle, "use"),
                    use.thing(),
                    use.place(),
                    use.day(),
                    use.code(),
                    use.method(),
                    at,
                    use.person(),
                    now);
            handle.createUpdate("""
                            insert into equipment.use (number, lot, equipment, place, day, code, method, used_at, actor, at)
                            values (:number, :lot, :equipment, :place, :day, :code, :method, :used, :actor, :at)
                            """)
                    .bind("number", kept.number())
                    .bind("lot", of(kept.thing(), Thing.Kind.LOT, id))
                    .bind("equipment", of(kept.thing(), Thing.Kind.EQUIPMENT, id))
                    .bind("place", kept.place().word())
                    .bind("day", day)
                    .bind("code", kept.code())
                    .bind("method", kept.method())
                    .bind("used", at.atOffset(ZoneOffset.UTC))
                    .bind("actor", kept.person())
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle, now, kept.person(), "equipment-used", kept.thing().key(), Json.object("says", kept.line()));
            return kept;
        });
    }

    /**
     * Lets results of a day stand although something was wrong with a thing; its number and the moment of storing are given here.
     *
     * @throws Refused where the thing or the day is not known
     */
    public LetStand letStand(LetStand one) {
        Instant now = now();
        return app.inTransaction(handle -> {
            lock(handle);
            int id = id(handle, one.thing()).orElseThrow(() -> unknown(one.thing()));
            int day = Days.id(handle, one.day()).orElseThrow(() -> Days.unknownDay(one.day()));
            LetStand kept = new LetStand(
                    next(handle, "let_stand"),
                    one.thing(),
                    one.day(),
                    one.finding(),
                    one.reason().strip(),
                    one.person(),
                    now);
            handle.createUpdate("""
                            insert into equipment.let_stand (number, lot, equipment, day, finding, reason, actor, at)
                            values (:number, :lot, :equipment, :day, :finding, :reason, :actor, :at)
                            """)
                    .bind("number", kept.number())
                    .bind("lot", of(kept.thing(), Thing.Kind.LOT, id))
                    .bind("equipment", of(kept.thing(), Thing.Kind.EQUIPMENT, id))
                    .bind("day", day)
                    .bind("finding", kept.finding())
                    .bind("reason", kept.reason())
                    .bind("actor", kept.person())
                    .bind("at", now.atOffset(ZoneOffset.UTC))
                    .execute();
            journal.write(
                    handle,
                    now,
                    kept.person(),
                    "equipment-let-stand",
                    kept.thing().key(),
                    Json.object("says", kept.line()));
            return kept;
        });
    }

    /** Everything that was ever registered and noted. */
    public Register register() {
        return app.withHandle(EquipmentRows::register);
    }

    /** What people let stand, the oldest first. */
    public List<LetStand> letStand() {
        return app.withHandle(EquipmentRows::letStand);
    }

    private Instant now() {
        return clock.instant().truncatedTo(ChronoUnit.MICROS);
    }

    private static void lock(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('equipment'))");
    }

    private static long next(Handle handle, String table) {
        return handle.createQuery("select coalesce(max(number), 0) + 1 from equipment." + table)
                .mapTo(Long.class)
                .one();
    }

    private static Optional<Integer> id(Handle handle, Thing thing) {
        return handle.createQuery("select id from equipment." + thing.kind().word() + " where name = :name")
                .bind("name", thing.name())
                .mapTo(Integer.class)
                .findOne();
    }

    private static void refuseTaken(Handle handle, Thing thing) {
        if (id(handle, thing).isPresent()) {
            throw new Refused(words(thing) + " is registered already; nothing was stored. What is registered never"
                    + " changes: give it another name, and note the old one as used up or out of service.");
        }
    }

    private static void refuseLater(Thing thing, Instant at, Instant now) {
        if (at.isAfter(now.plus(AHEAD))) {
            throw new Refused(words(thing) + ": that is to have happened at " + at.atOffset(ZoneOffset.UTC)
                    + ", which is later than now; nothing was stored");
        }
    }

    private static Refused unknown(Thing thing) {
        return new Refused(words(thing) + " is not registered; nothing was stored");
    }

    private static String words(Thing thing) {
        return thing.kind().word() + " " + thing.name();
    }

    private static @Nullable Integer of(Thing thing, Thing.Kind kind, int id) {
        return thing.kind() == kind ? id : null;
    }

    private static @Nullable Double boxed(OptionalDouble number) {
        return number.isPresent() ? number.getAsDouble() : null;
    }

    private static @Nullable Integer boxed(OptionalInt number) {
        return number.isPresent() ? number.getAsInt() : null;
    }
}
