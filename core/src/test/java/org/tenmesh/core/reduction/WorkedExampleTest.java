package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/** A method's worked example gives what its readings would give. */
class WorkedExampleTest {
    private static double run(Method method, String analyte, Map<String, Double> given) {
        Amount amount = Reduction.worked(method, new Example(given, Map.of(analyte, ""), PaperRun.PRACTICE))
                .get(analyte);
        return amount == null ? Double.NaN : amount.raw();
    }

    @Test
    void runsAnExtraction() {
        Method olsen = PaperRun.flow(
                extraction(1, 20, Extraction.Basis.MASS, Extraction.Shape.QUADRATIC),
                analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 1));

        // (0.62 - 0.01) x 5 x 20, by mass balance.
        assertThat(run(olsen, "P", Map.of("extract_mg_per_l", 0.62, "blank_mg_per_l", 0.01, "dilution", 5.0)))
                .isCloseTo(61.0, within(1e-9));
        // Below the reporting limit it is the limit that is stated.
        Amount little = Reduction.worked(
                        olsen, new Example(Map.of("extract_mg_per_l", 0.04), Map.of("P", ""), PaperRun.PRACTICE))
                .get("P");
        assertThat(little).isEqualTo(new Amount.Below(1, 0.8, Unit.MILLIGRAM_PER_KILOGRAM));
    }

    @Test
    void runsAConductivity() {
        Method method = PaperRun.conductivity();

        assertThat(run(method, "EC", Map.of("conductance", 0.5, "temperature", 20.0, "cell_factor", 1.05)))
                .isCloseTo(0.5 * PaperRun.conductivity().compensation().factor(20) * 1.05, within(1e-12));
    }

    @Test
    void runsAnElectrode() {
        Method method = new ElectrodeMethod(
                PaperRun.head("buffer-ph", analyte("BpH", Unit.PH, 0)),
                5,
                10,
                4,
                List.of(),
                95,
                105,
                30,
                0.1,
                2,
                12,
                0.2);

        // 59.16 mV a pH at 25 °C: 59.16 mV below the offset is one pH above seven.
        assertThat(run(
                        method,
                        "BpH",
                        Map.of("potential", -59.16, "temperature", 25.0, "slope_mv_per_ph", 59.16, "offset_mv", 0.0)))
                .isCloseTo(8, within(1e-9));
    }

    @Test
    void runsAnIgnition() {
        Method method = new IgnitionMethod(
                PaperRun.head("loi", analyte("LOI", Unit.PERCENT, 0), analyte("OM", Unit.PERCENT, 0)),
                105,
                1,
                360,
                14,
                5,
                2,
                10,
                95,
                10,
                0.3,
                new IgnitionMethod.Regression(LocalDate.of(2026, 11, 1), 0.9, -0.1, PaperRun.PRACTICE));
        Map<String, Double> weighed = Map.of("tare", 20.0, "dry", 25.0, "ash", 24.8);

        assertThat(run(method, "LOI", weighed)).isCloseTo(4, within(1e-9));
        assertThat(run(method, "OM", weighed)).isCloseTo(3.5, within(1e-9));
    }

    @Test
    void runsAFormula() {
        assertThat(run(PaperRun.moisture(), "moisture", Map.of("tin", 20.0, "air_dry", 45.5, "oven_dry", 44.012)))
                .isCloseTo(6.197, within(0.0005));
    }

    @Test
    void saysWhichNumberTheExampleLacks() {
        assertThatThrownBy(() -> run(PaperRun.conductivity(), "EC", Map.of()))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("the example gives no conductance");
        assertThatThrownBy(() -> run(PaperRun.conductivity(), "Cl", Map.of())).hasMessageContaining("reports no Cl");
    }
}
