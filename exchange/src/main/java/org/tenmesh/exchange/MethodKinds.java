package org.tenmesh.exchange;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Dimension;

/** The part of a method file that goes with its kind. */
enum MethodKinds {
    ELECTRODE {
        @Override
        Method read(Method.Head head, Section own) {
            return electrode(head, own);
        }
    },
    IGNITION {
        @Override
        Method read(Method.Head head, Section own) {
            return ignition(head, own);
        }
    },
    EMISSION {
        @Override
        Method read(Method.Head head, Section own) {
            return emission(head, own);
        }
    },
    FLOW {
        @Override
        Method read(Method.Head head, Section own) {
            return flow(head, own);
        }
    },
    CONDUCTIVITY {
        @Override
        Method read(Method.Head head, Section own) {
            return conductivity(head, own);
        }
    },
    FORMULA {
        @Override
        Method read(Method.Head head, Section own) {
            return formula(head, own);
        }
    },
    DERIVED {
        @Override
        Method read(Method.Head head, Section own) {
            return derived(head, own);
        }
    };

    private static final Map<String, Extraction.Basis> BASES = lower(Extraction.Basis.values());
    private static final Map<String, Extraction.Diluent> DILUENTS = lower(Extraction.Diluent.values());
    private static final Map<String, Extraction.Shape> SHAPES = lower(Extraction.Shape.values());
    private static final Map<String, Extraction.Weighting> WEIGHTINGS = lower(Extraction.Weighting.values());
    private static final Map<String, DerivedMethod.Below> BELOWS = lower(DerivedMethod.Below.values());
    private static final Map<String, Source.Standing> STANDINGS =
            words(Source.Standing.values(), Source.Standing::word);
    private static final Set<String> SHEET = Set.of("top_cm", "bottom_cm");

    abstract Method read(Method.Head head, Section own);

    /** The word in files. */
    String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    static Source source(Section section) {
        Source source = new Source(section.text("text"), section.choice("standing", STANDINGS));
        section.nothingElse();
        return source;
    }

    private static ElectrodeMethod electrode(Method.Head head, Section own) {
        if (head.analytes().size() > 1) {
            own.wrong("probes", head.analytes().size() + " analytes", "one analyte for a method read by electrode");
        }
        List<BufferTable> buffers = new ArrayList<>();
        for (Section section : own.sections("buffers")) {
            String name = section.text("name");
            List<Double> celsius = section.numbers("celsius");
            List<Double> ph = section.numbers("ph");
            Source source = source(section.section("source"));
            section.nothingElse();
            try {
                buffers.add(new BufferTable(name, celsius, ph, source));
            } catch (IllegalArgumentException wrong) {
                section.wrong("celsius", String.valueOf(wrong.getMessage()), "rising temperatures and one pH for each");
            }
        }
        return new ElectrodeMethod(
                head,
                positive(own, "soil_g"),
                positive(own, "liquid_ml"),
                own.whole("probes", 1, 64),
                buffers,
                own.number("slope_min_pct"),
                own.number("slope_max_pct"),
                positive(own, "offset_limit_mv"),
                positive(own, "verification_tolerance_ph"),
                own.number("lowest_ph"),
                own.number("highest_ph"),
                positive(own, "duplicate_limit_ph"));
    }

    private static IgnitionMethod ignition(Method.Head head, Section own) {
        double dryCelsius = positive(own, "dry_celsius");
        double dryHours = positive(own, "dry_hours");
        double ashCelsius = positive(own, "ash_celsius");
        double ashHours = positive(own, "ash_hours");
        int knownsFirst = own.whole("knowns_first", 0, 1000);
        double least = positive(own, "least_dry_soil_g");
        double most = positive(own, "most_dry_soil_g");
        double highest = positive(own, "highest_loi_pct");
        double limit = positive(own, "duplicate_limit_pct");
        double floor = own.number("duplicate_floor_pct");
        Section line = own.section("organic_matter");
        IgnitionMethod.Regression regression = new IgnitionMethod.Regression(
                line.date("version"), line.number("slope"), line.number("intercept"), source(line.section("source")));
        line.nothingElse();
        return new IgnitionMethod(
                head,
                dryCelsius,
                dryHours,
                ashCelsius,
                ashHours,
                knownsFirst,
                least,
                most,
                highest,
                limit,
                floor,
                regression);
    }

    private static List<Extraction.Line> lines(Method.Head head, Section own) {
        List<Extraction.Line> lines = new ArrayList<>();
        for (Section section : own.sections("lines")) {
            lines.add(new Extraction.Line(
                    section.text("quantity"), section.text("element"), section.truth("preferred", true)));
            section.nothingElse();
        }
        for (Analyte analyte : head.analytes()) {
            long preferred = lines.stream()
                    .filter(line -> line.preferred() && line.element().equals(analyte.symbol()))
                    .count();
            if (preferred != 1) {
                own.wrong(
                        "lines",
                        preferred + " preferred lines of " + analyte.symbol(),
                        "one preferred line of each analyte");
            }
        }
        return lines;
    }

    private static Extraction extraction(Section own) {
        Section accept = own.section("acceptance");
        Extraction.Acceptance acceptance = new Extraction.Acceptance(
                accept.number("least_r"),
                accept.number("most_rse_pct"),
                accept.number("low_readback_pct"),
                accept.number("readback_pct"));
        accept.nothingElse();
        Extraction.Basis basis = own.choice("basis", BASES);
        boolean soil = basis != Extraction.Basis.EXTRACT;
        return new Extraction(
                soil ? positive(own, "soil_g") : own.number("soil_g", 0),
                soil ? positive(own, "extract_ml") : own.number("extract_ml", 0),
                basis,
                soil ? positive(own, "scoop_ml") : own.number("scoop_ml", 0),
                soil ? positive(own, "measured_scoop_g") : own.number("measured_scoop_g", 0),
                own.choice("diluent", DILUENTS),
                own.truth("subtract_blank", true),
                own.choice("shape", SHAPES),
                own.choice("weighting", WEIGHTINGS),
                acceptance,
                positive(own, "verification_tolerance_pct"),
                positive(own, "blank_share_of_limit"),
                positive(own, "duplicate_limit_pct"));
    }

    private static EmissionMethod emission(Method.Head head, Section own) {
        List<Extraction.Line> lines = lines(head, own);
        List<EmissionMethod.Overlap> overlaps = new ArrayList<>();
        if (own.has("overlaps")) {
            for (Section section : own.sections("overlaps")) {
                EmissionMethod.Overlap overlap = new EmissionMethod.Overlap(
                        section.text("quantity"), section.text("interferent"), section.number("share"));
                section.nothingElse();
                if (lines.stream().noneMatch(line -> line.quantity().equals(overlap.quantity()))) {
                    section.wrong("quantity", overlap.quantity(), "one of the method's lines");
                }
                if (head.analytes().stream()
                        .noneMatch(analyte -> analyte.symbol().equals(overlap.interferent()))) {
                    section.wrong("interferent", overlap.interferent(), "the symbol of one of the method's analytes");
                }
                overlaps.add(overlap);
            }
        }
        return new EmissionMethod(
                head,
                extraction(own),
                lines,
                own.optionalText("internal_standard"),
                own.number("internal_standard_min_pct", 70),
                own.number("internal_standard_max_pct", 130),
                overlaps,
                own.optionalNumber("saturation"));
    }

    private static FlowMethod flow(Method.Head head, Section own) {
        Section carry = own.section("carry_over");
        FlowMethod.CarryOver carryOver = new FlowMethod.CarryOver(
                carry.text("low"), carry.text("high"), positive(carry, "limit_pct"), positive(carry, "matter_pct"));
        carry.nothingElse();
        return new FlowMethod(
                head,
                extraction(own),
                lines(head, own),
                positive(own, "baseline_drift_limit"),
                carryOver,
                own.optionalNumber("saturation"));
    }

    private static ConductivityMethod conductivity(Method.Head head, Section own) {
        Section compensation = own.section("compensation");
        Source source = source(compensation.section("source"));
        List<Double> celsius = compensation.numbers("celsius");
        List<Double> factor = compensation.numbers("factor");
        compensation.nothingElse();
        boolean rising = celsius.size() >= 2 && celsius.size() == factor.size();
        for (int i = 1; i < celsius.size(); i++) {
            rising &= celsius.get(i) > celsius.get(i - 1);
        }
        if (!rising) {
            compensation.wrong(
                    "celsius",
                    celsius.size() + " temperatures and " + factor.size() + " factors",
                    "two or more rising temperatures and one factor for each");
        }
        if (head.analytes().size() != 1) {
            own.wrong("cell_min", head.analytes().size() + " analytes", "one analyte for a conductivity");
        }
        return new ConductivityMethod(
                head,
                own.number("soil_g"),
                own.number("liquid_ml"),
                celsius,
                factor,
                source,
                positive(own, "cell_min"),
                positive(own, "cell_max"),
                positive(own, "verification_tolerance_pct"),
                positive(own, "highest_ds_per_m"),
                positive(own, "duplicate_limit_pct"));
    }

    private static FormulaMethod formula(Method.Head head, Section own) {
        List<FormulaMethod.Quantity> quantities = new ArrayList<>();
        Map<String, Dimension> names = new LinkedHashMap<>();
        for (Section section : own.sections("quantities")) {
            FormulaMethod.Quantity quantity = new FormulaMethod.Quantity(
                    section.text("name"),
                    section.text("description"),
                    section.text("unit"),
                    section.number("lowest"),
                    section.number("highest"));
            section.nothingElse();
            if (quantity.highest() <= quantity.lowest()) {
                section.wrong("highest", String.valueOf(quantity.highest()), "a number above lowest");
            }
            Dimension dimension = dimension(section, "unit", quantity.unit());
            name(section, names, quantity.name(), dimension);
            names.put("blank_" + quantity.name(), dimension);
            names.put("standard_" + quantity.name(), dimension);
            quantities.add(quantity);
        }
        if (quantities.isEmpty()) {
            own.missing("quantities", "at least one quantity that is read");
        }
        List<Constant> constants = constants(own, names);
        List<Computed> results = results(head, own, names, Map.of());
        return new FormulaMethod(
                head,
                quantities,
                constants,
                results,
                positive(own, "duplicate_limit_pct"),
                own.number("duplicate_floor", 0));
    }

    private static DerivedMethod derived(Method.Head head, Section own) {
        List<DerivedMethod.Input> inputs = new ArrayList<>();
        Map<String, Dimension> names = new LinkedHashMap<>();
        for (Section section : own.sections("inputs")) {
            DerivedMethod.Input input = input(section);
            name(section, names, input.name(), dimension(section, "unit", input.unit()));
            inputs.add(input);
        }
        if (inputs.isEmpty()) {
            own.missing("inputs", "at least one input");
        }
        List<Constant> constants = constants(own, names);
        Map<String, Formula.Table> tables = new LinkedHashMap<>();
        if (own.has("tables")) {
            for (Section section : own.sections("tables")) {
                table(section).ifPresent(table -> tables.put(table.name(), table));
            }
        }
        List<Computed> results = results(head, own, names, tables);
        Optional<DerivedMethod.Advice> advice = Optional.empty();
        if (own.has("advice")) {
            Section section = own.section("advice");
            advice = Optional.of(new DerivedMethod.Advice(section.text("region"), section.text("deference")));
            section.nothingElse();
        }
        return new DerivedMethod(head, inputs, constants, List.copyOf(tables.values()), results, advice);
    }

    private static DerivedMethod.Input input(Section section) {
        List<DerivedMethod.From> from = new ArrayList<>();
        for (Section one : section.sections("from")) {
            DerivedMethod.From place = new DerivedMethod.From(one.text("method"), one.text("analyte"));
            one.nothingElse();
            if (place.method().equals(DerivedMethod.From.SHEET) && !SHEET.contains(place.analyte())) {
                one.wrong("analyte", place.analyte(), "top_cm or bottom_cm of the client's sheet");
            }
            from.add(place);
        }
        if (from.isEmpty()) {
            section.missing("from", "at least one method and analyte");
        }
        OptionalDouble otherwise = section.optionalNumber("otherwise");
        DerivedMethod.Input input = new DerivedMethod.Input(
                section.text("name"),
                from,
                section.text("unit"),
                section.choice("below", BELOWS),
                otherwise,
                otherwise.isPresent()
                        ? section.text("why")
                        : section.optionalText("why").orElse(""));
        section.nothingElse();
        return input;
    }

    private static List<Constant> constants(Section own, Map<String, Dimension> names) {
        List<Constant> constants = new ArrayList<>();
        if (!own.has("constants")) {
            return constants;
        }
        for (Section section : own.sections("constants")) {
            Constant constant = new Constant(
                    section.text("name"),
                    section.number("value"),
                    section.text("unit"),
                    source(section.section("source")));
            section.nothingElse();
            name(section, names, constant.name(), dimension(section, "unit", constant.unit()));
            constants.add(constant);
        }
        return constants;
    }

    private static Optional<Formula.Table> table(Section section) {
        String name = section.text("name");
        Dimension x = dimension(section, "x_unit", section.text("x_unit"));
        Dimension y = dimension(section, "y_unit", section.text("y_unit"));
        List<Double> xs = section.numbers("x");
        List<Double> ys = section.numbers("y");
        section.nothingElse();
        if (Operation.function(name).isPresent()) {
            section.wrong("name", name, "a name that no function has");
            return Optional.empty();
        }
        try {
            return Optional.of(new Formula.Table(name, x, y, xs, ys));
        } catch (NoSenseException wrong) {
            section.wrong("x", String.valueOf(wrong.getMessage()), "rising arguments and one value for each");
            return Optional.empty();
        }
    }

    private static List<Computed> results(
            Method.Head head, Section own, Map<String, Dimension> names, Map<String, Formula.Table> tables) {
        List<Computed> results = new ArrayList<>();
        Set<String> made = new HashSet<>();
        for (Section section : own.sections("results")) {
            String name = section.text("name");
            Optional<Analyte> analyte = head.analytes().stream()
                    .filter(one -> one.symbol().equals(name))
                    .findFirst();
            OptionalDouble lowest = section.optionalNumber("lowest");
            OptionalDouble highest = section.optionalNumber("highest");
            if (section.has("formula") == section.has("classes")) {
                section.wrong("name", name, "either a formula or classes");
                section.nothingElse();
                continue;
            }
            if (section.has("formula")) {
                Optional<Formula> formula = formula(section, "formula", tables);
                formula.ifPresent(f -> {
                    check(
                                    section,
                                    "formula",
                                    f,
                                    names,
                                    analyte.map(a -> a.unit().dimension()))
                            .ifPresent(dimension -> name(section, names, name, dimension));
                    results.add(new Computed(name, formula, List.of(), lowest, highest));
                });
            } else {
                List<Computed.Class> classes = new ArrayList<>();
                for (Section one : section.sections("classes")) {
                    String word = one.text("word");
                    formula(one, "when", tables).ifPresent(when -> {
                        check(one, "when", when, names, Optional.of(Dimension.NUMBER));
                        classes.add(new Computed.Class(word, when));
                    });
                    one.nothingElse();
                }
                if (classes.isEmpty()) {
                    section.missing("classes", "at least one class with word and when");
                } else {
                    results.add(new Computed(name, Optional.empty(), classes, lowest, highest));
                }
            }
            section.nothingElse();
            made.add(name);
        }
        for (Analyte analyte : head.analytes()) {
            if (!made.contains(analyte.symbol())) {
                own.wrong("results", "none of " + analyte.symbol(), "a result of each analyte");
            }
        }
        return results;
    }

    private static Optional<Formula> formula(Section section, String key, Map<String, Formula.Table> tables) {
        String text = section.text(key);
        try {
            return Optional.of(FormulaText.parse(text, tables));
        } catch (NoSenseException wrong) {
            section.wrong(key, text, "a formula; " + wrong.getMessage());
            return Optional.empty();
        }
    }

    private static Optional<Dimension> check(
            Section section, String key, Formula formula, Map<String, Dimension> names, Optional<Dimension> expected) {
        try {
            Dimension found = formula.dimension(names);
            if (expected.isPresent() && !expected.get().same(found)) {
                section.wrong(key, "a result in " + found, "one in " + expected.get());
                return expected;
            }
            return Optional.of(found);
        } catch (NoSenseException wrong) {
            section.wrong(key, formula.text(), "units that go together; " + wrong.getMessage());
            return expected;
        }
    }

    private static Dimension dimension(Section section, String key, String unit) {
        try {
            return Dimension.of(unit);
        } catch (IllegalArgumentException unknown) {
            if (section.has(key)) {
                section.wrong(key, unit, "a UCUM code; " + unknown.getMessage());
            }
            return Dimension.NUMBER;
        }
    }

    private static void name(Section section, Map<String, Dimension> names, String name, Dimension dimension) {
        if (!name.matches("[A-Za-z][A-Za-z0-9_]*")) {
            // An analyte such as NO3-N may have a name that no formula can use.
            return;
        }
        if (names.putIfAbsent(name, dimension) != null) {
            section.wrong("name", name, "a name that nothing else has");
        }
    }

    private static double positive(Section section, String key) {
        double value = section.number(key);
        if (value <= 0) {
            section.wrong(key, String.valueOf(value), "a number above 0");
        }
        return value;
    }

    static <T> Map<String, T> words(T[] values, java.util.function.Function<T, String> word) {
        Map<String, T> words = new LinkedHashMap<>();
        for (T value : values) {
            words.put(word.apply(value), value);
        }
        return words;
    }

    private static <T extends Enum<T>> Map<String, T> lower(T[] values) {
        return words(values, value -> value.name().toLowerCase(Locale.ROOT));
    }
}
