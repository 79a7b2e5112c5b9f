package org.tenmesh.core.reduction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.quantity.Significant;

/**
 * One line of a worked example.
 *
 * @param name what is calculated: an analyte's symbol or a step between
 * @param arithmetic the formula with the numbers put in
 * @param value what it gives; not a number where the result is a word
 * @param word the class where the result is one; empty text otherwise
 */
public record WorkedLine(String name, String arithmetic, double value, String word) {
    private static final int DIGITS = 9;

    /** A line that gives a number. */
    public WorkedLine(String name, String arithmetic, double value) {
        this(name, arithmetic, value, "");
    }

    /** The line as printed: {@code pH = 7 − (64 − (−1.8)) / 57.8757 = 5.86306}. */
    public String text() {
        return word.isEmpty()
                ? name + " = " + arithmetic + " = " + number(value, 6)
                : name + ": " + word + ", because " + arithmetic;
    }

    /** A number as it is put in; a negative one in brackets. */
    static String number(double value) {
        return number(value, DIGITS);
    }

    /** A factor as it is put in after others; nothing when it is 1. */
    static String times(double factor) {
        return factor == 1 ? "" : " × " + number(factor);
    }

    private static String number(double value, int digits) {
        String text = Significant.text(Math.abs(value), digits);
        return value < 0 ? "(−" + text + ")" : text;
    }

    /**
     * The lines of results that are formulas: what the example expects, and every step on the way to it.
     *
     * @param values the numbers given, by name; constants and results are put in
     */
    public static List<WorkedLine> computed(
            List<Constant> constants, List<Computed> results, Map<String, Double> values, Example example) {
        constants.forEach(constant -> values.put(constant.name(), constant.value()));
        List<WorkedLine> lines = new ArrayList<>();
        for (Computed result : results) {
            Optional<Computed.Class> word = result.classes().stream()
                    .filter(one -> value(one.when(), values) == 1)
                    .findFirst();
            if (word.isPresent()) {
                Formula when = word.get().when();
                if (example.expected().containsKey(result.name())) {
                    lines.add(new WorkedLine(
                            result.name(),
                            when.text(name -> text(values, name)),
                            Double.NaN,
                            word.get().word()));
                }
            } else if (result.formula().isPresent()) {
                Formula formula = result.formula().get();
                double value = value(formula, values);
                values.put(result.name(), value);
                if (Double.isFinite(value) && isShown(result, results, example)) {
                    lines.add(new WorkedLine(result.name(), formula.text(name -> text(values, name)), value));
                }
            }
        }
        return lines;
    }

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
        return value == null ? "(no " + name + ")" : number(value);
    }

    private static double value(Formula formula, Map<String, Double> values) {
        return formula.value(name -> Calculated.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }
}
