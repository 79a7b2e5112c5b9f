package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.charts.BiasStudy;
import org.tenmesh.core.charts.Reproducibility;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

class WithinLaboratoryTest {
    private static final Unit MG = Unit.MILLIGRAM_PER_KILOGRAM;
    private static final Analyte P = new Analyte(
            "P", "phosphorus", MG, new Rounding(0), OptionalDouble.empty(), OptionalDouble.empty(), 1, 5, 0, 100);
    private static final List<Material> STATED = List.of(
            new Material("LOW", "m", "P", 20, 1, MG, OptionalInt.of(60)),
            new Material("HIGH", "m", "P", 100, 4, MG, OptionalInt.of(60)));
    private static final Reproducibility.Level HISTORY = new Reproducibility.Level("HIGH", 101, 3, 400, 90, 60, 2);

    @Test
    void whatIsStatedTakesTheCalibrationBesideIt() {
        WithinLaboratory stated = WithinLaboratory.of(P, STATED);
        assertThat(stated.expanded(100, 3)).isCloseTo(2 * 5, within(1e-12));
        assertThat(stated.sentence(100, 3, MG)).contains("from the laboratory's own control soils, calibration 3.");
    }

    @Test
    void historyTakesThePlaceOfWhatIsStatedAndHoldsTheCalibrationAlready() {
        WithinLaboratory history = WithinLaboratory.of(P, STATED, List.of(HISTORY), List.of());
        assertThat(history.sdAt(101)).isCloseTo(3, within(1e-12));
        // The other level is still that which is stated.
        assertThat(history.sdAt(20)).isCloseTo(1, within(1e-12));
        assertThat(history.expanded(101, 2)).isCloseTo(6, within(1e-12));
        assertThat(history.expanded(101, 4)).isCloseTo(8, within(1e-12));
        assertThat(history.sentence(101, 2, MG))
                .isEqualTo("Uncertainty (k = 2) 6 mg/kg: within-laboratory standard deviation 3 from 400 values of the"
                        + " laboratory's own control soils over 60 days, calibration 2 (held in it already).");
    }

    /** Nordtest TR 537: u(Rw) and u(bias) add as squares; a bias of 4 % of 101 here, worked by hand. */
    @Test
    void biasIsAddedRelativeAboveItsReferenceAndAbsoluteBelow() {
        WithinLaboratory both = WithinLaboratory.of(
                P, STATED, List.of(HISTORY), List.of(new BiasStudy("m", "P", "round", 52, 0, 1, 50, 0)));
        assertThat(both.biasAt(101)).isCloseTo(4.04, within(1e-12));
        assertThat(both.biasAt(10)).isCloseTo(2, within(1e-12));
        assertThat(both.expanded(101, 0)).isCloseTo(2 * Math.sqrt(9 + 4.04 * 4.04), within(1e-12));
    }
}
