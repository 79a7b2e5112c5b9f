package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.bench.Mixup;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;

/** Whose soil is read under which lab number, found again from trays, truth and a plain reduction of the readings. */
class MixupTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private static SimulatedDay day(String fault, boolean keyWells) {
        return Simulator.simulate(Scenario.of(11, 600, DATE)
                .with(Options.defaults().withKeyWells(keyWells))
                .with(Fault.parse(fault)));
    }

    private static Run run(SimulatedDay simulated, String name) {
        return simulated.day().runs().stream()
                .filter(run -> run.run().equals(name))
                .findFirst()
                .orElseThrow();
    }

    private static Planted only(SimulatedDay simulated) {
        assertThat(simulated.truth().faults()).hasSize(1);
        return simulated.truth().faults().get(0);
    }

    /** Lab numbers of a run in the order they are read first. */
    private static List<LabNumber> inOrder(Run run) {
        Readings r = run.readings();
        List<LabNumber> numbers = new ArrayList<>();
        for (int i = 0; i < r.size(); i++) {
            if (r.role(i) == Role.SAMPLE && !numbers.contains(new LabNumber(r.identity(i)))) {
                numbers.add(new LabNumber(r.identity(i)));
            }
        }
        return numbers;
    }

    /** Compares every lab number of the planted run with the soil it should hold; every other with its own. */
    private static void holds(SimulatedDay simulated, Map<LabNumber, Optional<LabNumber>> instead) {
        Planted planted = only(simulated);
        assertThat(planted.labNumbers()).containsExactlyInAnyOrderElementsOf(instead.keySet());
        Run run = run(simulated, planted.run());
        assertThat(run.method()).isEqualTo(planted.method());
        Map<LabNumber, SoilContent> truth =
                simulated.truth().specimens().stream().collect(Collectors.toMap(Specimen::number, Specimen::content));
        Map<Integer, Map<String, Double>> read = PlainReading.of(simulated.day(), run);
        List<Integer> touched = new ArrayList<>();
        for (LabNumber number : inOrder(run)) {
            int position = PlainReading.position(run, number.text());
            Map<String, Double> values = requireNonNull(read.get(position));
            Optional<LabNumber> source = instead.getOrDefault(number, Optional.of(number));
            String where = planted.run() + " " + position + " " + number + " should hold " + source;
            if (source.isEmpty()) {
                isEmpty(run.method(), values, where);
            } else {
                isOf(run.method(), values, requireNonNull(truth.get(source.get())), where);
            }
            if (instead.containsKey(number)) {
                touched.add(position);
            }
        }
        assertThat(touched.stream().min(Integer::compare)).contains(planted.firstPosition());
        assertThat(touched.stream().max(Integer::compare)).contains(planted.lastPosition());
    }

    // The tolerances are five standard deviations of a result, and one more for a reduction as plain as this one.
    private static void isOf(String method, Map<String, Double> values, SoilContent soil, String where) {
        switch (method) {
            case "ph-water-1-1" ->
                assertThat(Math.abs(requireNonNull(values.get("pH")) - soil.ph()))
                        .as(where)
                        .isLessThan(6 * ElectrodeModel.totalSd());
            case "om-loi-360" ->
                assertThat(Math.abs(requireNonNull(values.get("LOI")) - soil.loiPct()))
                        .as(where)
                        .isLessThan(6 * IgnitionModel.totalSd(soil.loiPct()));
            default -> {
                for (int e = 0; e < Element.ALL.size(); e++) {
                    Element element = Element.ALL.get(e);
                    double mgKg = soil.mgKg()[e];
                    // Above the highest standard a line bends, and the soil is read again.
                    if (mgKg < 9 * element.top()) {
                        assertThat(Math.abs(requireNonNull(values.get(element.symbol())) - mgKg))
                                .as(where + " " + element.symbol())
                                .isLessThan(6 * element.totalSd(mgKg));
                    }
                }
            }
        }
    }

    private static void isEmpty(String method, Map<String, Double> values, String where) {
        switch (method) {
            case "ph-water-1-1" -> assertThat(values.get("pH")).as(where).isBetween(4.2, 7.4);
            case "om-loi-360" ->
                assertThat(Math.abs(requireNonNull(values.get("soil"))))
                        .as(where)
                        .isLessThan(0.0015);
            default ->
                Element.ALL.forEach(element -> assertThat(Math.abs(requireNonNull(values.get(element.symbol()))))
                        .as(where + " " + element.symbol())
                        .isLessThan(element.lowestMgKg()));
        }
    }

    private static Map<Well, LabNumber> wells(Tray tray) {
        Map<Well, LabNumber> wells = new TreeMap<>();
        tray.wells().forEach(place -> place.labNumber().ifPresent(number -> wells.put(place.well(), number)));
        return wells;
    }

    private static List<Tray> traysOf(SimulatedDay simulated, Planted planted) {
        return simulated.day().trays().stream()
                .filter(tray -> wells(tray).values().stream().anyMatch(planted.labNumbers()::contains))
                .toList();
    }

    @ParameterizedTest
    @CsvSource({
        "ph-water-1-1,true",
        "om-loi-360,true",
        "mehlich3-icp,true",
        "ph-water-1-1,false",
        "om-loi-360,false",
        "mehlich3-icp,false"
    })
    void readsATurnedTrayFromItsOtherEnd(String method, boolean keyWells) {
        SimulatedDay simulated = day("tray-turned,method=" + method, keyWells);
        List<Tray> trays = traysOf(simulated, only(simulated));
        assertThat(trays).hasSize(1);
        Map<Well, LabNumber> wells = wells(trays.get(0));
        assertThat(wells).hasSize(keyWells ? 11 : 12);
        Map<LabNumber, Optional<LabNumber>> instead = new HashMap<>();
        wells.forEach((well, number) ->
                instead.put(number, Optional.ofNullable(wells.get(new Well(11 - well.index())))));
        assertThat(instead.values().stream().filter(Optional::isEmpty)).hasSize(keyWells ? 1 : 0);
        holds(simulated, instead);
    }

    @ParameterizedTest
    @CsvSource({
        "'trays-exchanged,method=ph-water-1-1',1,true",
        "'trays-exchanged,method=om-loi-360,size=3',3,true",
        "'trays-exchanged,method=mehlich3-icp,size=2',2,false",
        "trays-exchanged@ICP2-01:100,1,true"
    })
    void readsTwoTraysInEachOthersPlace(String fault, int apart, boolean keyWells) {
        SimulatedDay simulated = day(fault, keyWells);
        List<Tray> trays = traysOf(simulated, only(simulated));
        assertThat(trays).hasSize(2);
        assertThat(simulated.day().trays().indexOf(trays.get(1))
                        - simulated.day().trays().indexOf(trays.get(0)))
                .isEqualTo(apart);
        Map<LabNumber, Optional<LabNumber>> instead = new HashMap<>();
        for (int i = 0; i < 2; i++) {
            Map<Well, LabNumber> other = wells(trays.get(1 - i));
            wells(trays.get(i)).forEach((well, number) -> instead.put(number, Optional.ofNullable(other.get(well))));
        }
        holds(simulated, instead);
    }

    @ParameterizedTest
    @CsvSource({
        "'run-shifted,method=ph-water-1-1',1,0",
        "'run-shifted,method=om-loi-360,size=-1',-1,0",
        "'run-shifted,method=mehlich3-icp,length=25',1,25",
        "'run-shifted@ICP2-01:60,size=-1,length=12',-1,12"
    })
    void shiftsReadingsAlongTheRun(String fault, int size, int length) {
        SimulatedDay simulated = day(fault, true);
        Planted planted = only(simulated);
        assertThat(planted.size()).isEqualTo(size);
        List<LabNumber> row = inOrder(run(simulated, planted.run()));
        int from = row.indexOf(planted.labNumbers().get(0));
        int to = length == 0 ? row.size() : from + length;
        Map<LabNumber, Optional<LabNumber>> instead = new HashMap<>();
        for (int i = from; i < to; i++) {
            boolean last = size > 0 && i == to - 1;
            instead.put(row.get(i), last ? Optional.empty() : Optional.of(row.get(i + size)));
        }
        assertThat(instead).hasSizeGreaterThanOrEqualTo(10);
        holds(simulated, instead);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "neighbours-exchanged,fields=same",
                "neighbours-exchanged,fields=different",
                "neighbours-exchanged,method=ph-water-1-1,fields=different",
                "neighbours-exchanged,method=om-loi-360"
            })
    void exchangesTwoNeighbours(String fault) {
        SimulatedDay simulated = day(fault, true);
        Planted planted = only(simulated);
        assertThat(planted.lastPosition()).isEqualTo(planted.firstPosition() + 1);
        LabNumber one = planted.labNumbers().get(0);
        LabNumber other = planted.labNumbers().get(1);
        holds(simulated, Map.of(one, Optional.of(other), other, Optional.of(one)));
        boolean same = field(simulated, one).equals(field(simulated, other));
        if (fault.contains("fields=")) {
            assertThat(same).isEqualTo(fault.endsWith("same"));
        }
    }

    private static String field(SimulatedDay simulated, LabNumber number) {
        Soil soil = simulated.day().soils().stream()
                .filter(one -> one.labNumber().equals(number))
                .findFirst()
                .orElseThrow();
        return soil.submission().orElseThrow()
                + soil.clientLabel().orElseThrow().split("-")[0];
    }

    @ParameterizedTest
    @ValueSource(strings = {"ph-water-1-1", "om-loi-360", "mehlich3-icp"})
    void takesAnotherClientsSoil(String method) {
        SimulatedDay simulated = day("implausible-together,size=1,method=" + method, true);
        Planted planted = only(simulated);
        LabNumber number = planted.labNumbers().get(0);
        LabNumber other = new LabNumber(planted.story().replaceAll(".* holds (\\S+), .*", "$1"));
        assertThat(field(simulated, other).substring(0, 5))
                .isNotEqualTo(field(simulated, number).substring(0, 5));
        holds(simulated, Map.of(number, Optional.of(other)));
    }

    @Test
    void plantsSeveralMixupsInOneRunWhereTheyDoNotMeet() {
        Scenario scenario = Scenario.of(11, 600, DATE);
        for (String fault : List.of(
                "tray-turned@ICP1-01",
                "trays-exchanged@ICP1-01",
                "run-shifted@ICP1-01",
                "neighbours-exchanged@ICP1-01",
                "implausible-together@ICP1-01",
                "portion-wrong@ICP1-01:50",
                "neighbours-exchanged@ICP1-01",
                "drift@ICP1-01,total=0.05")) {
            scenario = scenario.with(Fault.parse(fault));
        }
        List<Planted> faults = Simulator.simulate(scenario).truth().faults();
        assertThat(faults).hasSize(8);
        List<LabNumber> mixed = faults.stream()
                .filter(planted -> Mixup.is(planted.kind()))
                .flatMap(planted -> planted.labNumbers().stream())
                .toList();
        assertThat(mixed).doesNotHaveDuplicates();
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "tray-turned@ICP1-01:80|tray-turned@ICP1-01:80|place 7",
                "portion-wrong@ICP1-01:50|portion-wrong@ICP1-01:50|portion at position 50",
                "drift@PH1-01,total=0.1,channel=2|drift@PH1-01,total=0.1,channel=2|channel 2",
                "truncated-run@PH1-01|truncated-run@PH1-01|end of run",
                "repeated-file@PH1-01|repeated-file@PH1-01|already comes twice",
                "run-shifted@PH1-01,size=2|missing-reading|size is 1",
                "trays-exchanged@PH1-01,size=0.5|missing-reading|whole number",
                "tray-turned@LOI1-01:200|truncated-run@LOI1-01:60|run ends at position",
                "portion-wrong@PH1-01|missing-reading|does not change a pH",
                "portion-wrong@LOI1-01|missing-reading|weighed",
                "channel-bias,channel=2,method=mehlich3-icp|missing-reading|plasma",
                "channel-bias,position=40|missing-reading|expected run="
            })
    void refusesAPlaceThatIsTakenOrCannotBe(String first, String second, String reason) {
        Scenario scenario = Scenario.of(11, 600, DATE).with(Fault.parse(first)).with(Fault.parse(second));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Simulator.simulate(scenario))
                .withMessageStartingWith("fault ")
                .withMessageContaining(reason);
    }
}
