package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
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
}
