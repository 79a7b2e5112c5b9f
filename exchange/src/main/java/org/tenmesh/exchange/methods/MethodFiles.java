package org.tenmesh.exchange.methods;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.BenchStep;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Portion;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.methods.StoredSoil;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.yaml.Section;
import org.tenmesh.exchange.yaml.YamlText;

/**
 * Method definitions, one YAML file each. Those the program ships with are all files of its folder, in the order of their ids; a
 * laboratory's own folder may override them by id or add others.
 */
public final class MethodFiles {
    private static final String REFUSED = "The method is not taken";
    private static final int MOST_BYTES = 1_000_000;

    private static final Pattern ID = Pattern.compile("[a-z0-9][a-z0-9_-]*");
    private static final Pattern SYMBOL = Pattern.compile("[A-Za-z][A-Za-z0-9_-]*");
    private static final Map<String, Unit> UNITS = Values.words(Unit.values(), Unit::ucum);

    private MethodFiles() {}

    /** The methods the program ships with, in the order of their ids. */
    public static MethodBook shipped() {
        return Shipped.BOOK;
    }

    /**
     * A method that ships, in the version that ships.
     *
     * @throws org.tenmesh.core.methods.NoMethodVersion when no method of that id ships
     */
    public static Method shipped(String id) {
        List<Method> versions = shipped().versions(id);
        return versions.isEmpty() ? shipped().of(id, LocalDate.MAX) : versions.get(0);
    }

    /** All methods that ship, in the version that ships, in the order of their ids. */
    public static List<Method> allShipped() {
        return shipped().ids().parallelStream().map(MethodFiles::shipped).toList();
    }

    // Each is read when it is first asked for: a day uses a handful, and starting must not wait for all.
    private static final class Shipped {
        private static final Map<String, Method> READ = new ConcurrentHashMap<>();
        static final MethodBook BOOK =
                MethodBook.shipping(ShippedFiles.ids(MethodFiles.class.getClassLoader()), Shipped::of);

        private static Method of(String id) {
            Method known = READ.get(id);
            if (known == null) {
                Method read = parse(fileOf(id), shippedText(id));
                Method before = READ.putIfAbsent(id, read);
                known = before == null ? read : before;
            }
            return known;
        }
    }

    private static String resource(String file) {
        try (InputStream in = MethodFiles.class.getResourceAsStream("/org/tenmesh/exchange/" + file)) {
            if (in == null) {
                throw new IllegalStateException(file + " is not in the program");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException unreadable) {
            throw new UncheckedIOException(file + " of the program cannot be read", unreadable);
        }
    }

    /**
     * The file of a method that ships, as text: the start of a laboratory's own.
     *
     * @throws IllegalStateException when no method of that id ships
     */
    public static String shippedText(String id) {
        return resource(fileOf(id));
    }

    private static String fileOf(String id) {
        return "methods/" + id + ".yaml";
    }

    /**
     * The shipped methods and every version of a folder's {@code *.yaml}. The methods are checked together for every day on which one of
     * them begins to hold.
     *
     * @throws UnusableFile with everything that is wrong in the folder's files
     */
    public static MethodBook read(Path folder) {
        List<Problem> problems = new ArrayList<>();
        List<Taken> files = files(folder, problems);
        if (!problems.isEmpty()) {
            throw new UnusableFile(problems);
        }
        MethodBook book = shipped().with(files.stream().map(Taken::method).toList());
        files.stream()
                .map(taken -> taken.method().id())
                .distinct()
                .forEach(id -> MethodSet.checkVersions(book.versions(id), method -> top(method, files, problems)));
        Set<LocalDate> days = new TreeSet<>();
        days.add(LocalDate.MIN);
        files.forEach(taken -> days.add(taken.method().head().version()));
        for (LocalDate day : days) {
            check(book.on(day), files, problems);
        }
        if (!problems.isEmpty()) {
            throw new UnusableFile(List.copyOf(new LinkedHashSet<>(problems)));
        }
        return book;
    }

    private static Section top(Method method, List<Taken> files, List<Problem> problems) {
        return files.stream()
                .filter(taken -> taken.method() == method)
                .map(Taken::top)
                .findFirst()
                .orElseGet(() -> shippedTop(method.id(), problems));
    }

    /** Makes problems of everything in which methods that hold on one day contradict each other. */
    private static void check(MethodsOfDay methods, List<Taken> files, List<Problem> problems) {
        Map<String, Taken> own = new TreeMap<>();
        for (Taken taken : files) {
            if (methods.find(taken.method().id())
                    .filter(holds -> holds == taken.method())
                    .isPresent()) {
                own.put(taken.method().id(), taken);
            }
        }
        MethodSet.check(methods, own.keySet(), id -> {
            Taken taken = own.get(id);
            return taken == null ? shippedTop(id, problems) : taken.top();
        });
    }

    /** A method with the file it was read from. */
    private record Taken(String file, Method method, Section top) {}

    private static List<Taken> files(Path folder, List<Problem> problems) {
        List<Taken> files = new ArrayList<>();
        Map<String, String> versions = new HashMap<>();
        for (Path path : yamlFiles(folder)) {
            String name = String.valueOf(path.getFileName());
            Optional<String> text = TextFile.read(path, name, MOST_BYTES, problems, REFUSED);
            if (text.isEmpty()) {
                continue;
            }
            int before = problems.size();
            Optional<Section> top = YamlText.read(name, text.get(), problems, REFUSED);
            Optional<Method> method = top.flatMap(MethodFiles::method);
            if (method.isPresent() && problems.size() == before) {
                Method.Head head = method.get().head();
                String other = versions.put(head.id() + " of " + head.version(), name);
                if (other != null) {
                    top.get().wrong("version", "the same version of " + head.id() + " as in " + other, "another date");
                }
                files.add(new Taken(name, method.get(), top.get()));
            }
        }
        return files;
    }

    /** The top of a shipped file, to say where in it something is wrong. */
    static Section shippedTop(String id, List<Problem> problems) {
        return YamlText.read(fileOf(id), shippedText(id), problems, REFUSED).orElseThrow();
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
        Optional<Method> method = YamlText.read(file, text, problems, REFUSED).flatMap(MethodFiles::method);
        return problems.size() == before ? method : Optional.empty();
    }

    private static Optional<Method> method(Section top) {
        Method.Head head = head(top);
        Map<String, MethodKinds> kinds = Values.words(MethodKinds.values(), MethodKinds::word);
        MethodKinds kind = top.choice("kind", kinds);
        if (!kinds.containsKey(top.text("kind"))) {
            // Without its kind nothing more can be said.
            return Optional.empty();
        }
        Section own = top.section(kind.word());
        top.nothingElse();
        Method method = kind.read(head, own);
        if (!method.kind().equals(kind.word())) {
            throw new IllegalStateException("a method of kind " + kind.word() + " calls itself " + method.kind());
        }
        own.nothingElse();
        if (method.isCalculated() && head.portion().isPresent()) {
            top.wrong("portion", "a portion of a derived method", "none: it is calculated from results");
        }
        given(top, method);
        return Optional.of(method);
    }

    /** What an example gives must be what the method asks for. */
    private static void given(Section top, Method method) {
        if (method.head().examples().isEmpty()) {
            return;
        }
        Set<String> known = method.exampleNumbers().keySet();
        for (Section example : top.sections("examples")) {
            Section given = example.section("given");
            for (String name : given.keys()) {
                if (!known.contains(name)) {
                    given.wrong(name, "a number the method does not ask for", "one of " + String.join(", ", known));
                }
            }
        }
    }

    private static Method.Head head(Section top) {
        List<Source> sources =
                top.sections("sources").stream().map(Values::source).toList();
        if (sources.isEmpty()) {
            top.missing("sources", "at least one source with text and standing");
        }
        List<Section> rows = top.sections("analytes");
        List<Analyte> analytes = rows.stream().map(MethodFiles::analyte).toList();
        if (analytes.isEmpty()) {
            top.missing("analytes", "at least one analyte");
        }
        String id = top.text("id");
        if (top.has("id") && (!ID.matcher(id).matches() || id.equals(DerivedMethod.From.SHEET))) {
            top.wrong("id", Problem.quoted(id), "small letters, digits, - and _, such as ph-water-1-1");
        }
        Set<String> symbols = new HashSet<>();
        for (int i = 0; i < analytes.size(); i++) {
            Section section = rows.get(i);
            String symbol = analytes.get(i).symbol();
            if (section.has("symbol") && !SYMBOL.matcher(symbol).matches()) {
                section.wrong("symbol", Problem.quoted(symbol), "letters, digits, - and _, beginning with a letter");
            } else if (section.has("symbol") && !symbols.add(symbol)) {
                section.wrong("symbol", Problem.quoted(symbol) + " a second time", "each analyte once");
            }
        }
        return new Method.Head(
                id,
                top.date("version"),
                top.text("title"),
                top.text("summary"),
                sources,
                analytes,
                top.texts("cautions"),
                top.optionalText("note").orElse(""),
                top.optionalText("answers").orElse(""),
                portion(top),
                top.optionalText("liquid").orElse(""),
                examples(top, analytes),
                bench(top),
                stored(top));
    }

    private static Optional<StoredSoil> stored(Section top) {
        if (!top.has("stored_soil")) {
            return Optional.empty();
        }
        Section section = top.section("stored_soil");
        double days = section.number("comparable_days");
        Source source = Values.source(section.section("source"));
        section.nothingElse();
        if (days < 1 || days > 36_500 || days != Math.rint(days)) {
            section.wrong("comparable_days", DecimalText.of(days), "a whole number of days from 1 to 36500");
            return Optional.empty();
        }
        return Optional.of(new StoredSoil((int) days, source));
    }

    private static List<BenchStep> bench(Section top) {
        List<BenchStep> steps = new ArrayList<>();
        if (!top.has("bench")) {
            return steps;
        }
        Map<String, BenchStep.Doing> doings = Values.words(BenchStep.Doing.values(), BenchStep.Doing::word);
        for (Section section : top.sections("bench")) {
            BenchStep.Doing doing = section.choice("do", doings);
            String what = section.optionalText("what").orElse("");
            double minutes = section.has("minutes") ? section.number("minutes") : 0;
            double hours = section.has("hours") ? section.number("hours") : 0;
            boolean own = section.truth("own", false);
            section.nothingElse();
            if (minutes < 0 || hours < 0) {
                section.wrong(minutes < 0 ? "minutes" : "hours", "a time below 0", "how long the step lasts");
            } else {
                steps.add(new BenchStep(doing, what, Duration.ofSeconds(Math.round(60 * minutes + 3600 * hours)), own));
            }
        }
        return steps;
    }

    private static Optional<Portion> portion(Section top) {
        if (!top.has("portion")) {
            return Optional.empty();
        }
        Section section = top.section("portion");
        Portion portion = new Portion(section.text("name"), section.number("soil_g"));
        section.nothingElse();
        if (portion.soilG() <= 0) {
            section.wrong("soil_g", DecimalText.of(portion.soilG()), "a number above 0");
        }
        return Optional.of(portion);
    }

    private static List<Example> examples(Section top, List<Analyte> analytes) {
        List<Example> examples = new ArrayList<>();
        if (!top.has("examples")) {
            return examples;
        }
        for (Section section : top.sections("examples")) {
            Section given = section.section("given");
            Map<String, Double> numbers = new LinkedHashMap<>();
            given.keys().forEach(key -> numbers.put(key, given.number(key)));
            Section expected = section.section("expected");
            Map<String, String> texts = new LinkedHashMap<>();
            for (String key : expected.keys()) {
                texts.put(key, expected.text(key));
                if (analytes.stream().noneMatch(analyte -> analyte.symbol().equals(key))) {
                    expected.wrong(key, Problem.quoted(key), "the symbol of one of the method's analytes");
                }
            }
            examples.add(new Example(numbers, texts, Values.source(section.section("source"))));
            section.nothingElse();
        }
        return examples;
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
                section.number("scale_high"),
                section.optionalNumber("detection_limit"),
                section.optionalNumber("quantification_limit"),
                section.optionalText("limits_from").orElse(""));
        section.nothingElse();
        double least = analyte.detectionLimit().orElse(0);
        double stated = analyte.quantificationLimit().orElse(least);
        if (stated < least || analyte.reportingLimit().orElse(stated) < stated) {
            section.wrong(
                    section.has("quantification_limit") ? "quantification_limit" : "detection_limit",
                    "limits out of order",
                    "detection limit, quantification limit, reporting limit, each at most the next");
        }
        if (analyte.withinRsdPct() < 0 || analyte.withinFloor() < 0) {
            section.wrong("within_rsd_pct", "a negative standard deviation", "0 or more");
        }
        if (analyte.scaleHigh() <= analyte.scaleLow() && section.has("scale_low") && section.has("scale_high")) {
            section.wrong(
                    "scale_high", "an end not above scale_low", "a number above " + DecimalText.of(analyte.scaleLow()));
        }
        return analyte;
    }
}
