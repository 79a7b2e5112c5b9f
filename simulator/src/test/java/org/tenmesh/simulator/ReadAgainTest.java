package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.redo.Answers;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;

/** A tray read again holds the same soils, read anew. */
class ReadAgainTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final OffsetDateTime AFTERNOON = OffsetDateTime.parse("2026-11-25T15:10:00Z");
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final Scenario SCENARIO = Scenario.of(31, 120, DATE);

    private static List<LabNumber> tray(Day day, int which) {
        List<LabNumber> soils = new ArrayList<>();
        day.trays().get(which).wells().forEach(place -> place.labNumber().ifPresent(soils::add));
        return soils;
    }

    private static Map<ResultKey, Double> numbers(JudgedDay judged, List<LabNumber> soils) {
        Map<ResultKey, Double> numbers = new TreeMap<>();
        judged.results().forEach(result -> {
            if (soils.contains(result.labNumber()) && result.amount() instanceof Amount.Measured measured) {
                numbers.put(ResultKey.of(result), measured.value());
            }
        });
        return numbers;
    }

    @Test
    void aTrayReadAgainGivesWhatItGaveWithinTheErrorsOfTheMethod() {
        Day day = Simulator.simulate(SCENARIO).day();
        List<LabNumber> soils = tray(day, 3);
        Run again = Simulator.readAgain(
                SCENARIO, new ReadAgain("PH2-77", ElectrodeModel.METHOD, "PH2", "bench 3", AFTERNOON, soils));
        JudgedDay first = DayJudge.judge(day, METHODS);
        JudgedDay second = DayJudge.judge(day.withRuns(List.of(again)), METHODS);

        Map<ResultKey, Double> before = numbers(first, soils);
        Map<ResultKey, Double> after = numbers(second, soils);
        assertThat(after).hasSize(soils.size());
        // Four standard deviations of a difference of two readings.
        after.forEach((key, ph) -> assertThat(ph)
                .as(key.toString())
                .isCloseTo(requireNonNull(before.get(key)), within(4 * Math.sqrt(2) * ElectrodeModel.totalSd())));
        assertThat(after).isNotEqualTo(before);
        assertThat(second.results())
                .filteredOn(result -> soils.contains(result.labNumber()))
                .allSatisfy(result -> assertThat(result.verdict()).isEqualTo(Verdict.FIT));
    }

    @Test
    void whatIsNotThereIsNamed() {
        LabNumber stranger = new LabNumber("26001-0001-X");
        assertThatThrownBy(() -> Simulator.readAgain(
                        SCENARIO,
                        new ReadAgain("X", ElectrodeModel.METHOD, "PH1", "bench 1", AFTERNOON, List.of(stranger))))
                .hasMessageContaining("26001-0001-X");
        assertThatThrownBy(() -> Simulator.readAgain(
                        SCENARIO, new ReadAgain("X", "dtpa", "ICP1", "bench 1", AFTERNOON, List.of())))
                .hasMessageContaining("dtpa")
                .hasMessageContaining(EmissionModel.METHOD);
    }

    @Test
    void aPlayedRunHoldsEveryReadingOnceAndKeepsItsTimeApart() {
        Run run = Simulator.simulate(SCENARIO).day().runs().stream()
                .filter(one -> one.method().equals(IgnitionModel.METHOD))
                .findFirst()
                .orElseThrow();
        List<Played> played = Played.of(run, AFTERNOON, 60, Duration.ofMinutes(10));

        Map<String, Integer> left = new HashMap<>();
        Readings readings = run.readings();
        for (int i = 0; i < readings.size(); i++) {
            left.merge(row(readings, i), 1, Integer::sum);
        }
        List<Duration> times = new ArrayList<>();
        for (Played one : played) {
            times.add(one.after());
            for (int i = 0; i < one.readings().size(); i++) {
                assertThat(one.readings().at(i)).isEqualTo(AFTERNOON.plus(one.after()));
                left.merge(row(one.readings(), i), -1, Integer::sum);
            }
        }
        assertThat(left.values()).containsOnly(0);
        assertThat(times).isSorted();
        assertThat(times.get(0)).isZero();
        // A night in the furnace took hours; no pause is longer than ten minutes at sixty times the speed.
        for (int i = 1; i < times.size(); i++) {
            assertThat(times.get(i).minus(times.get(i - 1))).isLessThanOrEqualTo(Duration.ofMillis(10_001));
        }
        assertThat(times.get(times.size() - 1)).isBetween(Duration.ofSeconds(20), Duration.ofMinutes(6));
    }

    @Test
    void aDriftIsAnsweredByWhatItMadeWrongOnceTheRunHasEnded() {
        Scenario drifting = SCENARIO.with(Fault.parse("drift@ICP1-01"));
        Day day = Simulator.simulate(drifting).day();
        List<LabNumber> first = tray(day, 0);
        first.addAll(tray(day, 1));
        List<LabNumber> last = new ArrayList<>();
        day.trays().stream()
                .skip(4)
                .limit(3)
                .forEach(tray -> tray.wells().forEach(place -> place.labNumber().ifPresent(last::add)));

        // The first soils of the run were read before anything moved: that they are what they were says nothing.
        assertThat(answer(day, again(drifting, first))).isNotEqualTo(Answer.Said.REFUTED);
        assertThat(answer(day, again(drifting, last))).isEqualTo(Answer.Said.CONFIRMED);
        assertThat(answer(day, again(drifting, last).underWay(true))).isEqualTo(Answer.Said.OPEN);
    }

    private static Run again(Scenario scenario, List<LabNumber> soils) {
        return Simulator.readAgain(
                scenario, new ReadAgain("ICP2-77", EmissionModel.METHOD, "ICP2", "bench 3", AFTERNOON, soils));
    }

    private static Answer.Said answer(Day day, Run again) {
        List<Run> runs = new ArrayList<>(day.runs());
        runs.add(again);
        Day all = day.withRuns(runs);
        JudgedDay judged = DayJudge.judge(all, METHODS);
        String drift = judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.DRIFT)
                .map(Cause::id)
                .findFirst()
                .orElseThrow();
        return Answers.of(all, judged).stream()
                .filter(answer -> answer.cause().equals(drift))
                .map(Answer::said)
                .findFirst()
                .orElseThrow();
    }

    private static String row(Readings readings, int i) {
        return readings.position(i) + " " + readings.role(i) + " " + readings.identity(i) + " " + readings.channel(i)
                + " " + readings.quantity(i) + " " + readings.value(i) + " " + readings.unit(i) + " "
                + readings.dilution(i);
    }
}
