package org.tenmesh.app.methods;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Reckoned;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.WorkedExample;

/**
 * A worked example of a method, run by the code that judges a day.
 *
 * @param method whose it is
 * @param number which of its examples, from 1
 * @param example as in the method's file
 * @param got reported text by analyte; "no result" and why where there is none
 */
public record Worked(Method method, int number, Example example, Map<String, String> got) {
    public Worked {
        got = Map.copyOf(got);
    }

    /** Every example of a method, run. */
    public static List<Worked> of(Method method) {
        List<Worked> worked = new ArrayList<>();
        for (Example example : method.head().examples()) {
            worked.add(of(method, worked.size() + 1, example));
        }
        return worked;
    }

    private static Worked of(Method method, int number, Example example) {
        Map<String, String> got = new HashMap<>();
        Map<String, Amount> amounts;
        try {
            amounts = method instanceof DerivedMethod derived
                    ? Deriving.of(derived, example)
                    : WorkedExample.of(method, example);
        } catch (IllegalArgumentException lacking) {
            example.expected().keySet().forEach(symbol -> got.put(symbol, "no result: " + lacking.getMessage()));
            return new Worked(method, number, example, got);
        }
        for (String symbol : example.expected().keySet()) {
            Amount amount = amounts.get(symbol);
            String text = amount == null
                    ? ""
                    : method.analyte(symbol)
                            .map(analyte -> analyte.rounding().text(amount))
                            .orElse("");
            String why = amount instanceof Amount.Missing missing ? ": " + missing.reason() : "";
            got.put(symbol, text.isEmpty() ? "no result" + why : text);
        }
        return new Worked(method, number, example, got);
    }

    /** Its name: {@code example-bray-p2-1}. */
    public String id() {
        return "example-" + method.id() + "-" + number;
    }

    /** Whether the method gives what the example expects. */
    public boolean agrees() {
        return example.expected().entrySet().stream()
                .allMatch(expected -> expected.getValue().equals(got.get(expected.getKey())));
    }

    /** The numbers put in: {@code tin 20 g, air_dry 45.5 g}. */
    public String given() {
        List<String> parts = new ArrayList<>();
        example.given().forEach((name, value) -> {
            String unit = unit(name);
            parts.add(name + " " + Significant.text(value, 12) + (unit.isEmpty() ? "" : " " + unit));
        });
        return String.join(", ", parts);
    }

    private String unit(String name) {
        if (method instanceof FormulaMethod formula) {
            return formula.quantities().stream()
                    .filter(quantity -> name.equals(quantity.name()) || name.endsWith("_" + quantity.name()))
                    .map(quantity -> MethodPage.spelling(quantity.unit()))
                    .findFirst()
                    .orElse("");
        }
        if (method instanceof DerivedMethod derived) {
            return derived.inputs().stream()
                    .filter(input -> name.equals(input.name()))
                    .map(input -> MethodPage.spelling(input.unit()))
                    .findFirst()
                    .orElse("");
        }
        return switch (name) {
            case "tare", "dry", "ash" -> "g";
            case "potential", "offset_mv" -> "mV";
            case "temperature", "calibration_temperature" -> "°C";
            case "conductance" -> "mS/cm";
            default -> "";
        };
    }

    /** The formulas with the numbers put in, one line each. */
    List<String> steps() {
        Map<String, Double> values = new HashMap<>(example.given());
        if (method instanceof FormulaMethod formula) {
            return steps(formula.constants(), formula.results(), values);
        }
        if (method instanceof DerivedMethod derived) {
            derived.inputs()
                    .forEach(input ->
                            input.otherwise().ifPresent(otherwise -> values.putIfAbsent(input.name(), otherwise)));
            return steps(derived.constants(), derived.results(), values);
        }
        if (method instanceof ExtractionMethod extraction) {
            return List.of("w = " + content(extraction.extraction(), values) + " = "
                    + Significant.text(
                            extraction
                                    .extraction()
                                    .content(
                                            values.getOrDefault("extract_mg_per_l", Double.NaN),
                                            values.getOrDefault("blank_mg_per_l", 0.0),
                                            values.getOrDefault("dilution", 1.0)),
                            6));
        }
        if (method instanceof ElectrodeMethod) {
            return List.of("pH = 7 − (" + number(values, "potential") + " − " + number(values, "offset_mv") + ") / "
                    + number(values, "slope_mv_per_ph"));
        }
        if (method instanceof IgnitionMethod) {
            String dry = number(values, "dry");
            return List.of("LOI = 100 × (" + dry + " − " + number(values, "ash") + ") / (" + dry + " − "
                    + number(values, "tare") + ")");
        }
        return List.of();
    }

    private static String content(Extraction extraction, Map<String, Double> values) {
        String read = number(values, "extract_mg_per_l");
        String blank = number(values, "blank_mg_per_l");
        double dilution = values.getOrDefault("dilution", 1.0);
        String times = dilution == 1 ? "" : " × " + Significant.text(dilution, 6);
        String net = extraction.diluent() == Extraction.Diluent.EXTRACTANT
                ? "(" + read + " − " + blank + ")" + times
                : "(" + read + times + " − " + blank + ")";
        return switch (extraction.basis()) {
            case MASS ->
                net + " × " + Significant.text(extraction.extractMl(), 6) + " / "
                        + Significant.text(extraction.measuredScoopG(), 6);
            case VOLUME ->
                net + " × " + Significant.text(extraction.extractMl(), 6) + " / "
                        + Significant.text(extraction.scoopMl(), 6);
            case EXTRACT -> net;
        };
    }

    private static String number(Map<String, Double> values, String name) {
        Double value = values.getOrDefault(name, 0.0);
        return Significant.text(value == null ? 0 : value, 9);
    }

    private List<String> steps(List<Constant> constants, List<Computed> results, Map<String, Double> values) {
        constants.forEach(constant -> values.put(constant.name(), constant.value()));
        List<String> steps = new ArrayList<>();
        for (Computed result : results) {
            if (result.formula().isPresent()) {
                Formula formula = result.formula().get();
                double value = value(formula, values);
                values.put(result.name(), value);
                if (Double.isFinite(value) && isShown(result, results)) {
                    steps.add(result.name() + " = " + formula.text(name -> text(values, name)) + " = "
                            + Significant.text(value, 6));
                }
            } else {
                for (Computed.Class one : result.classes()) {
                    if (example.expected().containsKey(result.name()) && value(one.when(), values) == 1) {
                        steps.add(result.name() + ": " + one.word() + ", because "
                                + one.when().text(name -> text(values, name)));
                        break;
                    }
                }
            }
        }
        return steps;
    }

    /** What is expected, and every step on the way to it. */
    private boolean isShown(Computed result, List<Computed> results) {
        return example.expected().containsKey(result.name())
                || results.stream()
                        .filter(later -> example.expected().containsKey(later.name()))
                        .anyMatch(later -> leads(result.name(), later, results, 0));
    }

    private static boolean leads(String name, Computed to, List<Computed> results, int depth) {
        if (depth > results.size()) {
            return false;
        }
        List<Formula> formulas = new ArrayList<>();
        to.formula().ifPresent(formulas::add);
        to.classes().forEach(one -> formulas.add(one.when()));
        for (Formula formula : formulas) {
            for (String used : formula.names()) {
                if (used.equals(name)) {
                    return true;
                }
                for (Computed step : results) {
                    if (step.name().equals(used) && step != to && leads(name, step, results, depth + 1)) {
                        return true;
                    }
                }
            }
        }
        return false;
    }

    private static String text(Map<String, Double> values, String name) {
        Double value = values.get(name);
        return value == null ? "(no " + name + ")" : Significant.text(value, 6);
    }

    private static double value(Formula formula, Map<String, Double> values) {
        return formula.value(name -> Reckoned.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }
}
