package org.tenmesh.core.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/** When Algorithm A stops. What it gives is held against published values by the checks of the program. */
class SpreadReferenceTest {
    // Cell means of the example of ISO 5725-5:1998, as carried by the R package metRology.
    @Test
    void stopsWhenTheThirdFigureStands() {
        double[] creosote = {24.14, 20.155, 19.5, 20.3, 20.705, 17.57, 20.1, 20.94, 21.185};
        Robust.Estimate third = Robust.algorithmA(creosote, Robust.Factors.AS_PRINTED, Robust.Stop.THIRD_FIGURE);
        Robust.Estimate settled = Robust.algorithmA(creosote, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        assertThat(third.steps()).isEqualTo(6);
        assertThat(third.sd()).isCloseTo(1.0537, within(5e-5)).isLessThan(settled.sd());
        assertThat(settled.steps()).isBetween(60, 90);
    }
}
