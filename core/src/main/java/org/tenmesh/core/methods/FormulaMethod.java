package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;

import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.quantity.Unit;

/**
 * Results calculated straight from what was read at one position: weighings, titrations, hydrometers. For every quantity {@code q} a
 * formula may also use {@code blank_q}, its mean over the run's blanks, and {@code standard_q}, its mean over the run's standards.
 *
 * @param quantities what is read at a position
 * @param constants named numbers with their units
 * @param results one for each analyte that is reported, in an order in which each uses only earlier ones
 * @param duplicateLimitPct largest difference of two portions, % of their mean
 * @param duplicateFloor largest difference always allowed, in the analyte's unit
 */
public record FormulaMethod(
        Head head,
        List<Quantity> quantities,
        List<Constant> constants,
        List<Computed> results,
        double duplicateLimitPct,
        double duplicateFloor)
        implements Method {
    /** Before the name of a quantity: its mean over the run's blanks. */
    public static final String BLANK = "blank_";
    /** Before the name of a quantity: its mean over the run's standards. */
    public static final String STANDARD = "standard_";

    public FormulaMethod {
        quantities = List.copyOf(quantities);
        constants = List.copyOf(constants);
        results = List.copyOf(results);
    }

    /**
     * What a result rests on: quantities, {@code blank_} and {@code standard_} means, and the results before it, directly or through
     * one of those. Results that rest on the same quantities are one measurement.
     *
     * @param result its name
     * @return names in alphabetical order, without constants
     */
    public Set<String> restsOn(String result) {
        Map<String, Set<String>> known = new HashMap<>();
        for (Computed computed : results) {
            Set<String> names = new TreeSet<>();
            computed.formula().ifPresent(formula -> names.addAll(formula.names()));
            computed.classes().forEach(one -> names.addAll(one.when().names()));
            constants.forEach(constant -> names.remove(constant.name()));
            for (String name : List.copyOf(names)) {
                names.addAll(known.getOrDefault(name, Set.of()));
            }
            known.put(computed.name(), names);
        }
        return known.getOrDefault(result, Set.of());
    }

    /** The quantities read at a position that a result rests on, without its blanks and standards. */
    public Set<String> quantitiesOf(String result) {
        Set<String> names = new TreeSet<>();
        quantities.forEach(quantity -> names.add(quantity.name()));
        names.retainAll(restsOn(result));
        return names;
    }

    /**
     * A quantity read at a position.
     *
     * @param name as written in readings and in formulas
     * @param description for people: "tin with air-dry soil"
     * @param unit of the reading, a UCUM code
     * @param lowest smallest value that is possible
     * @param highest largest value that is possible
     */
    public record Quantity(String name, String description, String unit, double lowest, double highest) {}

    @Override
    public Map<String, Optional<Unit>> unitsRead() {
        Map<String, Optional<Unit>> units = new LinkedHashMap<>();
        quantities.forEach(one -> units.put(one.name(), Unit.ofUcum(one.unit())));
        return units;
    }

    @Override
    public Map<String, String> exampleNumbers() {
        Map<String, String> units = new LinkedHashMap<>();
        for (Quantity quantity : quantities) {
            String unit = Unit.spellingOf(quantity.unit());
            units.put(quantity.name(), unit);
            units.put(BLANK + quantity.name(), unit);
            units.put(STANDARD + quantity.name(), unit);
        }
        return units;
    }

    /** The quantities read at a position that it rests on: sand and clay from two readings of one suspension are two. */
    @Override
    public Set<String> measurements(String symbol) {
        return quantitiesOf(symbol);
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.of(Gate.OWN_CONTROL);
    }

    @Override
    public double duplicateLimit(Analyte analyte, double mean) {
        return Math.max(duplicateFloor, duplicateLimitPct / 100 * Math.abs(mean));
    }

    @Override
    public String kind() {
        return "formula";
    }

    @Override
    public MethodDescription description() {
        MethodDescription.Text text = new MethodDescription.Text(
                        "Weighed, titrated or read by hydrometer", "Weighed, measured or titrated.")
                .results(results, head.analytes());
        quantities.forEach(one -> text.symbol(
                one.name(),
                one.description(),
                Unit.spellingOf(one.unit()),
                "read, " + number(one.lowest()) + " to " + number(one.highest())));
        Set<String> used = new HashSet<>();
        results.forEach(result -> used.addAll(restsOn(result.name())));
        for (Quantity one : quantities) {
            mean(text, used, BLANK, one, "blanks");
            mean(text, used, STANDARD, one, "standards");
        }
        constants.forEach(text::constant);
        return text.duplicates(duplicateLimitPct, duplicateFloor)
                .vessels()
                .step("Read, in this order: "
                        + String.join(
                                "; ",
                                quantities.stream()
                                        .map(one -> one.description() + ", " + Unit.spellingOf(one.unit()))
                                        .toList())
                        + ".")
                .done();
    }

    private static void mean(MethodDescription.Text text, Set<String> used, String before, Quantity one, String of) {
        if (used.contains(before + one.name())) {
            text.symbol(
                    before + one.name(),
                    "mean of " + one.name() + " over the run's " + of,
                    Unit.spellingOf(one.unit()),
                    "");
        }
    }
}
