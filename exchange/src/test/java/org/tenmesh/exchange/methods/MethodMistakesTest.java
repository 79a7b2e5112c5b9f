package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.UnusableFile;

/** One mistake at a time in method files that are right, and the exact words that come of it. */
class MethodMistakesTest {
    private static final Map<String, String> RIGHT = Map.of(
            "formula", SampleMethods.FORMULA,
            "derived", SampleMethods.DERIVED,
            "flow", SampleMethods.FLOW,
            "emission", SampleMethods.EMISSION,
            "conductivity", SampleMethods.CONDUCTIVITY);

    @TempDir
    private Path folder;

    private static String right(String kind) {
        return java.util.Objects.requireNonNull(RIGHT.get(kind));
    }

    private List<String> said(String... files) {
        try {
            for (int i = 0; i < files.length; i++) {
                Files.writeString(folder.resolve((char) ('a' + i) + ".yaml"), files[i]);
            }
            MethodFiles.read(folder);
            return List.of();
        } catch (UnusableFile unusable) {
            return unusable.problems().stream().map(Problem::sentence).toList();
        } catch (IOException broken) {
            throw new java.io.UncheckedIOException(broken);
        }
    }

    @Test
    void theFilesAreRightToBeginWith() {
        assertThat(said(RIGHT.values().toArray(new String[0]))).isEmpty();
        assertThat(MethodFiles.read(folder).ids()).contains("dry-matter", "acid-class", "peak-p", "plasma-b", "ec-x");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '¦', quoteCharacter = '~', textBlock = """
    formula ¦ wet - dry - lost ¦ wet - dry - lost + ¦ line 24, formula.results[1].formula: found "wet - dry - lost +", which ends too early, expected a name, a number or a function at its end
    formula ¦ wet - dry - lost ¦ wet - dri - lost ¦ line 24, formula.results[1].formula: found "dri" at column 7, which is no name here, expected one of tin, wet, dry, lost, or a reading's name after blank_ or standard_
    formula ¦ wet - dry - lost ¦ wet - dry - lost - H2O ¦ line 24, formula.results[1].formula: found "H2O" at column 20, a result made here or below, expected results made above alone
    formula ¦ wet - dry - lost ¦ wet - dry - lost * water / water ¦ line 24, formula.results[1].formula: found "water" at column 20, a result made here or below, expected results made above alone
    formula ¦ wet - dry - lost ¦ wet dry - lost ¦ line 24, formula.results[1].formula: found "dry" with no sign before it at column 5, expected a sign such as * between
    formula ¦ wet - dry - lost ¦ (wet - dry - lost ¦ line 24, formula.results[1].formula: found a bracket that is not closed, expected as many ) as (
    formula ¦ wet - dry - lost ¦ wet - dry) - lost ¦ line 24, formula.results[1].formula: found a closing bracket without its opening one at column 10, expected as many ) as (
    formula ¦ wet - dry - lost ¦ wet - dry % lost ¦ line 24, formula.results[1].formula: found "%" at column 11, expected a name, a plain number, one of + - * / ^ < <= > >= == != && || ! or one of if, min, max, abs, sqrt, exp, ln, log10, percent, number
    formula ¦ wet - dry - lost ¦ mean(wet) - lost ¦ line 24, formula.results[1].formula: found a function "mean" at column 1, expected one of if, min, max, abs, sqrt, exp, ln, log10, percent, number
    formula ¦ wet - dry - lost ¦ min(wet) - dry - lost ¦ line 24, formula.results[1].formula: found "min" of 1 argument at column 1, expected 2 to 9 of them
    formula ¦ wet - dry - lost ¦ wet - dry - lost - 1 ¦ line 24, formula.results[1].formula: found units that do not go together: in wet − dry − lost − 1, wet − dry − lost is in g and 1 in plain numbers, expected units that agree
    formula ¦ wet - dry - lost ¦ wet * dry / lost / dry ¦ line 25, formula.results[2].formula: found units that do not go together: water / (dry − tin) is in g^-1 and must be in plain numbers, expected units that agree
    formula ¦ percent(water / (dry - tin)) ¦ water / (dry - tin) ¦ line 25, formula.results[2].formula: found a result in plain numbers, expected one in %
    formula ¦ percent(water / (dry - tin)) ¦ percent(water) / (dry - tin) ¦ line 25, formula.results[2].formula: found units that do not go together: water is in g and must be in plain numbers, expected units that agree
    formula ¦ unit: g, source ¦ unit: gram, source ¦ line 22, formula.constants[1].unit: found "gram", expected a UCUM code, such as mg/kg; "gram" is no unit known here
    formula ¦ unit: g, source ¦ unit: mg, source ¦ line 24, formula.results[1].formula: found units that do not go together: in wet − dry − lost, wet − dry is in g and lost in 0.001 g, expected units that agree
    formula ¦ name: lost ¦ name: loss ¦ line 24, formula.results[1].formula: found "lost" at column 13, which is no name here, expected one of tin, wet, dry, loss, or a reading's name after blank_ or standard_
    formula ¦ - dry - lost ¦ - dry ¦ line 21, formula.constants: found "lost", which no formula uses, expected only what is used
    formula ¦ name: water, formula ¦ name: wet, formula ¦ line 24, formula.results[1].name: found "wet" a second time, expected a name that nothing else has
    formula ¦ name: tin, description ¦ name: max, description ¦ line 18, formula.quantities[1].name: found "max", which is a function, expected another name
    formula ¦ name: wet, description ¦ name: wet-soil, description ¦ line 19, formula.quantities[2].name: found "wet-soil", expected a letter, then letters, digits or _, as formulas need it
    formula ¦ lowest: 1, highest: 100 ¦ lowest: 1, highest: 0 ¦ line 18, formula.quantities[1].highest: found a number not above lowest, expected one above 1
    formula ¦ lowest: 0, highest: 90 ¦ lowest: 0, highest: -1 ¦ line 25, formula.results[2].highest: found a number below lowest, expected one above 0
    formula ¦ name: H2O, formula ¦ name: H20, formula ¦ line 23, formula.results: found none of H2O, expected a result of each analyte
    formula ¦ given: {tin: 20, ¦ given: {tine: 20, ¦ line 13, examples[1].given.tine: found a number the method does not ask for, expected one of tin, blank_tin, standard_tin, wet, blank_wet, standard_wet, dry, blank_dry, standard_dry
    formula ¦ expected: {H2O ¦ expected: {water ¦ line 14, examples[1].expected.water: found "water", expected the symbol of one of the method's analytes
    formula ¦ soil_g: 10 ¦ soil_g: 0 ¦ line 9, portion.soil_g: found 0, expected a number above 0
    formula ¦ id: dry-matter ¦ id: Dry matter ¦ line 1, id: found "Dry matter", expected small letters, digits, - and _, such as ph-water-1-1
    formula ¦ symbol: H2O, name ¦ symbol: H2O, nam: x, name ¦ line 11, analytes[1].nam: found an unknown key, expected one of decimals, detection_limit, limits_from, name, quantification_limit, reporting_limit, scale_high, scale_low, symbol, unit, upper_limit, within_floor, within_rsd_pct
    formula ¦ , formula: wet - dry - lost ¦ , classes: [] ¦ line 24, formula.results[1].name: found "water", expected the symbol of an analyte, because a class is reported
    formula ¦ {name: water, formula: wet - dry - lost} ¦ {name: water} ¦ line 24, formula.results[1].name: found neither formula nor classes, expected one of them, or a formula with words for some cases
    formula ¦ duplicate_floor: 0.2 ¦ duplicate_flor: 0.2 ¦ line 27, formula.duplicate_flor: found an unknown key, expected one of constants, duplicate_floor, duplicate_limit_pct, quantities, results
    derived ¦ method: ph-water-1-1 ¦ method: water-ph ¦ line 14, derived.inputs[1].from[1].method: found "water-ph", which no method is, expected the id of a method
    derived ¦ analyte: pH} ¦ analyte: ph} ¦ line 14, derived.inputs[1].from[1].analyte: found "ph", which ph-water-1-1 does not report, expected one of pH
    derived ¦ analyte: OM}], unit: "%" ¦ analyte: OM}], unit: "1" ¦ line 25, derived.results[2].classes[1].when: found units that do not go together: in om > percent(0.01), om is in plain numbers and percent(0.01) in %, expected units that agree
    derived ¦ analyte: top_cm}], unit: cm ¦ analyte: top_cm}], unit: mm ¦ line 22, derived.results[1].formula: found units that do not go together: in need_at(ph) × per_cm + 0 × top × per_cm, need_at(ph) × per_cm is in t/har and 0 × top × per_cm in 10 g·m^-2, expected units that agree
    derived ¦ analyte: top_cm ¦ analyte: top ¦ line 16, derived.inputs[3].from[1].analyte: found "top", expected top_cm or bottom_cm of the client's sheet
    derived ¦ otherwise: 2, why: a common soil ¦ otherwise: 2 ¦ line 15, derived.inputs[2].why: found nothing, expected text
    derived ¦ below: half ¦ below: third ¦ line 15, derived.inputs[2].below: found "third", expected one of half, refuse
    derived ¦ x: [4, 7] ¦ x: [7, 4] ¦ line 20, derived.tables[1].x: found table need_at: 4.0 does not lie above 7.0, expected rising arguments and one value for each
    derived ¦ y: [30, 0] ¦ y: [30] ¦ line 20, derived.tables[1].x: found table need_at needs two or more points, found 2 and 1, expected rising arguments and one value for each
    derived ¦ name: need_at, x ¦ name: per_cm, x ¦ line 20, derived.tables[1].name: found "per_cm" a second time, expected a name that nothing else has
    derived ¦ y_unit: cm ¦ y_unit: mm ¦ line 22, derived.results[1].formula: found units that do not go together: in need_at(ph) × per_cm + 0 × top × per_cm, need_at(ph) × per_cm is in 10 g·m^-2 and 0 × top × per_cm in t/har, expected units that agree
    derived ¦ need_at(ph) ¦ need_at(om) ¦ line 22, derived.results[1].formula: found units that do not go together: om is in % and must be in plain numbers, expected units that agree
    derived ¦ formula: need_at(ph) * per_cm + 0 * top * per_cm ¦ formula: "need_at(ph, om) * per_cm + 0 * top * per_cm" ¦ line 22, derived.results[1].formula: found table need_at of 2 arguments at column 1, expected 1 argument
    derived ¦ ph < 5.5 && om ¦ ph < 5.5 & om ¦ line 25, derived.results[2].classes[1].when: found "&" at column 10, expected one of + - * / ^ < <= > >= == != && || !
    derived ¦ ph >= 5.5 ¦ ph = 5.5 ¦ line 26, derived.results[2].classes[2].when: found "=" at column 4, expected a name, a plain number, one of + - * / ^ < <= > >= == != && || ! or one of if, min, max, abs, sqrt, exp, ln, log10, percent, number, need_at
    derived ¦ ph >= 5.5 ¦ "ph >= \\"5.5\\"" ¦ line 26, derived.results[2].classes[2].when: found "5.5" at column 7, expected a name, a plain number, one of + - * / ^ < <= > >= == != && || ! or one of if, min, max, abs, sqrt, exp, ln, log10, percent, number, need_at
    derived ¦ ph >= 5.5 ¦ "if(ph >= 5.5, 1)" ¦ line 26, derived.results[2].classes[2].when: found "if" of 2 arguments at column 1, expected 3 of them
    derived ¦ om > percent(0.01) ¦ om > 1 ¦ line 25, derived.results[2].classes[1].when: found units that do not go together: in om > 1, om is in % and 1 in plain numbers, expected units that agree
    derived ¦ analytes: ¦ portion: {name: a, soil_g: 1}\\nanalytes: ¦ line 9, portion: found a portion of a derived method, expected none: it is calculated from results
    flow ¦ quantification_limit: 1 ¦ quantification_limit: 3 ¦ line 10, analytes[1].quantification_limit: found limits out of order, expected detection limit, quantification limit, reporting limit, each at most the next
    flow ¦ detection_limit: 0.5 ¦ detection_limit: 1.5 ¦ line 10, analytes[1].quantification_limit: found limits out of order, expected detection limit, quantification limit, reporting limit, each at most the next
    flow ¦ element: P} ¦ element: Pb} ¦ line 24, flow.lines: found 0 preferred lines of P, expected one preferred line of each analyte
    flow ¦ quantity: peak, element: P} ¦ quantity: peak, element: P}\\n    - {quantity: peak 2, element: P} ¦ line 24, flow.lines: found 2 preferred lines of P, expected one preferred line of each analyte
    flow ¦ low: CO-low, high ¦ high ¦ line 27, flow.carry_over.low: found nothing, expected text
    flow ¦ baseline_drift_limit: 0.02 ¦ baseline_drift_limit: -1 ¦ line 26, flow.baseline_drift_limit: found -1, expected a number above 0
    flow ¦ shape: quadratic ¦ shape: cubic ¦ line 18, flow.shape: found "cubic", expected one of line, quadratic
    emission ¦ interferent: Fe ¦ interferent: Al ¦ line 29, emission.overlaps[1].interferent: found "Al", expected the symbol of one of the method's analytes
    emission ¦ quantity: "B 249.772", interferent ¦ quantity: "B 249.678", interferent ¦ line 29, emission.overlaps[1].quantity: found "B 249.678", expected one of the method's lines
    conductivity ¦ highest_celsius: 40 ¦ highest_celsius: 5 ¦ line 20, conductivity.compensation.highest_celsius: found a temperature not above lowest_celsius, expected a higher one
    conductivity ¦ decay_celsius: 25 ¦ decay_celsius: 0 ¦ line 18, conductivity.compensation.decay_celsius: found 0, expected a number above 0
    conductivity ¦ height: 1.5 ¦ height: about ¦ line 17, conductivity.compensation.height: found "about", expected a number with . as the decimal mark
    conductivity ¦ cell_min: 0.9 ¦ cell_min: ten ¦ line 21, conductivity.cell_min: found "ten", expected a number with . as the decimal mark
    """)
    void saysExactlyWhatIsWrong(String kind, String was, String is, String said) {
        String text = right(kind);
        assertThat(text).contains(was);
        List<String> sentences = said(text.replace(was, is.replace("\\n", "\n")));
        assertThat(sentences).first().isEqualTo("a.yaml, " + said + ". The method is not taken.");
    }

    @Test
    void methodsMustAgreeWithEachOther() {
        String second =
                SampleMethods.FORMULA.replace("id: dry-matter", "id: other").replace("soil_g: 10", "soil_g: 12");
        assertThat(said(SampleMethods.FORMULA, second))
                .containsExactly(
                        "b.yaml, line 9, portion.soil_g: found 12 g of tin, expected 10 g, as dry-matter takes of it,"
                                + " or another name. The method is not taken.");
        assertThat(said(SampleMethods.FORMULA, SampleMethods.FORMULA))
                .containsExactly(
                        "b.yaml, line 2, version: found the same version of dry-matter as in a.yaml, expected another"
                                + " date. The method is not taken.");
    }

    @Test
    void derivedMethodsMustNotNeedEachOther() {
        String needs = SampleMethods.DERIVED
                .replace("unit: \"%\", below", "unit: t/har, below")
                .replace("om > percent(0.01)", "om > per_cm * top");
        String first = needs.replace("method: om-loi-360, analyte: OM", "method: second, analyte: need");
        String second = needs.replace("id: acid-class", "id: second")
                .replace("method: om-loi-360, analyte: OM", "method: acid-class, analyte: need");
        assertThat(said(first, second))
                .containsExactly(
                        "a.yaml, line 13, derived.inputs: found a circle: acid-class needs second needs acid-class,"
                                + " expected inputs that do not need the result. The method is not taken.");
        assertThat(said(
                        first.replace("analyte: need}", "analyte: class}"),
                        second.replace("acid-class, analyte", "dry, analyte")))
                .anyMatch(sentence ->
                        sentence.contains("found \"class\", which is a class, expected a result that is a number"));
    }

    @Test
    void everyMistakeOfAFileIsToldAtOnce() {
        String text = SampleMethods.FORMULA
                .replace("unit: g, lowest: 1, highest: 100", "unit: gram, lowest: 1, highest: 100")
                .replace("standing: from memory", "standing: sure")
                .replace("wet - dry - lost", "wet - dry -")
                .replace("duplicate_limit_pct: 10", "duplicate_limit_pct: -1");
        assertThat(said(text)).hasSize(6).allMatch(sentence -> sentence.startsWith("a.yaml, line "));
    }

    @Test
    void shippedMethodsAgreeWithEachOther() {
        List<Problem> problems = new ArrayList<>();
        MethodSet.check(
                MethodFiles.shipped().on(LocalDate.MAX),
                java.util.Set.of(),
                id -> MethodFiles.shippedTop(id, problems));
        assertThat(problems).extracting(Problem::sentence).isEmpty();
    }
}
