package org.tenmesh.app.check;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.WorkedExample;

/** Numbers of the publications put through the shipped methods, one row of {@code worked.csv} each. */
final class WorkedChecks {
    private static final Source NONE = new Source("a check", Source.Standing.READ);

    private WorkedChecks() {}

    static void onto(Sheet sheet) {
        for (String[] row : Rows.of("worked.csv").rows()) {
            Sheet.From from =
                    sheet.from(row[2], Work.valueOf(row[0]), row[9].replace(';', ','), Standing.valueOf(row[1]));
            String question = row[5] + " of " + row[4] + " from "
                    + row[6].replace(";", ", ").replace("@", "");
            if (row[8].equals("word")) {
                from.word(row[3], question, row[7], () -> reported(row[4], row[5], row[6]));
            } else {
                from.number(
                        row[3],
                        question,
                        row[7],
                        tolerance(row[8], row[7]),
                        () -> amount(row[4], row[5], row[6]).raw());
            }
        }
    }

    /**
     * What is put through here: method, analyte and numbers, so that no other group checks them a second time.
     *
     * @return one text for each, as {@link #key} makes it
     */
    static Set<String> keys() {
        Set<String> keys = new HashSet<>();
        for (String[] row : Rows.of("worked.csv").rows()) {
            Map<String, Double> numbers = new HashMap<>();
            boolean asShipped = true;
            for (String one : row[6].split(";", -1)) {
                String[] pair = one.split("=", 2);
                asShipped &= !pair[0].startsWith("@");
                numbers.put(pair[0], Double.parseDouble(pair[1]));
            }
            if (asShipped) {
                keys.add(key(row[4], row[5], numbers));
            }
        }
        return keys;
    }

    /** Method, analyte and the numbers put in; a blank of nothing and no dilution go without saying. */
    static String key(String id, String symbol, Map<String, Double> given) {
        Map<String, Double> numbers = new TreeMap<>(given);
        numbers.remove("blank_mg_per_l", 0.0);
        numbers.remove("dilution", 1.0);
        return id + " " + symbol + " " + numbers;
    }

    /** {@code last}, {@code exact}, {@code unit:why} or {@code abs:number:why}. */
    static Tolerance tolerance(String text, String printed) {
        String[] parts = text.split(":", 3);
        return switch (parts[0]) {
            case "last" -> Tolerance.lastDigit(printed);
            case "unit" -> Tolerance.oneUnit(printed, parts[1]);
            case "abs" -> new Tolerance(Double.parseDouble(parts[1]), parts[2]);
            case "exact" -> Tolerance.exact(printed);
            default -> throw new IllegalStateException("no tolerance is called " + text);
        };
    }

    private static String reported(String id, String symbol, String given) {
        Analyte analyte = Shipped.method(id).analyte(symbol).orElseThrow();
        return analyte.rounding().text(amount(id, symbol, given));
    }

    /**
     * What a shipped method makes of numbers.
     *
     * @param given {@code name=number} separated by {@code ;}, with {@code @name=number} for a constant of the method
     */
    static Amount amount(String id, String symbol, String given) {
        Method method = Shipped.method(id);
        Map<String, Double> numbers = new HashMap<>();
        for (String one : given.split(";", -1)) {
            String[] pair = one.split("=", 2);
            double value = Double.parseDouble(pair[1]);
            if (pair[0].startsWith("@")) {
                method = with(method, pair[0].substring(1), value);
            } else {
                numbers.put(pair[0], value);
            }
        }
        return amount(method, symbol, numbers);
    }

    static Amount amount(Method method, String symbol, Map<String, Double> numbers) {
        Example example = new Example(numbers, Map.of(symbol, ""), NONE);
        Map<String, Amount> amounts = method instanceof DerivedMethod derived
                ? Deriving.of(derived, example)
                : WorkedExample.of(method, example);
        Amount amount = amounts.get(symbol);
        if (amount == null) {
            throw new IllegalStateException(method.id() + " gives no " + symbol);
        }
        return amount;
    }

    // The method as a laboratory would set it for another field or crop.
    private static Method with(Method method, String constant, double value) {
        if (method instanceof DerivedMethod derived) {
            return new DerivedMethod(
                    derived.head(),
                    derived.inputs(),
                    with(derived.constants(), constant, value),
                    derived.tables(),
                    derived.results(),
                    derived.advice());
        }
        if (method instanceof FormulaMethod formula) {
            return new FormulaMethod(
                    formula.head(),
                    formula.quantities(),
                    with(formula.constants(), constant, value),
                    formula.results(),
                    formula.duplicateLimitPct(),
                    formula.duplicateFloor());
        }
        throw new IllegalStateException(method.id() + " has no constants");
    }

    private static List<Constant> with(List<Constant> constants, String name, double value) {
        List<Constant> changed = new ArrayList<>();
        boolean found = false;
        for (Constant constant : constants) {
            boolean it = constant.name().equals(name);
            found |= it;
            changed.add(it ? new Constant(name, value, constant.unit(), constant.source()) : constant);
        }
        if (!found) {
            throw new IllegalStateException("no constant is named " + name);
        }
        return changed;
    }
}
