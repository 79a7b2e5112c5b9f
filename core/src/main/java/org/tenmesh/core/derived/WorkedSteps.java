package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.ConductivityMethod;
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
 * A worked example run by the code that judges a day: what it gives, and the formulas with the numbers put in. Pages, documentation and
 * the command line print these lines and have none of their own.
 *
 * @param amounts by the analyte's symbol; empty when the example lacks a number
 * @param lines in the order of the calculation
 * @param lacking what the example does not give; empty text when nothing
 */
public record WorkedSteps(Map<String, Amount> amounts, List<Line> lines, String lacking) {
    private static final int DIGITS = 9;
    private static final double ZERO_CELSIUS_K = 273.15;

    public WorkedSteps {
        amounts = Map.copyOf(amounts);
        lines = List.copyOf(lines);
    }

    /**
     * One line.
     *
     * @param name what is calculated: an analyte's symbol or a step between
     * @param arithmetic the formula with the numbers put in
     * @param value what it gives; not a number where the result is a word
     * @param word the class where the result is one; empty text otherwise
     */
    public record Line(String name, String arithmetic, double value, String word) {
        /** The line as printed: {@code pH = 7 − (64 − (−1.8)) / 57.8757 = 5.86306}. */
        public String text() {
            return word.isEmpty()
                    ? name + " = " + arithmetic + " = " + number(value, 6)
                    : name + ": " + word + ", because " + arithmetic;
        }
    }

    /** Runs an example of a method. */
    public static WorkedSteps of(Method method, Example example) {
        Map<String, Amount> amounts;
        try {
            amounts = method instanceof DerivedMethod derived
                    ? Deriving.of(derived, example)
                    : WorkedExample.of(method, example);
        } catch (IllegalArgumentException lacking) {
            return new WorkedSteps(Map.of(), List.of(), String.valueOf(lacking.getMessage()));
        }
        return new WorkedSteps(amounts, lines(method, example, amounts), "");
    }

    /** What is reported for an analyte; "no result" and why where there is no number. */
    public String reported(Method method, String symbol) {
        if (!lacking.isEmpty()) {
            return "no result: " + lacking;
        }
        Amount amount = amounts.get(symbol);
        String text = amount == null
                ? ""
                : method.analyte(symbol)
                        .map(analyte -> analyte.rounding().text(amount))
                        .orElse("");
        String why = amount instanceof Amount.Missing missing ? ": " + missing.reason() : "";
        return text.isEmpty() ? "no result" + why : text;
    }

    private static List<Line> lines(Method method, Example example, Map<String, Amount> amounts) {
        Map<String, Double> values = new HashMap<>(example.given());
        if (method instanceof FormulaMethod formula) {
            return computed(formula.constants(), formula.results(), values, example);
        }
        if (method instanceof DerivedMethod derived) {
            derived.inputs()
                    .forEach(input ->
                            input.otherwise().ifPresent(otherwise -> values.putIfAbsent(input.name(), otherwise)));
            return computed(derived.constants(), derived.results(), values, example);
        }
        List<Line> lines = new ArrayList<>();
        new TreeMap<>(amounts).forEach((symbol, amount) -> {
            double value = amount.raw();
            if (Double.isFinite(value)) {
                read(method, symbol, value, values, lines);
            }
        });
        return lines;
    }

    // The value of each last line is what the reduction gave; the arithmetic beside it is evaluated by a test.
    private static void read(Method method, String symbol, double value, Map<String, Double> given, List<Line> lines) {
        if (method instanceof ElectrodeMethod) {
            double celsius = at(given, "temperature", Double.NaN);
            double calibrated = at(given, "calibration_temperature", celsius);
            double slope = at(given, "slope_mv_per_ph", Double.NaN);
            if (calibrated != celsius) {
                double carried = slope * (celsius + ZERO_CELSIUS_K) / (calibrated + ZERO_CELSIUS_K);
                lines.add(new Line(
                        "slope at " + number(celsius, DIGITS) + " °C",
                        number(slope, DIGITS) + " × (" + number(celsius, DIGITS) + " + " + ZERO_CELSIUS_K + ") / ("
                                + number(calibrated, DIGITS) + " + " + ZERO_CELSIUS_K + ")",
                        carried,
                        ""));
                slope = carried;
            }
            lines.add(new Line(
                    symbol,
                    "7 − (" + number(at(given, "potential", Double.NaN), DIGITS) + " − "
                            + number(at(given, "offset_mv", Double.NaN), DIGITS) + ") / " + number(slope, DIGITS),
                    value,
                    ""));
        } else if (method instanceof ConductivityMethod) {
            double conductance = at(given, "conductance", Double.NaN);
            double cell = at(given, "cell_factor", 1);
            double dilution = at(given, "dilution", 1);
            lines.add(new Line(
                    symbol,
                    number(conductance, DIGITS) + " × " + number(value / (conductance * cell * dilution), DIGITS)
                            + times(cell) + times(dilution),
                    value,
                    ""));
        } else if (method instanceof IgnitionMethod ignition) {
            String dry = number(at(given, "dry", Double.NaN), DIGITS);
            if (symbol.equals("LOI")
                    || lines.stream().noneMatch(line -> line.name().equals("LOI"))) {
                double loi = symbol.equals("LOI") ? value : lossPct(given);
                lines.add(new Line(
                        "LOI",
                        "100 × (" + dry + " − " + number(at(given, "ash", Double.NaN), DIGITS) + ") / (" + dry + " − "
                                + number(at(given, "tare", Double.NaN), DIGITS) + ")",
                        loi,
                        ""));
            }
            if (!symbol.equals("LOI")) {
                IgnitionMethod.Regression line = ignition.organicMatter();
                lines.add(new Line(
                        symbol,
                        number(line.slope(), DIGITS) + " × " + number(lossPct(given), DIGITS) + " + "
                                + number(line.intercept(), DIGITS),
                        value,
                        ""));
            }
        } else if (method instanceof ExtractionMethod extraction) {
            lines.add(new Line(symbol, content(extraction.extraction(), given), value, ""));
        }
    }

    private static double lossPct(Map<String, Double> given) {
        double dry = at(given, "dry", Double.NaN);
        return 100 * (dry - at(given, "ash", Double.NaN)) / (dry - at(given, "tare", Double.NaN));
    }

    private static String times(double factor) {
        return factor == 1 ? "" : " × " + number(factor, DIGITS);
    }

    private static String content(Extraction extraction, Map<String, Double> given) {
        String read = number(at(given, "extract_mg_per_l", Double.NaN), DIGITS);
        String blank = number(at(given, "blank_mg_per_l", 0), DIGITS);
        String times = times(at(given, "dilution", 1));
        String net = extraction.diluent() == Extraction.Diluent.EXTRACTANT
                ? "(" + read + " − " + blank + ")" + times
                : "(" + read + times + " − " + blank + ")";
        return switch (extraction.basis()) {
            case MASS ->
                net + " × " + number(extraction.extractMl(), DIGITS) + " / "
                        + number(extraction.measuredScoopG(), DIGITS);
            case VOLUME ->
                net + " × " + number(extraction.extractMl(), DIGITS) + " / " + number(extraction.scoopMl(), DIGITS);
            case EXTRACT -> net;
        };
    }

    private static List<Line> computed(
            List<Constant> constants, List<Computed> results, Map<String, Double> values, Example example) {
        constants.forEach(constant -> values.put(constant.name(), constant.value()));
        List<Line> lines = new ArrayList<>();
        for (Computed result : results) {
            if (result.formula().isPresent()) {
                Formula formula = result.formula().get();
                double value = value(formula, values);
                values.put(result.name(), value);
                if (Double.isFinite(value) && isShown(result, results, example)) {
                    lines.add(new Line(result.name(), formula.text(name -> text(values, name)), value, ""));
                }
            } else if (example.expected().containsKey(result.name())) {
                result.classes().stream()
                        .filter(one -> value(one.when(), values) == 1)
                        .findFirst()
                        .ifPresent(one -> lines.add(new Line(
                                result.name(), one.when().text(name -> text(values, name)), Double.NaN, one.word())));
            }
        }
        return lines;
    }

    /** What is expected, and every step on the way to it. */
    private static boolean isShown(Computed result, List<Computed> results, Example example) {
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
        return value == null ? "(no " + name + ")" : number(value, DIGITS);
    }

    private static double at(Map<String, Double> given, String name, double otherwise) {
        return given.getOrDefault(name, otherwise);
    }

    private static double value(Formula formula, Map<String, Double> values) {
        return formula.value(name -> Calculated.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }

    private static String number(double value, int digits) {
        String text = Significant.text(Math.abs(value), digits);
        return value < 0 ? "(−" + text + ")" : text;
    }
}
