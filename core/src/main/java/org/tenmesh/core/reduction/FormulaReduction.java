package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * Results calculated from what was read at one position: weighings, titrations, hydrometers. Of a known solution or material the known
 * value is one of the result itself, in its unit.
 */
final class FormulaReduction {
    private static final String BLANK = FormulaMethod.BLANK;
    private static final String STANDARD = FormulaMethod.STANDARD;

    private final Run run;
    private final FormulaMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final Map<String, Set<String>> quantities = new HashMap<>();
    private final List<Determination> out = new ArrayList<>();

    FormulaReduction(Run run, FormulaMethod method, KnownValues known, Trail trail) {
        this.run = run;
        this.method = method;
        this.known = known;
        this.trail = trail;
        for (Analyte analyte : method.head().analytes()) {
            quantities.put(analyte.symbol(), method.quantitiesOf(analyte.symbol()));
        }
    }

    /** The kind. */
    static final class Kind implements KindOfMethod<FormulaMethod> {
        @Override
        public Set<Role> roles() {
            return EnumSet.of(Role.STANDARD, Role.VERIFICATION, Role.BLANK, Role.CONTROL, Role.SAMPLE, Role.DUPLICATE);
        }

        @Override
        public Reduced reduce(Run run, FormulaMethod method, KnownValues known, Trail trail) {
            return new FormulaReduction(run, method, known, trail).reduce();
        }

        /** Every result, expected or not. */
        @Override
        public Map<String, Amount> worked(FormulaMethod method, Example example) {
            return calculate(method, example.given());
        }

        @Override
        public List<WorkedLine> lines(FormulaMethod method, Example example, Map<String, Amount> amounts) {
            return WorkedLine.computed(method.constants(), method.results(), new HashMap<>(example.given()), example);
        }
    }

    Reduced reduce() {
        Readings readings = run.readings();
        Grid grid = Grid.of(readings);
        Map<String, Double> shared = new HashMap<>();
        Map<String, Integer> columns = new LinkedHashMap<>();
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            int column = readings.quantityCode(quantity.name());
            columns.put(quantity.name(), column);
            shared.put(BLANK + quantity.name(), mean(grid, column, Role.BLANK));
            shared.put(STANDARD + quantity.name(), mean(grid, column, Role.STANDARD));
        }
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            Map<String, Double> given = new HashMap<>(shared);
            for (Map.Entry<String, Integer> column : columns.entrySet()) {
                given.put(column.getKey(), grid.value(row, column.getValue()));
            }
            position(grid, row, given);
        }
        return new Reduced(run, method, out, List.of());
    }

    private static double mean(Grid grid, int column, Role role) {
        double sum = 0;
        int n = 0;
        for (int row = 0; row < grid.rows; row++) {
            double value = grid.value(row, column);
            if (grid.role[row] == role && !Double.isNaN(value)) {
                sum += value;
                n++;
            }
        }
        return n == 0 ? Double.NaN : sum / n;
    }

    private record Wrong(Flaw flaw, String reason) {}

    /** A result, or why there is none. */
    private record Outcome(Amount amount, Flaw flaw) {}

    private void position(Grid grid, int row, Map<String, Double> given) {
        Role role = grid.role[row];
        boolean soil = role != Role.BLANK && role != Role.STANDARD;
        Map<String, Double> values = soil ? values(method, given) : given;
        for (Analyte analyte : method.head().analytes()) {
            Optional<Wrong> wrong = soil ? wrong(analyte, given) : Optional.empty();
            Outcome outcome;
            if (!soil) {
                outcome =
                        new Outcome(new Amount.Missing("a " + role.word() + " is no soil", analyte.unit()), Flaw.NONE);
            } else if (wrong.isPresent()) {
                outcome = new Outcome(
                        new Amount.Missing(wrong.get().reason(), analyte.unit()),
                        wrong.get().flaw());
            } else {
                outcome = outcome(method, analyte, values);
            }
            if (soil && trail.wants(grid.identity[row], analyte.symbol())) {
                explain(grid, row, analyte, values, outcome, wrong.isPresent());
            }
            double knownValue = role == Role.VERIFICATION ? known.of(grid.identity[row], analyte.symbol()) : Double.NaN;
            out.add(new Determination(
                    grid.position[row],
                    role,
                    grid.identity[row],
                    grid.channel[row],
                    analyte.symbol(),
                    outcome.amount(),
                    0,
                    knownValue,
                    1,
                    outcome.flaw()));
        }
    }

    // A quantity of which the formula uses the blank alone need not be read at every position.
    private Optional<Wrong> wrong(Analyte analyte, Map<String, Double> given) {
        Set<String> needed = quantities.getOrDefault(analyte.symbol(), Set.of());
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            double value = given.getOrDefault(quantity.name(), Double.NaN);
            if (!needed.contains(quantity.name())) {
                continue;
            }
            if (Double.isNaN(value)) {
                return Optional.of(new Wrong(Flaw.MISSING_READING, "no reading of " + quantity.description()));
            }
            if (value < quantity.lowest() || value > quantity.highest()) {
                String unit = unit(quantity.unit()).spelling();
                return Optional.of(new Wrong(
                        isWeighing(quantity) ? Flaw.WEIGHING_IMPOSSIBLE : Flaw.MISSING_READING,
                        quantity.description() + " " + text(value, 6) + " " + unit + ", expected "
                                + text(quantity.lowest(), 5) + " to " + text(quantity.highest(), 5) + " " + unit));
            }
        }
        return Optional.empty();
    }

    private static boolean isWeighing(FormulaMethod.Quantity quantity) {
        return quantity.unit().equals("g");
    }

    private static Unit unit(String ucum) {
        return Unit.ofUcum(ucum).orElse(Unit.ONE);
    }

    /**
     * Every result of the method from given numbers.
     *
     * @param given quantities, and {@code blank_} and {@code standard_} means, by name
     * @return by symbol; Missing with the reason where a result is not possible
     */
    private static Map<String, Amount> calculate(FormulaMethod method, Map<String, Double> given) {
        Map<String, Double> values = values(method, given);
        Map<String, Amount> amounts = new HashMap<>();
        for (Analyte analyte : method.head().analytes()) {
            amounts.put(analyte.symbol(), outcome(method, analyte, values).amount());
        }
        return amounts;
    }

    private static Map<String, Double> values(FormulaMethod method, Map<String, Double> given) {
        Map<String, Double> values = new HashMap<>(given);
        for (Constant constant : method.constants()) {
            values.put(constant.name(), constant.value());
        }
        for (Computed result : method.results()) {
            result.formula().ifPresent(formula -> values.put(result.name(), value(formula, values)));
        }
        return values;
    }

    private static double value(Formula formula, Map<String, Double> values) {
        return formula.value(name -> Calculated.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }

    private static Outcome outcome(FormulaMethod method, Analyte analyte, Map<String, Double> values) {
        Optional<Computed> found = method.results().stream()
                .filter(result -> result.name().equals(analyte.symbol()))
                .findFirst();
        if (found.isEmpty()) {
            return missing(analyte, "the method has no formula of " + analyte.symbol());
        }
        Computed result = found.get();
        if (!result.classes().isEmpty()) {
            Outcome word = word(result, analyte, values);
            if (result.formula().isEmpty() || word.amount() instanceof Amount.Classed) {
                return word;
            }
        }
        return number(method, result, analyte, values);
    }

    private static Outcome missing(Analyte analyte, String reason) {
        return new Outcome(new Amount.Missing(reason, analyte.unit()), Flaw.MISSING_READING);
    }

    private static Outcome word(Computed result, Analyte analyte, Map<String, Double> values) {
        for (Computed.Class one : result.classes()) {
            double holds = value(one.when(), values);
            if (Double.isNaN(holds)) {
                return missing(analyte, "a number that decides the class is lacking");
            }
            if (holds != 0) {
                return new Outcome(new Amount.Classed(one.word(), analyte.unit()), Flaw.NONE);
            }
        }
        return missing(analyte, "no class holds");
    }

    private static Outcome number(FormulaMethod method, Computed result, Analyte analyte, Map<String, Double> values) {
        double value = values.getOrDefault(result.name(), Double.NaN);
        if (!Double.isFinite(value)) {
            List<String> lacking = new ArrayList<>();
            for (String name : method.restsOn(result.name())) {
                if (Double.isNaN(values.getOrDefault(name, Double.NaN))) {
                    describe(method, name).ifPresent(lacking::add);
                }
            }
            return missing(
                    analyte,
                    lacking.isEmpty()
                            ? "the formula has no value for these readings"
                            : "no reading of " + String.join(", ", lacking));
        }
        double lowest = result.lowest().orElse(Double.NEGATIVE_INFINITY);
        double highest = result.highest().orElse(Double.POSITIVE_INFINITY);
        if (value < lowest || value > highest) {
            boolean weighed = method.quantities().stream()
                    .filter(quantity -> method.quantitiesOf(result.name()).contains(quantity.name()))
                    .allMatch(FormulaReduction::isWeighing);
            String unit = analyte.unit().spelling();
            String bound = value < lowest ? "not below " + text(lowest, 5) : "not above " + text(highest, 5);
            return new Outcome(
                    new Amount.Missing(
                            analyte.name() + " " + text(value, 4) + (unit.isEmpty() ? "" : " " + unit)
                                    + " is not possible, expected " + bound,
                            analyte.unit()),
                    weighed ? Flaw.WEIGHING_IMPOSSIBLE : Flaw.MISSING_READING);
        }
        return new Outcome(Limits.amount(value, analyte, 1), Flaw.NONE);
    }

    // In the method's own words; empty for a step between, which lacks because something else does.
    private static Optional<String> describe(FormulaMethod method, String name) {
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            if (name.equals(quantity.name())) {
                return Optional.of(quantity.description());
            }
            if (name.equals(BLANK + quantity.name())) {
                return Optional.of(quantity.description() + " in a blank");
            }
            if (name.equals(STANDARD + quantity.name())) {
                return Optional.of(quantity.description() + " of a standard");
            }
        }
        return Optional.empty();
    }

    private void explain(
            Grid grid, int row, Analyte analyte, Map<String, Double> values, Outcome outcome, boolean impossible) {
        Set<String> rests = method.restsOn(analyte.symbol());
        String by = grid.channel[row].isEmpty() ? "" : " on " + grid.channel[row];
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            String name = quantity.name();
            String description = quantity.description();
            read(
                    rests,
                    name,
                    Character.toUpperCase(description.charAt(0)) + description.substring(1) + by + ", position "
                            + grid.position[row],
                    values,
                    quantity);
            read(rests, BLANK + name, "Mean of the blanks: " + description, values, quantity);
            read(rests, STANDARD + name, "Mean of the standards: " + description, values, quantity);
        }
        if (impossible) {
            return;
        }
        for (Computed result : method.results()) {
            boolean asked = result.name().equals(analyte.symbol());
            if (!asked && !rests.contains(result.name())) {
                continue;
            }
            if (result.formula().isPresent()) {
                Formula formula = result.formula().get();
                trail.step(
                        result.name() + " = " + formula.text(),
                        formula.text(name -> text(values.getOrDefault(name, Double.NaN), 9)),
                        values.getOrDefault(result.name(), Double.NaN),
                        method.analyte(result.name()).map(Analyte::unit).orElse(Unit.ONE));
            }
            if (asked && outcome.amount() instanceof Amount.Classed classed) {
                trail.step("Class: " + classed.word(), "", Double.NaN, analyte.unit());
            }
        }
    }

    private void read(
            Set<String> rests, String name, String what, Map<String, Double> values, FormulaMethod.Quantity quantity) {
        double value = values.getOrDefault(name, Double.NaN);
        if (rests.contains(name) && !Double.isNaN(value)) {
            trail.step(what, "", value, unit(quantity.unit()));
        }
    }
}
