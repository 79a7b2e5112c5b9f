package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Basis;
import org.tenmesh.core.methods.Extraction.Diluent;

/** From mg/L of extract to mg/kg of soil. */
class SoilContentReferenceTest {

    private static Extraction method(double soilG, double extractMl, Basis basis, double scoopMl, Diluent diluent) {
        return new Extraction(
                soilG,
                extractMl,
                basis,
                scoopMl,
                soilG,
                diluent,
                true,
                Extraction.Shape.LINE,
                Extraction.Weighting.NONE,
                new Extraction.Acceptance(0.995, 20, 20, 10),
                10,
                0.5,
                20);
    }

    /**
     * Rayment, G.E. and Lyons, D.J., 2011, Soil Chemical Methods - Australasia, CSIRO Publishing, method 18F1, Table 18.3:
     * working standards in mg/L and their soil equivalents in mg/kg for 4.00 g in 40.0 mL.
     */
    @ParameterizedTest
    @CsvSource({
        "P, 2, 20", "P, 5, 50", "P, 10, 100", "P, 20, 200", "P, 50, 500",
        "Ca, 40, 400", "Ca, 100, 1000", "Ca, 200, 2000", "Ca, 400, 4000", "Ca, 1000, 10000",
        "K, 4, 40", "K, 10, 100", "K, 20, 200", "K, 40, 400", "K, 100, 1000",
        "Al, 8, 80", "Al, 20, 200", "Al, 40, 400", "Al, 80, 800", "Al, 200, 2000",
        "B, 0.1, 1", "B, 0.2, 2", "B, 0.4, 4", "B, 1, 10", "B, 2, 20",
        "Cu, 0.25, 2.5", "Cu, 0.5, 5", "Cu, 1, 10", "Cu, 2.5, 25", "Cu, 5, 50",
        "Zn, 0.5, 5", "Zn, 1, 10", "Zn, 2, 20", "Zn, 5, 50", "Zn, 10, 100"
    })
    void agreesWithThePublishedSoilEquivalents(String element, double mgPerL, double mgPerKg) {
        Extraction weighed = method(4, 40, Basis.MASS, 1, Diluent.EXTRACTANT);

        // Decimal table values, one multiplication and one division in binary: a few units in the last place.
        assertThat(weighed.content(mgPerL, 0, 1)).as(element).isCloseTo(mgPerKg, within(1e-12 * mgPerKg));
    }

    /** The same laboratory dilutes the same net extract both ways: plain mass balance, 3.00 mg/L over a blank of 0.05. */
    @Test
    void takesOffTheBlankThatTheDiluentBrought() {
        Extraction extractant = method(1, 10, Basis.MASS, 1, Diluent.EXTRACTANT);
        Extraction water = method(1, 10, Basis.MASS, 1, Diluent.WATER);

        assertThat(extractant.content(3.00, 0.05, 1)).isCloseTo(29.5, within(1e-12));
        // Diluted 1+4: with extractant it reads (3.00 - 0.05) / 5 + 0.05, with water 3.00 / 5.
        assertThat(extractant.content(0.64, 0.05, 5)).isCloseTo(29.5, within(1e-12));
        assertThat(water.content(0.60, 0.05, 5)).isCloseTo(29.5, within(1e-12));
        // The wrong blank errs by (D - 1) b V / m.
        assertThat(extractant.content(0.60, 0.05, 5) - 29.5).isCloseTo(-2, within(1e-12));
    }

    /**
     * Rayment and Lyons 2011, method 18F1, note 3: the volume result times Va / Vs, with Va = Ws Vs / Wa, is the mass result. A scoop of
     * 4.0 cm3 that weighs 4.80 g turns 60.0 mg/dm3 into 50.0 mg/kg.
     */
    @Test
    void statesTheSameSoilByVolumeAndByMass() {
        Extraction byVolume = method(4, 40, Basis.VOLUME, 4.0, Diluent.EXTRACTANT);
        Extraction byMass = method(4.80, 40, Basis.MASS, 4.0, Diluent.EXTRACTANT);

        assertThat(byVolume.content(6.0, 0, 1)).isCloseTo(60.0, within(1e-12));
        assertThat(byMass.content(6.0, 0, 1)).isCloseTo(50.0, within(1e-12));
    }

    /** University of Arkansas, Mehlich-3 1:7 (2 g : 14 mL): 4.20 mg/L is seven times as much in the soil, not ten. */
    @Test
    void followsTheRatioOfTheMethod() {
        assertThat(method(2, 14, Basis.MASS, 1, Diluent.EXTRACTANT).content(4.20, 0, 1))
                .isCloseTo(29.4, within(1e-12));
    }
}
