package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.function.DoubleBinaryOperator;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;

/**
 * Potassium in the line of phosphorus, on a run of three control soils that is written down here. The standards hold two of potassium to
 * one of phosphorus, so that what g of it adds is {@code g (k - 2 p)}: 9 g in LOAM, 18 g in RICH and nothing in SANDY.
 */
class InterferencesTest {
    private static final double[][] CONTROLS = {{3, 15}, {6, 30}, {6, 12}};
    private static final String[] NAMES = {"LOAM", "RICH", "SANDY"};

    /** What is found when the phosphorus of every control soil and soil is read as given, from its own and from its potassium in mg/L. */
    private static List<Interference> found(DoubleBinaryOperator read) {
        Bench plasma = new Bench("icp-1", Bench.ICP);
        plasma.icp(Role.STANDARD, "WS1", 0, 0);
        plasma.icp(Role.STANDARD, "WS2", 2, 4);
        plasma.icp(Role.STANDARD, "WS4", 10, 20);
        plasma.icp(Role.STANDARD, "WS6", 50, 100);
        plasma.icp(Role.VERIFICATION, "QC", 10, 20);
        plasma.icp(Role.BLANK, "BLANK", 0, 0);
        for (int i = 0; i < 60; i++) {
            if (i % 6 == 0) {
                double[] holds = CONTROLS[i / 6 % 3];
                plasma.icp(Role.CONTROL, NAMES[i / 6 % 3], read.applyAsDouble(holds[0], holds[1]), holds[1]);
            }
            double p = 2 + i % 7;
            double k = 10 + 3 * (i % 11);
            plasma.icp(Role.SAMPLE, Bench.lab(i + 1).text(), read.applyAsDouble(p, k), k);
        }
        plasma.icp(Role.VERIFICATION, "QC", 10, 20);
        Day bench = Bench.day(Map.of(), List.of());
        List<Material> materials = new ArrayList<>(bench.materials());
        materials.add(material("RICH", "P", 60, 2));
        materials.add(material("RICH", "K", 300, 9));
        materials.add(material("SANDY", "P", 60, 2));
        materials.add(material("SANDY", "K", 120, 5));
        return TwoMethods.judged(MadeDay.empty()
                        .materials(materials)
                        .standards(bench.standards())
                        .runs(plasma.run())
                        .day())
                .interferences("icp-1");
    }

    private static Material material(String name, String analyte, double mean, double sd) {
        return new Material(name, Bench.ICP.id(), analyte, mean, sd, Unit.MILLIGRAM_PER_KILOGRAM, OptionalInt.of(40));
    }

    @Test
    void namesTheElementAndHowMuchOfItIsInTheLine() {
        assertThat(found((p, k) -> p + 0.1 * (k - 2 * p))).singleElement().satisfies(one -> {
            assertThat(one.analyte()).isEqualTo("P");
            assertThat(one.other()).isEqualTo("K");
            assertThat(one.share()).isCloseTo(0.1, within(0.02));
            assertThat(one.se()).isBetween(0.0, 0.03);
            assertThat(one.proportion()).isCloseTo(2, within(1e-9));
        });
    }

    @Test
    void callsNothingWhereNothingIsWrong() {
        assertThat(found((p, k) -> p)).isEmpty();
    }

    @Test
    void callsNoElementWhereTheRunHasAFactorOfItsOwn() {
        assertThat(found((p, k) -> 1.2 * p)).isEmpty();
    }

    @Test
    void callsNoElementWhereEveryTubeHoldsTheSameMore() {
        assertThat(found((p, k) -> p + 0.9)).isEmpty();
    }
}
