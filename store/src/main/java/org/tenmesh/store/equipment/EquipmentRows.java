package org.tenmesh.store.equipment;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.quantity.Unit;

/** Lots, equipment and what was noted about them, as they are stored. */
public final class EquipmentRows {
    private static final String THING = """
             left join equipment.lot l on l.id = x.lot left join equipment.equipment e on e.id = x.equipment
            """;

    private EquipmentRows() {}

    /** One of several rows of something: they count up from 1. */
    record Row<K, V>(K of, int ord, V value) {
        /** @throws IllegalStateException where one is missing or they were put in another order */
        void into(Map<K, List<V>> all, String what) {
            List<V> before = all.computeIfAbsent(of, key -> new ArrayList<>());
            if (before.size() + 1 != ord) {
                throw new IllegalStateException(what + " (" + of + ") does not count up: found place " + ord
                        + ", expected " + (before.size() + 1));
            }
            before.add(value);
        }
    }

    static Register register(Handle handle) {
        return Register.of(lots(handle), equipment(handle), acts(handle), uses(handle));
    }

    /** One line for each row, as the journal has it, by the word of its entry; in the order in which they were stored. */
    public static Map<String, List<String>> lines(Handle handle) {
        List<Hold> holds = holds(handle);
        return Map.of(
                "hold-laid", holds.stream().map(Hold::line).toList(),
                "hold-lifted",
                        holds.stream()
                                .flatMap(hold ->
                                        hold.lifted().stream().map(lifted -> hold.number() + ". " + lifted.line()))
                                .toList(),
                "lot-registered", lots(handle).stream().map(Lot::line).toList(),
                "equipment-registered",
                        equipment(handle).stream().map(Equipment::line).toList(),
                "equipment-noted", acts(handle).stream().map(Act::line).toList(),
                "equipment-used", uses(handle).stream().map(Use::line).toList(),
                "equipment-let-stand",
                        letStand(handle).stream().map(LetStand::line).toList());
    }

    private static List<Lot> lots(Handle handle) {
        Map<Integer, List<Lot.Content>> contents = new HashMap<>();
        handle.createQuery("select * from equipment.lot_content order by lot, ord")
                .map((rs, ctx) -> new Row<>(
                        rs.getInt("lot"),
                        rs.getInt("ord"),
                        new Lot.Content(
                                rs.getString("analyte"),
                                rs.getDouble("value"),
                                number(rs, "uncertainty"),
                                unit(rs.getString("unit")))))
                .forEach(row -> row.into(contents, "the contents of a lot"));
        Map<Integer, List<String>> parts = new HashMap<>();
        handle.createQuery(
                        "select p.lot, p.ord, l.name from equipment.lot_part p join equipment.lot l on l.id = p.part order by p.lot, p.ord")
                .map((rs, ctx) -> new Row<>(rs.getInt("lot"), rs.getInt("ord"), rs.getString("name")))
                .forEach(row -> row.into(parts, "what a lot was made from"));
        return handle.createQuery("select * from equipment.lot order by id")
                .map((rs, ctx) -> new Lot(
                        rs.getString("name"),
                        Lot.Kind.of(rs.getString("kind")).orElseThrow(),
                        rs.getString("stands_for"),
                        rs.getString("method"),
                        rs.getString("source"),
                        contents.getOrDefault(rs.getInt("id"), List.of()),
                        rs.getObject("received", LocalDate.class),
                        Optional.ofNullable(rs.getObject("expires", LocalDate.class)),
                        whole(rs, "days_open"),
                        parts.getOrDefault(rs.getInt("id"), List.of()),
                        rs.getString("actor"),
                        instant(rs, "at")))
                .list();
    }

    private static List<Equipment> equipment(Handle handle) {
        Map<Integer, List<Equipment.Due>> dues = new HashMap<>();
        handle.createQuery("select * from equipment.due order by equipment, ord")
                .map((rs, ctx) -> new Row<>(
                        rs.getInt("equipment"),
                        rs.getInt("ord"),
                        new Equipment.Due(
                                rs.getString("what"),
                                whole(rs, "every_days"),
                                Optional.ofNullable(rs.getObject("by_day", LocalDate.class)),
                                number(rs, "low"),
                                number(rs, "high"),
                                rs.getString("unit"))))
                .forEach(row -> row.into(dues, "what equipment is due for"));
        return handle.createQuery("select * from equipment.equipment order by id")
                .map((rs, ctx) -> new Equipment(
                        rs.getString("name"),
                        Equipment.Kind.of(rs.getString("kind")).orElseThrow(),
                        rs.getString("identity"),
                        rs.getString("instrument"),
                        rs.getString("channel"),
                        dues.getOrDefault(rs.getInt("id"), List.of()),
                        rs.getString("actor"),
                        instant(rs, "at")))
                .list();
    }

    private static List<Act> acts(Handle handle) {
        return handle.createQuery("select x.*, l.name as lot_name, e.name as equipment_name from equipment.act x"
                        + THING + " order by x.number")
                .map((rs, ctx) -> new Act(
                        rs.getLong("number"),
                        thing(rs),
                        Act.What.of(rs.getString("what")).orElseThrow(),
                        rs.getString("about"),
                        number(rs, "value"),
                        rs.getBoolean("passed"),
                        rs.getString("says"),
                        instant(rs, "happened_at"),
                        rs.getString("actor"),
                        instant(rs, "at")))
                .list();
    }

    private static List<Use> uses(Handle handle) {
        return handle.createQuery(
                        "select x.*, d.name as day_name, l.name as lot_name, e.name as equipment_name from equipment.use x"
                                + " join intake.day d on d.id = x.day" + THING + " order by x.number")
                .map((rs, ctx) -> new Use(
                        rs.getLong("number"),
                        thing(rs),
                        Use.Place.of(rs.getString("place")).orElseThrow(),
                        rs.getString("day_name"),
                        rs.getString("code"),
                        rs.getString("method"),
                        instant(rs, "used_at"),
                        rs.getString("actor"),
                        instant(rs, "at")))
                .list();
    }

    static List<LetStand> letStand(Handle handle) {
        return handle.createQuery(
                        "select x.*, d.name as day_name, l.name as lot_name, e.name as equipment_name from equipment.let_stand x"
                                + " join intake.day d on d.id = x.day" + THING + " order by x.number")
                .map((rs, ctx) -> new LetStand(
                        rs.getLong("number"),
                        thing(rs),
                        rs.getString("day_name"),
                        rs.getString("finding"),
                        rs.getString("reason"),
                        rs.getString("actor"),
                        instant(rs, "at")))
                .list();
    }

    static List<Hold> holds(Handle handle) {
        Map<Long, List<Hold.Span>> spans = new HashMap<>();
        handle.createQuery("""
                        select s.hold, s.ord, d.name as day, s.run, s.first_position, s.last_position
                        from equipment.hold_span s join intake.day d on d.id = s.day order by s.hold, s.ord
                        """)
                .map((rs, ctx) -> new Row<>(
                        rs.getLong("hold"),
                        rs.getInt("ord"),
                        new Hold.Span(
                                rs.getString("day"),
                                rs.getString("run"),
                                rs.getInt("first_position"),
                                rs.getInt("last_position"))))
                .forEach(row -> row.into(spans, "what a hold lists"));
        return handle.createQuery("""
                        select h.*, l.reason as lifted_because, l.actor as lifted_by, l.at as lifted_at
                        from equipment.hold h left join equipment.hold_lifted l on l.hold = h.number order by h.number
                        """)
                .map((rs, ctx) -> new Hold(
                        rs.getLong("number"),
                        rs.getString("about"),
                        rs.getString("reason"),
                        spans.getOrDefault(rs.getLong("number"), List.of()),
                        rs.getString("actor"),
                        rs.getObject("at", OffsetDateTime.class).toInstant(),
                        rs.getString("lifted_because") == null
                                ? Optional.empty()
                                : Optional.of(new Hold.Lifted(
                                        rs.getString("lifted_because"),
                                        rs.getString("lifted_by"),
                                        rs.getObject("lifted_at", OffsetDateTime.class)
                                                .toInstant()))))
                .list();
    }

    private static Thing thing(ResultSet rs) throws SQLException {
        String lot = rs.getString("lot_name");
        return lot == null ? Thing.equipment(rs.getString("equipment_name")) : Thing.lot(lot);
    }

    private static Unit unit(String code) {
        return Unit.ofUcum(code)
                .orElseThrow(() -> new IllegalStateException("a lot is stored with the unknown unit " + code));
    }

    private static Instant instant(ResultSet rs, String column) throws SQLException {
        return rs.getObject(column, OffsetDateTime.class).toInstant();
    }

    private static OptionalDouble number(ResultSet rs, String column) throws SQLException {
        double value = rs.getDouble(column);
        return rs.wasNull() ? OptionalDouble.empty() : OptionalDouble.of(value);
    }

    private static OptionalInt whole(ResultSet rs, String column) throws SQLException {
        int value = rs.getInt(column);
        return rs.wasNull() ? OptionalInt.empty() : OptionalInt.of(value);
    }
}
