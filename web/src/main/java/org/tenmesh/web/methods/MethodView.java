package org.tenmesh.web.methods;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.formula.Formula;
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
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Source;
import org.tenmesh.web.words.Words;

/**
 * One method in words and tables: how its number is made, with which settings, how far each source was checked.
 *
 * @param advice whose advice it is and what comes first; empty for what is measured or follows from measurements
 */
public record MethodView(
        Method method,
        String kind,
        String portion,
        Optional<Advice> advice,
        List<FormulaLine> formulas,
        List<ClassLine> classes,
        List<SymbolLine> symbols,
        List<Setting> settings,
        List<InputLine> inputs,
        List<TableView> tables,
        List<VersionLine> versions,
        List<ExampleView> examples) {

    /** One version and whether it is the one in use. */
    public record VersionLine(String date, String says) {}

    /** One result or step between. */
    public record FormulaLine(String name, String text, String unit, boolean reported) {}

    /** One class of a result, in the order tried. */
    public record ClassLine(String of, String word, String when) {}

    /**
     * What a letter in a formula stands for.
     *
     * @param value its number where it has one
     * @param source where that number comes from; may be empty
     */
    public record SymbolLine(String symbol, String what, String unit, String value, String source) {}

    /** A setting and its value. */
    public record Setting(String what, String value) {}

    /** An input of a derived result. */
    public record InputLine(String name, List<Link> from, String unit, String below, String otherwise) {}

    /** A result of another method, or of the client's sheet. */
    public record Link(String text, String href) {}

    /** A table of two columns. */
    public record TableView(String title, String x, String y, List<Row> rows, String source) {
        public record Row(String x, String y) {}
    }

    /** Methods of one kind, in the list. */
    public record Group(String title, String says, boolean advice, List<Line> lines) {}

    /**
     * One method in the list.
     *
     * @param later that it is not in use yet, or from when another version holds; may be empty
     */
    public record Line(
            Method method, String portion, String analytes, String standing, String later, String region, boolean on) {}

    private static final List<String> KINDS = List.of(
            "Read by electrode",
            "Read by conductivity cell",
            "Weighed, titrated or read by hydrometer",
            "Extracts read by flow analysis",
            "Extracts read by plasma emission",
            "Calculated from other results");
    private static final String ADVICE = "Regional advice";

    /**
     * Every method, in the version in use.
     *
     * @param on regions whose advice is switched on
     */
    static List<Group> groups(MethodBook methods, LocalDate today, Set<String> on) {
        Map<String, List<Line>> byKind = new LinkedHashMap<>();
        KINDS.forEach(kind -> byKind.put(kind, new ArrayList<>()));
        byKind.put(ADVICE, new ArrayList<>());
        for (String id : methods.ids()) {
            Method method = inUse(methods, id, today);
            byKind.getOrDefault(kind(method), new ArrayList<>())
                    .add(new Line(
                            method,
                            portion(method),
                            Words.analytes(method),
                            standing(method),
                            later(methods, method, today),
                            advice(method).map(Advice::region).orElse(""),
                            advice(method).map(a -> on.contains(a.region())).orElse(true)));
        }
        List<Group> groups = new ArrayList<>();
        byKind.forEach((kind, lines) -> {
            if (!lines.isEmpty()) {
                groups.add(new Group(kind, says(kind), kind.equals(ADVICE), lines));
            }
        });
        return groups;
    }

    /** The version that holds today; of a method that begins later its first. */
    static Method inUse(MethodBook methods, String id, LocalDate today) {
        return methods.find(id, today).orElseGet(() -> {
            List<Method> versions = methods.versions(id);
            return versions.get(versions.size() - 1);
        });
    }

    /** What is not yet so: that the method begins later, or that another version does; empty text when neither. */
    private static String later(MethodBook methods, Method inUse, LocalDate today) {
        if (methods.find(inUse.id(), today).isEmpty()) {
            return "not in use yet";
        }
        List<String> dates = methods.versions(inUse.id()).stream()
                .map(version -> version.head().version())
                .filter(date -> date.isAfter(today) && date.isAfter(inUse.head().version()))
                .sorted()
                .map(LocalDate::toString)
                .toList();
        return dates.isEmpty() ? "" : "another from " + String.join(", ", dates);
    }

    private static String says(String kind) {
        return switch (kind) {
            case "Calculated from other results" ->
                "One input on hold holds the result; what stands for an input below its limit is stated with each.";
            case ADVICE ->
                "No measurements. Off unless the laboratory switches one on; on a report it stands apart and a person"
                        + " signs it. Local recommendations and licensed practice come first.";
            default -> "";
        };
    }

    static String kind(Method method) {
        if (method instanceof ElectrodeMethod) {
            return KINDS.get(0);
        }
        if (method instanceof ConductivityMethod) {
            return KINDS.get(1);
        }
        if (method instanceof FlowMethod) {
            return KINDS.get(3);
        }
        if (method instanceof EmissionMethod) {
            return KINDS.get(4);
        }
        if (method instanceof DerivedMethod derived) {
            return derived.advice().isPresent() ? ADVICE : KINDS.get(5);
        }
        return KINDS.get(2);
    }

    static Optional<Advice> advice(Method method) {
        return method instanceof DerivedMethod derived ? derived.advice() : Optional.empty();
    }

    /** What is taken from a well: "suspension 1-1, 7 g". */
    static String portion(Method method) {
        if (method instanceof DerivedMethod) {
            return "";
        }
        return method.head()
                .portion()
                .map(p -> Words.portion(p.name()) + (p.soilG() > 0 ? ", " + Words.plain(p.soilG()) + " g" : ""))
                .orElse("");
    }

    /** How far its sources were checked: "2 read, 1 from memory". */
    static String standing(Method method) {
        List<String> parts = new ArrayList<>();
        for (Source.Standing standing : Source.Standing.values()) {
            long n = method.head().sources().stream()
                    .filter(s -> s.standing() == standing)
                    .count();
            if (n > 0) {
                parts.add(n + " " + standing.word());
            }
        }
        return String.join(", ", parts);
    }

    /** @param released versions under which results were released */
    static MethodView of(Method method, MethodBook book, LocalDate today, Set<String> released) {
        MethodsOfDay methods = book.on(today);
        List<FormulaLine> formulas = new ArrayList<>();
        List<ClassLine> classes = new ArrayList<>();
        List<SymbolLine> symbols = new ArrayList<>();
        List<Setting> settings = new ArrayList<>();
        List<InputLine> inputs = new ArrayList<>();
        List<TableView> tables = new ArrayList<>();
        if (method instanceof ElectrodeMethod electrode) {
            electrode(electrode, formulas, symbols, settings, tables);
        } else if (method instanceof IgnitionMethod ignition) {
            ignition(ignition, formulas, symbols, settings);
        } else if (method instanceof ExtractionMethod extraction) {
            extraction(extraction, formulas, symbols, settings);
        } else if (method instanceof ConductivityMethod conductivity) {
            conductivity(conductivity, formulas, symbols, settings, tables);
        } else if (method instanceof FormulaMethod formula) {
            computed(method, formula.results(), formulas, classes);
            formula.quantities()
                    .forEach(q -> symbols.add(new SymbolLine(
                            q.name(),
                            q.description(),
                            Words.unit(q.unit()),
                            "read, " + Words.plain(q.lowest()) + " to " + Words.plain(q.highest()),
                            "")));
            means(formula, symbols);
            constants(formula.constants(), symbols);
            settings.add(duplicates(formula.duplicateLimitPct(), formula.duplicateFloor()));
        } else if (method instanceof DerivedMethod derived) {
            computed(method, derived.results(), formulas, classes);
            constants(derived.constants(), symbols);
            derived.inputs().forEach(input -> inputs.add(input(input, methods)));
            derived.tables().forEach(table -> tables.add(table(table)));
        }
        return new MethodView(
                method,
                kind(method),
                portion(method),
                advice(method),
                formulas,
                classes,
                symbols,
                settings,
                inputs,
                tables,
                versions(method, book, today, released),
                method.head().examples().stream()
                        .map(example -> ExampleView.of(method, example))
                        .toList());
    }

    // A version that the files no longer hold but under which results were released is told too.
    private static List<VersionLine> versions(Method shown, MethodBook book, LocalDate today, Set<String> released) {
        String inUse = shown.head().version().toString();
        Set<String> dates = new TreeSet<>(Comparator.reverseOrder());
        dates.addAll(released);
        book.versions(shown.id())
                .forEach(version -> dates.add(version.head().version().toString()));
        dates.remove(inUse);
        List<VersionLine> lines = new ArrayList<>();
        lines.add(new VersionLine(
                inUse,
                book.find(shown.id(), today).isPresent() ? "in use" : "not in use yet: holds from this date on"));
        for (String date : dates) {
            boolean left = released.contains(date);
            lines.add(new VersionLine(
                    date,
                    date.compareTo(inUse) > 0 && date.compareTo(today.toString()) > 0
                            ? "holds from this date on"
                            : left ? "results were released under it" : "held before"));
        }
        return lines;
    }

    private static void computed(
            Method method, List<Computed> results, List<FormulaLine> formulas, List<ClassLine> classes) {
        for (Computed one : results) {
            Optional<Analyte> analyte = method.analyte(one.name());
            one.formula()
                    .ifPresent(f -> formulas.add(new FormulaLine(
                            one.name(),
                            f.text() + bounds(one),
                            analyte.map(a -> a.unit().spelling()).orElse(""),
                            analyte.isPresent())));
            one.classes()
                    .forEach(c -> classes.add(
                            new ClassLine(one.name(), c.word(), c.when().text())));
        }
    }

    private static String bounds(Computed one) {
        if (one.lowest().isEmpty() && one.highest().isEmpty()) {
            return "";
        }
        return "   (possible: "
                + (one.lowest().isPresent()
                        ? Words.plain(one.lowest().getAsDouble())
                                + (one.highest().isPresent() ? " to " : " and more")
                        : "up to ")
                + (one.highest().isPresent() ? Words.plain(one.highest().getAsDouble()) : "") + ")";
    }

    /** Means over the run's blanks and standards, where a formula uses them. */
    private static void means(FormulaMethod method, List<SymbolLine> symbols) {
        Set<String> used = new LinkedHashSet<>();
        for (Computed one : method.results()) {
            one.formula().map(Formula::names).ifPresent(used::addAll);
            one.classes().forEach(c -> used.addAll(c.when().names()));
        }
        for (FormulaMethod.Quantity q : method.quantities()) {
            for (String of : List.of("blank", "standard")) {
                String name = of + "_" + q.name();
                if (used.contains(name)) {
                    symbols.add(new SymbolLine(
                            name, "mean of " + q.name() + " over the run's " + of + "s", Words.unit(q.unit()), "", ""));
                }
            }
        }
    }

    private static void constants(List<Constant> constants, List<SymbolLine> symbols) {
        constants.forEach(c -> symbols.add(new SymbolLine(
                c.name(),
                "constant",
                Words.unit(c.unit()),
                Words.grouped(Words.plain(c.value())),
                c.source().text() + " (" + c.source().standing().word() + ")")));
    }

    private static InputLine input(DerivedMethod.Input input, MethodsOfDay methods) {
        List<Link> from = input.from().stream()
                .map(f -> {
                    Method other = methods.find(f.method()).orElse(null);
                    return f.method().equals(DerivedMethod.From.SHEET)
                            ? new Link(f.analyte().replace("_cm", " of the layer") + ", from the client's sheet", "")
                            : new Link(
                                    f.analyte() + " by "
                                            + (other == null
                                                    ? f.method()
                                                    : other.head().title()),
                                    other == null ? "" : "/methods/" + Words.part(f.method()));
                })
                .toList();
        return new InputLine(
                input.name(),
                from,
                Words.unit(input.unit()),
                switch (input.below()) {
                    case HALF -> "half the limit";
                    case ZERO -> "nothing";
                    case LIMIT -> "the limit";
                    case REFUSE -> "no result";
                },
                input.otherwise().isPresent()
                        ? Words.plain(input.otherwise().getAsDouble())
                                + (input.why().isEmpty() ? "" : ": " + input.why())
                        : "no result");
    }

    private static TableView table(Formula.Table table) {
        List<TableView.Row> rows = new ArrayList<>();
        for (int i = 0; i < table.x().size(); i++) {
            rows.add(new TableView.Row(
                    Words.plain(table.x().get(i)), Words.plain(table.y().get(i))));
        }
        return new TableView(
                table.name() + ": straight lines between these points, outside them no result",
                "at",
                table.name(),
                rows,
                "");
    }

    private static void electrode(
            ElectrodeMethod m,
            List<FormulaLine> formulas,
            List<SymbolLine> symbols,
            List<Setting> settings,
            List<TableView> tables) {
        String name = m.head().analytes().isEmpty()
                ? "pH"
                : m.head().analytes().get(0).symbol();
        formulas.add(new FormulaLine(name, "7 − (E − E0) / S × (T0 + 273.15) / (T + 273.15)", "", true));
        symbols.add(new SymbolLine("E", "potential in the suspension", "mV", "read", ""));
        symbols.add(new SymbolLine("T", "temperature of the suspension", "°C", "read", ""));
        symbols.add(new SymbolLine("E0", "potential at pH 7", "mV", "from the run's buffers, each probe its own", ""));
        symbols.add(new SymbolLine("S", "slope", "mV per pH", "from the run's buffers, each probe its own", ""));
        symbols.add(new SymbolLine("T0", "temperature of the buffers", "°C", "from the run's buffers", ""));
        if (m.soilG() > 0) {
            settings.add(new Setting("Soil", Words.plain(m.soilG()) + " g"));
            settings.add(new Setting("Liquid", Words.plain(m.liquidMl()) + " mL"));
        }
        settings.add(new Setting("Probes read together", Integer.toString(m.probes())));
        settings.add(new Setting(
                "Slope accepted",
                Words.plain(m.slopeMinPct()) + " to " + Words.plain(m.slopeMaxPct()) + " % of the theoretical one"));
        settings.add(new Setting("Potential at pH 7", "within ±" + Words.plain(m.offsetLimitMv()) + " mV"));
        settings.add(new Setting("Known buffer", "within ±" + Words.plain(m.verificationTolerancePh()) + " of its pH"));
        settings.add(new Setting("Possible pH", Words.plain(m.lowestPh()) + " to " + Words.plain(m.highestPh())));
        settings.add(
                new Setting("Two portions of one soil", "at most " + Words.plain(m.duplicateLimitPh()) + " apart"));
        for (BufferTable buffer : m.buffers()) {
            List<TableView.Row> rows = new ArrayList<>();
            for (int i = 0; i < buffer.celsius().size(); i++) {
                rows.add(new TableView.Row(
                        Words.plain(buffer.celsius().get(i)),
                        Words.plain(buffer.ph().get(i))));
            }
            tables.add(new TableView(
                    "Buffer " + buffer.name(),
                    "°C",
                    "pH",
                    rows,
                    buffer.source().text() + " (" + buffer.source().standing().word() + ")"));
        }
    }

    private static void ignition(
            IgnitionMethod m, List<FormulaLine> formulas, List<SymbolLine> symbols, List<Setting> settings) {
        formulas.add(new FormulaLine("LOI", "100 × (dry − ash) / (dry − tare)", "%", true));
        IgnitionMethod.Regression line = m.organicMatter();
        formulas.add(new FormulaLine("OM", "slope × LOI + intercept, never below 0", "%", true));
        symbols.add(new SymbolLine("tare", "crucible, weighed empty", "g", "read", ""));
        symbols.add(new SymbolLine("dry", "dry soil and crucible", "g", "read", ""));
        symbols.add(new SymbolLine("ash", "ash and crucible", "g", "read", ""));
        String source = "version of " + line.version() + ", " + line.source().text() + " ("
                + line.source().standing().word() + ")";
        symbols.add(new SymbolLine("slope", "% OM per % LOI", "", Words.plain(line.slope()), source));
        symbols.add(new SymbolLine("intercept", "% OM", "%", Words.plain(line.intercept()), source));
        settings.add(new Setting("Dried", Words.plain(m.dryHours()) + " h at " + Words.plain(m.dryCelsius()) + " °C"));
        settings.add(
                new Setting("Furnace", Words.plain(m.ashHours()) + " h at " + Words.plain(m.ashCelsius()) + " °C"));
        settings.add(new Setting(
                "Dry soil in a crucible",
                Words.plain(m.leastDrySoilG()) + " to " + Words.plain(m.mostDrySoilG()) + " g"));
        settings.add(new Setting("Known soils first", Words.of(m.knownsFirst(), "position")));
        settings.add(new Setting("Largest loss that is possible", Words.plain(m.highestLoiPct()) + " %"));
        settings.add(duplicates(m.duplicateLimitPct(), m.duplicateFloorPct()));
    }

    private static void extraction(
            ExtractionMethod m, List<FormulaLine> formulas, List<SymbolLine> symbols, List<Setting> settings) {
        Extraction e = m.extraction();
        String blank = e.subtractBlank() ? "b" : "0";
        String net = e.diluent() == Extraction.Diluent.EXTRACTANT
                ? (e.subtractBlank() ? "(c − b) × D" : "c × D")
                : (e.subtractBlank() ? "(c × D − b)" : "c × D");
        String unit = m.head().analytes().isEmpty()
                ? ""
                : m.head().analytes().get(0).unit().spelling();
        formulas.add(new FormulaLine(
                "content",
                net
                        + switch (e.basis()) {
                            case MASS -> " × V / m";
                            case VOLUME -> " × V / v";
                            case EXTRACT -> "";
                        },
                unit,
                true));
        symbols.add(new SymbolLine("c", "extract as read, through the run's calibration", "mg/L", "", ""));
        if (blank.equals("b")) {
            symbols.add(new SymbolLine("b", "mean method blank of the run", "mg/L", "", ""));
        }
        symbols.add(new SymbolLine("D", "dilution of the extract", "", "1 or more", ""));
        switch (e.basis()) {
            case MASS -> {
                symbols.add(new SymbolLine("V", "extractant", "mL", Words.plain(e.extractMl()), ""));
                symbols.add(new SymbolLine("m", "soil, mean measured mass", "g", Words.plain(e.measuredScoopG()), ""));
            }
            case VOLUME -> {
                symbols.add(new SymbolLine("V", "extractant", "mL", Words.plain(e.extractMl()), ""));
                symbols.add(new SymbolLine("v", "soil, volume of the scoop", "mL", Words.plain(e.scoopMl()), ""));
            }
            case EXTRACT -> {}
        }
        if (e.basis() != Extraction.Basis.EXTRACT) {
            settings.add(new Setting(
                    "Soil",
                    e.basis() == Extraction.Basis.MASS
                            ? Words.plain(e.soilG()) + " g"
                            : "a scoop of " + Words.plain(e.scoopMl()) + " mL"));
            settings.add(new Setting("Extractant", Words.plain(e.extractMl()) + " mL"));
        }
        settings.add(
                new Setting("Diluted with", e.diluent() == Extraction.Diluent.EXTRACTANT ? "extractant" : "water"));
        settings.add(new Setting(
                "Calibration",
                (e.shape() == Extraction.Shape.LINE ? "a straight line" : "a quadratic curve")
                        + switch (e.weighting()) {
                            case NONE -> ", standards not weighted";
                            case ONE_OVER_X -> ", standards weighted 1/x";
                            case ONE_OVER_X_SQUARED -> ", standards weighted 1/x²";
                        }));
        settings.add(new Setting(
                "Calibration accepted",
                "r above " + Words.plain(e.acceptance().leastR()) + ", relative standard error below "
                        + Words.plain(e.acceptance().mostRsePct()) + " %, standards read back within "
                        + Words.plain(e.acceptance().readbackPct()) + " %, the lowest within "
                        + Words.plain(e.acceptance().lowReadbackPct()) + " %"));
        settings.add(new Setting("Check solution", "within " + Words.plain(e.verificationTolerancePct()) + " %"));
        settings.add(new Setting(
                "Blank", "at most " + Words.plain(100 * e.blankShareOfLimit()) + " % of the reporting limit"));
        settings.add(duplicates(e.duplicateLimitPct(), 0));
        settings.add(new Setting(
                "Signals",
                String.join(
                        ", ",
                        m.lines().stream()
                                .map(l -> l.quantity() + (l.preferred() ? "" : " (second)"))
                                .toList())));
        if (m instanceof FlowMethod flow) {
            settings.add(new Setting(
                    "Baseline",
                    "runs straight between two washes and is taken off; at most "
                            + Words.plain(flow.baselineDriftLimit()) + " absorbance of change between them"));
            settings.add(new Setting(
                    "Carry-over",
                    flow.carryOver().low() + ", " + flow.carryOver().high() + ", "
                            + flow.carryOver().low() + " before the first soil; at most "
                            + Words.plain(flow.carryOver().limitPct()) + " % of the peak before"));
        }
        if (m instanceof EmissionMethod emission) {
            emission.internalStandard()
                    .ifPresent(line -> settings.add(new Setting(
                            "Internal standard",
                            line + ", " + Words.plain(emission.internalStandardMinPct()) + " to "
                                    + Words.plain(emission.internalStandardMaxPct())
                                    + " % of its mean over the calibration")));
            for (EmissionMethod.Overlap overlap : emission.overlaps()) {
                settings.add(new Setting(
                        "Taken off " + overlap.quantity(),
                        Words.plain(overlap.share()) + " mg/L for each mg/L of " + overlap.interferent()));
            }
        }
        m.saturation()
                .ifPresent(most -> settings.add(new Setting(
                        "Saturated from",
                        Words.grouped(Words.plain(most)) + (m instanceof FlowMethod ? " absorbance" : " per second"))));
    }

    private static void conductivity(
            ConductivityMethod m,
            List<FormulaLine> formulas,
            List<SymbolLine> symbols,
            List<Setting> settings,
            List<TableView> tables) {
        String name = m.head().analytes().isEmpty()
                ? "EC"
                : m.head().analytes().get(0).symbol();
        formulas.add(new FormulaLine(name, "G × cell × f(T)", "dS/m", true));
        symbols.add(new SymbolLine("G", "conductance as read", "mS/cm", "read", ""));
        symbols.add(new SymbolLine("T", "temperature", "°C", "read", ""));
        symbols.add(new SymbolLine("cell", "cell factor: known over read, from the run's standards", "", "", ""));
        symbols.add(new SymbolLine("f", "factor to 25 °C, from the table", "", "", ""));
        if (m.soilG() > 0) {
            settings.add(new Setting("Soil", Words.plain(m.soilG()) + " g"));
            settings.add(new Setting("Water", Words.plain(m.liquidMl()) + " mL"));
        } else {
            settings.add(new Setting("Read", "the extract as it comes"));
        }
        settings.add(new Setting("Cell factor accepted", Words.plain(m.cellMin()) + " to " + Words.plain(m.cellMax())));
        settings.add(new Setting("Check solution", "within " + Words.plain(m.verificationTolerancePct()) + " %"));
        settings.add(new Setting("To be diluted above", Words.plain(m.highestDsPerM()) + " dS/m"));
        settings.add(duplicates(m.duplicateLimitPct(), 0));
        List<TableView.Row> rows = new ArrayList<>();
        for (int i = 0; i < m.celsius().size(); i++) {
            rows.add(new TableView.Row(
                    Words.plain(m.celsius().get(i)), Words.plain(m.factor().get(i))));
        }
        tables.add(new TableView(
                "Factor to 25 °C: straight lines between these points, outside them no result",
                "°C",
                "factor",
                rows,
                m.compensation().text() + " (" + m.compensation().standing().word() + ")"));
    }

    private static Setting duplicates(double limitPct, double floor) {
        return new Setting(
                "Two portions of one soil",
                "at most " + Words.plain(limitPct) + " % of their mean apart"
                        + (floor > 0 ? "; " + Words.plain(floor) + " is always allowed" : ""));
    }
}
