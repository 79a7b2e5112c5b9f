package org.tenmesh.exchange;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

/**
 * Method definitions, one YAML file each. The program ships with three; a laboratory's own folder may override them by id
 * or add others.
 */
public final class MethodFiles {
    private static final List<String> SHIPPED = List.of("ph-water-1-1", "om-loi-360", "mehlich3-icp");
    private static final String REFUSED = "The method is not taken";
    private static final int MOST_BYTES = 1_000_000;

    private static final Map<String, Source.Standing> STANDINGS =
            words(Source.Standing.values(), Source.Standing::word);
    private static final Map<String, Unit> UNITS = words(Unit.values(), Unit::ucum);
    private static final Map<String, Extraction.Basis> BASES = lower(Extraction.Basis.values());
    private static final Map<String, Extraction.Diluent> DILUENTS = lower(Extraction.Diluent.values());
    private static final Map<String, Extraction.Shape> SHAPES = lower(Extraction.Shape.values());
    private static final Map<String, Extraction.Weighting> WEIGHTINGS = lower(Extraction.Weighting.values());

    private MethodFiles() {}

    /** The methods the program ships with, by id, in the order of the report. */
    public static Map<String, Method> shipped() {
        return Shipped.METHODS;
    }

    // Read once, when first asked for.
    private static final class Shipped {
        static final Map<String, Method> METHODS = readShipped();
    }

    private static Map<String, Method> readShipped() {
        Map<String, Method> methods = new LinkedHashMap<>();
        for (String id : SHIPPED) {
            String file = "methods/" + id + ".yaml";
            try (InputStream in = MethodFiles.class.getResourceAsStream(file)) {
                if (in == null) {
                    throw new IllegalStateException(file + " is not in the program");
                }
                methods.put(id, parse(file, new String(in.readAllBytes(), StandardCharsets.UTF_8)));
            } catch (IOException unreadable) {
                throw new UncheckedIOException(file + " of the program cannot be read", unreadable);
            }
        }
        return java.util.Collections.unmodifiableMap(methods);
    }

    /**
     * The shipped methods, overridden and extended by every {@code *.yaml} of a folder; of several versions of one method
     * the newest.
     *
     * @throws UnusableFile with everything that is wrong in the folder's files
     */
    public static Map<String, Method> read(Path folder) {
        return read(folder, LocalDate.MAX);
    }

    /**
     * As {@link #read(Path)}, of several versions the newest that already held on a day. A shipped method yields to any
     * file of the folder with its id.
     *
     * @throws UnusableFile with everything that is wrong in the folder's files
     */
    public static Map<String, Method> read(Path folder, LocalDate day) {
        List<Problem> problems = new ArrayList<>();
        Map<String, Method> own = new TreeMap<>();
        for (Path path : yamlFiles(folder)) {
            String name = String.valueOf(path.getFileName());
            Optional<String> text = TextFile.read(path, name, MOST_BYTES, problems, REFUSED);
            if (text.isEmpty()) {
                continue;
            }
            parse(name, text.get(), problems).ifPresent(method -> {
                if (!method.head().version().isAfter(day)) {
                    own.merge(
                            method.id(),
                            method,
                            (a, b) -> a.head().version().isBefore(b.head().version()) ? b : a);
                }
            });
        }
        if (!problems.isEmpty()) {
            throw new UnusableFile(problems);
        }
        Map<String, Method> methods = new LinkedHashMap<>(shipped());
        methods.putAll(own);
        return java.util.Collections.unmodifiableMap(methods);
    }

    private static List<Path> yamlFiles(Path folder) {
        try (Stream<Path> files = Files.list(folder)) {
            return files.filter(path -> String.valueOf(path.getFileName()).endsWith(".yaml"))
                    .sorted()
                    .toList();
        } catch (IOException unreadable) {
            throw new UnusableFile(List.of(new Problem(
                    folder.toString(), 0, "", "a folder that cannot be read", "a folder of method files", REFUSED)));
        }
    }

    /**
     * One method definition.
     *
     * @param file name used in problems
     * @throws UnusableFile with everything that is wrong in it
     */
    static Method parse(String file, String text) {
        List<Problem> problems = new ArrayList<>();
        Optional<Method> method = parse(file, text, problems);
        if (method.isEmpty() || !problems.isEmpty()) {
            throw new UnusableFile(problems);
        }
        return method.get();
    }

    private static Optional<Method> parse(String file, String text, List<Problem> problems) {
        int before = problems.size();
        Optional<Section> top = YamlText.read(file, text, problems, REFUSED);
        if (top.isEmpty()) {
            return Optional.empty();
        }
        Optional<Method> method = method(top.get());
        return problems.size() == before ? method : Optional.empty();
    }

    private enum Kind {
        ELECTRODE,
        IGNITION,
        EMISSION
    }

    private static Optional<Method> method(Section top) {
        Method.Head head = head(top);
        Map<String, Kind> kinds = lower(Kind.values());
        Kind kind = top.choice("kind", kinds);
        if (!kinds.containsKey(top.text("kind"))) {
            // Without its kind nothing more can be said.
            return Optional.empty();
        }
        String key = kind.name().toLowerCase(java.util.Locale.ROOT);
        Section own = top.section(key);
        top.nothingElse();
        Method method = switch (kind) {
            case ELECTRODE -> electrode(head, own);
            case IGNITION -> ignition(head, own);
            case EMISSION -> emission(head, own);
        };
        own.nothingElse();
        return Optional.of(method);
    }

    private static Method.Head head(Section top) {
        List<Source> sources =
                top.sections("sources").stream().map(MethodFiles::source).toList();
        if (sources.isEmpty()) {
            top.missing("sources", "at least one source with text and standing");
        }
        List<Analyte> analytes =
                top.sections("analytes").stream().map(MethodFiles::analyte).toList();
        if (analytes.isEmpty()) {
            top.missing("analytes", "at least one analyte");
        }
        return new Method.Head(
                top.text("id"),
                top.date("version"),
                top.text("title"),
                top.text("summary"),
                sources,
                analytes,
                top.texts("cautions"),
                top.optionalText("note").orElse(""));
    }

    private static Source source(Section section) {
        Source source = new Source(section.text("text"), section.choice("standing", STANDINGS));
        section.nothingElse();
        return source;
    }

    private static Analyte analyte(Section section) {
        Analyte analyte = new Analyte(
                section.text("symbol"),
                section.text("name"),
                section.choice("unit", UNITS),
                new Rounding(section.whole("decimals", 0, 9)),
                section.optionalNumber("reporting_limit"),
                section.optionalNumber("upper_limit"),
                section.number("within_rsd_pct"),
                section.number("within_floor"),
                section.number("scale_low"),
                section.number("scale_high"));
        section.nothingElse();
        if (analyte.withinRsdPct() < 0 || analyte.withinFloor() < 0) {
            section.wrong("within_rsd_pct", "a negative standard deviation", "0 or more");
        }
        if (analyte.scaleHigh() <= analyte.scaleLow() && section.has("scale_low") && section.has("scale_high")) {
            section.wrong("scale_high", "an end not above scale_low", "a number above " + analyte.scaleLow());
        }
        return analyte;
    }

    private static ElectrodeMethod electrode(Method.Head head, Section own) {
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

    private static EmissionMethod emission(Method.Head head, Section own) {
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
        Section accept = own.section("acceptance");
        Extraction.Acceptance acceptance = new Extraction.Acceptance(
                accept.number("least_r"),
                accept.number("most_rse_pct"),
                accept.number("low_readback_pct"),
                accept.number("readback_pct"));
        accept.nothingElse();
        Extraction extraction = new Extraction(
                positive(own, "soil_g"),
                positive(own, "extract_ml"),
                own.choice("basis", BASES),
                positive(own, "scoop_ml"),
                positive(own, "measured_scoop_g"),
                own.choice("diluent", DILUENTS),
                own.truth("subtract_blank", true),
                own.choice("shape", SHAPES),
                own.choice("weighting", WEIGHTINGS),
                acceptance,
                positive(own, "verification_tolerance_pct"),
                positive(own, "blank_share_of_limit"),
                positive(own, "duplicate_limit_pct"));
        return new EmissionMethod(
                head,
                extraction,
                lines,
                own.optionalText("internal_standard"),
                own.number("internal_standard_min_pct", 70),
                own.number("internal_standard_max_pct", 130),
                List.of(),
                java.util.OptionalDouble.empty());
    }

    private static double positive(Section section, String key) {
        double value = section.number(key);
        if (value <= 0) {
            section.wrong(key, String.valueOf(value), "a number above 0");
        }
        return value;
    }

    private static <T> Map<String, T> words(T[] values, java.util.function.Function<T, String> word) {
        Map<String, T> words = new LinkedHashMap<>();
        for (T value : values) {
            words.put(word.apply(value), value);
        }
        return words;
    }

    private static <T extends Enum<T>> Map<String, T> lower(T[] values) {
        return words(values, value -> value.name().toLowerCase(java.util.Locale.ROOT));
    }
}
