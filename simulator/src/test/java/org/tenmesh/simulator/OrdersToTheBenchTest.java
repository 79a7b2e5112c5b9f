package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadAgain;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.Work;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.planning.NextRun;
import org.tenmesh.core.planning.Solutions;
import org.tenmesh.core.planning.Wanted;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** An order goes to the bench, into the next run order, and is done when a run has read every soil that it names. */
class OrdersToTheBenchTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final String ICP = "mehlich3-icp";
    private static final Instant ORDERED = Instant.parse("2026-11-25T20:00:00Z");

    private static Desk desk(Day day, CauseKind kind) {
        var judged = DayJudge.judge(day, METHODS);
        List<Acted> acted = new ArrayList<>();
        for (Cause cause : judged.causes()) {
            if (cause.kind() == kind) {
                acted.add(new Acted(DATE.toString(), Grounds.of(cause), Action.ORDER_REDO, "", "somebody", ORDERED));
            }
        }
        assertThat(acted).isNotEmpty();
        return new Desk(
                DATE.toString(),
                1,
                day,
                judged,
                METHODS,
                List.of(),
                acted,
                DATE,
                List.of(),
                List.of(),
                new DerivedSoils());
    }

    @Test
    void aDilutionNamesItsSoilsAmongAtLeastAsManyOthersAndIsDoneWhenAllWereRead() {
        Day day = Simulator.simulate(Scenario.of(21, 360, DATE).with(Fault.of(CauseKind.OVER_RANGE)))
                .day();
        Desk desk = desk(day, CauseKind.OVER_RANGE);
        Set<LabNumber> over = new HashSet<>();
        desk.judged().causes().stream()
                .filter(cause -> cause.kind() == CauseKind.OVER_RANGE)
                .forEach(cause -> cause.touched().forEach(key -> over.add(key.labNumber())));
        List<RedoOrder> orders = RedoOrder.of(desk);
        assertThat(orders).isNotEmpty().allMatch(order -> order.work() == Work.DILUTION && !order.done());
        Set<LabNumber> named = new HashSet<>();
        for (RedoOrder order : orders) {
            long needed = order.labNumbers().stream().filter(over::contains).count();
            assertThat(needed).isPositive();
            assertThat(order.labNumbers().size()).isGreaterThanOrEqualTo((int) Math.min(4, 2 * needed));
            assertThat(order.dilution()).isGreaterThan(1);
            named.addAll(order.labNumbers());
        }
        assertThat(named).containsAll(over);

        List<Wanted> wanted = Wanted.of(desk, ICP, Set.of());
        assertThat(wanted).hasSize(named.size()).allMatch(one -> one.dilution() > 1 && one.again());
        assertThat(Wanted.of(desk, ICP, Set.of(wanted.get(0).labNumber().text())))
                .hasSize(named.size() - 1);
        Method method = METHODS.on(DATE).find(ICP).orElseThrow();
        RunOrder order = NextRun.of(
                        "next",
                        method,
                        "ICP-A",
                        OffsetDateTime.parse("2026-11-25T20:10:00Z"),
                        wanted,
                        day,
                        Solutions.of(method, day.runs()).orElseThrow(),
                        7)
                .order()
                .orElseThrow();
        assertThat(order.places().stream().filter(place -> place.dilution() > 1))
                .hasSize(named.size());

        // Half of it read: still open, and no longer to be withdrawn. All of it: done.
        RedoOrder half =
                RedoOrder.of(desk(read(day, order, 1), CauseKind.OVER_RANGE)).get(0);
        assertThat(half.begun()).isTrue();
        assertThat(half.done()).isFalse();
        assertThat(RedoOrder.of(desk(read(day, order, named.size()), CauseKind.OVER_RANGE)))
                .allMatch(RedoOrder::done);
    }

    @Test
    void whatIsDoneFollowsFromTheKindOfCause() {
        Day day = Simulator.simulate(Scenario.of(22, 300, DATE).with(Fault.of(CauseKind.TRAY_TURNED)))
                .day();
        List<RedoOrder> looks = RedoOrder.of(desk(day, CauseKind.TRAY_TURNED));
        assertThat(looks).isNotEmpty().allMatch(order -> order.work() == Work.LOOK && order.dilution() == 1);
        String method = looks.get(0).method();
        List<Wanted> wanted = Wanted.of(desk(day, CauseKind.TRAY_TURNED), method, Set.of());
        assertThat(wanted).isNotEmpty().allMatch(Wanted::again);
        assertThat(wanted.stream().map(Wanted::labNumber))
                .containsAll(looks.get(0).labNumbers());
    }

    @Test
    void whatReadingAgainChangedIsCountedByKindAndMethod() {
        Day day = Simulator.simulate(Scenario.of(22, 300, DATE).with(Fault.of(CauseKind.TRAY_TURNED)))
                .day();
        Desk before = desk(day, CauseKind.TRAY_TURNED);
        assertThat(ReadAgain.of(before)).noneMatch(one -> one.kind() == CauseKind.TRAY_TURNED);
        // The same run a second time, later: every result that the cause touches was read again, and none of them with
        // another text.
        Cause cause = before.judged().causes().stream()
                .filter(one -> one.kind() == CauseKind.TRAY_TURNED)
                .findFirst()
                .orElseThrow();
        Run first = before.run(cause.run()).orElseThrow();
        List<Run> runs = new ArrayList<>(day.runs());
        runs.add(new Run(
                "again",
                first.method(),
                first.instrument(),
                first.operator(),
                first.startedAt().plusHours(8),
                first.readings()));
        Desk after = desk(day.withRuns(runs), CauseKind.TRAY_TURNED);
        long touched = after.judged().causes().stream()
                .filter(one -> one.kind() == CauseKind.TRAY_TURNED)
                .flatMap(one -> one.touched().stream())
                .distinct()
                .count();
        List<ReadAgain> counted = ReadAgain.of(after).stream()
                .filter(one -> one.kind() == CauseKind.TRAY_TURNED)
                .toList();
        assertThat(counted).isNotEmpty();
        assertThat(counted.stream().mapToInt(ReadAgain::results).sum()).isLessThanOrEqualTo((int) touched);
        assertThat(counted).allMatch(one -> one.otherText() == 0);
    }

    /** The day with a later run that read the first so many soils of the order. */
    private static Day read(Day day, RunOrder order, int soils) {
        Readings.Builder readings = Readings.builder();
        Run last = day.runs().stream()
                .filter(run -> run.method().equals(ICP))
                .findFirst()
                .orElseThrow();
        int read = 0;
        for (RunOrder.Place place : order.places()) {
            if (place.role() == Role.SAMPLE && read++ < soils) {
                readings.add(
                        place.position(),
                        place.role(),
                        place.identity(),
                        "",
                        last.readings().quantity(0),
                        1000,
                        last.readings().unit(0),
                        order.madeAt(),
                        place.dilution());
            }
        }
        List<Run> runs = new ArrayList<>(day.runs());
        runs.add(new Run("next", ICP, order.instrument(), last.operator(), order.madeAt(), readings.build()));
        return day.withRuns(runs);
    }
}
