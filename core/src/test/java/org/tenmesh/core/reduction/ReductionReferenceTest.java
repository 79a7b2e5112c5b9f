package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.constant;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.name;
import static org.tenmesh.core.reduction.PaperRun.number;
import static org.tenmesh.core.reduction.PaperRun.of;
import static org.tenmesh.core.reduction.PaperRun.quantity;
import static org.tenmesh.core.reduction.PaperRun.result;

import java.util.List;
import java.util.stream.DoubleStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/** Whole runs, from what was read to the published result. */
class ReductionReferenceTest {

    private static Determination found(Reduced reduced, String identity, String analyte) {
        return reduced.determinations().stream()
                .filter(d -> d.identity().equals(identity) && d.analyte().equals(analyte))
                .findFirst()
                .orElseThrow();
    }

    /**
     * Rayment, G.E. and Lyons, D.J., 2011, Soil Chemical Methods - Australasia, CSIRO Publishing: working standards in mg/L and
     * their soil equivalents in mg/kg, methods 9C1 and 9C2b (bicarbonate P, 1:20), 9E2 (fluoride P, 1:7), 7C2a (N in 2 M KCl, 1:10), 5A2a
     * (chloride in water, 1:5). The absorbances are this test's own: a curve that bends, over a baseline that climbs from wash to wash.
     */
    @ParameterizedTest
    @CsvSource({
        "9C1,  5, 100, 0.2 0.4 0.6 0.8 1 1.5 2,           4 8 12 16 20 30 40",
        "9C2b, 5, 100, 1 2.5 5 10 20,                     20 50 100 200 400",
        "9E2,  1, 7,   0.5 1 2 4 6 8,                     3.5 7 14 28 42 56",
        "7C2a, 1, 10,  0.4 0.8 1.2 15,                    4 8 12 150",
        "5A2a, 1, 5,   2 5 10 25 50 75 100 150 200 250,   10 25 50 125 250 375 500 750 1000 1250"
    })
    void flowAgreesWithThePublishedSoilEquivalents(
            String method, double soilG, double extractMl, String standards, String soils) {
        double[] mgPerL = numbers(standards);
        double[] mgPerKg = numbers(soils);
        double top = mgPerL[mgPerL.length - 1];
        PaperRun run = new PaperRun(PaperRun.flow(
                extraction(soilG, extractMl, Extraction.Basis.MASS, Extraction.Shape.QUADRATIC),
                analyte("X", Unit.MILLIGRAM_PER_KILOGRAM, 0)));
        run.known("S0", "X", 0);
        run.read(Role.WASH, "W", "peak", 0.010);
        peak(run, Role.STANDARD, "S0", 0);
        for (int i = 0; i < mgPerL.length; i++) {
            run.known("S" + (i + 1), "X", mgPerL[i]);
            peak(run, Role.STANDARD, "S" + (i + 1), mgPerL[i] / top);
        }
        for (int i = 0; i < mgPerL.length; i++) {
            peak(run, Role.SAMPLE, "soil " + i, mgPerL[i] / top);
        }
        run.read(Role.WASH, "W", "peak", 0.010 + 0.001 * run.position());

        Reduced reduced = run.reduce();

        for (int i = 0; i < mgPerL.length; i++) {
            assertThat(found(reduced, "soil " + i, "X").amount().raw())
                    .as("%s, %s mg/L", method, mgPerL[i])
                    .isCloseTo(mgPerKg[i], within(1e-9 * mgPerKg[mgPerKg.length - 1]));
        }
    }

    // Absorbance bends down by a tenth over the range; the baseline climbs by 0.001 a position.
    private static void peak(PaperRun run, Role role, String identity, double share) {
        double baseline = 0.010 + 0.001 * run.position();
        run.read(role, identity, "peak", baseline + 1.2 * share - 0.12 * share * share);
    }

    private static double[] numbers(String text) {
        return DoubleStream.of(List.of(text.trim().split(" ")).stream()
                        .mapToDouble(Double::parseDouble)
                        .toArray())
                .toArray();
    }

    /**
     * Rayment and Lyons 2011, method 3A1: 0.01 M KCl has 1.413 dS/m at 25 °C. A cell that reads it as 1.345 mS/cm has the factor 1.413 /
     * 1.345; at another temperature the factor is 0.4470 + 1.4034 exp(-t / 26.815) (Sheets and Hendrickx, 1995, Water Resources Research
     * 31:2401, as corrected by Corwin and Lesch 2005), divided by its value at 25 °C, so that a reading there stays what it is.
     */
    @ParameterizedTest
    @CsvSource({"25, 0.5", "20.5, 0.5", "18.25, 1.2", "31.75, 0.2"})
    void conductivityIsBroughtToTheKnownValueOfPotassiumChloride(double celsius, double truth) {
        ConductivityMethod method = PaperRun.conductivity();
        assertThat(method.compensation().factor(25)).isEqualTo(1);
        double cell = 1.413 / 1.345;
        PaperRun run = new PaperRun(method)
                .known("KCl 0.01 M", "EC", 1.413)
                .read(Role.STANDARD, "KCl 0.01 M", "conductance", 1.345, "temperature", 25)
                .read(Role.SAMPLE, "soil", "conductance", truth / cell / toTwentyFive(celsius), "temperature", celsius);

        Reduced reduced = run.reduce();

        assertThat(found(reduced, "KCl 0.01 M", "EC").amount().raw()).isCloseTo(1.413, within(1e-12));
        assertThat(found(reduced, "soil", "EC").amount().raw()).isCloseTo(truth, within(1e-12));
        assertThat(reduced.calibrations()).singleElement().matches(Reduced.CalibrationOutcome::accepted);
    }

    private static double toTwentyFive(double celsius) {
        return (0.4470 + 1.4034 * Math.exp(-celsius / 26.815)) / (0.4470 + 1.4034 * Math.exp(-25 / 26.815));
    }

    /**
     * Rayment and Lyons 2011, method 2A1: M % = 100 (W2 - W3) / (W3 - W1). The weighings are this test's own: 1.488 g of water in 24.012 g of
     * oven-dry soil.
     */
    @Test
    void airDryMoistureIsAShareOfTheOvenDrySoil() {
        Reduced reduced = new PaperRun(PaperRun.moisture())
                .read(Role.SAMPLE, "soil", "tin", 20.000, "air_dry", 45.500, "oven_dry", 44.012)
                .reduce();

        assertThat(found(reduced, "soil", "moisture").amount().raw()).isCloseTo(6.197, within(0.0005));
    }

    /**
     * Readings of ASTM D 422 at 23 °C, 50 g of soil in 1 L, as in the texture data of the R package envalysis (CRAN): hydrometer R, composite
     * correction 1.3, and the share still in suspension in %. The correction enters as the mean of two blanks.
     */
    @ParameterizedTest
    @CsvSource({"39, 75.4", "33, 63.4", "29, 55.4", "23, 43.4", "22, 41.4", "20, 37.4", "18, 33.4"})
    void hydrometerAgreesWithThePublishedShares(double reading, double pct) {
        Reduced reduced = new PaperRun(PaperRun.hydrometer())
                .read(Role.BLANK, "B", "early", 1.2, "late", 1.1)
                .read(Role.BLANK, "B", "early", 1.4, "late", 1.5)
                .read(Role.SAMPLE, "soil", "soil", 50, "early", reading, "late", reading)
                .reduce();

        assertThat(found(reduced, "soil", "S40").amount().raw()).isCloseTo(pct, within(1e-9));
        assertThat(found(reduced, "soil", "S2h").amount().raw()).isCloseTo(pct, within(1e-9));
    }

    /**
     * Titrations in the example data of the R package SoilTesting (CRAN), 10 mL of 1 N dichromate; results computed from its formula
     * C % = 10 N (1 - S/B) 0.3 / W.
     */
    @ParameterizedTest
    @CsvSource({"1, 20, 18, 0.300", "1, 20.1, 17, 0.4627", "0.5, 19.7, 14.9, 1.4619", "0.5, 20, 18.2, 0.540"})
    void wetOxidationAgreesWithTheFormulaOfItsSource(double soilG, double blankMl, double titreMl, double pct) {
        Analyte carbon = analyte("OC", Unit.PERCENT, 0);
        FormulaMethod method = PaperRun.formula(
                List.of(carbon),
                List.of(quantity("soil", "g", 0.02, 10), quantity("titre", "mL", 0, 60)),
                List.of(
                        constant("dichromate_ml", 10, "mL"),
                        constant("dichromate", 1, "mol/L"),
                        constant("carbon_per_charge", 3, "g/mol")),
                // Millilitres times moles a litre are thousandths of a mole, and a share as % a hundredfold.
                result(
                        "OC",
                        of(
                                Operation.DIVIDE,
                                of(
                                        Operation.MULTIPLY,
                                        of(
                                                Operation.MULTIPLY,
                                                of(Operation.MULTIPLY, name("dichromate_ml"), name("dichromate")),
                                                of(
                                                        Operation.SUBTRACT,
                                                        number(1),
                                                        of(Operation.DIVIDE, name("titre"), name("blank_titre")))),
                                        of(Operation.DIVIDE, name("carbon_per_charge"), number(10))),
                                name("soil")),
                        -0.1,
                        60));
        Reduced reduced = new PaperRun(method)
                .read(Role.BLANK, "B", "titre", blankMl)
                .read(Role.SAMPLE, "soil", "soil", soilG, "titre", titreMl)
                .reduce();

        assertThat(found(reduced, "soil", "OC").amount().raw()).isCloseTo(pct, within(0.00005));
    }

    /**
     * The form of US EPA method 200.7, section 7.13 (from memory), by hand: B reads 0.125 mg/L, Fe 22.5 mg/L, 0.0004 of it on the line of B:
     * 0.116 mg/L, 1.16 mg/kg at 1:10. The share is invented.
     */
    @Test
    void takesOffWhatIronAddsToBoron() {
        PaperRun run = new PaperRun(PaperRun.emission(
                extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
                List.of(analyte("B", Unit.MILLIGRAM_PER_KILOGRAM, 0.1), analyte("Fe", Unit.MILLIGRAM_PER_KILOGRAM, 1)),
                List.of(new EmissionMethod.Overlap("B 200.000", "Fe", 0.0004))));
        for (double mgPerL : new double[] {0, 1, 10, 100}) {
            String standard = "S" + mgPerL;
            run.known(standard, "B", mgPerL / 50).known(standard, "Fe", mgPerL);
            run.read(
                    Role.STANDARD,
                    standard,
                    "B 200.000",
                    1000 * (mgPerL / 50 + 0.0004 * mgPerL),
                    "Fe 200.000",
                    50 * mgPerL);
        }
        run.read(Role.SAMPLE, "soil", "B 200.000", 125, "Fe 200.000", 50 * 22.5);

        Determination boron = found(run.reduce(), "soil", "B");

        assertThat(boron.amount().raw()).isCloseTo(1.16, within(1e-9));
        assertThat(boron.flaw()).isEqualTo(Flaw.NONE);
        assertThat(boron.amount()).isInstanceOf(Amount.Measured.class);
    }
}
