package org.tenmesh.core.layout;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.hipparchus.stat.inference.ChiSquareTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;

class LayoutPropertyTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 25);
    private static final List<String> MATERIALS = List.of("low", "middle", "high");

    private static Layout.Plan plan(int soils, Layout.Rules rules, long seed) {
        return Layout.plan(soils, MATERIALS, new Layout.Start(DAY, 1, 1), rules, seed);
    }

    /** Serials of the controls, from the middle group of the lab number. */
    private static int[] serials(Layout.Plan plan) {
        return plan.controls().keySet().stream()
                .mapToInt(number -> Integer.parseInt(number.text().split("-")[1]))
                .toArray();
    }

    private static List<LabNumber> inTrays(Layout.Plan plan) {
        List<LabNumber> numbers = new ArrayList<>();
        plan.trays()
                .forEach(tray -> tray.wells().forEach(place -> place.labNumber().ifPresent(numbers::add)));
        return numbers;
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 7, 99, -5})
    void givesEverySoilAndControlOneOrdinaryNumberInSequence(long seed) {
        Layout.Plan plan = plan(1234, Layout.Rules.defaults(), seed);
        List<LabNumber> numbers = inTrays(plan);
        for (int i = 0; i < numbers.size(); i++) {
            assertThat(numbers.get(i)).as("seed %d", seed).isEqualTo(LabNumber.of(DAY, i + 1));
        }
        assertThat(plan.soils())
                .as("seed %d", seed)
                .hasSize(1234)
                .doesNotContainAnyElementsOf(plan.controls().keySet());
        assertThat(numbers).as("seed %d", seed).hasSize(1234 + plan.controls().size());
        assertThat(plan.next())
                .isEqualTo(
                        new Layout.Start(DAY, numbers.size() + 1, plan.trays().size() + 1));
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void keepsTheLongestGapAndTheMeanDistance(long seed) {
        Layout.Rules rules = Layout.Rules.defaults();
        int[] serials = serials(plan(40_000, rules, seed));
        int before = 0;
        for (int serial : serials) {
            assertThat(serial - before).as("seed %d after %d", seed, before).isBetween(1, rules.longestGap());
            before = serial;
        }
        // Gaps have a standard deviation near 33, so the mean of about 800 has one near 1.2; five of them either way.
        assertThat((double) serials[serials.length - 1] / serials.length)
                .as("seed %d", seed)
                .isBetween(44.0, 56.0);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void hasNoStepThatCouldBeLearnt(long seed) {
        int[] serials = serials(plan(40_000, Layout.Rules.defaults(), seed));
        Set<Integer> gaps = new HashSet<>();
        double sum = 0;
        double square = 0;
        double lag = 0;
        for (int i = 2; i < serials.length; i++) {
            double gap = serials[i] - serials[i - 1] - 50.0;
            double previous = serials[i - 1] - serials[i - 2] - 50.0;
            gaps.add(serials[i] - serials[i - 1]);
            sum += gap;
            square += gap * gap;
            lag += gap * previous;
        }
        int n = serials.length - 2;
        assertThat(gaps).as("seed %d", seed).hasSizeGreaterThan(80);
        assertThat(Math.sqrt(square / n)).as("spread of gaps, seed %d", seed).isGreaterThan(25);
        assertThat(Math.abs(sum / n)).as("seed %d", seed).isLessThan(6);
        // One gap says nothing of the next: correlation within four standard errors of zero.
        assertThat(Math.abs(lag / square))
                .as("lag-one correlation, seed %d", seed)
                .isLessThan(4 / Math.sqrt(n));
    }

    @Test
    void usesEveryWellAlikeForControlsAndForKeys() {
        long[] controls = new long[Well.PER_TRAY];
        long[] keys = new long[Well.PER_TRAY];
        for (long seed = 100; seed < 110; seed++) {
            Layout.Plan plan = plan(20_000, Layout.Rules.defaults(), seed);
            for (Tray tray : plan.trays()) {
                for (Tray.Place place : tray.wells()) {
                    if (place.purpose() == Tray.Purpose.KEY) {
                        keys[place.well().index()]++;
                    } else if (plan.controls().containsKey(place.labNumber().orElseThrow())) {
                        controls[place.well().index()]++;
                    }
                }
            }
        }
        double[] even = new double[Well.PER_TRAY];
        Arrays.fill(even, 1);
        // Test and distribution: Hipparchus. A right layout fails this about once in ten thousand choices of seeds.
        ChiSquareTest test = new ChiSquareTest();
        assertThat(test.chiSquareTest(even, controls))
                .as("controls %s", Arrays.toString(controls))
                .isGreaterThan(1e-4);
        assertThat(test.chiSquareTest(even, keys))
                .as("keys %s", Arrays.toString(keys))
                .isGreaterThan(1e-4);
        // The check has teeth: one control every 50 in trays of 12 visits six wells only.
        long[] periodic = new long[Well.PER_TRAY];
        for (int i = 0; i < 4000; i++) {
            periodic[i * 50 % Well.PER_TRAY]++;
        }
        assertThat(test.chiSquareTest(even, periodic)).isLessThan(1e-9);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 5, 6, 10, 11, 12, 21, 22, 23, 100, 240, 241})
    void putsAControlIntoEveryLoadAndLeavesNoTraySymmetric(int soils) {
        for (long seed = 0; seed < 60; seed++) {
            Layout.Rules rules = new Layout.Rules(50, 100, 30);
            Layout.Plan plan = plan(soils, rules, seed);
            List<LabNumber> numbers = inTrays(plan);
            assertThat(plan.soils()).as("seed %d", seed).hasSize(soils);
            for (int from = 0; from < numbers.size(); from += rules.load()) {
                assertThat(numbers.subList(from, Math.min(from + rules.load(), numbers.size())))
                        .as("seed %d, load from %d", seed, from)
                        .containsAnyElementsOf(plan.controls().keySet());
            }
            for (Tray tray : plan.trays()) {
                Set<Well> filled = new HashSet<>();
                Set<Well> turned = new HashSet<>();
                for (Tray.Place place : tray.wells()) {
                    if (place.labNumber().isPresent()) {
                        filled.add(place.well());
                        turned.add(place.well().turned());
                    }
                }
                assertThat(filled).as("seed %d, tray %s", seed, tray.tray()).isNotEqualTo(turned);
            }
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 11, 12, 13, 240, 1000})
    void fillsTwelveWellsWhereNoKeyWellIsKept(int soils) {
        Layout.Plan plan = plan(soils, Layout.Rules.defaults().withKeyWell(false), 5);
        assertThat(plan.soils()).hasSize(soils);
        for (Tray tray : plan.trays().subList(0, plan.trays().size() - 1)) {
            assertThat(tray.wells())
                    .hasSize(Well.PER_TRAY)
                    .allMatch(place -> place.labNumber().isPresent());
        }
        assertThat(plan.trays().stream().flatMap(tray -> tray.wells().stream()))
                .allMatch(place -> place.purpose() == Tray.Purpose.SOIL);
    }

    @Test
    void givesTheSamePlanForTheSameSeedAndAnotherForAnother() {
        assertThat(plan(600, Layout.Rules.defaults(), 11)).isEqualTo(plan(600, Layout.Rules.defaults(), 11));
        assertThat(plan(600, Layout.Rules.defaults(), 11).controls())
                .isNotEqualTo(plan(600, Layout.Rules.defaults(), 12).controls());
    }

    @Test
    void refusesRulesThatCannotBeKept() {
        assertThatThrownBy(() -> new Layout.Rules(50, 50, 240))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("longest gap 50");
        assertThatThrownBy(() -> Layout.plan(5, List.of(), new Layout.Start(DAY, 1, 1), Layout.Rules.defaults(), 1))
                .hasMessageContaining("at least one material");
    }
}
