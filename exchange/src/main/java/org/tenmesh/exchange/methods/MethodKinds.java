package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.BiFunction;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.Advice;
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
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** The part of a method file that goes with its kind. */
enum MethodKinds {
    ELECTRODE(MethodKinds::electrode),
    IGNITION(MethodKinds::ignition),
    EMISSION(MethodKinds::emission),
    FLOW(MethodKinds::flow),
    CONDUCTIVITY(MethodKinds::conductivity),
    FORMULA(MethodKinds::formula),
    DERIVED(MethodKinds::derived);

    private static final Map<String, Extraction.Basis> BASES = lower(Extraction.Basis.values());
    private static final Map<String, Extraction.Diluent> DILUENTS = lower(Extraction.Diluent.values());
    private static final Map<String, Extraction.Shape> SHAPES = lower(Extraction.Shape.values());
    private static final Map<String, Extraction.Weighting> WEIGHTINGS = lower(Extraction.Weighting.values());
    private static final Map<String, DerivedMethod.Below> BELOWS = lower(DerivedMethod.Below.values());
    private static final Map<String, Source.Standing> STANDINGS =
            words(Source.Standing.values(), Source.Standing::word);
    private static final Set<String> SHEET = Set.of("top_cm", "bottom_cm");
    private static final String BLANK = "blank_";
    private static final String STANDARD = "standard_";
    /** Of what is wrong already; what is made of it is not told a second time. */
    private static final Dimension DOUBTFUL = Dimension.NUMBER.power(1);

    private static final Pattern NAME = Pattern.compile("[A-Za-z][A-Za-z0-9_]*");

    private final BiFunction<Method.Head, Section, Method> part;

    MethodKinds(BiFunction<Method.Head, Section, Method> part) {
        this.part = part;
    }

    /** The method, from its head and the part that goes with its kind. */
    Method read(Method.Head head, Section own) {
        return part.apply(head, own);
    }

    /** The word in files. */
    String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    /** The numbers an example of a method may give. */
    static Set<String> given(Method method) {
        Set<String> names = new LinkedHashSet<>();
        if (method instanceof FormulaMethod formula) {
            for (FormulaMethod.Quantity quantity : formula.quantities()) {
                names.add(quantity.name());
                names.add(BLANK + quantity.name());
                names.add(STANDARD + quantity.name());
            }
        } else if (method instanceof DerivedMethod derived) {
            derived.inputs().forEach(input -> names.add(input.name()));
        } else if (method instanceof ElectrodeMethod) {
            names.addAll(
                    List.of("potential", "temperature", "slope_mv_per_ph", "offset_mv", "calibration_temperature"));
        } else if (method instanceof ConductivityMethod) {
            names.addAll(List.of("conductance", "temperature", "cell_factor", "dilution"));
        } else if (method instanceof IgnitionMethod) {
            names.addAll(List.of("tare", "dry", "ash"));
        } else {
            names.addAll(List.of("extract_mg_per_l", "blank_mg_per_l", "dilution"));
        }
        return names;
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
                    section.wrong("quantity", Problem.quoted(overlap.quantity()), "one of the method's lines");
                }
                if (head.analytes().stream()
                        .noneMatch(analyte -> analyte.symbol().equals(overlap.interferent()))) {
                    section.wrong(
                            "interferent",
                            Problem.quoted(overlap.interferent()),
                            "the symbol of one of the method's analytes");
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
                section.wrong("highest", "a number not above lowest", "one above " + DecimalText.of(quantity.lowest()));
            }
            Dimension dimension = dimension(section, "unit", quantity.unit());
            name(section, names, quantity.name(), dimension);
            names.put(BLANK + quantity.name(), dimension);
            names.put(STANDARD + quantity.name(), dimension);
            quantities.add(quantity);
        }
        if (quantities.isEmpty()) {
            own.missing("quantities", "at least one quantity that is read");
        }
        List<Constant> constants = constants(own, names);
        List<Computed> results = results(head, own, names, Map.of());
        Set<String> used = used(results);
        idle(own, "constants", constants.stream().map(Constant::name).toList(), used);
        List<String> read = new ArrayList<>();
        for (FormulaMethod.Quantity quantity : quantities) {
            boolean mean = used.contains(BLANK + quantity.name()) || used.contains(STANDARD + quantity.name());
            if (!mean) {
                read.add(quantity.name());
            }
        }
        idle(own, "quantities", read, used);
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
                Formula.Table table = table(section);
                name(section, new LinkedHashMap<>(names), table.name(), Dimension.NUMBER);
                tables.put(table.name(), table);
            }
        }
        List<Computed> results = results(head, own, names, tables);
        Set<String> used = used(results);
        idle(own, "inputs", inputs.stream().map(DerivedMethod.Input::name).toList(), used);
        idle(own, "constants", constants.stream().map(Constant::name).toList(), used);
        idle(own, "tables", List.copyOf(tables.keySet()), used);
        Optional<Advice> advice = Optional.empty();
        if (own.has("advice")) {
            Section section = own.section("advice");
            advice = Optional.of(new Advice(section.text("region"), section.text("deference")));
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
                one.wrong("analyte", Problem.quoted(place.analyte()), "top_cm or bottom_cm of the client's sheet");
            }
            from.add(place);
        }
        if (from.isEmpty()) {
            section.missing("from", "at least one method and analyte");
        }
        OptionalDouble otherwise = section.optionalNumber("otherwise");
        boolean sheet = from.stream().allMatch(one -> one.method().equals(DerivedMethod.From.SHEET));
        DerivedMethod.Input input = new DerivedMethod.Input(
                section.text("name"),
                from,
                section.text("unit"),
                // What a client writes on a sheet has no reporting limit.
                sheet && !section.has("below") ? DerivedMethod.Below.REFUSE : section.choice("below", BELOWS),
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

    private static Formula.Table table(Section section) {
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

    private static List<Computed> results(
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
            if (section.has("formula") == section.has("classes")) {
                section.allow("formula");
                section.allow("classes");
                section.wrong(
                        "name",
                        section.has("formula") ? "both formula and classes" : "neither formula nor classes",
                        "one of them");
            } else if (section.has("formula")) {
                Optional<Formula> formula = formula(section, "formula", tables);
                Optional<Dimension> expected = analyte.map(a -> Dimension.of(a.unit()));
                Optional<Dimension> found =
                        formula.isEmpty() ? expected : check(section, "formula", formula.get(), names, later, expected);
                if (analyte.isEmpty() || NAME.matcher(name).matches()) {
                    name(section, names, name, found.orElse(DOUBTFUL));
                }
                formula.ifPresent(f -> results.add(new Computed(name, formula, List.of(), lowest, highest)));
            } else {
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
                            "name", Problem.quoted(name), "the symbol of an analyte, because a class is reported");
                }
                if (classes.isEmpty()) {
                    section.missing("classes", "at least one class with word and when");
                } else {
                    results.add(new Computed(name, Optional.empty(), classes, lowest, highest));
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
                .filter(name -> !name.startsWith(BLANK) && !name.startsWith(STANDARD))
                .toList();
        boolean readings = own.size() < names.size();
        return "one of " + String.join(", ", own) + (readings ? ", or a reading's name after blank_ or standard_" : "");
    }

    private static Dimension dimension(Section section, String key, String unit) {
        try {
            return Dimension.of(unit);
        } catch (IllegalArgumentException unknown) {
            if (section.has(key)) {
                section.wrong(key, Problem.quoted(unit), "a UCUM code, such as mg/kg; " + unknown.getMessage());
            }
            return DOUBTFUL;
        }
    }

    private static void name(Section section, Map<String, Dimension> names, String name, Dimension dimension) {
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
    private static void idle(Section own, String key, List<String> there, Set<String> used) {
        if (own.hasProblems()) {
            return;
        }
        for (String name : there) {
            if (!used.contains(name)) {
                own.wrong(key, Problem.quoted(name) + ", which no formula uses", "only what is used");
            }
        }
    }

    private static Set<String> used(List<Computed> results) {
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

    private static double positive(Section section, String key) {
        double value = section.number(key);
        if (value <= 0) {
            section.wrong(key, DecimalText.of(value), "a number above 0");
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
