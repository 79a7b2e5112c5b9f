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

    static Register register(Handle handle) {
        return Register.of(lots(handle), equipment(handle), acts(handle), uses(handle));
    }

    /** One line for each row, as the journal has it, by the word of its entry; in the order in which they were stored. */
    public static Map<String, List<String>> lines(Handle handle) {
        List<Hold> holds = HoldBook.holds(handle);
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
                .map((rs, ctx) -> Map.entry(
                        rs.getInt("lot"),
                        new Lot.Content(
                                rs.getString("analyte"),
                                rs.getDouble("value"),
                                number(rs, "uncertainty"),
                                unit(rs.getString("unit")))))
                .forEach(row -> contents.computeIfAbsent(row.getKey(), id -> new ArrayList<>())
                        .add(row.getValue()));
        Map<Integer, List<String>> parts = new HashMap<>();
        handle.createQuery(
                        "select p.lot, l.name from equipment.lot_part p join equipment.lot l on l.id = p.part order by p.lot, p.ord")
                .map((rs, ctx) -> Map.entry(rs.getInt("lot"), rs.getString("name")))
                .forEach(row -> parts.computeIfAbsent(row.getKey(), id -> new ArrayList<>())
                        .add(row.getValue()));
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
                .map((rs, ctx) -> Map.entry(
                        rs.getInt("equipment"),
                        new Equipment.Due(
                                rs.getString("what"),
                                whole(rs, "every_days"),
                                Optional.ofNullable(rs.getObject("by_day", LocalDate.class)),
                                number(rs, "low"),
                                number(rs, "high"),
                                rs.getString("unit"))))
                .forEach(row -> dues.computeIfAbsent(row.getKey(), id -> new ArrayList<>())
                        .add(row.getValue()));
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
