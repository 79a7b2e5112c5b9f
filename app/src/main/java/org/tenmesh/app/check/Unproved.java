package org.tenmesh.app.check;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.app.methods.MethodPage;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;

/**
 * What no number from outside speaks for, found from the list of methods: one that is added without a proof appears here.
 *
 * @param kinds kinds of measured methods without a calculated number from outside
 * @param measured measured methods that only another method of their kind speaks for
 * @param derived results calculated from other results, as {@code method symbol}, held against nothing outside
 * @param tables the same, held only against the printed table that the method itself holds
 */
public record Unproved(List<String> kinds, List<String> measured, List<String> derived, List<String> tables) {
    public Unproved {
        kinds = List.copyOf(kinds);
        measured = List.copyOf(measured);
        derived = List.copyOf(derived);
        tables = List.copyOf(tables);
    }

    static Unproved of(List<Method> methods, List<Check> checks) {
        Set<String> tables = held(checks, Proof.Nature.TABLE);
        // A worked example of a table is that table once more.
        Set<String> numbers = held(checks, Proof.Nature.EXAMPLE);
        numbers.removeAll(tables);
        numbers.addAll(held(checks, Proof.Nature.NUMBER));
        Map<String, Boolean> kinds = new LinkedHashMap<>();
        List<String> measured = new ArrayList<>();
        List<String> derived = new ArrayList<>();
        List<String> onlyTables = new ArrayList<>();
        for (Method method : methods) {
            List<String> results = method.head().analytes().stream()
                    .map(Analyte::symbol)
                    .map(symbol -> method.id() + " " + symbol)
                    .toList();
            if (method instanceof DerivedMethod) {
                for (String result : results) {
                    if (!numbers.contains(result)) {
                        (tables.contains(result) ? onlyTables : derived).add(result);
                    }
                }
            } else {
                boolean proved = results.stream().anyMatch(numbers::contains);
                kinds.merge(MethodPage.kind(method), proved, Boolean::logicalOr);
                if (!proved) {
                    measured.add(method.id());
                }
            }
        }
        return new Unproved(
                kinds.entrySet().stream()
                        .filter(kind -> !kind.getValue())
                        .map(Map.Entry::getKey)
                        .toList(),
                measured,
                derived,
                onlyTables);
    }

    private static Set<String> held(List<Check> checks, Proof.Nature nature) {
        return checks.stream()
                .filter(check -> check.proof().outside()
                        && check.proof().nature() == nature
                        && !check.of().isEmpty()
                        && check.isResult())
                .map(Check::of)
                .collect(Collectors.toCollection(HashSet::new));
    }

    /** One line for each list that is not empty. */
    List<String> lines() {
        List<String> lines = new ArrayList<>();
        line(lines, "Kinds of method not checked against anything outside", kinds);
        line(lines, "Derived results not checked against anything outside", derived);
        line(lines, "Derived results checked only against the printed table that the method holds", tables);
        line(lines, "Measured methods checked only through another method of their kind, or not at all", measured);
        return lines;
    }

    private static void line(List<String> lines, String what, List<String> names) {
        if (!names.isEmpty()) {
            lines.add(what + " (" + names.size() + "): " + String.join(", ", names) + ".");
        }
    }
}
