package org.tenmesh.web.methods;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.derived.WorkedSteps;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.WorkedLine;
import org.tenmesh.web.words.Words;

/**
 * A worked example, calculated when the page is drawn.
 *
 * @param steps the formulas with the numbers put in
 */
public record ExampleView(List<Given> given, List<String> steps, List<Outcome> outcomes, String source) {

    /** A number put in. */
    public record Given(String name, String value) {}

    /**
     * A result.
     *
     * @param got what the method makes of the numbers now; "no result" where it makes none
     */
    public record Outcome(String symbol, String unit, String expected, String got, boolean agrees) {}

    static ExampleView of(Method method, Example example) {
        List<Given> given = new ArrayList<>();
        example.given().forEach((name, value) -> given.add(new Given(name, Words.plain(value))));
        WorkedSteps run = WorkedSteps.of(method, example);
        List<Outcome> outcomes = new ArrayList<>();
        example.expected().forEach((symbol, expected) -> {
            String text = run.reported(method, symbol);
            outcomes.add(new Outcome(
                    symbol,
                    method.analyte(symbol).map(a -> a.unit().spelling()).orElse(""),
                    expected,
                    text,
                    text.equals(expected)));
        });
        return new ExampleView(
                given,
                run.lines().stream().map(WorkedLine::text).toList(),
                outcomes,
                example.source().text() + " (" + example.source().standing().word() + ")");
    }
}
