package org.tenmesh.app.methods;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.derived.WorkedSteps;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.WorkedLine;

/**
 * A worked example of a method, run by the code that judges a day.
 *
 * @param method whose it is
 * @param number which of its examples, from 1
 * @param example as in the method's file
 * @param got reported text by analyte; "no result" and why where there is none
 * @param lines the calculation
 */
public record Worked(Method method, int number, Example example, Map<String, String> got, List<WorkedLine> lines) {
    public Worked {
        got = Map.copyOf(got);
        lines = List.copyOf(lines);
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
        WorkedSteps run = WorkedSteps.of(method, example);
        Map<String, String> got = new HashMap<>();
        example.expected().keySet().forEach(symbol -> got.put(symbol, run.reported(method, symbol)));
        return new Worked(method, number, example, got, run.lines());
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
            String unit = method.exampleNumbers().getOrDefault(name, "");
            parts.add(name + " " + Significant.text(value, 12) + (unit.isEmpty() ? "" : " " + unit));
        });
        return String.join(", ", parts);
    }

    /** The formulas with the numbers put in, one line each. */
    List<String> steps() {
        return lines.stream().map(WorkedLine::text).toList();
    }
}
