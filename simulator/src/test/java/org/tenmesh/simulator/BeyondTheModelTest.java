package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Mixture;

/** Noise and soils that are not those of the judge's model. */
class BeyondTheModelTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final Options USUAL = Options.defaults();

    private static SimulatedDay day(long seed, int soils, Options options) {
        return Simulator.simulate(new Scenario(seed, soils, List.of(), DATE, options));
    }

    private static Options everyMethod() {
        return new Options(USUAL.metersGivePh(), false, USUAL.balanceDecimals(), USUAL.zone(), true);
    }

    private static String numbers(SimulatedDay day) {
        StringBuilder text = new StringBuilder();
        for (Run run : day.day().runs()) {
            Readings readings = run.readings();
            for (int i = 0; i < readings.size(); i++) {
                text.append(run.run())
                        .append(' ')
                        .append(readings.identity(i))
                        .append(' ')
                        .append(readings.value(i));
            }
        }
        for (Material material : day.day().materials()) {
            text.append(material);
        }
        return new Sha256().text(text.toString()).hex();
    }

    /** Readings made before these settings were there; materials with the spreads that clean days show. */
    @Test
    void whatIsSwitchedOffChangesNoNumber() {
        assertThat(numbers(day(11, 300, everyMethod())))
                .isEqualTo("cca10320231754fd0f47a2849bf2461636ac49dadb4a42beab8955e07c2372dd");
        assertThat(numbers(day(12, 300, USUAL.on(Ground.values()).withKeyWells(false))))
                .isEqualTo("0e65a2fccf3e24c3b3ace6a260d87af57c4cfc3ec6a7275b3260142aa77a20f5");
    }

    /**
     * Of Student t deviates with 3 degrees of freedom 1 % lie beyond 5.841 and 5 % beyond 3.182 (NIST/SEMATECH e-Handbook of Statistical
     * Methods, table 1.3.6.7.2).
     */
    @Test
    void heavyTailsAreThoseOfStudentsTable() {
        Chance chance = new Noise(3, 0, 0, 0).chance(5, "tails");
        int n = 400_000;
        int beyond5 = 0;
        int beyond1 = 0;
        for (int i = 0; i < n; i++) {
            // Drawn with a standard deviation of 1, which for 3 degrees of freedom is 1.732 on the table's scale.
            double t = Math.sqrt(3) * Math.abs(chance.normal());
            beyond5 += t > 3.182 ? 1 : 0;
            beyond1 += t > 5.841 ? 1 : 0;
        }
        assertThat(beyond5 / (double) n).isCloseTo(0.05, within(4 * Math.sqrt(0.05 * 0.95 / n)));
        assertThat(beyond1 / (double) n).isCloseTo(0.01, within(4 * Math.sqrt(0.01 * 0.99 / n)));
    }

    @Test
    void neighboursOnARackShareTheirError() {
        Readings alone = ph(day(21, 200, USUAL));
        Readings shared = ph(day(21, 200, USUAL.with(new Noise(0, 0, 2, 0))));
        List<Double> errors = new ArrayList<>();
        Set<Integer> seen = new HashSet<>();
        for (int i = 0; i < alone.size(); i++) {
            boolean slurry = alone.role(i) != Role.STANDARD && alone.role(i) != Role.VERIFICATION;
            if (alone.quantity(i).equals("potential") && slurry && seen.add(alone.position(i))) {
                errors.add(shared.value(i) - alone.value(i));
            }
        }
        int alike = 0;
        for (int k = 1; k < errors.size(); k++) {
            // 1 mV is 0.017 pH; potentials are rounded to 0.1 mV and slopes differ by 4 %.
            boolean same = Math.abs(errors.get(k) - errors.get(k - 1)) < 0.5;
            alike += same ? 1 : 0;
            if (k % Noise.RACK != 0) {
                assertThat(same).as("vessel %d of its rack", k % Noise.RACK).isTrue();
            }
        }
        assertThat(errors).hasSizeGreaterThan(150);
        assertThat(errors.size() - 1 - alike).as("racks that differ").isGreaterThan(errors.size() / Noise.RACK / 2);
    }

    private static Readings ph(SimulatedDay day) {
        return day.day().runs().stream()
                .filter(run -> run.method().equals(ElectrodeModel.METHOD))
                .findFirst()
                .orElseThrow()
                .readings();
    }

    @Test
    void theLaboratoryKnowsItsControlSoilsWithTheErrorsThatItsRunsShare() {
        List<Material> alone = day(22, 20, USUAL).day().materials();
        List<Material> shared =
                day(22, 20, USUAL.with(new Noise(0, 1, 1, 1))).day().materials();
        for (int k = 0; k < alone.size(); k++) {
            assertThat(shared.get(k).sd() / alone.get(k).sd()).isCloseTo(2, within(0.02));
        }
    }

    @Test
    void soilsOfOtherGroundStandAmongTheRest() {
        SimulatedDay usual = day(23, 1000, everyMethod());
        SimulatedDay mixed = day(23, 1000, everyMethod().with(new Mixture(0.1, 0)));
        int others = 0;
        for (Soil soil : usual.day().soils()) {
            others += truePh(usual, soil).equals(truePh(mixed, soil)) ? 0 : 1;
        }
        assertThat(others / 1000.0).isCloseTo(0.1, within(0.04));
        assertThat(mixed.day().soils()).hasSameSizeAs(usual.day().soils());
    }

    private static OptionalDouble truePh(SimulatedDay day, Soil soil) {
        return day.truth().value(soil.labNumber(), ElectrodeModel.METHOD, "pH");
    }

    @Test
    void soilsOfAClientWithoutFieldsHaveNothingInCommon() {
        SimulatedDay single = day(24, 300, USUAL.with(new Mixture(0, 1)));
        assertThat(single.day().soils())
                .filteredOn(soil -> soil.submission().isPresent())
                .allSatisfy(soil -> assertThat(soil.clientLabel().orElse("")).startsWith("sample "));
    }

    @Test
    void whatCannotBeIsRefused() {
        assertThatThrownBy(() -> new Noise(2, 0, 0, 0)).hasMessageContaining("found 2 degrees of freedom");
        assertThatThrownBy(() -> new Noise(0, 0, -1, 0)).hasMessageContaining("expected 0 to 3");
        assertThatThrownBy(() -> new Mixture(1.5, 0)).hasMessageContaining("found 1.5, expected 0 to 1");
    }
}
