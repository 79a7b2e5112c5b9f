package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.orders.ReadAsOrdered;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.planning.NextRun;
import org.tenmesh.core.planning.Solutions;
import org.tenmesh.core.planning.Wanted;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;

/** Runs that are read in the order that was made for them lack nothing that the judge asks for. */
class OrderedRunsTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    @Test
    void aDayReadInTheOrderMadeLacksNoControlByAnyMethod() {
        Set<String> methods = new TreeSet<>();
        for (long seed = 1; seed <= 3; seed++) {
            Options every = new Options(seed == 2, false, 3, ZoneId.of("UTC"), true);
            Day day =
                    Simulator.simulate(Scenario.of(seed, 400, DATE).with(every)).day();
            day.runs().forEach(run -> methods.add(run.method()));
            assertThat(missing(ordered(day, day.laboratory().policy(), seed))).isEmpty();
        }
        assertThat(methods).hasSizeGreaterThan(20);
    }

    @Test
    void theOrderFollowsThePolicyThatTheJudgeReads() {
        Day day = Simulator.simulate(Scenario.of(4, 200, DATE)).day();
        Policy strict =
                day.laboratory().policy().with(Setting.CHECK_INTERVAL_SOILS, 7).named("seven");
        Day judgedStrictly = withPolicy(day, strict);
        // Made for twenty soils between two checks and judged by seven: the test can fail.
        assertThat(missing(withPolicy(ordered(day, day.laboratory().policy(), 4), strict)))
                .isNotEmpty();
        assertThat(missing(ordered(judgedStrictly, strict, 4))).isEmpty();
    }

    @Test
    void everyWaitingSoilIsReadOnceAndCapacitiesHold() {
        Day day = Simulator.simulate(Scenario.of(5, 300, DATE)).day();
        for (Run run : day.runs()) {
            Method method = METHODS.on(DATE).find(run.method()).orElseThrow();
            List<Wanted> wanted = wanted(run);
            Solutions solutions = Solutions.of(method, List.of(run)).orElseThrow();
            Set<String> read = new LinkedHashSet<>();
            int turn = 0;
            while (!wanted.isEmpty()) {
                NextRun.Made made = NextRun.of(
                        run.run() + turn, method, run.instrument(), run.startedAt(), wanted, day, solutions, turn++);
                RunOrder order = made.order().orElseThrow();
                List<String> samples = order.places().stream()
                        .filter(place -> place.role() == Role.SAMPLE)
                        .map(RunOrder.Place::identity)
                        .toList();
                assertThat(read).doesNotContainAnyElementsOf(samples);
                read.addAll(samples);
                assertThat(wanted.size() - samples.size()).isEqualTo(made.left());
                if (method.extract().isPresent()) {
                    assertThat(order.places().stream()
                                    .filter(place ->
                                            place.role() != Role.STANDARD && place.role() != Role.VERIFICATION))
                            .hasSizeLessThanOrEqualTo(90 + 3);
                }
                wanted = wanted.subList(samples.size(), wanted.size());
            }
            assertThat(read)
                    .containsExactlyElementsOf(wanted(run).stream()
                            .map(one -> one.labNumber().text())
                            .toList());
        }
    }

    private static List<String> missing(Day day) {
        JudgedDay judged = DayJudge.judge(day, METHODS);
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.CONTROL_MISSING)
                .map(Cause::toString)
                .toList();
    }

    private static List<Wanted> wanted(Run run) {
        Set<String> numbers = new LinkedHashSet<>();
        for (int i = 0; i < run.readings().size(); i++) {
            if (run.readings().role(i) == Role.SAMPLE) {
                numbers.add(run.readings().identity(i));
            }
        }
        return numbers.stream()
                .map(text -> new Wanted(new LabNumber(text), 1, false))
                .toList();
    }

    /** The day with every run read again in the orders made for its soils. */
    private static Day ordered(Day day, Policy policy, long seed) {
        List<Run> runs = new ArrayList<>();
        for (Run run : day.runs()) {
            Method method = METHODS.on(DATE).find(run.method()).orElseThrow();
            List<Wanted> wanted = wanted(run);
            Solutions solutions = Solutions.of(method, List.of(run)).orElseThrow();
            for (int turn = 0; !wanted.isEmpty(); turn++) {
                NextRun.Made made = NextRun.of(
                        run.run() + "-" + turn,
                        method,
                        run.instrument(),
                        run.startedAt().plusMinutes(turn),
                        wanted,
                        withPolicy(day, policy),
                        solutions,
                        seed + turn);
                assertThat(made.refused()).isEmpty();
                RunOrder order = made.order().orElseThrow();
                Readings readings = read(order, run.readings(), solutions.lanes());
                assertThat(ReadAsOrdered.of(order, readings, true).differences())
                        .isEmpty();
                runs.add(new Run(
                        order.name(), run.method(), run.instrument(), run.operator(), order.madeAt(), readings));
                wanted = wanted.subList(wanted.size() - made.left(), wanted.size());
            }
        }
        return day.withRuns(runs);
    }

    /** Readings of the simulated run, in the order's places: of the same solution or soil, under the probe that reads the place. */
    private static Readings read(RunOrder order, Readings from, int lanes) {
        Map<String, List<Integer>> positions = new HashMap<>();
        Map<Integer, List<Integer>> rows = new LinkedHashMap<>();
        for (int i = 0; i < from.size(); i++) {
            rows.computeIfAbsent(from.position(i), key -> new ArrayList<>()).add(i);
        }
        rows.forEach((position, its) -> {
            Role role = from.role(its.get(0)) == Role.DUPLICATE ? Role.SAMPLE : from.role(its.get(0));
            positions
                    .computeIfAbsent(role + " " + from.identity(its.get(0)), key -> new ArrayList<>())
                    .add(position);
        });
        Readings.Builder builder = Readings.builder();
        Map<String, Integer> used = new HashMap<>();
        OffsetDateTime start = from.at(0);
        List<Integer> probes = order.lanes(lanes);
        for (RunOrder.Place place : order.places()) {
            Role role = place.role() == Role.DUPLICATE ? Role.SAMPLE : place.role();
            String key = role + " " + place.identity();
            List<Integer> those = positions.getOrDefault(key, List.of());
            int turn = used.merge(key, 1, Integer::sum) - 1;
            for (int i : rows.getOrDefault(those.get(turn % those.size()), List.of())) {
                builder.add(
                        place.position(),
                        place.role(),
                        place.identity(),
                        lanes == 1 ? from.channel(i) : Integer.toString(probes.get(place.position() - 1)),
                        from.quantity(i),
                        from.value(i),
                        from.unit(i),
                        start.plusSeconds(20L * place.position()),
                        1);
            }
        }
        return builder.build();
    }

    private static Day withPolicy(Day day, Policy policy) {
        Laboratory was = day.laboratory();
        Laboratory laboratory = new Laboratory(
                was.name(),
                was.zone(),
                was.address(),
                was.invented(),
                policy,
                was.advice(),
                was.register(),
                was.acceptedFailures(),
                was.reports());
        return new Day(
                laboratory,
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                day.runs(),
                day.packages(),
                day.shortages(),
                day.history());
    }
}
