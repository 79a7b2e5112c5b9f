package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.HashMap;
import java.util.Map;
import java.util.Objects;
import org.assertj.core.data.Offset;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.FormulaMethod;

/**
 * The largest grain afloat at the late reading of the hydrometer, by the shipped formula of Stokes' law, against the data set and the table of
 * ASTM D422-63 as they are in the open library envalysis (tests and R/sysdata.rda; secondary copy).
 */
class GrainSizeReferenceTest {
    private static final FormulaMethod METHOD =
            (FormulaMethod) MethodFiles.shipped().of("texture-hydrometer", LocalDate.of(2026, 12, 1));

    private static Map<String, Double> steps(double minutes, double corrected, double celsius) {
        Map<String, Double> values = new HashMap<>();
        METHOD.constants().forEach(constant -> values.put(constant.name(), constant.value()));
        values.put("late", corrected);
        values.put("blank_late", 0.0);
        values.put("hours", minutes / 60);
        values.put("celsius", celsius);
        for (Computed step : METHOD.results()) {
            step.formula()
                    .ifPresent(formula -> values.put(
                            step.name(),
                            formula.value(name -> Calculated.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                                    .value()));
        }
        return values;
    }

    /**
     * Minutes, corrected reading, effective depth cm and diameter mm as printed; 23 °C, 50 g/L, density 2.65. K agrees with its table within 0.00003 of
     * 0.01317, see below, and the diameter has five places.
     */
    @ParameterizedTest
    @CsvSource({
        "0.66, 37.7, 10.112, 0.05155",
        "2, 31.7, 11.096, 0.03102",
        "5, 27.7, 11.752, 0.02019",
        "15, 21.7, 12.736, 0.01214",
        "30, 20.7, 12.900, 0.00864",
        "60, 18.7, 13.228, 0.00618",
        "180, 16.7, 13.556, 0.00361"
    })
    void agreesWithThePublishedDataSet(double minutes, double corrected, double depthCm, double diameterMm) {
        Map<String, Double> steps = steps(minutes, corrected, 23);

        assertThat(steps.get("depth")).isCloseTo(depthCm, within(0.0005));
        assertThat(steps.get("grain"))
                .isCloseTo(1000 * diameterMm, Offset.offset(1000 * (0.00003 / 0.01317 * diameterMm + 0.000005)));
    }

    /** K of D422 for a density of 2.65: D = K sqrt(L / t). */
    @ParameterizedTest
    @CsvSource({
        "16, 0.01435",
        "18, 0.01399",
        "20, 0.01365",
        "22, 0.01332",
        "24, 0.01301",
        "26, 0.01272",
        "28, 0.01244",
        "30, 0.01217"
    })
    void agreesWithTheTableOfTemperatures(double celsius, double k) {
        Map<String, Double> steps = steps(100, 15, celsius);

        double depthCm = Objects.requireNonNull(steps.get("depth"));
        double grainUm = Objects.requireNonNull(steps.get("grain"));
        assertThat(grainUm / 1000 / Math.sqrt(depthCm / 100)).isCloseTo(k, within(0.00003));
    }

    /** The times of the source, University of Minnesota: 6 to 8 h by temperature. At 2 h and 20 °C it is 4.4 to 5.0 µm and no clay. */
    @ParameterizedTest
    @CsvSource({"8, 20, 2.2, 2.6", "7, 25, 2.2, 2.6", "6, 30, 2.2, 2.6", "2, 20, 4.4, 5.0"})
    void theTimesOfTheSourceLeaveAboutTwoAndAHalfMicrometres(double hours, double celsius, double low, double high) {
        for (double reading = 2; reading <= 20; reading += 6) {
            assertThat(steps(60 * hours, reading, celsius).get("grain")).isBetween(low, high);
        }
    }
}
