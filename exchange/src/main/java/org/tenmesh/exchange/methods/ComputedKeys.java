package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Dimension;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** Constants, tables and results of the kinds whose results are formulas, checked by their units. */
final class ComputedKeys {
    /** Of what is wrong already; what is made of it is not told a second time. */
    private static final Dimension DOUBTFUL = Dimension.NUMBER.power(1);

    private static final Pattern NAME = Pattern.compile("[A-Za-z][A-Za-z0-9_]*");

    private ComputedKeys() {}

    static List<Constant> constants(Section own, Map<String, Dimension> names) {
        List<Constant> constants = new ArrayList<>();
        if (!own.has("constants")) {
            return constants;
        }
        for (Section section : own.sections("constants")) {
            Constant constant = new Constant(
                    section.text("name"),
                    section.number("value"),
                    section.text("unit"),
                    Values.source(section.section("source")));
            section.nothingElse();
            name(section, names, constant.name(), dimension(section, "unit", constant.unit()));
            constants.add(constant);
        }
        return constants;
    }

    static Formula.Table table(Section section) {
        String name = section.text("name");
        Dimension x = dimension(section, "x_unit", section.text("x_unit"));
        Dimension y = dimension(section, "y_unit", section.text("y_unit"));
        List<Double> xs = section.numbers("x");
        List<Double> ys = section.numbers("y");
        section.nothingElse();
        try {
            return new Formula.Table(name, x, y, xs, ys);
        } catch (NoSenseException wrong) {
            section.wrong("x", String.valueOf(wrong.getMessage()), "rising arguments and one value for each");
            return new Formula.Table(name, x, y, List.of(0.0, 1.0), List.of(0.0, 1.0));
        }
    }

    static List<Computed> results(
            Method.Head head, Section own, Map<String, Dimension> names, Map<String, Formula.Table> tables) {
        List<Computed> results = new ArrayList<>();
        Set<String> made = new HashSet<>();
        List<Section> sections = own.sections("results");
        Set<String> later = new HashSet<>();
        sections.forEach(section -> section.optionalText("name").ifPresent(later::add));
        for (Section section : sections) {
            String name = section.text("name");
            if (!made.add(name)) {
                section.wrong("name", Problem.quoted(name) + " a second time", "each result once");
            }
            Optional<Analyte> analyte = head.analytes().stream()
                    .filter(one -> one.symbol().equals(name))
                    .findFirst();
            OptionalDouble lowest = section.optionalNumber("lowest");
            OptionalDouble highest = section.optionalNumber("highest");
            if (lowest.isPresent() && highest.isPresent() && lowest.getAsDouble() > highest.getAsDouble()) {
                section.wrong("highest", "a number below lowest", "one above " + DecimalText.of(lowest.getAsDouble()));
            }
            if (!section.has("formula") && !section.has("classes")) {
                section.allow("formula");
                section.allow("classes");
                section.wrong(
                        "name", "neither formula nor classes", "one of them, or a formula with words for some cases");
            } else {
                List<Computed.Class> classes =
                        section.has("classes") ? classes(section, analyte, names, later, tables) : List.of();
                Optional<Formula> formula = Optional.empty();
                if (section.has("formula")) {
                    formula = formula(section, "formula", tables);
                    Optional<Dimension> expected = analyte.map(a -> Dimension.of(a.unit()));
                    Optional<Dimension> found = formula.isEmpty()
                            ? expected
                            : check(section, "formula", formula.get(), names, later, expected);
                    if (analyte.isEmpty() || NAME.matcher(name).matches()) {
                        name(section, names, name, found.orElse(DOUBTFUL));
                    }
                }
                if (formula.isPresent() || !classes.isEmpty()) {
                    results.add(new Computed(name, formula, classes, lowest, highest));
                }
            }
            section.nothingElse();
        }
        for (Analyte analyte : head.analytes()) {
            if (!made.contains(analyte.symbol())) {
                own.wrong("results", "none of " + analyte.symbol(), "a result of each analyte");
            }
        }
        return results;
    }

    private static List<Computed.Class> classes(
            Section section,
            Optional<Analyte> analyte,
            Map<String, Dimension> names,
            Set<String> later,
            Map<String, Formula.Table> tables) {
        List<Computed.Class> classes = new ArrayList<>();
        for (Section one : section.sections("classes")) {
            String word = one.text("word");
            formula(one, "when", tables).ifPresent(when -> {
                check(one, "when", when, names, later, Optional.of(Dimension.NUMBER));
                classes.add(new Computed.Class(word, when));
            });
            one.nothingElse();
        }
        if (analyte.isEmpty()) {
            section.wrong(
                    "name",
                    Problem.quoted(section.text("name")),
                    "the symbol of an analyte, because a class is reported");
        }
        if (classes.isEmpty()) {
            section.missing("classes", "at least one class with word and when");
        }
        return classes;
    }

    private static Optional<Formula> formula(Section section, String key, Map<String, Formula.Table> tables) {
        if (!section.has(key)) {
            section.missing(key, "a formula");
            return Optional.empty();
        }
        try {
            return Optional.of(FormulaText.parse(section.text(key), tables));
        } catch (FormulaText.NotRead wrong) {
            section.wrong(key, wrong.found(), wrong.expected());
            return Optional.empty();
        }
    }

    /** The dimension of a formula that makes sense, or what was expected of it. */
    private static Optional<Dimension> check(
            Section section,
            String key,
            Formula formula,
            Map<String, Dimension> names,
            Set<String> later,
            Optional<Dimension> expected) {
        for (String name : formula.names()) {
            if (!names.containsKey(name)) {
                String at = Problem.quoted(name) + column(section.text(key), name);
                if (later.contains(name)) {
                    section.wrong(key, at + ", a result made here or below", "results made above alone");
                } else {
                    section.wrong(key, at + ", which is no name here", known(names));
                }
                return expected;
            }
            if (names.get(name) == DOUBTFUL) {
                return expected;
            }
        }
        try {
            Dimension found = formula.dimension(names);
            if (expected.isPresent() && !expected.get().same(found)) {
                section.wrong(key, "a result in " + found, "one in " + expected.get());
                return expected;
            }
            return Optional.of(found);
        } catch (NoSenseException wrong) {
            section.wrong(key, "units that do not go together: " + wrong.getMessage(), "units that agree");
            return expected;
        }
    }

    private static String column(String text, String name) {
        Matcher place =
                Pattern.compile("(?<![A-Za-z0-9_])" + name + "(?![A-Za-z0-9_])").matcher(text);
        return place.find() ? " at column " + (place.start() + 1) : "";
    }

    private static String known(Map<String, Dimension> names) {
        List<String> own = names.keySet().stream()
                .filter(name -> !name.startsWith(FormulaMethod.BLANK) && !name.startsWith(FormulaMethod.STANDARD))
                .toList();
        boolean readings = own.size() < names.size();
        return "one of " + String.join(", ", own) + (readings ? ", or a reading's name after blank_ or standard_" : "");
    }

    static Dimension dimension(Section section, String key, String unit) {
        try {
            return Dimension.of(unit);
        } catch (IllegalArgumentException unknown) {
            if (section.has(key)) {
                section.wrong(key, Problem.quoted(unit), "a UCUM code, such as mg/kg; " + unknown.getMessage());
            }
            return DOUBTFUL;
        }
    }

    static void name(Section section, Map<String, Dimension> names, String name, Dimension dimension) {
        if (!section.has("name")) {
            return;
        }
        if (!NAME.matcher(name).matches()) {
            section.wrong("name", Problem.quoted(name), "a letter, then letters, digits or _, as formulas need it");
            names.putIfAbsent(name, DOUBTFUL);
        } else if (Operation.function(name).isPresent()) {
            section.wrong("name", Problem.quoted(name) + ", which is a function", "another name");
        } else if (names.putIfAbsent(name, dimension) != null) {
            section.wrong("name", Problem.quoted(name) + " a second time", "a name that nothing else has");
        }
    }

    /** An input, a constant or a table that no formula uses is most likely misspelt somewhere. */
    static void idle(Section own, String key, List<String> there, Set<String> used) {
        if (own.hasProblems()) {
            return;
        }
        for (String name : there) {
            if (!used.contains(name)) {
                own.wrong(key, Problem.quoted(name) + ", which no formula uses", "only what is used");
            }
        }
    }

    static Set<String> used(List<Computed> results) {
        Set<String> used = new HashSet<>();
        for (Computed result : results) {
            result.formula().ifPresent(formula -> collect(formula, used));
            result.classes().forEach(one -> collect(one.when(), used));
        }
        return used;
    }

    private static void collect(Formula formula, Set<String> used) {
        if (formula instanceof Formula.Name name) {
            used.add(name.name());
        } else if (formula instanceof Formula.Apply apply) {
            apply.arguments().forEach(argument -> collect(argument, used));
        } else if (formula instanceof Formula.Lookup lookup) {
            used.add(lookup.table().name());
            collect(lookup.argument(), used);
        }
    }
}
