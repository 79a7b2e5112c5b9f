package org.tenmesh.core.derived;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.causes.Part;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Dimension;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Uncertainty;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Step;

/** Tells how derived results came to be, down to the readings. */
final class Retelling {
    private static final int DIGITS = 8;

    private final Inputs soil;
    private final Map<String, Outcome> outcomes;
    private final MethodsOfDay methods;
    private final Telling measured;
    private List<Part> parts = new ArrayList<>();
    private final Set<String> told = new HashSet<>();

    Retelling(Inputs soil, Map<String, Outcome> outcomes, MethodsOfDay methods, Telling measured) {
        this.soil = soil;
        this.outcomes = outcomes;
        this.methods = methods;
        this.measured = measured;
    }

    Story story(Result result) {
        Outcome outcome = outcomes.get(result.method());
        if (outcome == null || !(methods.find(result.method()).orElse(null) instanceof DerivedMethod method)) {
            return Story.of(
                    result, List.of(), List.of("Verdict: " + result.verdict().word() + "."));
        }
        tell(method, result.analyte(), outcome);
        return new Story(result, parts, around(method, result, outcome));
    }

    private void tell(DerivedMethod method, String symbol, Outcome outcome) {
        for (Entry entry : outcome.entries()) {
            if (outcome.rests(symbol, entry.input().name())) {
                enter(entry);
            }
        }
        for (Computed computed : method.results()) {
            boolean asked = computed.name().equals(symbol);
            if ((asked || outcome.rests(symbol, computed.name())) && told.add(method.id() + "\n" + computed.name())) {
                calculate(method, computed, outcome);
            }
            if (asked) {
                return;
            }
        }
    }

    private void enter(Entry entry) {
        DerivedMethod.From from = entry.from();
        Unit unit = Unit.ofUcum(entry.input().unit()).orElse(Unit.ONE);
        if (from == null) {
            input(
                    entry,
                    entry.problem().isEmpty()
                            ? "stands for what was not determined"
                                    + (entry.input().why().isEmpty()
                                            ? ""
                                            : ", " + entry.input().why())
                            : entry.problem(),
                    entry.value(),
                    unit,
                    List.of());
            return;
        }
        Result result = entry.result();
        if (result == null) {
            input(entry, Calculator.name(from) + ", lab number " + soil.labNumber(), entry.value(), unit, List.of());
            return;
        }
        Method method = methods.find(from.method()).orElse(null);
        String name = method == null
                ? from.analyte()
                : method.analyte(from.analyte()).map(Analyte::name).orElse(from.analyte());
        String key = from.method() + "\n" + from.analyte() + "\ninput";
        boolean again = !told.add(key);
        List<Part> before = parts;
        parts = new ArrayList<>();
        Outcome deeper = outcomes.get(from.method());
        if (!again) {
            if (deeper != null && method instanceof DerivedMethod derived) {
                tell(derived, from.analyte(), deeper);
            } else {
                parts.addAll(measured.of(result).parts());
            }
        }
        if (!entry.problem().isEmpty()) {
            add("No number enters: " + entry.problem(), "", Double.NaN, unit);
        } else if (result.amount() instanceof Amount.Below below) {
            String limit = text(below.limit(), DIGITS);
            add(
                    from.analyte() + " is < " + limit
                            + (entry.derived()
                                    ? "; the number behind it goes on, together with all it can be"
                                    : "; half the limit stands for it, with the standard uncertainty limit / √12"),
                    entry.derived() ? "" : limit + " / 2",
                    entry.value(),
                    unit);
        }
        List<Part> made = parts;
        parts = before;
        input(
                entry,
                name + " (" + from.analyte() + ") by " + from.method() + ", lab number " + soil.labNumber()
                        + (again ? ", as above" : ""),
                result.amount().raw(),
                result.amount().unit(),
                made);
    }

    private void input(Entry entry, String what, double value, Unit unit, List<Part> made) {
        parts.add(new Part.Input(entry.input().name(), new Step(what, "", value, unit), made));
    }

    private void calculate(DerivedMethod method, Computed computed, Outcome outcome) {
        Unit unit = unit(method, computed);
        String word = outcome.word(computed.name());
        for (Computed.Class one : computed.classes()) {
            if (one.word().equals(word)) {
                add(
                        computed.name() + " is " + word + ": " + one.when().text(),
                        one.when().text(name -> text(outcome.value(name).value(), DIGITS)),
                        Double.NaN,
                        unit);
                return;
            }
        }
        if (computed.formula().isPresent()) {
            Formula formula = computed.formula().get();
            add(
                    computed.name() + " = " + formula.text(),
                    formula.text(name -> text(outcome.value(name).value(), DIGITS)),
                    outcome.value(computed.name()).value(),
                    unit);
            return;
        }
        add(computed.name() + ": no class", "", Double.NaN, unit);
    }

    private void add(String what, String arithmetic, double result, Unit unit) {
        parts.add(new Part.Made(new Step(what, arithmetic, result, unit)));
    }

    private static Unit unit(DerivedMethod method, Computed computed) {
        return method.analyte(computed.name()).map(Analyte::unit).orElseGet(() -> dimension(method, computed));
    }

    // A step between has the unit its formula gives; where the laboratory has no name for that, none is printed.
    private static Unit dimension(DerivedMethod method, Computed computed) {
        Map<String, Dimension> of = new java.util.HashMap<>();
        method.inputs().forEach(input -> of.put(input.name(), Dimension.of(input.unit())));
        for (Constant constant : method.constants()) {
            of.put(constant.name(), Dimension.of(constant.unit()));
        }
        for (Computed earlier : method.results()) {
            if (earlier.formula().isPresent()) {
                of.put(earlier.name(), earlier.formula().get().dimension(of));
            }
            if (earlier == computed) {
                break;
            }
        }
        Dimension its = of.getOrDefault(computed.name(), Dimension.NUMBER);
        return Arrays.stream(Unit.values())
                .filter(unit -> !its.isNumber() && Dimension.of(unit).same(its))
                .findFirst()
                .orElse(Unit.ONE);
    }

    private List<String> around(DerivedMethod method, Result result, Outcome outcome) {
        Set<String> around = new LinkedHashSet<>();
        for (Entry entry : outcome.entries()) {
            Result input = entry.result();
            DerivedMethod.From from = entry.from();
            if (input == null
                    || from == null
                    || !outcome.rests(result.analyte(), entry.input().name())) {
                continue;
            }
            if (input.isAccepted()) {
                around.add("Input " + Calculator.name(from)
                        + " stands although a check failed, because somebody accepted it: "
                        + String.join(", ", input.causes()) + ".");
            } else if (!input.causes().isEmpty() && !result.causes().isEmpty()) {
                around.add("Input " + Calculator.name(from) + " is on "
                        + input.verdict().word() + ", because of " + String.join(", ", input.causes()) + ".");
            }
            if (!entry.problem().isEmpty()) {
                around.add("There is no number because of an input: " + entry.problem() + ".");
            }
        }
        if (result.amount() instanceof Amount.Missing missing) {
            around.add("No number: " + missing.reason() + ".");
        }
        String below = outcome.belowOf(result.analyte());
        if (!below.isEmpty()) {
            around.add(
                    below
                            + (result.amount() instanceof Amount.Measured
                                    ? " below the limit: half the limit enters, and the uncertainty covers all that is possible."
                                    : " below the limit, so that anything up to the limit is possible: this result is what that leaves."));
        }
        method.analyte(result.analyte())
                .map(analyte -> Stated.of(result.amount(), analyte.rounding(), result.expandedUncertainty()))
                .filter(stated -> !(stated.known() instanceof Uncertainty.NoNumber))
                .ifPresent(stated -> around.add(uncertainty(result, outcome, stated)));
        method.advice().ifPresent(advice -> around.add("Advice for " + advice.region() + ": " + advice.deference()));
        around.add("Verdict: " + result.verdict().word() + ".");
        return List.copyOf(around);
    }

    private static String uncertainty(Result result, Outcome outcome, Stated stated) {
        if (stated.known() instanceof Uncertainty.NotStated) {
            return "Uncertainty " + Uncertainty.NOT_STATED + ": no input has one.";
        }
        double[] contributions = outcome.parts(result.analyte());
        double sum = Arrays.stream(contributions).map(part -> part * part).sum();
        List<String> shares = new ArrayList<>();
        for (int i = 0; i < contributions.length; i++) {
            if (contributions[i] != 0) {
                Inputs.Base base = outcome.base(i);
                shares.add(base.analyte() + " (" + base.method() + ") "
                        + text(100 * contributions[i] * contributions[i] / sum, 2) + " %");
            }
        }
        return "Uncertainty (about 95 %) " + stated.sentence(result.amount().unit())
                + (shares.isEmpty()
                        ? ": nothing that was measured moves this number within its own uncertainty, so that only the last"
                                + " reported place limits it."
                        : ", carried from what was measured; shares of its square: " + String.join(", ", shares) + ".");
    }
}
