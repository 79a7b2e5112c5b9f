package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * Numbers below the lowest standard. A calibration is to begin at or below the lower limit of quantitation (US EPA SW-846 method 6010D, July 2018,
 * section 10.7); where it does not, a number between the two says so.
 */
class BelowStandardsTest {
    private static PaperRun run(double... standards) {
        PaperRun run = new PaperRun(PaperRun.emission(
                extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
                List.of(analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 3)),
                List.of()));
        for (double standard : standards) {
            run.known("S" + standard, "P", standard);
            run.read(Role.STANDARD, "S" + standard, "P 200.000", 300 + 4000 * standard);
        }
        return run;
    }

    private static Amount soil(PaperRun run, double dilution, double mgPerL) {
        return run
                .diluted(dilution, Role.SAMPLE, "soil", "P 200.000", 300 + 4000 * mgPerL)
                .reduce()
                .determinations()
                .stream()
                .filter(d -> d.role() == Role.SAMPLE)
                .findFirst()
                .orElseThrow()
                .amount();
    }

    @Test
    void aNumberBelowTheLowestStandardKeepsItsValueAndSaysSo() {
        Amount amount = soil(run(0, 20, 50, 100), 1, 0.4);
        assertThat(amount.raw()).isCloseTo(4.0, within(1e-9));
        assertThat(((Amount.Measured) amount).isBelowStandards()).isTrue();
        assertThat(amount.remark()).isEqualTo("below the lowest standard, 200 mg/kg");
    }

    @Test
    void aDilutedExtractIsHeldAgainstTheStandardTimesItsDilution() {
        assertThat(soil(run(0, 20, 50, 100), 5, 10).remark()).isEqualTo("below the lowest standard, 1000 mg/kg");
        assertThat(soil(run(0, 20, 50, 100), 5, 21).remark()).isEmpty();
    }

    @Test
    void aNumberAmongItsStandardsAndALimitSayNothing() {
        assertThat(soil(run(0, 0.2, 50, 100), 1, 0.4).remark()).isEmpty();
        assertThat(soil(run(0, 20, 50, 100), 1, 0.2)).isInstanceOf(Amount.Below.class);
        assertThat(soil(run(0, 20, 50, 100), 1, 0.2).remark()).isEmpty();
    }
}
