package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.WorkedExample;

/** The shipped methods against the publications they are taken from, and their worked examples. */
class ShippedMethodsReferenceTest {

    @ParameterizedTest(name = "{0} {1} {2} = {3} ({4})")
    @CsvSource(delimiter = '|', textBlock = """
            bray-p1-1-10 | P | ml_per_g | 10 | Rayment & Lyons 2011, table 9.5, 2.00 g to 20 mL
            bray-p1-1-7 | P | ml_per_g | 7.0028 | Rayment & Lyons 2011, method 9E2, 7.14 g to 50 mL
            bray-p1-1-7 | P | reporting_limit | 1 | Rayment & Lyons 2011, appendix 2
            bray-p1-1-7 | P | two_sd | 22.5 | Rayment & Lyons 2011, appendix 2, middle of 20-25
            olsen-p | P | ml_per_g | 20 | Rayment & Lyons 2011, method 9C1, 5.0 g to 100 mL; University of Minnesota, 1 g to 20 mL
            olsen-p | P | reporting_limit | 1 | Rayment & Lyons 2011, appendix 2
            olsen-p | P | two_sd | 17.5 | Rayment & Lyons 2011, appendix 2, middle of 15-20
            kcl-nitrogen | NO3-N | ml_per_g | 10 | Rayment & Lyons 2011, method 7C1, 10.0 g to 100 mL
            kcl-nitrogen | NO3-N | reporting_limit | 2 | Rayment & Lyons 2011, appendix 2
            kcl-nitrogen | NO3-N | two_sd | 10 | Rayment & Lyons 2011, appendix 2
            kcl-nitrogen | NH4-N | two_sd | 11 | Rayment & Lyons 2011, appendix 2, middle of 10-12
            chloride-water | Cl | ml_per_g | 5 | Rayment & Lyons 2011, method 5A2a, 1:5
            chloride-water | Cl | reporting_limit | 20 | Rayment & Lyons 2011, appendix 2
            chloride-water | Cl | two_sd | 10 | Rayment & Lyons 2011, appendix 2
            paste-chloride | Cl | reporting_limit | 2 | Rayment & Lyons 2011, method 5A2a, lowest standard
            paste-nitrate | NO3-N | reporting_limit | 0.25 | Rayment & Lyons 2011, method 7B1b, lowest standard
            mehlich3-icp-scooped | P | ml_per_ml | 10 | University of Georgia, 2.5 mL to 25 mL
            nh4oac-bases | Ca | ml_per_g | 10 | Rayment & Lyons 2011, method 15D3, 10.0 g to 100 mL
            nh4oac-bases | Ca | two_sd | 10 | Rayment & Lyons 2011, appendix 2
            nh4oac-bases | K | two_sd | 15 | Rayment & Lyons 2011, appendix 2
            dtpa | Zn | ml_per_g | 2 | Rayment & Lyons 2011, method 12A1, 25.0 g to 50 mL
            dtpa | Zn | reporting_limit | 0.1 | Rayment & Lyons 2011, appendix 2
            dtpa | Mn | two_sd | 10 | Rayment & Lyons 2011, appendix 2, middle of 8-12
            hot-water-b | B | ml_per_g | 2 | Rayment & Lyons 2011, method 12C2, 10.0 g to 20 mL
            hot-water-b | B | reporting_limit | 0.1 | Rayment & Lyons 2011, appendix 2
            sulfate-phosphate | SO4-S | ml_per_g | 2.5 | University of Minnesota, 10 g to 25 mL
            sulfate-phosphate | SO4-S | reporting_limit | 1 | Rayment & Lyons 2011, appendix 2
            paste-cations | B | reporting_limit | 0.1 | Rayment & Lyons 2011, method 12C2, lowest standard
            paste-cations | S | reporting_limit | 0.5 | Rayment & Lyons 2011, method 10B1, lowest standard
            ec-1-5 | EC | ml_per_g | 5 | Rayment & Lyons 2011, 20 g to 100 mL
            ec-1-5 | EC | two_sd | 10 | Rayment & Lyons 2011, appendix 2
            ec-1-5 | EC | decimals | 3 | Rayment & Lyons 2011, appendix 1
            ph-cacl2 | pH | ml_per_g | 5 | Rayment & Lyons 2011, method 4B1, 20 g to 100 mL
            ph-kcl | pH | ml_per_g | 5 | Rayment & Lyons 2011, method 4C1, 20 g to 100 mL
            buffer-ph-smp | BpH | ml_per_g | 3 | Western States manual 2003, S-2.50, 5 g + 5 mL + 10 mL
            buffer-ph-sikora | BpH | ml_per_g | 2 | University of Minnesota, 10 g + 10 mL + 10 mL
            buffer-ph-mehlich | BpH | ml_per_g | 2 | Rayment & Lyons 2011, method 16C1, 10 + 10 + 10 mL
            buffer-ph-adams-evans | BpH | ml_per_g | 2 | Clemson University, 15 g + 15 mL + 15 mL
            texture-hydrometer | S40 | reporting_limit | 2 | Western States manual 2003, S-14.10, detection 2 %
            texture-hydrometer | S40 | portion | 40 | Western States manual 2003, S-14.10, 40.0 g
            saturated-paste | SP0 | portion | 250 | Rayment & Lyons 2011, method 2D1, 250 g is handy
            moisture-air-dry | moisture | two_sd | 8 | Rayment & Lyons 2011, appendix 2
            moisture-air-dry | moisture | decimals | 1 | Rayment & Lyons 2011, appendix 1
            oc-wet-oxidation | OC | two_sd | 12 | Rayment & Lyons 2011, appendix 2
            oc-wet-oxidation | OC | recovery_factor | 1.32 | Grewal, Buchan & Sherlock 1991, abstract: as Walkley and Black 1934 recommended
            paste-equivalents | Ca | per_ca | 20.04 | Rayment & Lyons 2011, method 14H1
            paste-equivalents | Mg | per_mg | 12.15 | Rayment & Lyons 2011, method 14H1
            cec-sum-smp | CEC | per_ph | 12 | Crop file 1.04.132, What is base saturation
            cec-sum-mehlich | CEC | per_ph | 4 | North Carolina Department of Agriculture, buffer acidity
            cec-sum-adams-evans | CEC | per_ph | 8 | Clemson University, CEC calculations; University of Georgia
            """)
    void settingsAreThePublishedOnes(String id, String symbol, String key, double printed, String source) {
        Method method = MethodFiles.shipped(id);
        assertThat(setting(method, symbol, key)).as(source).isCloseTo(printed, within(5e-5));
    }

    private static double setting(Method method, String symbol, String key) {
        Analyte analyte = method.analyte(symbol).orElseThrow();
        return switch (key) {
            case "reporting_limit" -> analyte.reportingLimit().orElseThrow();
            case "two_sd" -> 2 * analyte.withinRsdPct();
            case "decimals" -> analyte.rounding().decimals();
            case "portion" -> method.head().portion().orElseThrow().soilG();
            case "ml_per_ml" ->
                ((ExtractionMethod) method).extraction().extractMl()
                        / ((ExtractionMethod) method).extraction().scoopMl();
            case "ml_per_g" -> mlPerG(method);
            default ->
                constants(method).stream()
                        .filter(constant -> constant.name().equals(key))
                        .findFirst()
                        .orElseThrow()
                        .value();
        };
    }

    private static List<Constant> constants(Method method) {
        return method instanceof FormulaMethod formula ? formula.constants() : ((DerivedMethod) method).constants();
    }

    private static double mlPerG(Method method) {
        if (method instanceof ExtractionMethod extraction) {
            return extraction.extraction().extractMl() / extraction.extraction().soilG();
        }
        if (method instanceof ConductivityMethod conductivity) {
            return conductivity.liquidMl() / conductivity.soilG();
        }
        return ((ElectrodeMethod) method).liquidMl() / ((ElectrodeMethod) method).soilG();
    }

    // Each example names its own source in the method's file.
    @Test
    void everyMethodHasAWorkedExampleAndEveryExampleComesOut() {
        List<String> wrong = new ArrayList<>();
        for (Method method : MethodFiles.allShipped()) {
            assertThat(method.head().examples()).as(method.id()).isNotEmpty();
            for (Example example : method.head().examples()) {
                Map<String, Amount> got = method instanceof DerivedMethod derived
                        ? Deriving.of(derived, example)
                        : WorkedExample.of(method, example);
                example.expected().forEach((symbol, expected) -> {
                    String text = method.analyte(symbol)
                            .orElseThrow()
                            .rounding()
                            .text(Objects.requireNonNull(got.get(symbol), method.id() + " " + symbol));
                    if (!text.equals(expected)) {
                        wrong.add(method.id() + " " + example.given() + ": " + symbol + " " + text + ", expected "
                                + expected);
                    }
                });
            }
        }
        assertThat(wrong).isEmpty();
    }

    // As files of a laboratory's own they are held against each other: portions of one name take the same soil, every
    // input
    // exists in its unit, and none needs itself.
    @Test
    void methodsAgreeWithEachOther(@TempDir Path folder) throws IOException {
        for (String id : MethodFiles.shipped().ids()) {
            try (InputStream file =
                    MethodFiles.class.getResourceAsStream("/org/tenmesh/exchange/methods/" + id + ".yaml")) {
                Files.copy(Objects.requireNonNull(file, id), folder.resolve(id + ".yaml"));
            }
        }
        assertThat(MethodFiles.read(folder).ids())
                .isEqualTo(MethodFiles.shipped().ids());
    }
}
