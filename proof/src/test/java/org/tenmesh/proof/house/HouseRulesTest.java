package org.tenmesh.proof.house;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.Dependency;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.NullMarked;
import org.junit.jupiter.api.Test;

/** The directions and words of ARCHITECTURE.md, held against the compiled classes. */
final class HouseRulesTest {
    private static final String ROOT = "org.tenmesh.";

    private static final JavaClasses CLASSES = new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            // Days for tests come as a jar of their own.
            .withImportOption(location -> !location.contains("-tests.jar"))
            .importPackages("org.tenmesh");

    /** What each module may use of the others. */
    private static final Map<String, Set<String>> MODULES = Map.of(
            "core", Set.of(),
            "exchange", Set.of("core"),
            "store", Set.of("core"),
            "print", Set.of("core"),
            "simulator", Set.of("core"),
            "capture", Set.of("core", "exchange"),
            "web", Set.of("core", "exchange", "store", "print", "capture"),
            "app", Set.of("core", "exchange", "store", "simulator", "capture", "web"),
            "proof", Set.of("core", "exchange", "store", "print", "simulator", "capture", "web", "app"));

    /** The one module that may import each library; JSpecify, slf4j and jte are everybody's. */
    private static final Map<String, String> LIBRARIES = Map.ofEntries(
            Map.entry("org.hipparchus.", "core"),
            Map.entry("de.siegmar.fastcsv.", "exchange"),
            // Workbooks are read where instruments' files are, and written where reports are.
            Map.entry("org.dhatim.fastexcel.reader.", "exchange"),
            Map.entry("org.dhatim.fastexcel.", "print"),
            Map.entry("org.snakeyaml.", "exchange"),
            Map.entry("org.postgresql.", "store"),
            Map.entry("com.zaxxer.hikari.", "store"),
            Map.entry("org.jdbi.", "store"),
            Map.entry("org.flywaydb.", "store"),
            Map.entry("io.zonky.", "store"),
            Map.entry("org.apache.commons.compress.", "store"),
            Map.entry("org.tukaani.xz.", "store"),
            Map.entry("com.openhtmltopdf.", "print"),
            Map.entry("org.apache.pdfbox.", "print"),
            Map.entry("org.apache.fontbox.", "print"),
            Map.entry("com.ezylang.evalex.", "exchange"),
            Map.entry("org.apache.batik.", "print"),
            // The JDK's own XML, where a report's page is parsed.
            Map.entry("org.w3c.dom.", "print"),
            Map.entry("org.xml.sax.", "print"),
            Map.entry("uk.org.okapibarcode.", "print"),
            Map.entry("io.javalin.", "web"),
            Map.entry("org.jsoup.", "web"),
            Map.entry("org.eclipse.jetty.", "web"),
            Map.entry("jakarta.servlet.", "web"),
            Map.entry("kotlin.", "web"),
            Map.entry("com.fasterxml.jackson.", "exchange"),
            Map.entry("com.fazecast.jSerialComm.", "capture"),
            Map.entry("com.password4j.", "web"),
            Map.entry("ch.qos.logback.", "app"),
            Map.entry("org.openjdk.jmh.", "proof"));

    private static final Set<String> EVERYBODYS = Set.of("java.", "javax.", "org.jspecify.", "org.slf4j.", "gg.jte.");

    /** The level of each package of core: a package uses only lower ones. */
    private static final Map<String, Integer> LEVELS = levels(
            List.of("quantity", "statistics", "digest", "spelling"),
            List.of("formula"),
            List.of("intake", "methods"),
            List.of("layout", "calibration", "shelf", "dock"),
            List.of("reduction", "charts", "agreement", "proficiency", "bench"),
            List.of("judgement", "controldesign", "orders", "custody"),
            List.of("causes"),
            List.of("derived", "equipment"),
            List.of("redo", "release"),
            List.of("report", "desk"),
            List.of("planning", "lookback"));

    /** The same for web; the templates and what puts the route table together stand above all. */
    private static final Map<String, Integer> WEB_LEVELS = levels(
            List.of("words", "pictures"),
            List.of("cards"),
            List.of("days"),
            List.of("http"),
            List.of(
                    "today",
                    "runs",
                    "soils",
                    "trays",
                    "bench",
                    "orders",
                    "labels",
                    "equipment",
                    "intake",
                    "shelf",
                    "submissions",
                    "methods",
                    "people",
                    "programs",
                    "find",
                    "custody",
                    "capture"),
            List.of(""));

    /** The same of store; what opens the store stands above all. */
    private static final Map<String, Integer> LEVELS_OF_STORE = levels(
            List.of("rows", "server"),
            List.of("journal", "backup", "bench"),
            List.of("days", "custody"),
            List.of("judged", "orders", "sheets", "shelf", "labels", "release", "people", "live", "equipment"),
            List.of("record", "verified", "openfiles", "programs"),
            List.of(""));

    /** The same for print: what drawings share is lowest. */
    private static final Map<String, Integer> PRINT_LEVELS =
            levels(List.of("svg"), List.of("drawings", "labels", "tables", "pictures"), List.of("report"));

    /** The same of exchange. */
    private static final Map<String, Integer> LEVELS_OF_EXCHANGE = levels(
            List.of("file"),
            List.of("csv", "yaml", "json"),
            List.of("methods"),
            List.of("day"),
            List.of("readers", "worksheets", "judged", "results"),
            List.of("history"),
            List.of("rounds"));

    /** The same of capture; what starts the sources stands above all. */
    private static final Map<String, Integer> LEVELS_OF_CAPTURE = levels(
            List.of("pieces"),
            List.of("settings"),
            List.of("state"),
            List.of("links"),
            List.of("runs"),
            List.of("folders", "lines", "frames"),
            List.of(""));

    /** The same of the simulator; what puts a day together stands above all. */
    private static final Map<String, Integer> LEVELS_OF_SIMULATOR = levels(
            List.of("numbers", "exports"),
            List.of("soils", "faults"),
            List.of("bench"),
            List.of("instruments"),
            List.of(""));

    /** The same of app: commands know nothing of each other, and the one way in stands above them. */
    private static final Map<String, Integer> LEVELS_OF_APP = levels(
            List.of("line", "methods", "living"),
            List.of("check"),
            List.of("days", "laboratory", "reference"),
            List.of(""));

    private static final Set<String> NOT_IN_CORE = Set.of(
            "java.nio.file.",
            "java.nio.channels.",
            "java.net.",
            "java.sql.",
            "javax.",
            "java.util.logging.",
            "java.lang.System$Logger",
            "org.slf4j.",
            "gg.jte.",
            "java.util.concurrent.ThreadLocalRandom",
            "java.security.SecureRandom");

    private static final Set<String> CLOCK_AND_CHANCE = Set.of(
            "java.lang.System.currentTimeMillis",
            "java.lang.System.nanoTime",
            "java.lang.System.getenv",
            "java.lang.System.getProperty",
            "java.lang.Math.random",
            "java.util.UUID.randomUUID",
            "java.time.Clock.systemUTC",
            "java.time.Clock.systemDefaultZone",
            "java.time.ZoneId.systemDefault");

    private static final Pattern UNCLEAR_NAME =
            Pattern.compile(".*(Util|Utils|Manager|Helper|Impl|Data|Info|Entity|Dashboard)(?=[A-Z]|$).*");

    @Test
    void seesTheWholeHouse() {
        Set<String> seen =
                CLASSES.stream().map(HouseRulesTest::moduleOf).collect(Collectors.toCollection(TreeSet::new));
        assertThat(seen).containsAll(MODULES.keySet());
    }

    @Test
    void modulesUseOnlyWhatThePlanLetsThem() {
        assertThat(dependencies(d -> {
                    String from = moduleOf(d.getOriginClass());
                    String to = moduleOf(d.getTargetClass());
                    return !to.isEmpty()
                            && !from.equals(to)
                            && !MODULES.getOrDefault(from, Set.of()).contains(to);
                }))
                .isEmpty();
    }

    @Test
    void eachLibraryIsImportedFromOneModule() {
        assertThat(dependencies(d -> {
                    String target = d.getTargetClass().getBaseComponentType().getName();
                    if (!target.contains(".")
                            || target.startsWith(ROOT)
                            || EVERYBODYS.stream().anyMatch(target::startsWith)) {
                        return false;
                    }
                    return LIBRARIES.entrySet().stream()
                            .noneMatch(library -> target.startsWith(library.getKey())
                                    && library.getValue().equals(moduleOf(d.getOriginClass())));
                }))
                .isEmpty();
    }

    @Test
    void packagesOfCoreUseOnlyLowerLevels() {
        assertThat(upwards("core", LEVELS)).isEmpty();
    }

    @Test
    void packagesOfExchangeUseOnlyLowerLevels() {
        assertThat(upwards("exchange", LEVELS_OF_EXCHANGE)).isEmpty();
    }

    @Test
    void packagesOfCaptureUseOnlyLowerLevels() {
        assertThat(upwards("capture", LEVELS_OF_CAPTURE)).isEmpty();
    }

    @Test
    void packagesOfSimulatorUseOnlyLowerLevels() {
        assertThat(upwards("simulator", LEVELS_OF_SIMULATOR)).isEmpty();
    }

    @Test
    void packagesOfAppUseOnlyLowerLevels() {
        assertThat(upwards("app", LEVELS_OF_APP)).isEmpty();
    }

    @Test
    void levelsNameOnlyPackagesThatExist() {
        assertThat(packagesOf("core")).isEqualTo(LEVELS.keySet());
        assertThat(packagesOf("exchange")).isEqualTo(LEVELS_OF_EXCHANGE.keySet());
        assertThat(packagesOf("simulator")).isEqualTo(LEVELS_OF_SIMULATOR.keySet());
        assertThat(packagesOf("app")).isEqualTo(LEVELS_OF_APP.keySet());
        assertThat(packagesOf("store")).isEqualTo(LEVELS_OF_STORE.keySet());
        assertThat(packagesOf("capture")).isEqualTo(LEVELS_OF_CAPTURE.keySet());
        assertThat(packagesOf("web")).containsAll(WEB_LEVELS.keySet());
        assertThat(packagesOf("print")).containsAll(PRINT_LEVELS.keySet());
    }

    private static Set<String> packagesOf(String module) {
        return CLASSES.stream()
                .filter(type -> moduleOf(type).equals(module))
                .map(HouseRulesTest::wordOf)
                .collect(Collectors.toCollection(TreeSet::new));
    }

    @Test
    void packagesOfWebUseOnlyLowerLevels() {
        assertThat(upwards("web", WEB_LEVELS)).isEmpty();
    }

    @Test
    void packagesOfStoreUseOnlyLowerLevels() {
        assertThat(upwards("store", LEVELS_OF_STORE)).isEmpty();
    }

    @Test
    void packagesOfPrintUseOnlyLowerLevels() {
        assertThat(upwards("print", PRINT_LEVELS)).isEmpty();
    }

    /** Where a package of a module uses one of its own level or a higher one. */
    private static List<String> upwards(String module, Map<String, Integer> levels) {
        return dependencies(d -> {
            String from = wordOf(d.getOriginClass());
            String to = wordOf(d.getTargetClass());
            return moduleOf(d.getOriginClass()).equals(module)
                    && moduleOf(d.getTargetClass()).equals(module)
                    && !from.equals(to)
                    && levels.getOrDefault(to, 99) >= levels.getOrDefault(from, -1);
        });
    }

    @Test
    void classesOfWebGoRoundInNoCircle() {
        Map<String, Set<String>> uses = uses(type -> moduleOf(type).equals("web") ? outermost(type) : "elsewhere");
        uses.remove("elsewhere");
        assertThat(circle(uses)).isEmpty();
    }

    @Test
    void coreTouchesNoFileNetworkDatabaseOrLog() {
        assertThat(dependencies(d -> {
                    String target = d.getTargetClass().getName();
                    boolean stream = target.startsWith("java.io.")
                            && !target.equals("java.io.Serializable")
                            && !target.equals("java.io.PrintStream");
                    return inCore(d.getOriginClass())
                            && (stream || NOT_IN_CORE.stream().anyMatch(target::startsWith));
                }))
                .isEmpty();
        assertThat(accesses(a -> a.getTargetOwner().getName().equals("java.lang.System")
                        && Set.of("out", "err", "in").contains(a.getTarget().getName())))
                .isEmpty();
    }

    @Test
    void coreKnowsNoClockAndNoChance() {
        assertThat(accesses(a -> {
                    String owner = a.getTargetOwner().getName();
                    String name = a.getTarget().getName();
                    boolean clock = owner.startsWith("java.time.") && name.equals("now");
                    boolean unseeded = (owner.equals("java.util.Random") || owner.equals("java.util.SplittableRandom"))
                            && name.equals("<init>")
                            && a.getTarget().getFullName().endsWith("()");
                    return clock || unseeded || CLOCK_AND_CHANCE.contains(owner + "." + name);
                }))
                .isEmpty();
    }

    @Test
    void noPackagesGoRoundInCircles() {
        assertThat(circle(uses(HouseRulesTest::moduleOf))).isEmpty();
        assertThat(circle(uses(JavaClass::getPackageName))).isEmpty();
    }

    @Test
    void noClassesGoRoundInCircles() {
        assertThat(circles(uses(HouseRulesTest::outermost))).isEmpty();
    }

    @Test
    void aCircleIsSeenWhereThereIsOne() {
        assertThat(circle(Map.of("a", Set.of("b"), "b", Set.of("c"), "c", Set.of())))
                .isEmpty();
        assertThat(circle(Map.of("a", Set.of("b"), "b", Set.of("c"), "c", Set.of("b"))))
                .containsExactly("b", "c");
    }

    /** Which parts of the house use which others, whatever a part is. */
    private static Map<String, Set<String>> uses(Function<JavaClass, String> partOf) {
        Map<String, Set<String>> uses = new TreeMap<>();
        for (JavaClass type : CLASSES) {
            Set<String> used = uses.computeIfAbsent(partOf.apply(type), part -> new TreeSet<>());
            for (Dependency dependency : type.getDirectDependenciesFromSelf()) {
                JavaClass target = dependency.getTargetClass().getBaseComponentType();
                if (target.getName().startsWith(ROOT)) {
                    used.add(partOf.apply(target));
                }
            }
            used.remove(partOf.apply(type));
        }
        return uses;
    }

    /** Sets of parts of which each can be reached from each other one. */
    private static List<Set<String>> circles(Map<String, Set<String>> uses) {
        Map<String, Set<String>> reached = new TreeMap<>();
        for (String part : uses.keySet()) {
            Set<String> seen = new TreeSet<>();
            List<String> next = new ArrayList<>(uses.get(part));
            while (!next.isEmpty()) {
                String one = next.remove(next.size() - 1);
                if (seen.add(one)) {
                    next.addAll(uses.getOrDefault(one, Set.of()));
                }
            }
            reached.put(part, seen);
        }
        Set<Set<String>> circles = new java.util.LinkedHashSet<>();
        reached.forEach((part, seen) -> {
            if (seen.contains(part)) {
                circles.add(seen.stream()
                        .filter(other -> reached.getOrDefault(other, Set.of()).contains(part))
                        .collect(Collectors.toCollection(TreeSet::new)));
            }
        });
        return new ArrayList<>(circles);
    }

    private static String outermost(JavaClass type) {
        String name = type.getBaseComponentType().getName();
        int inner = name.indexOf('$');
        return inner < 0 ? name : name.substring(0, inner);
    }

    /** What is left when every part that uses nothing, or that nobody uses, has been taken away again and again. */
    private static Set<String> circle(Map<String, Set<String>> uses) {
        Set<String> left = new TreeSet<>(uses.keySet());
        boolean smaller = true;
        while (smaller) {
            Set<String> used = new TreeSet<>();
            left.forEach(part -> used.addAll(uses.getOrDefault(part, Set.of())));
            smaller = left.removeIf(part -> !used.contains(part)
                    || uses.getOrDefault(part, Set.of()).stream().noneMatch(left::contains));
        }
        return left;
    }

    @Test
    void everyPackageIsNullMarked() {
        Set<String> unmarked = new TreeSet<>();
        for (JavaClass type : CLASSES) {
            boolean generated = type.getPackageName().endsWith(".jmh_generated");
            if (!generated && !type.getPackage().isAnnotatedWith(NullMarked.class)) {
                unmarked.add(type.getPackageName());
            }
        }
        assertThat(unmarked).isEmpty();
    }

    @Test
    void namesSayWhatAThingIs() {
        assertThat(CLASSES.stream()
                        .filter(type ->
                                UNCLEAR_NAME.matcher(type.getSimpleName()).matches())
                        .map(JavaClass::getName))
                .isEmpty();
    }

    private static List<String> dependencies(Predicate<Dependency> wrong) {
        List<String> found = new ArrayList<>();
        for (JavaClass type : CLASSES) {
            for (Dependency dependency : type.getDirectDependenciesFromSelf()) {
                if (wrong.test(dependency)) {
                    found.add(dependency.getDescription());
                }
            }
        }
        return found;
    }

    private static List<String> accesses(Predicate<JavaAccess<?>> wrong) {
        List<String> found = new ArrayList<>();
        for (JavaClass type : CLASSES) {
            if (inCore(type)) {
                type.getAccessesFromSelf().stream()
                        .filter(wrong)
                        .map(JavaAccess::getDescription)
                        .forEach(found::add);
            }
        }
        return found;
    }

    private static boolean inCore(JavaClass type) {
        return moduleOf(type).equals("core");
    }

    /** The module of one of our classes, empty text for any other class. */
    private static String moduleOf(JavaClass type) {
        String name = type.getBaseComponentType().getPackageName();
        if (!(name + ".").startsWith(ROOT) || name.length() < ROOT.length()) {
            return "";
        }
        return name.substring(ROOT.length()).split("\\.", -1)[0];
    }

    private static String wordOf(JavaClass type) {
        String[] words = type.getBaseComponentType().getPackageName().split("\\.", -1);
        return words.length > 3 ? words[3] : "";
    }

    @SafeVarargs
    private static Map<String, Integer> levels(List<String>... lowestFirst) {
        Map<String, Integer> levels = new HashMap<>();
        for (int level = 0; level < lowestFirst.length; level++) {
            for (String word : lowestFirst[level]) {
                levels.put(word, level);
            }
        }
        return Map.copyOf(levels);
    }
}
