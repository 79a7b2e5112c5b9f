package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Reckoned;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/** Results reckoned from what was read at one position: weighings, titrations, hydrometers. */
final class FormulaReduction {
    private static final String BLANK = "blank_";
    private static final String STANDARD = "standard_";

    private final Run run;
    private final FormulaMethod method;
    private final Trail trail;
    private final List<Determination> out = new ArrayList<>();

    FormulaReduction(Run run, FormulaMethod method, Trail trail) {
        this.run = run;
        this.method = method;
        this.trail = trail;
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

    private void position(Grid grid, int row, Map<String, Double> given) {
        boolean soil = grid.role[row] != Role.BLANK && grid.role[row] != Role.STANDARD;
        Optional<Wrong> wrong = soil ? impossible(given) : Optional.empty();
        Map<String, Amount> amounts = soil && wrong.isEmpty() ? reckon(method, given) : Map.of();
        for (Analyte analyte : method.head().analytes()) {
            Amount amount = amounts.get(analyte.symbol());
            Flaw flaw = Flaw.NONE;
            if (amount == null) {
                String reason = wrong.map(Wrong::reason)
                        .orElse(soil ? "the formula has no value" : "a " + grid.role[row].word() + " is no soil");
                amount = new Amount.Missing(reason, analyte.unit());
                flaw = soil ? wrong.map(Wrong::flaw).orElse(Flaw.MISSING_READING) : Flaw.NONE;
            } else if (amount instanceof Amount.Missing) {
                flaw = Flaw.MISSING_READING;
            }
            if (trail.wants(grid.identity[row], analyte.symbol())) {
                explain(grid, row, analyte, given, amount);
            }
            out.add(new Determination(
                    grid.position[row],
                    grid.role[row],
                    grid.identity[row],
                    grid.channel[row],
                    analyte.symbol(),
                    amount,
                    0,
                    Double.NaN,
                    1,
                    flaw));
        }
    }

    private Optional<Wrong> impossible(Map<String, Double> given) {
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            double value = given.getOrDefault(quantity.name(), Double.NaN);
            String unit = unit(quantity.unit()).spelling();
            if (Double.isNaN(value)) {
                // A quantity of which the formulas use the blank alone need not be read at every position.
                if (used().contains(quantity.name())) {
                    return Optional.of(new Wrong(Flaw.MISSING_READING, "no reading of " + quantity.description()));
                }
            } else if (value < quantity.lowest() || value > quantity.highest()) {
                Flaw flaw = quantity.unit().equals("g") ? Flaw.WEIGHING_IMPOSSIBLE : Flaw.MISSING_READING;
                return Optional.of(new Wrong(
                        flaw,
                        quantity.description() + " " + text(value, 6) + " " + unit + ", expected "
                                + text(quantity.lowest(), 5) + " to " + text(quantity.highest(), 5) + " " + unit));
            }
        }
        return Optional.empty();
    }

    private Set<String> used() {
        Set<String> names = new HashSet<>();
        for (Computed result : method.results()) {
            result.formula().ifPresent(formula -> names.addAll(formula.names()));
            result.classes().forEach(one -> names.addAll(one.when().names()));
        }
        return names;
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
    static Map<String, Amount> reckon(FormulaMethod method, Map<String, Double> given) {
        Map<String, Double> values = values(method, given);
        Map<String, Amount> amounts = new HashMap<>();
        for (Computed result : method.results()) {
            method.analyte(result.name())
                    .ifPresent(analyte -> amounts.put(result.name(), amount(result, analyte, values)));
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
        return formula.value(name -> Reckoned.constant(values.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }

    private static Amount amount(Computed result, Analyte analyte, Map<String, Double> values) {
        if (result.formula().isEmpty()) {
            for (Computed.Class one : result.classes()) {
                double holds = value(one.when(), values);
                if (Double.isNaN(holds)) {
                    break;
                }
                if (holds != 0) {
                    return new Amount.Classed(one.word(), analyte.unit());
                }
            }
            return new Amount.Missing("no class holds", analyte.unit());
        }
        double value = values.getOrDefault(result.name(), Double.NaN);
        if (Double.isNaN(value)) {
            List<String> lacking = new ArrayList<>();
            for (String name : result.formula().orElseThrow().names()) {
                if (Double.isNaN(values.getOrDefault(name, Double.NaN))) {
                    lacking.add(name.startsWith(BLANK) ? "a blank" : name.startsWith(STANDARD) ? "a standard" : name);
                }
            }
            return new Amount.Missing(
                    lacking.isEmpty() ? "the formula has no value" : "no value of " + String.join(", ", lacking),
                    analyte.unit());
        }
        if (value < result.lowest().orElse(Double.NEGATIVE_INFINITY)
                || value > result.highest().orElse(Double.POSITIVE_INFINITY)) {
            return new Amount.Missing(
                    analyte.name() + " " + text(value, 4) + " " + analyte.unit().spelling() + " is not possible",
                    analyte.unit());
        }
        return Limits.amount(value, analyte, 1);
    }

    private void explain(Grid grid, int row, Analyte analyte, Map<String, Double> given, Amount amount) {
        Map<String, Double> values = values(method, given);
        Set<String> shown = new HashSet<>();
        for (FormulaMethod.Quantity quantity : method.quantities()) {
            Set<String> names = used();
            String by = grid.channel[row].isEmpty() ? "" : " on " + grid.channel[row];
            if (names.contains(quantity.name()) && shown.add(quantity.name())) {
                trail.step(
                        Character.toUpperCase(quantity.description().charAt(0))
                                + quantity.description().substring(1) + by + ", position " + grid.position[row],
                        "",
                        values.getOrDefault(quantity.name(), Double.NaN),
                        unit(quantity.unit()));
            }
            if (names.contains(BLANK + quantity.name())) {
                trail.step(
                        "Mean of the blanks: " + quantity.description(),
                        "",
                        values.getOrDefault(BLANK + quantity.name(), Double.NaN),
                        unit(quantity.unit()));
            }
            if (names.contains(STANDARD + quantity.name())) {
                trail.step(
                        "Mean of the standards: " + quantity.description(),
                        "",
                        values.getOrDefault(STANDARD + quantity.name(), Double.NaN),
                        unit(quantity.unit()));
            }
        }
        for (Computed result : method.results()) {
            boolean asked = result.name().equals(analyte.symbol());
            if (result.formula().isPresent()
                    && (asked || method.analyte(result.name()).isEmpty())) {
                Formula formula = result.formula().get();
                trail.step(
                        result.name() + " = " + formula.text(),
                        formula.text(name -> text(values.getOrDefault(name, Double.NaN), 9)),
                        values.getOrDefault(result.name(), Double.NaN),
                        method.analyte(result.name()).map(Analyte::unit).orElse(Unit.ONE));
            }
            if (asked && amount instanceof Amount.Classed classed) {
                trail.step("Class: " + classed.word(), "", Double.NaN, analyte.unit());
            }
            if (asked) {
                return;
            }
        }
    }
}
