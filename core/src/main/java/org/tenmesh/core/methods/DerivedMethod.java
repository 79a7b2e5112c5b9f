package org.tenmesh.core.methods;

import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.quantity.Unit;

/**
 * Results calculated from other results of the same soil. One input on hold holds them; one below its limit enters by its rule, and the
 * result says so; their uncertainty is carried through from the inputs that were measured.
 *
 * @param inputs what they are calculated from
 * @param constants named numbers with their units
 * @param tables lookups of the formulas
 * @param results in an order in which each uses only earlier ones; those whose name is no analyte's symbol are steps between
 * @param advice empty for what follows from measurements; a region's advice otherwise, which is off unless asked for, stands apart from
 *     measurements, and is signed by a person
 */
public record DerivedMethod(
        Head head,
        List<Input> inputs,
        List<Constant> constants,
        List<Formula.Table> tables,
        List<Computed> results,
        Optional<Advice> advice)
        implements Method {
    public DerivedMethod {
        inputs = List.copyOf(inputs);
        constants = List.copyOf(constants);
        tables = List.copyOf(tables);
        results = List.copyOf(results);
    }

    /**
     * An input.
     *
     * @param name as in formulas
     * @param from where to take it from; the first that has a number is taken
     * @param unit it must come in, a UCUM code
     * @param below what stands for "below the limit"
     * @param otherwise what stands for it when the soil has none of {@code from}, in {@code unit}; empty = then there is no result
     * @param why why {@code otherwise} may stand; empty text when there is none
     */
    public record Input(String name, List<From> from, String unit, Below below, OptionalDouble otherwise, String why) {
        public Input {
            from = List.copyOf(from);
        }
    }

    /**
     * Where an input comes from: a result, or the client's sheet.
     *
     * @param method id of a method; {@code sheet} for the client's sheet
     * @param analyte its symbol; of the sheet {@code top_cm} or {@code bottom_cm}
     */
    public record From(String method, String analyte) {
        /** What the client's sheet says. */
        public static final String SHEET = "sheet";
    }

    /** What becomes of an input below its reporting limit. */
    public enum Below {
        /**
         * It lies anywhere between nothing and its limit: the result is calculated at both ends. One that can be nothing is a limit
         * itself; another is a number from half the limit, whose standard uncertainty is limit / sqrt(12) (JCGM 100:2008, 4.3.7).
         */
        HALF,
        /** No result: the formula cannot bear it. */
        REFUSE
    }

    @Override
    public Optional<Advice> regionalAdvice() {
        return advice;
    }

    @Override
    public boolean isCalculated() {
        return true;
    }

    @Override
    public Map<String, Optional<Unit>> unitsRead() {
        return Map.of();
    }

    @Override
    public Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        inputs.forEach(input -> units.put(input.name(), Unit.spellingOf(input.unit())));
        return units;
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.noneOf(Gate.class);
    }

    /** No portion is taken for it: its inputs were compared. */
    @Override
    public double duplicateLimit(Analyte analyte, double mean) {
        return Double.POSITIVE_INFINITY;
    }

    @Override
    public String kind() {
        return "derived";
    }

    @Override
    public MethodDescription description() {
        MethodDescription.Text text = new MethodDescription.Text(
                        advice.isPresent() ? "Regional advice" : "Calculated from other results",
                        "Calculated from other results of the same soil; it takes no soil of its own.")
                .results(results, head.analytes());
        constants.forEach(text::constant);
        inputs.forEach(input -> text.input(describe(input)));
        tables.forEach(text::table);
        return text.note(
                        "An input on hold holds the result. The standard uncertainty of the inputs is carried through the"
                                + " formula to the first order; where its slope says nothing, by how far the result moves with"
                                + " each input.")
                .done();
    }

    private static MethodDescription.Input describe(Input input) {
        List<MethodDescription.Origin> from = input.from().stream()
                .map(one -> one.method().equals(From.SHEET)
                        ? new MethodDescription.Origin(
                                "", one.analyte().replace("_cm", " of the layer") + ", from the client's sheet")
                        : new MethodDescription.Origin(one.method(), one.analyte()))
                .toList();
        return new MethodDescription.Input(
                input.name(),
                from,
                Unit.spellingOf(input.unit()),
                switch (input.below()) {
                    case HALF -> "anything up to the limit";
                    case REFUSE -> "no result";
                },
                input.otherwise().isPresent()
                        ? MethodDescription.Text.number(input.otherwise().getAsDouble())
                                + (input.why().isEmpty() ? "" : ": " + input.why())
                        : "no result");
    }
}
