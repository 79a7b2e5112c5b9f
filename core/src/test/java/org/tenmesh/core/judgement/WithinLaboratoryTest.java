package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
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
    private static final Reproducibility.Level HISTORY = new Reproducibility.Level("HIGH", 101, 3, 400, 90, 60, 2, 88);

    private static WithinLaboratory.OfCalibration known(double se) {
        return new WithinLaboratory.OfCalibration(se, Double.POSITIVE_INFINITY);
    }

    private static WithinLaboratory of(List<Reproducibility.Level> history, List<BiasStudy> bias) {
        return WithinLaboratory.of(P, STATED, history, bias, 20);
    }

    /** A standard deviation between runs is not added to a calibration that is in it: the two of the square of 5 are 4 alone. */
    @Test
    void whatIsStatedOfRunsHoldsTheCalibrationAlready() {
        WithinLaboratory stated = of(List.of(), List.of());
        // Student's t of 95.45 % with 59 degrees of freedom is 2.0433.
        assertThat(stated.expanded(100, known(3))).isCloseTo(2.04327 * 4, within(5e-5));
        assertThat(stated.expanded(100, WithinLaboratory.OfCalibration.NONE)).isCloseTo(2.04327 * 4, within(5e-5));
        assertThat(stated.sentence(100, known(3), MG))
                .contains("from the laboratory's own control soils, calibration 3 (held in it already).");
        // At the end of a curve the calibration is the larger: k = 2 of what is known.
        assertThat(stated.expanded(100, known(6))).isCloseTo(12, within(1e-12));
        assertThat(stated.sentence(100, known(6), MG)).contains("calibration 6 (the larger counts).");
    }

    /** What a method publishes says nothing of calibrations: 5 % of 100 and 3 add as squares. */
    @Test
    void aPublishedFigureTakesTheCalibrationBesideIt() {
        WithinLaboratory published = WithinLaboratory.of(P, List.of());
        double sd = published.sdAt(100);
        assertThat(published.expanded(100, known(3))).isCloseTo(2 * Math.hypot(sd, 3), within(1e-9));
        assertThat(published.sentence(100, known(3), MG)).contains("the method's published figure, calibration 3.");
    }

    @Test
    void historyTakesThePlaceOfWhatIsStatedAndHoldsTheCalibrationAlready() {
        WithinLaboratory history = of(List.of(HISTORY), List.of());
        assertThat(history.sdAt(101)).isCloseTo(3, within(1e-12));
        // The other level is still that which is stated.
        assertThat(history.sdAt(20)).isCloseTo(1, within(1e-12));
        // 88 degrees of freedom: 2.0288.
        assertThat(history.expanded(101, known(2))).isCloseTo(2.0288 * 3, within(5e-4));
        assertThat(history.expanded(101, known(4))).isCloseTo(8, within(1e-12));
        assertThat(history.sentence(101, known(2), MG))
                .isEqualTo(
                        "Uncertainty (k = 2.03) 6.1 mg/kg: within-laboratory standard deviation 3 from 400 values of the"
                                + " laboratory's own control soils over 60 days, calibration 2 (held in it already).");
    }

    /** Nordtest TR 537: u(Rw) and u(bias) add as squares; a bias of 4 % of 101 here, worked by hand. */
    @Test
    void biasIsAddedRelativeAboveItsReferenceAndAbsoluteBelow() {
        WithinLaboratory both = of(List.of(HISTORY), List.of(new BiasStudy("m", "P", "round", 52, 0, 1, 50, 0)));
        assertThat(both.biasAt(101)).isCloseTo(4.04, within(1e-12));
        assertThat(both.biasAt(10)).isCloseTo(2, within(1e-12));
        // 88 degrees for 9 of 25.3 parts of the square: 696.
        assertThat(both.expanded(101, WithinLaboratory.OfCalibration.NONE))
                .isCloseTo(2.0036 * Math.sqrt(9 + 4.04 * 4.04), within(5e-4));
    }

    /**
     * Uncertainty that depends on the level, {@code sqrt(s0^2 + (x s1)^2)}: EURACHEM/CITAC, Quantifying Uncertainty in Analytical Measurement,
     * "Uncertainty dependent on analyte level": near zero s0 dominates and it is nearly constant, where {@code x s1} dominates it is nearly a share of x.
     */
    @Test
    void belowTheLowestMaterialTheSpreadFallsToTheMethodsOwnNearZero() {
        Analyte fine = new Analyte(
                "P", "phosphorus", MG, new Rounding(0), OptionalDouble.empty(), OptionalDouble.empty(), 5, 0.6, 0, 100);
        WithinLaboratory low = WithinLaboratory.of(fine, STATED);
        assertThat(low.sdAt(20)).isCloseTo(1, within(1e-12));
        assertThat(low.sdAt(0)).isCloseTo(0.6, within(1e-12));
        // s1 = 0.8/20; at 15 sqrt(0.36 + 0.36).
        assertThat(low.sdAt(15)).isCloseTo(Math.sqrt(0.72), within(1e-12));
        // A material that scatters less than the method's own figure near zero: nothing is said to be worse than it.
        assertThat(WithinLaboratory.of(P, STATED).sdAt(5)).isCloseTo(1, within(1e-12));
    }

    /** The relative standard deviation on a straight line between two materials (Nordtest TR 537, from memory): 5 % at 20, 4 % at 100. */
    @Test
    void betweenTwoMaterialsTheRelativeSpreadRunsOnAStraightLine() {
        WithinLaboratory stated = of(List.of(), List.of());
        assertThat(stated.sdAt(40)).isCloseTo(0.0475 * 40, within(1e-12));
        assertThat(stated.sdAt(60)).isCloseTo(0.045 * 60, within(1e-12));
        assertThat(stated.sdAt(90)).isCloseTo(0.04125 * 90, within(1e-12));
        // Above the highest it stays relative.
        assertThat(stated.sdAt(250)).isCloseTo(0.04 * 250, within(1e-12));
    }

    @Test
    void aMaterialWithoutAMeanOrASpreadSaysNothing() {
        List<Material> empty = List.of(
                new Material("NONE", "m", "P", 0, 1, MG, OptionalInt.of(60)),
                new Material("EXACT", "m", "P", 50, 0, MG, OptionalInt.of(60)));
        assertThat(WithinLaboratory.of(P, empty).own()).isFalse();
        assertThat(WithinLaboratory.of(P, STATED).own()).isTrue();
        List<Material> all = new ArrayList<>(empty);
        all.addAll(STATED);
        for (double value : new double[] {0, 10, 50, 60, 200}) {
            assertThat(WithinLaboratory.of(P, all).sdAt(value))
                    .isEqualTo(WithinLaboratory.of(P, STATED).sdAt(value));
        }
    }

    /**
     * A method that knows nothing but its calibration has the half width of the calibration alone: Massart et al., Handbook of Chemometrics and
     * Qualimetrics A (1997), chapter 8, example 7: 6.1 +- 4.9 with t = 2.776 for four degrees of freedom, so SD(x0) 1.767; with 95.45 %
     * the factor is 2.87 (JCGM 100:2008, table G.2) and the half width 5.07.
     */
    @Test
    void fewStandardsWidenTheInterval() {
        Analyte exact = new Analyte(
                "P",
                "phosphorus",
                MG,
                new Rounding(0),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                0,
                1e-9,
                0,
                100);
        WithinLaboratory calibrated = WithinLaboratory.of(exact, List.of());
        WithinLaboratory.OfCalibration massart = new WithinLaboratory.OfCalibration(4.906751 / 2.776445, 4);
        assertThat(calibrated.expanded(6.09381, massart)).isCloseTo(2.87 * 1.7673, within(0.005));
        assertThat(calibrated.sentence(6.1, massart, MG)).startsWith("Uncertainty (k = 2.87) 5.1 mg/kg");
    }

    @Test
    void aMaterialKnownFromFewResultsHasALargerFactor() {
        Analyte fine = new Analyte(
                "P", "phosphorus", MG, new Rounding(0), OptionalDouble.empty(), OptionalDouble.empty(), 5, 0.6, 0, 100);
        List<Material> few = List.of(new Material("LOW", "m", "P", 20, 1, MG, OptionalInt.of(11)));
        List<Material> unsaid = List.of(new Material("LOW", "m", "P", 20, 1, MG, OptionalInt.empty()));
        // JCGM 100:2008, table G.2, column 95.45 %: 2.28 at 10 degrees; 19 for the 20 runs that are assumed.
        assertThat(WithinLaboratory.of(fine, few).expanded(20, WithinLaboratory.OfCalibration.NONE))
                .isCloseTo(2.28, within(0.005));
        assertThat(WithinLaboratory.of(fine, unsaid).expanded(20, WithinLaboratory.OfCalibration.NONE))
                .isCloseTo(2.14, within(0.005));
    }
}
