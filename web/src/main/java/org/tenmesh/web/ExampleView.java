package org.tenmesh.web;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Reckoned;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.WorkedExample;

/**
 * A worked example, reckoned when the page is drawn.
 *
 * @param steps the formulas with the numbers put in
 */
record ExampleView(List<Given> given, List<String> steps, List<Outcome> outcomes, String source) {

    /** A number put in. */
    record Given(String name, String value) {}

    /**
     * A result.
     *
     * @param got what the method makes of the numbers now; "no result" where it makes none
     */
    record Outcome(String symbol, String unit, String expected, String got, boolean agrees) {}

    static ExampleView of(Method method, Example example) {
        List<Given> given = new ArrayList<>();
        example.given().forEach((name, value) -> given.add(new Given(name, Words.plain(value))));
        Map<String, Double> numbers = numbers(method, example);
        List<String> steps = steps(method, numbers);
        Map<String, String> got = got(method, example);
        List<Outcome> outcomes = new ArrayList<>();
        example.expected().forEach((symbol, expected) -> {
            String text = got.getOrDefault(symbol, "");
            outcomes.add(new Outcome(
                    symbol,
                    method.analyte(symbol).map(a -> a.unit().spelling()).orElse(""),
                    expected,
                    text.isEmpty() ? "no result" : text,
                    text.equals(expected)));
        });
        return new ExampleView(
                given,
                steps,
                outcomes,
                example.source().text() + " (" + example.source().standing().word() + ")");
    }

    private static Map<String, String> got(Method method, Example example) {
        Map<String, String> got = new HashMap<>();
        try {
            (method instanceof DerivedMethod derived
                            ? Deriving.of(derived, example)
                            : WorkedExample.of(method, example))
                    .forEach((symbol, amount) -> method.analyte(symbol)
                            .ifPresent(a -> got.put(symbol, a.rounding().text(amount))));
        } catch (IllegalArgumentException e) {
            // An example that lacks a number is shown with "no result" beside it.
            got.clear();
        }
        return got;
    }

    /** Everything a formula of the example can name. */
    private static Map<String, Double> numbers(Method method, Example example) {
        Map<String, Double> numbers = new HashMap<>();
        List<Constant> constants = List.of();
        if (method instanceof FormulaMethod formula) {
            constants = formula.constants();
        } else if (method instanceof DerivedMethod derived) {
            constants = derived.constants();
            derived.inputs().forEach(i -> i.otherwise().ifPresent(otherwise -> numbers.put(i.name(), otherwise)));
        }
        constants.forEach(c -> numbers.put(c.name(), c.value()));
        numbers.putAll(example.given());
        return numbers;
    }

    private static List<String> steps(Method method, Map<String, Double> numbers) {
        if (method instanceof FormulaMethod formula) {
            return computed(formula.results(), numbers);
        }
        if (method instanceof DerivedMethod derived) {
            return computed(derived.results(), numbers);
        }
        if (method instanceof ExtractionMethod extraction) {
            return extraction(extraction.extraction(), numbers);
        }
        if (method instanceof IgnitionMethod ignition && numbers.keySet().containsAll(List.of("tare", "dry", "ash"))) {
            double loi = 100 * (at(numbers, "dry") - at(numbers, "ash")) / (at(numbers, "dry") - at(numbers, "tare"));
            IgnitionMethod.Regression line = ignition.organicMatter();
            return List.of(
                    "LOI = 100 × (" + text(at(numbers, "dry")) + " − " + text(at(numbers, "ash")) + ") / ("
                            + text(at(numbers, "dry")) + " − " + text(at(numbers, "tare")) + ") = " + text(loi),
                    "OM = " + text(line.slope()) + " × " + text(loi) + " + " + text(line.intercept()) + " = "
                            + text(line.organicMatterPct(loi)));
        }
        return List.of();
    }

    private static List<String> extraction(Extraction e, Map<String, Double> numbers) {
        Double extract = numbers.get("extract_mg_per_l");
        if (extract == null) {
            return List.of();
        }
        double blank = numbers.getOrDefault("blank_mg_per_l", 0.0);
        double dilution = numbers.getOrDefault("dilution", 1.0);
        String net = e.diluent() == Extraction.Diluent.EXTRACTANT
                ? "(" + text(extract) + " − " + text(blank) + ") × " + text(dilution)
                : "(" + text(extract) + " × " + text(dilution) + " − " + text(blank) + ")";
        String soil = switch (e.basis()) {
            case MASS -> " × " + text(e.extractMl()) + " / " + text(e.measuredScoopG());
            case VOLUME -> " × " + text(e.extractMl()) + " / " + text(e.scoopMl());
            case EXTRACT -> "";
        };
        return List.of("content = " + net + soil + " = " + text(e.content(extract, blank, dilution)));
    }

    private static List<String> computed(List<Computed> results, Map<String, Double> numbers) {
        List<String> steps = new ArrayList<>();
        for (Computed one : results) {
            Optional<Formula> formula = one.formula();
            if (formula.isPresent()) {
                double value = value(formula.get(), numbers);
                numbers.put(one.name(), value);
                steps.add(one.name() + " = "
                        + formula.get().text(name -> numbers.containsKey(name) ? text(at(numbers, name)) : name)
                        + (Double.isNaN(value) ? "" : " = " + text(value)));
            }
            for (Computed.Class c : one.classes()) {
                if (value(c.when(), numbers) == 1) {
                    steps.add(c.word() + ": "
                            + c.when().text(name -> numbers.containsKey(name) ? text(at(numbers, name)) : name));
                    break;
                }
            }
        }
        return steps;
    }

    private static double value(Formula formula, Map<String, Double> numbers) {
        return formula.value(name -> Reckoned.constant(numbers.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }

    private static double at(Map<String, Double> numbers, String name) {
        return numbers.getOrDefault(name, Double.NaN);
    }

    private static String text(double value) {
        return Double.isNaN(value) ? "no value" : Significant.text(value, 7);
    }
}
