package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class TakeDbTest {
    private final Store store = OpenStore.get();

    @Test
    void givesBackTheDayItTookToTheLastBit() {
        Day day = InventedDay.of(450);
        String name = OpenStore.freshDay();

        Receipt receipt = OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");

        assertThat(receipt.soils()).isEqualTo(450);
        assertThat(receipt.runs()).containsExactly("P1", "P2", "P3");
        assertThat(receipt.readings())
                .isEqualTo(
                        day.runs().stream().mapToLong(r -> r.readings().size()).sum());
        Day back = store.quality().dayWithControls(name).orElseThrow();
        assertThat(back.laboratory()).isEqualTo(OpenStore.in(name, day).laboratory());
        assertThat(back.submissions()).isEqualTo(day.submissions());
        assertThat(back.soils()).isEqualTo(day.soils());
        assertThat(back.trays()).isEqualTo(day.trays());
        assertThat(back.controls()).isEqualTo(day.controls());
        assertThat(back.materials()).isEqualTo(day.materials());
        assertThat(back.standards()).isEqualTo(day.standards());
        assertThat(back.runs().stream().map(TakeDbTest::allOf).toList())
                .isEqualTo(day.runs().stream().map(TakeDbTest::allOf).toList());
    }

    @Test
    void keepsTheKeyOutOfTheDayThatEverybodySees() {
        String name = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(60), name, OpenStore.freshDigest(), "M. Whelan");

        Day seen = store.day(name).orElseThrow();

        assertThat(seen.controls()).isEmpty();
        assertThat(seen.soils()).hasSize(60);
        assertThat(store.quality().controls(name)).hasSize(1);
    }

    @Test
    void listsTheDay() {
        String name = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(60), name, OpenStore.freshDigest(), "M. Whelan");

        DayEntry entry = store.dayEntry(name).orElseThrow();

        assertThat(entry.laboratory()).isEqualTo("Ashgrove Soil Laboratory");
        assertThat(entry.soils()).isEqualTo(60);
        assertThat(entry.runs()).isEqualTo(1);
        assertThat(store.days()).contains(entry);
        assertThat(store.dayEntry("no such day")).isEmpty();
        assertThat(store.day("no such day")).isEmpty();
        assertThat(store.quality().dayWithControls("no such day")).isEmpty();
    }

    @Test
    void refusesTheSameSourceASecondTime() throws Exception {
        String name = OpenStore.freshDay();
        String digest = OpenStore.freshDigest();
        Receipt first = OpenStore.take(store, InventedDay.of(20), name, digest, "M. Whelan");
        String readings = OpenStore.ask(store, "select count(*) from reading.reading");

        assertThatThrownBy(() -> OpenStore.take(store, InventedDay.of(20), name, digest, "T. Byrne"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("taken before, as day " + name)
                .hasMessageContaining("M. Whelan")
                .hasMessageContaining("nothing was stored");

        assertThat(OpenStore.ask(store, "select count(*) from reading.reading")).isEqualTo(readings);
        assertThat(store.receipt(digest)).contains(first);
        assertThat(store.receipt(OpenStore.freshDigest())).isEmpty();
    }

    @Test
    void addsTheRunsThatALaterImportBrings() {
        Day day = InventedDay.of(450);
        String name = OpenStore.freshDay();
        OpenStore.take(store, day.withRuns(day.runs().subList(0, 1)), name, OpenStore.freshDigest(), "M. Whelan");
        String before = store.dayEntry(name).orElseThrow().digest();

        Receipt second = OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");

        assertThat(second.soils()).isZero();
        assertThat(second.runs()).containsExactly("P2", "P3");
        Day back = store.day(name).orElseThrow();
        assertThat(back.runs()).extracting(Run::run).containsExactly("P1", "P2", "P3");
        assertThat(back.soils()).isEqualTo(day.soils());
        assertThat(store.dayEntry(name).orElseThrow().soils()).isEqualTo(450);
        assertThat(store.dayEntry(name).orElseThrow().digest()).isNotEqualTo(before);
    }

    @Test
    void refusesARunThatCameBackWithOtherReadingsAndStoresNothingOfIt() throws Exception {
        Day day = InventedDay.of(40);
        String name = OpenStore.freshDay();
        OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");
        List<LabNumber> numbers = day.soils().stream().map(Soil::labNumber).toList();
        Day other = day.withRuns(List.of(InventedDay.run("P9", numbers, 9), InventedDay.run("P1", numbers, 7)));

        assertThatThrownBy(() -> OpenStore.take(store, other, name, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("has run P1 already, with other readings")
                .hasMessageContaining("give the new readings a run of their own");

        assertThat(store.day(name).orElseThrow().runs()).extracting(Run::run).containsExactly("P1");
    }

    @Test
    void refusesASoilThatCameBackDifferent() {
        Day day = InventedDay.of(40);
        String name = OpenStore.freshDay();
        OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");
        List<Soil> soils = new ArrayList<>(day.soils());
        Soil first = soils.get(0);
        soils.set(0, MadeSoil.like(first).labelled("another field").soil());
        Day other = MadeDay.like(day).soils(soils).day();

        assertThatThrownBy(() -> OpenStore.take(store, other, name, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("lab number " + first.labNumber())
                .hasMessageContaining("another field");
    }

    @Test
    void refusesAnotherKeyWithoutNamingALabNumber() {
        Day day = InventedDay.of(60);
        String name = OpenStore.freshDay();
        OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");
        LabNumber control = day.controls().keySet().iterator().next();
        Day other = MadeDay.like(day).controls(Map.of(control, "SAND-C")).day();

        assertThatThrownBy(() -> OpenStore.take(store, other, name, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("the key of the hidden controls")
                .hasMessageNotContaining(control.text());
        assertThat(store.quality().controls(name)).isEqualTo(day.controls());
    }

    @Test
    void refusesAStrangeDigest() {
        Day day = InventedDay.of(5);
        assertThatThrownBy(() -> store.take(day, LocalDate.of(2026, 11, 25), "abc", "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("64 lower-case hexadecimal digits, found \"abc\"");
    }

    @Test
    void takesTheSameSourceOnceHoweverManyBringIt() throws Exception {
        Day day = InventedDay.of(200);
        String name = OpenStore.freshDay();
        String digest = OpenStore.freshDigest();
        ExecutorService four = Executors.newFixedThreadPool(4);
        try {
            Callable<String> take = () -> {
                try {
                    OpenStore.take(store, day, name, digest, "M. Whelan");
                    return "taken";
                } catch (Refused e) {
                    return "refused";
                }
            };
            List<String> outcomes = new ArrayList<>();
            for (Future<String> outcome : four.invokeAll(List.of(take, take, take, take))) {
                outcomes.add(outcome.get());
            }
            assertThat(outcomes).containsExactlyInAnyOrder("taken", "refused", "refused", "refused");
        } finally {
            four.shutdown();
        }
        assertThat(store.day(name).orElseThrow().runs()).hasSize(1);
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void refusesTextThatNoDatabaseHolds() {
        Day day = InventedDay.of(20);
        String name = OpenStore.freshDay();
        Run run =
                InventedDay.run("P\0", day.soils().stream().map(Soil::labNumber).toList(), 1);

        assertThatThrownBy(() ->
                        OpenStore.take(store, day.withRuns(List.of(run)), name, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("cannot be stored as it stands")
                .hasMessageContaining("nothing of the import was stored");
        assertThat(store.dayEntry(name)).isEmpty();
    }

    @Test
    void readsARunInOrderHoweverItsRowsLie() throws Exception {
        Day day = InventedDay.of(40);
        String name = OpenStore.freshDay();
        OpenStore.take(store, day, name, OpenStore.freshDigest(), "M. Whelan");
        OpenStore.run(
                store,
                "insert into reading.run select nextval('reading.run_id'), day, source, 'lying backwards', method,"
                        + " instrument, operator, started_at, started_offset, readings, sha256 from reading.run"
                        + " where day = (select id from intake.day where name = '" + name + "')",
                "insert into reading.reading select currval('reading.run_id'), line, at, value, dilution, position,"
                        + " at_offset, role, identity, channel, quantity, unit from reading.reading where run ="
                        + " (select min(r.id) from reading.run r join intake.day d on d.id = r.day where d.name = '"
                        + name + "') order by line desc");

        List<Run> runs = store.day(name).orElseThrow().runs();

        assertThat(runs).hasSize(2);
        assertThat(valuesOf(runs.get(1))).isEqualTo(valuesOf(runs.get(0)));
    }

    @Test
    void saysSoWhenReadingsWereLost() throws Exception {
        String name = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(40), name, OpenStore.freshDigest(), "M. Whelan");
        String run = OpenStore.ask(
                store,
                "select r.id from reading.run r join intake.day d on d.id = r.day where d.name = '" + name + "'");

        OpenStore.run(
                store,
                "set session_replication_role = replica",
                "delete from reading.reading where run = " + run + " and line > 500");
        assertThatThrownBy(() -> store.day(name)).hasMessageContaining("the database holds 500: restore it");

        OpenStore.run(
                store,
                "set session_replication_role = replica",
                "delete from reading.reading where run = " + run + " and line = 7");
        assertThatThrownBy(() -> store.day(name)).hasMessageContaining("the database has lost reading 7");
    }

    private static List<Double> valuesOf(Run run) {
        return IntStream.range(0, run.readings().size())
                .mapToObj(i -> run.readings().value(i))
                .toList();
    }

    private static List<Object> allOf(Run run) {
        return List.of(
                run.run(),
                run.method(),
                run.instrument(),
                run.operator(),
                run.startedAt(),
                run.readings().size(),
                RunDigest.of(run));
    }
}
