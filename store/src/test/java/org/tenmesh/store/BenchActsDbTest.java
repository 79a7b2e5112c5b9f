package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Cleanliness;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.store.people.Badge;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class BenchActsDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30.123Z");

    private final Store store = OpenStore.get();

    private static BenchAct act(Subject subject, String id, BenchAct.What what) {
        return new BenchAct(id, subject, "mehlich3.shake", what, "", "", "A. Bench", "tablet-1", AT, Instant.EPOCH);
    }

    @Test
    void keepsAnActOnceHoweverOftenItIsSent() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        Subject tray = Subject.tray(day, "T0001");
        String id = UUID.randomUUID().toString();
        long before = store.journal(1).get(0).seq();

        BenchAct first = store.benchActs().keep(act(tray, id, BenchAct.What.DONE), "B. Other");
        BenchAct second = store.benchActs().keep(act(tray, id, BenchAct.What.DONE), "B. Other");

        assertThat(second).isEqualTo(first);
        assertThat(store.benchActs().of(day)).containsExactly(first);
        assertThat(first.storedAt()).isAfter(AT);
        assertThat(store.journal(1).get(0).seq()).isEqualTo(before + 1);
        assertThat(store.journal(1).get(0).detail()).contains("\"sent-by\":\"B. Other\"");
        assertThat(store.journal(1).get(0).actor()).isEqualTo("A. Bench");
        assertThatThrownBy(() -> store.benchActs().keep(act(tray, id, BenchAct.What.SPILT), "A. Bench"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("used the number " + id);
        assertThatThrownBy(() -> store.benchActs()
                        .keep(act(Subject.tray("1999-01-01", "T1"), "not-there-1", BenchAct.What.DONE), "A"))
                .isInstanceOf(Refused.class);

        BenchAct rack = store.benchActs()
                .keep(act(Subject.rack("R17"), UUID.randomUUID().toString(), BenchAct.What.BEGUN), "A. Bench");
        assertThat(store.benchActs().racks(10)).contains(rack);
        assertThat(store.benchActs().of(day)).containsExactly(first);
    }

    private BenchAct prepared(
            Subject subject,
            String step,
            BenchAct.What what,
            String about,
            int minutes,
            Map<Measure, Double> measured) {
        return store.benchActs()
                .keep(
                        new BenchAct(
                                UUID.randomUUID().toString(),
                                subject,
                                step,
                                what,
                                about,
                                "",
                                "A. Bench",
                                "tablet-1",
                                AT.plusSeconds(60L * minutes),
                                Instant.EPOCH,
                                measured),
                        "A. Bench");
    }

    @Test
    void keepsNumbersAndKnowsWhatAMillGroundSinceItWasCleaned() {
        String mill = "M" + UUID.randomUUID().toString().substring(0, 8);
        Map<Measure, Double> regulated = Map.of(Measure.REGULATED, 1.0);
        BenchAct weighed = prepared(
                Subject.rack("R18"),
                "",
                BenchAct.What.WEIGHED,
                "",
                0,
                Map.of(Measure.PLACE, 3.0, Measure.MASS_G, 102.45));
        assertThat(store.benchActs().racks(1)).containsExactly(weighed);
        prepared(Subject.rack("R18"), Rack.GRIND, BenchAct.What.DONE, mill, 1, regulated);
        BenchAct cleaned = prepared(Subject.equipment(mill), "", BenchAct.What.CLEANED, "", 10, Map.of());
        assertThat(Cleanliness.uncleaned(store.benchActs().sinceCleaned(mill))).isEmpty();
        // Kept last, done before the cleaning: a tablet that was without network.
        prepared(Subject.rack("R19"), Rack.GRIND, BenchAct.What.DONE, mill, 5, regulated);
        assertThat(Cleanliness.uncleaned(store.benchActs().sinceCleaned(mill))).isEmpty();
        BenchAct after = prepared(Subject.rack("R20"), Rack.GRIND, BenchAct.What.DONE, mill, 11, regulated);
        assertThat(Cleanliness.uncleaned(store.benchActs().sinceCleaned(mill))).contains(after);
        prepared(Subject.rack("R20"), "", BenchAct.What.TAKEN_BACK, after.id(), 12, Map.of());
        assertThat(Cleanliness.uncleaned(store.benchActs().sinceCleaned(mill))).isEmpty();
        prepared(Subject.equipment(mill), "", BenchAct.What.TAKEN_BACK, cleaned.id(), 13, Map.of());
        assertThat(Cleanliness.uncleaned(store.benchActs().sinceCleaned(mill)))
                .as("a cleaning that was taken back cleaned nothing")
                .isPresent();
        assertThat(store.benchActs().equipment()).contains(mill);
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains("R-018") || one.contains(mill))
                .isEmpty();
    }

    @Test
    void refusesChangeAndTellsWhatWasPutInOutside() throws SQLException {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        store.benchActs()
                .keep(act(Subject.tray(day, "T0002"), UUID.randomUUID().toString(), BenchAct.What.DONE), "A. Bench");
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains("T0002"))
                .isEmpty();
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            for (String change :
                    new String[] {"update bench.act set what = 'spilt'", "delete from bench.act", "truncate bench.act"
                    }) {
                assertThatThrownBy(() -> statement.execute(change)).isInstanceOf(SQLException.class);
            }
            statement.execute("""
                    insert into bench.act (id, day, kind, code, step, what, about, told, person, sent_by, device, device_at, stored_at)
                    select 'smuggled-in-1', id, 'tray', 'T0002', '', 'done', '', '', 'X', 'X', 'x', now(), now()
                    from intake.day where name = '%s'
                    """.formatted(day));
        }
        assertThat(store.compareWithJournal(says -> {}).differences())
                .anyMatch(one -> one.contains("smuggled-in-1") && one.contains("outside the program"));
    }

    @Test
    void letsTheBenchReadItsActsAndNothingElse() throws SQLException {
        try (Connection connection = store.connections().bench().open().getConnection();
                Statement statement = connection.createStatement()) {
            try (ResultSet rows = statement.executeQuery("select count(*) from bench.act")) {
                assertThat(rows.next()).isTrue();
            }
            for (String denied : new String[] {
                "insert into bench.act (id) values ('x')",
                "select * from people.badge",
                "select * from people.session",
                "select * from intake.shortage"
            }) {
                assertThatThrownBy(() -> statement.execute(denied))
                        .isInstanceOf(SQLException.class)
                        .hasMessageContaining("permission denied");
            }
        }
    }

    @Test
    void opensABadgeToItsHolderUntilItIsWithdrawn() {
        String name = "Bea " + UUID.randomUUID().toString().substring(0, 8);
        String quality = "Quinn " + UUID.randomUUID().toString().substring(0, 8);
        store.people().add(new Person(name, PersonRole.BENCH, "", true), "M. Whelan");
        store.people().add(new Person(quality, PersonRole.QUALITY, "", true), "M. Whelan");
        assertThatThrownBy(() -> store.badges().issue(quality, "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("bench accounts alone");

        String code = store.badges().issue(name, "M. Whelan");
        assertThat(code).matches("BDG-[0-9A-Z]{12}");
        assertThat(store.badges().find(code).map(Badge::pinHash)).contains("");
        store.badges().choosePin(code, "hash of a pin");
        assertThat(store.badges().find(code).map(Badge::pinHash)).contains("hash of a pin");
        assertThatThrownBy(() -> store.badges().choosePin(code, "another")).isInstanceOf(Refused.class);

        String token = store.people().startBadgeSession(name, Duration.ofHours(8), Duration.ofMinutes(5));
        assertThat(store.people()
                        .session(token, Duration.ofHours(2), true)
                        .orElseThrow()
                        .locksAfter())
                .contains(Duration.ofMinutes(5));
        assertThat(store.badges().withdraw(name, "M. Whelan")).isTrue();
        assertThat(store.badges().find(code)).isEmpty();
        assertThat(store.people().session(token, Duration.ofHours(2), true)).isEmpty();

        String fresh = store.badges().issue(name, "M. Whelan");
        assertThat(store.badges().inUse()).containsKey(name);
        assertThat(store.badges().find(fresh)).isPresent();
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(name))
                .isEmpty();
        assertThat(store.verifyJournal().whole()).isTrue();
    }
}
