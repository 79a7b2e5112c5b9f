package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.data.Offset.offset;

import java.time.LocalDate;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.SoilModel;

class SimulatorTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private static SimulatedDay day(long seed, int soils) {
        return Simulator.simulate(Scenario.of(seed, soils, DATE));
    }

    private static Run run(Day day, String name) {
        return day.runs().stream()
                .filter(run -> run.run().equals(name))
                .findFirst()
                .orElseThrow();
    }

    /** Every reading as text: what must be the same from the same seed. */
    private static String text(Day day) {
        StringBuilder text = new StringBuilder();
        for (Run run : day.runs()) {
            Readings r = run.readings();
            for (int i = 0; i < r.size(); i++) {
                text.append(run.run()).append(r.position(i)).append(r.role(i)).append(r.identity(i));
                text.append(r.quantity(i)).append(r.value(i)).append(r.at(i)).append('\n');
            }
        }
        return text.append(day.submissions())
                .append(day.soils())
                .append(day.trays())
                .toString();
    }

    @Test
    void makesTheSameDayFromTheSameSeedAndAnotherFromAnother() {
        assertThat(text(day(7, 300).day())).isEqualTo(text(day(7, 300).day()));
        assertThat(text(day(7, 300).day())).isNotEqualTo(text(day(8, 300).day()));
    }

    @Test
    void readsEverySoilAndHiddenControlOnceUnderEachMethod() {
        Day day = day(7, 1000).day();
        assertThat(day.soils()).hasSize(1000 + day.controls().size());
        for (String method : List.of("ph-water-1-1", "om-loi-360", "mehlich3-icp")) {
            Map<String, Set<String>> where = new LinkedHashMap<>();
            for (Run run : day.runs()) {
                if (run.method().equals(method)) {
                    Readings r = run.readings();
                    for (int i = 0; i < r.size(); i++) {
                        if (r.role(i) == Role.SAMPLE) {
                            where.computeIfAbsent(r.identity(i), key -> new HashSet<>())
                                    .add(run.run());
                        }
                    }
                }
            }
            assertThat(where).as(method).hasSize(day.soils().size());
            assertThat(where.values()).as(method).allMatch(runs -> runs.size() == 1);
        }
        assertThat(day.laboratory().invented()).isTrue();
        assertThat(day.submissions()).allMatch(submission -> submission.client().endsWith("(invented)"));
        assertThat(day.soils().stream().filter(soil -> soil.regulated().orElse(false)))
                .isNotEmpty();
    }

    @Test
    void doesNotSplitATrayBetweenRuns() {
        Day day = day(7, 1000).day();
        for (Tray tray : day.trays()) {
            Set<String> inside = new HashSet<>();
            tray.wells().forEach(place -> place.labNumber().ifPresent(number -> inside.add(number.text())));
            for (Run run : day.runs()) {
                Set<String> shared = new HashSet<>(run.readings().identities());
                shared.retainAll(inside);
                assertThat(shared)
                        .as(tray.tray() + " in " + run.run())
                        .satisfiesAnyOf(
                                some -> assertThat(some).isEmpty(),
                                some -> assertThat(some).isEqualTo(inside));
            }
        }
    }

    @Test
    void keepsRunsToTheLengthsInstrumentsTake() {
        Day day = day(7, 1000).day();
        for (Run run : day.runs()) {
            int last = run.readings().position(run.readings().size() - 1);
            assertThat(last).as(run.run()).isBetween(200, 400);
        }
    }

    @Test
    void readsOverRangeExtractsAgainDilutedLaterInTheSameRun() {
        Day day = day(7, 2000).day();
        int again = 0;
        for (Run run : day.runs()) {
            Map<String, Integer> first = new LinkedHashMap<>();
            Readings r = run.readings();
            for (int i = 0; i < r.size(); i++) {
                String key = r.role(i) + r.identity(i);
                if (r.dilution(i) == 1) {
                    first.putIfAbsent(key, r.position(i));
                } else {
                    assertThat(r.dilution(i)).isIn(5.0, 10.0);
                    assertThat(first.get(key)).as(key).isLessThan(r.position(i));
                    again += r.quantity(i).startsWith("Y") ? 1 : 0;
                }
            }
        }
        assertThat(again).isBetween(10, 200);
    }

    /**
     * Materials must spread as is true of them; materials.csv says it as well as earlier runs tell. Reduced by the plainest way, apart from
     * the project's own.
     */
    @Test
    void spreadsControlsAsItsMaterialsSay() {
        Map<String, double[]> sums = new LinkedHashMap<>();
        for (long seed = 1; seed <= 6; seed++) {
            Day day = day(seed, 2000).day();
            for (Run run : day.runs()) {
                Map<Integer, Map<String, Double>> plain = PlainReading.of(day, run);
                controls(day, run)
                        .forEach((position, identity) -> requireNonNull(plain.get(position))
                                .forEach((analyte, value) -> note(day, run, identity, analyte, value, sums)));
            }
        }
        assertThat(sums).hasSize(14 * 4);
        sums.forEach((key, s) -> {
            double mean = s[1] / s[0];
            double sd = Math.sqrt(s[2] / s[0] - mean * mean);
            // About 150 results each: standard error of the mean 0.08, of the spread 0.06; four of them, and room for a
            // reduction as plain as this one.
            assertThat(mean).as("mean z of %s, n = %s", key, s[0]).isBetween(-0.5, 0.5);
            assertThat(sd).as("spread of z of %s, n = %s", key, s[0]).isBetween(0.75, 1.3);
        });
    }

    private static void note(
            Day day, Run run, String identity, String analyte, double value, Map<String, double[]> sums) {
        String name = day.controls().getOrDefault(new LabNumber(identity), identity);
        for (Material material : AssignedValues.materials()) {
            if (material.material().equals(name)
                    && material.analyte().equals(analyte)
                    && material.method().equals(run.method())) {
                double z = (value - material.mean()) / material.sd();
                double[] s = sums.computeIfAbsent(name + " " + analyte, key -> new double[3]);
                s[0]++;
                s[1] += z;
                s[2] += z * z;
            }
        }
    }

    /** Identities of the control soils of a run by position. */
    private static Map<Integer, String> controls(Day day, Run run) {
        Map<Integer, String> controls = new LinkedHashMap<>();
        Readings r = run.readings();
        for (int i = 0; i < r.size(); i++) {
            if (isControl(day, r.role(i), r.identity(i))) {
                controls.put(r.position(i), r.identity(i));
            }
        }
        return controls;
    }

    private static boolean isControl(Day day, Role role, String identity) {
        return role == Role.CONTROL || role == Role.SAMPLE && day.controls().containsKey(new LabNumber(identity));
    }

    static Stream<CauseKind> kindsOfOneRun() {
        Set<CauseKind> ofMoreRunsOrOtherDays = EnumSet.of(
                CauseKind.INTERFERENCE,
                CauseKind.CHANNEL_BIAS,
                CauseKind.CONTROL_TREND,
                CauseKind.CONTROL_MATERIAL_MISTAKEN);
        return Fault.kinds().stream().filter(kind -> !ofMoreRunsOrOtherDays.contains(kind));
    }

    @ParameterizedTest
    @MethodSource("kindsOfOneRun")
    void plantsEveryKindInOneRunAndLeavesTheOthersAlone(CauseKind kind) {
        Day clean = day(11, 600).day();
        SimulatedDay faulty = Simulator.simulate(Scenario.of(11, 600, DATE).with(Fault.of(kind)));
        assertThat(faulty.truth().faults()).hasSize(1);
        Planted planted = faulty.truth().faults().get(0);
        assertThat(planted.kind()).isEqualTo(kind);
        assertThat(planted.labNumbers()).isNotEmpty();
        assertThat(planted.firstPosition()).isPositive();
        assertThat(planted.lastPosition()).isGreaterThanOrEqualTo(planted.firstPosition());
        int changed = 0;
        for (Run run : faulty.day().runs()) {
            boolean same = clean.runs().stream()
                    .anyMatch(other ->
                            other.run().equals(run.run()) && rows(other).equals(rows(run)));
            changed += same ? 0 : 1;
            assertThat(same || run.run().equals(planted.run())).as(run.run()).isTrue();
        }
        assertThat(changed).isEqualTo(1);
    }

    private static String rows(Run run) {
        Readings r = run.readings();
        StringBuilder rows = new StringBuilder();
        for (int i = 0; i < r.size(); i++) {
            rows.append(r.position(i))
                    .append(r.identity(i))
                    .append(r.quantity(i))
                    .append(r.value(i))
                    .append(' ');
        }
        return rows.toString();
    }

    @Test
    void plantsAFaultWhereItIsAskedFor() {
        Fault fault = Fault.parse("verification-failed@ICP2-01:120,analytes=Fe+Mn,size=0.3");
        SimulatedDay simulated = Simulator.simulate(Scenario.of(11, 600, DATE).with(fault));
        Planted planted = simulated.truth().faults().get(0);
        assertThat(planted.run()).isEqualTo("ICP2-01");
        assertThat(planted.analytes()).containsExactly("Fe", "Mn");
        assertThat(planted.size()).isEqualTo(0.3);
        assertThat(planted.firstPosition()).isLessThan(120);
        assertThat(planted.lastPosition()).isGreaterThan(120);
        Readings r = run(simulated.day(), "ICP2-01").readings();
        Set<Integer> checks = new HashSet<>();
        for (int i = 0; i < r.size(); i++) {
            if (r.role(i) == Role.VERIFICATION) {
                checks.add(r.position(i));
            }
        }
        // One check inside, one right before, one right after.
        assertThat(checks.stream().filter(p -> p >= planted.firstPosition() && p <= planted.lastPosition()))
                .hasSize(1);
    }

    @Test
    void saysWhatIsWrongWithAFault() {
        assertThatThrownBy(() -> Fault.parse("drfit"))
                .hasMessageContaining("\"drfit\"")
                .hasMessageContaining("drift");
        assertThatThrownBy(() -> Fault.parse("drift@ICP1-01,siez=2")).hasMessageContaining("siez=2");
        assertThatThrownBy(() -> Fault.parse("drift@ICP1-01:x")).hasMessageContaining("whole number");
        assertThatThrownBy(() -> Simulator.simulate(Scenario.of(1, 50, DATE).with(Fault.parse("drift@ICP9-01"))))
                .hasMessageContaining("ICP9-01")
                .hasMessageContaining("ICP1-01");
        assertThatThrownBy(() -> Simulator.simulate(Scenario.of(1, 50, DATE).with(Fault.parse("blank-high@PH1-01"))))
                .hasMessageContaining("nothing of a pH run can fail so");
    }

    @Test
    void showsADayInProgress() {
        SimulatedDay simulated = Simulator.simulate(Scenario.demonstration(LocalDate.of(2026, 11, 25)));
        Day whole = Simulator.simulate(Scenario.cleanDemonstration()).day();
        assertThat(simulated.day().runs()).hasSizeLessThan(whole.runs().size());
        assertThat(simulated.truth().faults().stream().map(Planted::kind))
                .contains(CauseKind.DRIFT, CauseKind.CALIBRATION_REJECTED, CauseKind.CONTROL_FAILED);
        assertThat(simulated.truth().faults().stream().map(Planted::story)).contains("still being read");
    }

    @Test
    void joinsContentsAsTheTableTheyComeFrom() {
        // Pearson correlations of 1018 German arable topsoils (ANAPLANT project 2025, derived statistics).
        Chance chance = new Chance(5, "correlation");
        int n = 20_000;
        double[][] z = new double[n][];
        for (int i = 0; i < n; i++) {
            z[i] = SoilModel.level(chance);
        }
        int ph = 0;
        int carbon = 1;
        int calcium = 5;
        int iron = 10;
        // Four standard errors of a correlation from 20,000 pairs are at most 0.028.
        assertThat(correlation(z, ph, iron)).isCloseTo(-0.83, offset(0.02));
        assertThat(correlation(z, ph, calcium)).isCloseTo(0.67, offset(0.02));
        assertThat(correlation(z, carbon, calcium)).isCloseTo(0.67, offset(0.02));
        for (int v = 0; v < z[0].length; v++) {
            int column = v;
            assertThat(Arrays.stream(z)
                            .mapToDouble(row -> row[column] * row[column])
                            .average()
                            .orElseThrow())
                    .as("variance of %d", v)
                    .isBetween(0.93, 1.07);
        }
    }

    private static double correlation(double[][] z, int a, int b) {
        double ab = 0;
        double aa = 0;
        double bb = 0;
        for (double[] row : z) {
            ab += row[a] * row[b];
            aa += row[a] * row[a];
            bb += row[b] * row[b];
        }
        return ab / Math.sqrt(aa * bb);
    }
}
