package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.store.equipment.EquipmentBook;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class EquipmentDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30.123456Z");

    private final Store store = OpenStore.get();
    private final EquipmentBook book = store.equipment();

    private static String fresh(String before) {
        return before + UUID.randomUUID().toString().substring(0, 8);
    }

    private static Lot lot(String name, String... madeFrom) {
        return new Lot(
                name,
                Lot.Kind.BUFFER,
                "pH 7",
                "ph-water-1-1",
                "invented supplier",
                List.of(
                        new Lot.Content("pH", 7.0, OptionalDouble.of(0.01), Unit.PH),
                        new Lot.Content("pH", 7.02, OptionalDouble.empty(), Unit.PH)),
                LocalDate.of(2026, 1, 2),
                Optional.of(LocalDate.of(2026, 12, 31)),
                OptionalInt.of(60),
                List.of(madeFrom),
                "A. Bench",
                Instant.EPOCH);
    }

    private static Equipment balance(String name) {
        return new Equipment(
                name,
                Equipment.Kind.BALANCE,
                "inv-17",
                "OM1",
                "2",
                List.of(
                        new Equipment.Due(
                                "10 g",
                                OptionalInt.of(7),
                                Optional.empty(),
                                OptionalDouble.of(9.998),
                                OptionalDouble.of(10.002),
                                "g"),
                        new Equipment.Due(
                                "service",
                                OptionalInt.empty(),
                                Optional.of(LocalDate.of(2027, 3, 1)),
                                OptionalDouble.empty(),
                                OptionalDouble.empty(),
                                "")),
                "A. Bench",
                Instant.EPOCH);
    }

    private static Act act(Thing thing, Act.What what, String about, OptionalDouble value, boolean passed) {
        return new Act(
                0,
                thing,
                what,
                about,
                value,
                passed,
                what.needsReason() ? "because" : "",
                AT,
                "A. Bench",
                Instant.EPOCH);
    }

    @Test
    void keepsLotsAndEquipmentAsTheyWereRegisteredAndNoted() {
        Lot part = book.register(lot(fresh("PART-")));
        Lot made = book.register(lot(fresh("MADE-"), part.name()));
        Equipment balance = book.register(balance(fresh("B-")));
        Act opened = book.note(act(made.thing(), Act.What.OPENED, "", OptionalDouble.empty(), true));
        // The number decides, whatever was said.
        Act failed = book.note(act(balance.thing(), Act.What.CHECKED, "10 g", OptionalDouble.of(10.0021), true));
        Act passed = book.note(act(balance.thing(), Act.What.CHECKED, "10 g", OptionalDouble.of(10.002), false));

        assertThat(failed.passed()).isFalse();
        assertThat(passed.passed()).isTrue();
        assertThat(book.register().lot(made.name())).contains(made);
        assertThat(book.register().equipment(balance.name())).contains(balance);
        assertThat(book.register().noted(made.thing())).containsExactly(opened);
        assertThat(book.register().noted(balance.thing())).containsExactly(failed, passed);
        assertThat(store.journal(1).get(0).detail()).contains(passed.line().replace("\"", "\\\""));
    }

    @Test
    void keepsWhatWasUsedAndWhatWasLetStand() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        Lot lot = book.register(lot(fresh("L-")));
        Use use = book.note(new Use(0, lot.thing(), Use.Place.TRAY, day, "T0001", "", AT, "A. Bench", Instant.EPOCH));
        LetStand stands = book.letStand(new LetStand(0, lot.thing(), day, "expired", "looked at", "Q", Instant.EPOCH));
        assertThat(book.register().usesOf(lot.thing())).containsExactly(use);
        assertThat(book.letStand()).contains(stands);
        assertThatThrownBy(() -> book.note(
                        new Use(0, lot.thing(), Use.Place.TRAY, "1999-01-01", "T0001", "", AT, "A", Instant.EPOCH)))
                .isInstanceOf(Refused.class);
    }

    @Test
    void refusesWhatDoesNotFit() {
        Lot lot = book.register(lot(fresh("L-")));
        Equipment balance = book.register(balance(fresh("B-")));
        assertThatThrownBy(() -> book.register(lot(lot.name())))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("registered already");
        assertThatThrownBy(() -> book.register(lot(fresh("L-"), "NOT-THERE")))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("lot NOT-THERE, which is not registered");
        assertThatThrownBy(() -> book.note(act(balance.thing(), Act.What.CHECKED, "20 g", OptionalDouble.of(1), true)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("no check \"20 g\"");
        assertThatThrownBy(
                        () -> book.note(act(balance.thing(), Act.What.CHECKED, "10 g", OptionalDouble.empty(), true)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("expected the number");
        assertThatThrownBy(
                        () -> book.note(act(Thing.lot("NOT-THERE"), Act.What.OPENED, "", OptionalDouble.empty(), true)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("not registered");
        Act later = new Act(
                0,
                lot.thing(),
                Act.What.OPENED,
                "",
                OptionalDouble.empty(),
                true,
                "",
                Instant.now().plusSeconds(3600),
                "A",
                Instant.EPOCH);
        assertThatThrownBy(() -> book.note(later)).isInstanceOf(Refused.class).hasMessageContaining("later than now");

        Act opened = book.note(act(lot.thing(), Act.What.OPENED, "", OptionalDouble.empty(), true));
        Act back = act(lot.thing(), Act.What.TAKEN_BACK, Long.toString(opened.number()), OptionalDouble.empty(), true);
        book.note(back);
        assertThat(book.register().stands(opened)).isFalse();
        assertThatThrownBy(() -> book.note(back)).isInstanceOf(Refused.class).hasMessageContaining("taken back before");
    }

    @Test
    void laysAHoldAndLiftsItOnce() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        Hold laid = store.holds()
                .lay(new Hold(
                        0,
                        "instrument ICP1",
                        "pump leaked",
                        List.of(new Hold.Span(day, "R1", 3, 9), new Hold.Span(day, "R2", 1, 1)),
                        "Q",
                        Instant.EPOCH,
                        Optional.empty()));
        assertThat(store.holds().all()).contains(laid);
        store.holds().lift(laid.number(), "read again, no difference", "Q");
        assertThat(store.holds().all())
                .filteredOn(one -> one.number() == laid.number())
                .singleElement()
                .satisfies(one -> {
                    assertThat(one.spans()).isEqualTo(laid.spans());
                    assertThat(one.lifted().orElseThrow().reason()).isEqualTo("read again, no difference");
                });
        assertThatThrownBy(() -> store.holds().lift(laid.number(), "again", "Q"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("lifted before");
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains("instrument ICP1") || one.contains("no difference"))
                .isEmpty();
    }

    @Test
    void refusesChangeAndTellsWhatWasPutInOutside() throws SQLException {
        Equipment balance = book.register(balance(fresh("B-")));
        book.note(act(balance.thing(), Act.What.CHECKED, "10 g", OptionalDouble.of(10), true));
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(balance.name()))
                .isEmpty();
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            for (String change : new String[] {
                "update equipment.act set passed = true",
                "delete from equipment.due",
                "truncate equipment.use",
                "update equipment.lot set expires = null"
            }) {
                assertThatThrownBy(() -> statement.execute(change)).isInstanceOf(SQLException.class);
            }
        }
        OpenStore.run(
                store,
                "alter table equipment.act disable trigger all",
                "update equipment.act set value = 9.9999 where equipment = (select id from equipment.equipment where name = '"
                        + balance.name() + "')",
                "alter table equipment.act enable trigger all");
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(balance.name()))
                .hasSize(2);
    }
}
