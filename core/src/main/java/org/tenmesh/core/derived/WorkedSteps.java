package org.tenmesh.core.derived;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.WorkedLine;

/**
 * A worked example run by the code that judges a day: what it gives, and the formulas with the numbers put in. Pages, documentation and
 * the command line print these lines and have none of their own.
 *
 * @param amounts by the analyte's symbol; empty when the example lacks a number
 * @param lines in the order of the calculation
 * @param lacking what the example does not give; empty text when nothing
 */
public record WorkedSteps(Map<String, Amount> amounts, List<WorkedLine> lines, String lacking) {
    public WorkedSteps {
        amounts = Map.copyOf(amounts);
        lines = List.copyOf(lines);
    }

    /** Runs an example of a method. */
    public static WorkedSteps of(Method method, Example example) {
        try {
            if (method instanceof DerivedMethod derived) {
                return new WorkedSteps(Deriving.of(derived, example), lines(derived, example), "");
            }
            Map<String, Amount> amounts = Reduction.worked(method, example);
            return new WorkedSteps(amounts, Reduction.lines(method, example, amounts), "");
        } catch (IllegalArgumentException lacking) {
            return new WorkedSteps(Map.of(), List.of(), String.valueOf(lacking.getMessage()));
        }
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

    private static List<WorkedLine> lines(DerivedMethod method, Example example) {
        Map<String, Double> values = new HashMap<>(example.given());
        method.inputs()
                .forEach(
                        input -> input.otherwise().ifPresent(otherwise -> values.putIfAbsent(input.name(), otherwise)));
        return WorkedLine.computed(method.constants(), method.results(), values, example);
    }
}
