package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.SoilModel;
import org.tenmesh.simulator.soils.Specimen;

/** The kinds of ground, how alike soils are, and days of given soils. */
class GroundTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private static List<SoilContent> soils(Ground ground) {
        return Simulator.simulate(
                        Scenario.of(5, 3000, DATE).with(Options.defaults().on(ground)))
                .truth()
                .specimens()
                .stream()
                .filter(specimen -> specimen.material().isEmpty())
                .map(Specimen::content)
                .toList();
    }

    private static double median(List<SoilContent> soils, ToDoubleFunction<SoilContent> of) {
        double[] sorted = soils.stream().mapToDouble(of).sorted().toArray();
        return sorted[sorted.length / 2];
    }

    private static ToDoubleFunction<SoilContent> of(String symbol) {
        return soil -> soil.mgKg()[Element.indexOf(symbol)];
    }

    @Test
    void differsAsGroundDiffers() {
        List<SoilContent> arable = soils(Ground.ARABLE);
        List<SoilContent> sand = soils(Ground.SANDY_COASTAL);
        List<SoilContent> lime = soils(Ground.CALCAREOUS);
        List<SoilContent> peat = soils(Ground.PEAT);
        List<SoilContent> ash = soils(Ground.VOLCANIC);
        assertThat(peat).allMatch(soil -> soil.loiPct() >= 20 && soil.loiPct() <= 80);
        assertThat(median(peat, SoilContent::ph)).isBetween(4.5, 5.7);
        assertThat(lime).allMatch(soil -> soil.ph() >= 7.6 && soil.ph() <= 8.4);
        assertThat(median(lime, of("Ca"))).isGreaterThan(2 * median(arable, of("Ca")));
        assertThat(median(lime, of("Fe"))).isLessThan(0.5 * median(arable, of("Fe")));
        assertThat(median(sand, SoilContent::loiPct)).isLessThan(0.7 * median(arable, SoilContent::loiPct));
        assertThat(median(sand, of("Ca"))).isLessThan(0.5 * median(arable, of("Ca")));
        assertThat(sand.stream().filter(soil -> of("Na").applyAsDouble(soil) > 150))
                .isNotEmpty();
        assertThat(median(ash, of("Al"))).isGreaterThan(1.5 * median(arable, of("Al")));
        assertThat(median(ash, of("Fe"))).isGreaterThan(1.2 * median(arable, of("Fe")));
        assertThat(median(ash, of("P"))).isLessThan(0.5 * median(arable, of("P")));
        assertThat(median(ash, SoilContent::loiPct)).isGreaterThan(2 * median(arable, SoilContent::loiPct));
    }

    @ParameterizedTest
    @EnumSource(Ground.class)
    void standardisesEveryLevel(Ground ground) {
        Chance chance = new Chance(5, ground.word());
        double[] squares = new double[14];
        int n = 20_000;
        for (int i = 0; i < n; i++) {
            double[] z = SoilModel.level(ground, chance);
            for (int v = 0; v < z.length; v++) {
                squares[v] += z[v] * z[v] / n;
            }
        }
        // Four standard errors of a variance of 20,000 are 0.04; sodium, sulfur and aluminium follow rounded
        // regressions,
        // made for the correlations of arable land.
        assertThat(Arrays.stream(squares, 0, 11).boxed()).allMatch(square -> Math.abs(square - 1) < 0.05);
        assertThat(Arrays.stream(squares, 11, 14).boxed()).allMatch(square -> Math.abs(square - 1) < 0.12);
        assertThat(Ground.of(ground.word())).contains(ground);
    }

    /** Share of a variance inside fields, from pairs of neighbours in one field: half the mean squared difference over the variance. */
    private static double insideFields(Likeness likeness) {
        SimulatedDay simulated = Simulator.simulate(
                Scenario.of(9, 6000, DATE).with(Options.defaults().with(likeness)));
        Map<LabNumber, Double> mg = new HashMap<>();
        simulated
                .truth()
                .specimens()
                .forEach(one -> mg.put(one.number(), StrictMath.log10(of("Mg").applyAsDouble(one.content()))));
        List<Soil> sent = simulated.day().soils().stream()
                .filter(soil -> soil.submission().isPresent())
                .toList();
        double squares = 0;
        int pairs = 0;
        for (int i = 1; i < sent.size(); i++) {
            Soil one = sent.get(i - 1);
            Soil other = sent.get(i);
            boolean together = one.submission().equals(other.submission())
                    && one.clientLabel()
                            .orElseThrow()
                            .split("-")[0]
                            .equals(other.clientLabel().orElseThrow().split("-")[0]);
            if (together) {
                double difference = mg.getOrDefault(one.labNumber(), 0.0) - mg.getOrDefault(other.labNumber(), 0.0);
                squares += difference * difference / 2;
                pairs++;
            }
        }
        double sd = Element.ALL.get(3).sdLog10();
        return squares / pairs / (sd * sd);
    }

    @Test
    void makesSoilsOfAFieldAsAlikeAsAskedFor() {
        // About 5000 pairs: standard error 2 to 3 % of the share.
        assertThat(insideFields(Likeness.usual())).isCloseTo(0.08, within(0.01));
        assertThat(insideFields(Likeness.parse("0.3/0.3/0.4"))).isCloseTo(0.4, within(0.05));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Likeness.parse("0.5/0.5/0.5"))
                .withMessageContaining("add up to 1");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Likeness.parse("0.5;0.5"))
                .withMessageContaining("0.70/0.22/0.08");
    }

    @Test
    void mixesGroundOverClientsAndFillsTwelveWells() {
        SimulatedDay simulated = Simulator.simulate(Scenario.of(5, 1000, DATE)
                .with(Options.defaults().on(Ground.values()).withKeyWells(false)));
        List<SoilContent> soils =
                simulated.truth().specimens().stream().map(Specimen::content).toList();
        assertThat(soils.stream().filter(soil -> soil.loiPct() > 20)).hasSizeBetween(50, 500);
        assertThat(soils.stream().filter(soil -> soil.loiPct() < 5)).hasSizeBetween(200, 900);
        assertThat(simulated.day().trays().stream().flatMap(tray -> tray.wells().stream()))
                .noneMatch(place -> place.purpose() == Tray.Purpose.KEY);
    }

    private static GivenSoil given(int i) {
        return new GivenSoil(
                "client " + i / 50,
                "field " + i % 50 / 10,
                "point " + i,
                OptionalDouble.of(5 + i % 30 / 10.0),
                i % 2 == 0 ? OptionalDouble.of(2 + i % 7) : OptionalDouble.empty(),
                Map.of("P", 10.0 + i % 90, "K", 100.0 + i));
    }

    @Test
    void takesGivenSoilsAndNamesWhatWasDrawn(@TempDir Path folder) throws Exception {
        List<GivenSoil> soils = new ArrayList<>();
        for (int i = 0; i < 1000; i++) {
            soils.add(given(i));
        }
        SimulatedDay simulated = Simulator.simulate(
                Scenario.of(3, 1000, DATE).with(Fault.parse("neighbours-exchanged,fields=same")), soils);
        Map<LabNumber, SoilContent> truth = new HashMap<>();
        simulated.truth().specimens().forEach(one -> truth.put(one.number(), one.content()));
        Set<String> clients = new HashSet<>();
        simulated.day().submissions().forEach(one -> clients.add(one.client()));
        assertThat(clients).hasSize(20);
        int compared = 0;
        for (Soil soil : simulated.day().soils()) {
            if (soil.submission().isPresent()) {
                int i = Integer.parseInt(soil.clientLabel().orElseThrow().split(" ")[1]);
                SoilContent content = requireNonNull(truth.get(soil.labNumber()));
                assertThat(content.ph()).isEqualTo(5 + i % 30 / 10.0);
                assertThat(content.mgKg()[0]).isEqualTo(10.0 + i % 90);
                assertThat(content.mgKg()[1]).isEqualTo(100.0 + i);
                List<String> drawn = simulated.truth().drawn().getOrDefault(soil.labNumber(), List.of());
                assertThat(drawn).contains("Ca", "Al").doesNotContain("P", "K", "pH");
                assertThat(drawn.contains("LOI")).isEqualTo(i % 2 == 1);
                compared++;
            }
        }
        assertThat(compared).isEqualTo(1000);
        simulated.truth().write(folder);
        assertThat(Files.readAllLines(folder.resolve("truth-drawn.csv"))).hasSize(1001);
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Simulator.simulate(Scenario.of(3, 999, DATE), soils))
                .withMessageContaining("1000");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> new GivenSoil("a", "", "b", OptionalDouble.of(17), OptionalDouble.empty(), Map.of()))
                .withMessageContaining("2 to 11");
        assertThatIllegalArgumentException()
                .isThrownBy(() ->
                        new GivenSoil("a", "", "b", OptionalDouble.empty(), OptionalDouble.empty(), Map.of("Pb", 3.0)))
                .withMessageContaining("\"Pb\"");
    }
}
