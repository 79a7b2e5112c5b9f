package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.custody.AddedUp;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.custody.Recorded;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.KeptArrival;
import org.tenmesh.store.live.Taken;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class LedgerBookDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00.123Z");
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);

    private final Store store = OpenStore.get();

    private Signed<Permit> permit() {
        return permit(store);
    }

    private static Signed<Permit> permit(Store store) {
        String number = "P-" + UUID.randomUUID();
        store.papers().draft(PapersDbTest.permit(number), 0, "as issued", "P. Officer", AT);
        store.papers().sign(Papers.Kind.PERMIT, number, 1, TODAY, TODAY, "P. Officer", AT);
        return store.papers().signedPermits().stream()
                .filter(one -> one.name().equals(number))
                .findFirst()
                .orElseThrow();
    }

    /** Receives a parcel of a submission under a permit of its own. */
    static Parcel receive(Store store, String submission) {
        return store.ledger().receive(received(store, submission), TODAY, "D. Dock", AT);
    }

    /** A parcel that can be received under a permit of its own. */
    static LedgerBook.Received received(Store store, String submission) {
        LedgerBookDbTest test = new LedgerBookDbTest();
        LedgerBook.Received like =
                test.received(permit(store), UUID.randomUUID().toString());
        return new LedgerBook.Received(
                like.id(),
                submission,
                like.origin(),
                like.because(),
                like.permit(),
                like.massG(),
                like.pieces(),
                like.condition(),
                like.place());
    }

    private LedgerBook.Received received(Signed<Permit> permit, String id) {
        return new LedgerBook.Received(
                id,
                "SUB-261125-1",
                Origin.written(Optional.of("US"), List.of("Tennessee", "Hardeman")),
                "on an invented list",
                permit,
                OptionalLong.of(1200),
                2,
                "dry",
                "dock");
    }

    private static Move line(
            Move.What what, Parcel parcel, String portion, PortionKind kind, String from, long massMg, int pieces) {
        return new Move(
                UUID.randomUUID().toString(),
                what,
                parcel.code(),
                portion,
                kind,
                from,
                "shelf R",
                massMg,
                pieces,
                "",
                "",
                "A. Bench",
                AT);
    }

    private Parcel twoSoils(Signed<Permit> permit) {
        Parcel parcel =
                store.ledger().receive(received(permit, UUID.randomUUID().toString()), TODAY, "D. Dock", AT);
        store.ledger()
                .keep(List.of(
                        line(
                                Move.What.TAKEN,
                                parcel,
                                parcel.code() + "-a",
                                PortionKind.SOIL,
                                parcel.code(),
                                600_000,
                                1),
                        line(
                                Move.What.TAKEN,
                                parcel,
                                parcel.code() + "-b",
                                PortionKind.SOIL,
                                parcel.code(),
                                600_000,
                                1)));
        return parcel;
    }

    private Ledger account() {
        return Ledger.of(store.ledger().moves());
    }

    private List<String> differences(String about) {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains(about))
                .toList();
    }

    private Charge open(Signed<Permit> permit) {
        return open(permit, "oven 2");
    }

    private Charge open(Signed<Permit> permit, String device) {
        Charge charge = new Charge(
                "C-" + UUID.randomUUID(),
                device,
                permit.name(),
                permit.version(),
                permit.paper().treatments().get(0),
                List.of("middle", "door"),
                0.5,
                "A. Bench",
                AT);
        store.charges().open(charge, TODAY);
        return charge;
    }

    @Test
    void noChargeIsOpenedUnderAPermitThatExpiredMeanwhile() {
        Signed<Permit> permit = permit();
        Charge charge = new Charge(
                "C-" + UUID.randomUUID(),
                "oven 2",
                permit.name(),
                permit.version(),
                permit.paper().treatments().get(0),
                List.of("middle"),
                0.5,
                "A. Bench",
                AT);
        LocalDate after = permit.paper().expires().plusDays(1);
        assertThatThrownBy(() -> store.charges().open(charge, after))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("expired on " + permit.paper().expires())
                .hasMessageContaining("Nothing was opened");
        assertThat(store.charges().charge(charge.name())).isEmpty();
    }

    private static List<Charge.Point> points(double celsius) {
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = 0; minute <= 130; minute += 2) {
            points.add(new Charge.Point(AT.plus(Duration.ofMinutes(minute)), "middle", celsius + minute % 3 * 0.1));
            points.add(new Charge.Point(AT.plus(Duration.ofMinutes(minute)), "door", celsius + minute % 3));
        }
        return points;
    }

    @Test
    void aParcelGoesFromTheDockToItsResidue() {
        Signed<Permit> permit = permit();
        Parcel parcel = twoSoils(permit);
        List<String> soils = List.of(parcel.code() + "-a", parcel.code() + "-b");
        Charge charge = open(permit);
        String name = charge.name();
        store.charges().load(name, soils, "A. Bench", AT);
        store.charges().record(name, "typed", points(125), "A. Bench", AT);
        HeatRecord judged = store.charges()
                .close(
                        name,
                        AT.plus(Duration.ofMinutes(130)),
                        Set.of("trays at most 5 cm deep"),
                        "A. Bench",
                        AT.plus(Duration.ofHours(3)));
        assertThat(judged.reasons()).isEmpty();
        assertThat(judged.passed()).isTrue();
        store.charges().sign(name, "A. Bench", AT);
        assertThat(account().portion(soils.get(0)).orElseThrow().state()).isEqualTo(Held.State.LOADED);
        assertThatThrownBy(() -> store.charges().sign(name, "A. Bench", AT))
                .hasMessageContaining("a second person has to");
        store.charges().sign(name, "B. Other", AT);
        assertThat(account().portion(soils.get(0)).orElseThrow().state()).isEqualTo(Held.State.DESTROYED);
        assertThat(account().balance(parcel.code()).destroyed().massMg()).isEqualTo(1_200_000);
        assertThat(account().balance(parcel.code()).held().massMg()).isZero();
        store.charges().release(name, new ChargeState.Residue("a carrier", "a landfill", "T-1", "B. Other", AT));
        assertThat(store.charges().charge(name).orElseThrow().words()).isEqualTo("destroyed, residue released");
        assertThat(differences(parcel.code())).isEmpty();
        assertThat(differences(name)).isEmpty();
    }

    private Taken sent(String device, String key, List<Charge.Point> points) {
        return store.arrivals()
                .take(
                        new Arrival(
                                "recorder of " + device,
                                key,
                                key,
                                AT,
                                points.toString().getBytes(StandardCharsets.UTF_8),
                                List.of(),
                                Optional.of(new Recorded(device, points)),
                                Optional.empty()),
                        "test");
    }

    @Test
    void whatARecorderSendsIsInTheRecordOfTheChargeUnderWayOnceAndIsWhatIsJudged() {
        Signed<Permit> permit = permit();
        Parcel parcel = twoSoils(permit);
        String device = "oven " + UUID.randomUUID();
        List<Charge.Point> all = points(125);
        // No charge is under way: kept, and of no record.
        assertThat(sent(device, "1", all.subList(0, 2)).before()).isFalse();
        String name = open(permit, device).name();
        String beside = open(permit, "another " + device).name();
        assertThat(store.charges().charge(name).orElseThrow().points()).isEmpty();
        store.charges().load(name, List.of(parcel.code() + "-a"), "A. Bench", AT);
        assertThat(sent(device, "1", all.subList(0, 2)).before()).isTrue();
        Charge.Point before = new Charge.Point(AT.minusMillis(1), "door", 300);
        sent(device, "2", List.of(before, all.get(0), all.get(1), all.get(2)));
        // The same piece again, and a file that grew: what is in the record already is not added again.
        assertThat(sent(device, "2", List.of(before, all.get(0), all.get(1), all.get(2)))
                        .before())
                .isTrue();
        sent(device, "3", all);
        sent(device, "4", all);
        assertThat(store.charges().charge(name).orElseThrow().points()).isEqualTo(all);
        assertThat(store.charges().charge(beside).orElseThrow().points()).isEmpty();
        assertThat(store.arrivals().newest("recorder of " + device, 9))
                .extracting(KeptArrival::readings)
                .containsExactly(0, all.size() - 3, 3, 0);

        HeatRecord judged = store.charges()
                .close(
                        name,
                        AT.plus(Duration.ofMinutes(130)),
                        Set.of("trays at most 5 cm deep"),
                        "A. Bench",
                        AT.plus(Duration.ofHours(3)));
        assertThat(judged.passed()).isTrue();
        assertThat(judged.gaps()).isEmpty();
        sent(device, "5", List.of(new Charge.Point(AT.plus(Duration.ofMinutes(131)), "door", 20)));
        assertThat(store.charges().charge(name).orElseThrow().points())
                .as("what comes after the end is of no record")
                .isEqualTo(all);
        assertThat(differences(name)).isEmpty();
        assertThat(store.verifyJournal().firstBroken()).isEmpty();
    }

    @Test
    void nothingIsKeptWhileItIsNotKnownWhoseTemperaturesTheseAre() {
        Signed<Permit> permit = permit();
        String device = "oven " + UUID.randomUUID();
        String one = open(permit, device).name();
        String other = open(permit, device).name();
        assertThatThrownBy(() -> sent(device, "1", points(125)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining(one)
                .hasMessageContaining(other);
        assertThat(store.arrivals().newest("recorder of " + device, 9)).isEmpty();
        assertThat(store.charges().charge(one).orElseThrow().points()).isEmpty();
        assertThat(store.charges().charge(other).orElseThrow().points()).isEmpty();
    }

    @Test
    void aReadingThatWasChangedOutsideIsTold() throws SQLException {
        Signed<Permit> permit = permit();
        String device = "oven " + UUID.randomUUID();
        String name = open(permit, device).name();
        sent(device, "1", points(125));
        assertThat(differences(name)).isEmpty();
        for (String change : List.of("celsius[1] = celsius[1] + 1", "celsius[1] = celsius[1] - 1")) {
            try (Connection owner = store.connections().owner();
                    Statement statement = owner.createStatement()) {
                statement.execute("alter table custody.charge_record disable trigger charge_record_stays");
                statement.execute("update custody.charge_record set " + change + " where charge = '" + name + "'");
                statement.execute("alter table custody.charge_record enable trigger charge_record_stays");
            }
            assertThat(differences(name)).hasSize(change.contains("+") ? 2 : 0);
        }
    }

    @Test
    void aChargeThatFailsLeavesEverythingRegulated() {
        Signed<Permit> permit = permit();
        Parcel parcel = twoSoils(permit);
        List<String> soils = List.of(parcel.code() + "-a", parcel.code() + "-b");
        for (double celsius : new double[] {121.2, 125}) {
            String name = open(permit).name();
            store.charges().load(name, soils, "A. Bench", AT);
            store.charges().record(name, "typed", points(celsius), "A. Bench", AT);
            // Once too cold by the uncertainty of the sensor, once without the confirmation that the treatment asks
            // for.
            Set<String> confirmed = celsius > 122 ? Set.of() : Set.of("trays at most 5 cm deep");
            HeatRecord judged = store.charges()
                    .close(name, AT.plus(Duration.ofMinutes(130)), confirmed, "A. Bench", AT.plus(Duration.ofHours(3)));
            assertThat(judged.passed()).isFalse();
            assertThatThrownBy(() -> store.charges().sign(name, "B. Other", AT)).hasMessageContaining("has not passed");
            assertThatThrownBy(() -> store.charges().load(name, soils, "A. Bench", AT))
                    .hasMessageContaining("is closed");
            assertThat(account().portion(soils.get(1)).orElseThrow().state()).isEqualTo(Held.State.HELD);
        }
        assertThat(account().balance(parcel.code()).destroyed().massMg()).isZero();
        assertThat(account().balance(parcel.code()).exact()).isTrue();
    }

    @Test
    void refusesWhatDoesNotFitAndKeepsEachLineOnce() {
        Signed<Permit> permit = permit();
        String id = UUID.randomUUID().toString();
        Parcel parcel = store.ledger().receive(received(permit, id), TODAY, "D. Dock", AT);
        assertThat(store.ledger().receive(received(permit, id), TODAY, "D. Dock", AT))
                .isEqualTo(parcel);
        assertThat(parcel.keepUntil()).isEmpty();
        Move once = line(Move.What.TAKEN, parcel, parcel.code() + "-a", PortionKind.SOIL, parcel.code(), 600_000, 1);
        store.ledger().keep(List.of(once));
        store.ledger().keep(List.of(once));
        int before = store.ledger().moves().size();
        assertThatThrownBy(() -> store.ledger()
                        .keep(List.of(
                                line(
                                        Move.What.TAKEN,
                                        parcel,
                                        parcel.code() + "-b",
                                        PortionKind.SOIL,
                                        parcel.code(),
                                        1,
                                        1),
                                line(
                                        Move.What.TAKEN,
                                        parcel,
                                        parcel.code() + "-c",
                                        PortionKind.SOIL,
                                        parcel.code(),
                                        700_000,
                                        1))))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("does not fit the account");
        assertThat(store.ledger().moves()).hasSize(before);
        assertThatThrownBy(() -> store.ledger().receive(received(permit, "later"), TODAY.plusYears(2), "D. Dock", AT))
                .hasMessageContaining("does not hold");
        Charge other = open(permit());
        assertThatThrownBy(() -> store.charges().load(other.name(), List.of(parcel.code() + "-a"), "A. Bench", AT))
                .hasMessageContaining("under another permit");
        assertThatThrownBy(() -> store.charges().load(open(permit).name(), List.of(parcel.code()), "A. Bench", AT))
                .hasMessageContaining("is not for parcel");
    }

    @Test
    void verifyFindsWhatWasPutInOutside() throws SQLException {
        Signed<Permit> permit = permit();
        Parcel parcel = twoSoils(permit);
        String charge = open(permit).name();
        store.charges().load(charge, List.of(parcel.code() + "-a"), "A. Bench", AT);
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            for (String table : List.of(
                    "parcel",
                    "move",
                    "charge",
                    "charge_record",
                    "charge_closed",
                    "charge_signature",
                    "charge_residue")) {
                assertThatThrownBy(() -> statement.execute("delete from custody." + table))
                        .isInstanceOf(SQLException.class);
            }
            statement.execute("""
                    insert into custody.move (batch, id, what, parcel, portion, kind, from_portion, place, mass_mg, pieces, charge, note,
                        person, at)
                    values ('outside', 'smuggled', 'destroyed', '%s', '%s-a', 'soil', '', '', 600000, 1, '%s', '', 'X', now())
                    """.formatted(parcel.code(), parcel.code(), charge));
        }
        assertThat(differences(charge))
                .anyMatch(one -> one.contains("does not meet the limits"))
                .anyMatch(one -> one.contains("signatures of two people"));
        assertThat(differences("custody-moves outside")).hasSize(1);
    }

    @Test
    void whatWasAddedUpIsReadOnceAndWhatWasChangedOutsideIsReadAgain() throws SQLException {
        LedgerBook ledger = store.ledger();
        AddedUp before = ledger.addedUp();
        assertThat(ledger.addedUp()).isSameAs(before);
        Parcel parcel = twoSoils(permit());
        AddedUp now = ledger.addedUp();
        assertThat(now.moves()).isEqualTo(ledger.moves()).hasSize(before.moves().size() + 3);
        assertThat(now.ledger().balances()).isEqualTo(account().balances());
        assertThat(now.ledger().portion(parcel.code() + "-a"))
                .isEqualTo(account().portion(parcel.code() + "-a"));
        for (String mass : List.of("600001", "600000")) {
            try (Connection owner = store.connections().owner();
                    Statement statement = owner.createStatement()) {
                statement.execute("alter table custody.move disable trigger move_stays");
                statement.execute(
                        "update custody.move set mass_mg = " + mass + " where portion = '" + parcel.code() + "-a'");
                statement.execute("alter table custody.move enable trigger move_stays");
            }
            assertThat(ledger.addedUp().moves()).isEqualTo(ledger.moves());
            assertThat(ledger.addedUp().ledger().balances()).isEqualTo(account().balances());
        }
    }
}
