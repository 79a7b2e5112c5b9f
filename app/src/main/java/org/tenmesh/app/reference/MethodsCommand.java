package org.tenmesh.app.reference;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.app.methods.MethodPage;
import org.tenmesh.app.methods.MethodPages;
import org.tenmesh.app.methods.Worked;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.exchange.methods.MethodSettings;

/** {@code tenmesh methods [FOLDER]}: lists methods, shows one, proves a laboratory's own. */
public final class MethodsCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "methods",
                "List the methods, show one, or check a laboratory's own method files.",
                List.of(Shape.Place.optional(
                        "FOLDER", "a laboratory's own method files; checked, and laid over those shipped")),
                List.of(
                        Shape.Option.of("--show", "ID", "show one method in full, with its worked examples run"),
                        Shape.Option.of("--file", "ID", "print the file of a method that ships, to copy and change"),
                        Shape.Option.flag("--examples", "run every worked example; print expected and got"),
                        Shape.Option.of("--pages", "DIR", "write the pages of the methods that ship"),
                        Shape.Option.flag("--json", "print the list as JSON")),
                List.of(
                        "Exit status: 0 all is well; 1 a file has mistakes or an example does not agree; 2 no such folder.",
                        "How to add a method without code: docs/own-method.md."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        PrintWriter out = console.out();
        LocalDate today = LocalDate.now(Clock.systemDefaultZone());
        if (given.has("--pages")) {
            Path folder = Path.of(given.text("--pages").orElseThrow());
            MethodPages.write(folder);
            out.println("Written to " + folder + ": " + MethodPages.all().size() + " pages");
            return Status.DONE;
        }
        if (given.has("--file")) {
            String id = given.text("--file").orElseThrow();
            if (!MethodFiles.shipped().ships(id)) {
                throw MethodChoice.unknown(id, MethodFiles.shipped());
            }
            out.print(MethodFiles.shippedText(id));
            return Status.DONE;
        }
        Optional<Path> folder = given.placed().stream()
                .findFirst()
                .map(typed -> GivenFolder.of(typed, "a folder of method files; --show ID shows one method"));
        MethodBook book;
        try {
            book = folder.isPresent() ? MethodFiles.read(folder.get()) : MethodFiles.shipped();
        } catch (UnusableFile wrong) {
            if (given.has("--json")) {
                out.println(Json.line(Json.object(
                        "problems",
                        wrong.problems().stream().map(Problem::sentence).toList())));
            } else {
                wrong.problems().forEach(problem -> out.println(problem.sentence()));
                int count = wrong.problems().size();
                out.println(count + (count == 1 ? " problem" : " problems") + " in "
                        + folder.map(Path::toString).orElse(""));
            }
            return Status.HELD;
        }
        if (given.has("--show")) {
            String id = given.text("--show").orElseThrow();
            if (!book.knows(id)) {
                throw MethodChoice.unknown(id, book);
            }
            Method method = book.versions(id).get(0);
            out.print(MethodPage.plain(method, MethodSettings.of(text(folder, method))));
            dates(out, book.versions(id), today);
            return Status.DONE;
        }
        if (given.has("--examples")) {
            return examples(out, book);
        }
        if (given.has("--json")) {
            out.println(Json.line(Json.object(
                    "methods",
                    book.ids().stream()
                            .map(book::versions)
                            .map(versions -> json(versions.get(0), versions, today))
                            .toList(),
                    "problems",
                    List.of())));
        } else {
            list(out, folder, book, today);
        }
        return Status.DONE;
    }

    /** The file a method was read from, to show the remarks beside its settings. */
    private static String text(Optional<Path> folder, Method method) throws IOException {
        if (folder.isPresent()) {
            try (Stream<Path> files = Files.list(folder.get())) {
                for (Path file : files.filter(path -> path.toString().endsWith(".yaml"))
                        .sorted()
                        .toList()) {
                    String text = Files.readString(file, StandardCharsets.UTF_8);
                    List<String> lines = text.lines().map(String::stripTrailing).toList();
                    if (lines.contains("id: " + method.id())
                            && lines.contains("version: " + method.head().version())) {
                        return text;
                    }
                }
            }
        }
        return MethodFiles.shipped().ships(method.id()) ? MethodFiles.shippedText(method.id()) : "";
    }

    private static void dates(PrintWriter out, List<Method> versions, LocalDate today) {
        if (versions.size() > 1) {
            out.println();
            out.println("Versions");
            versions.forEach(version -> out.println("  from " + version.head().version() + future(version, today)));
        }
    }

    private static int examples(PrintWriter out, MethodBook book) {
        int all = 0;
        int wrong = 0;
        for (String id : book.ids()) {
            for (Worked worked : Worked.of(book.versions(id).get(0))) {
                all++;
                wrong += worked.agrees() ? 0 : 1;
                List<String> results = new ArrayList<>();
                worked.example()
                        .expected()
                        .forEach((symbol, expected) -> results.add(symbol + " expected " + expected + ", got "
                                + worked.got().getOrDefault(symbol, "nothing")));
                out.println(
                        (worked.agrees() ? "ok      " : "FAILED  ") + worked.id() + ": " + String.join("; ", results)
                                + " (" + worked.example().source().standing().word() + ")");
            }
        }
        out.println(all + " worked examples; " + (wrong == 0 ? "all agree." : wrong + " FAILED."));
        return wrong == 0 ? Status.DONE : Status.HELD;
    }

    private static void list(PrintWriter out, Optional<Path> folder, MethodBook book, LocalDate today) {
        int widest = book.ids().stream().mapToInt(String::length).max().orElse(0);
        String row = "%-" + widest + "s  %-12s  %-10s  %-14s  %-12s  %s%n";
        out.printf(row, "id", "kind", "version", "portion", "sources", "title: results");
        MethodBook shipped = MethodFiles.shipped();
        List<String> later = new ArrayList<>();
        book.ids().forEach(id -> {
            Method method = book.versions(id).get(0);
            book.versions(id).stream()
                    .filter(version -> isFuture(version, today))
                    .forEach(version -> later.add(later(book, version, today)));
            String own = !shipped.versions(id).contains(method) ? " (own)" : "";
            out.printf(
                    row,
                    id,
                    MethodPage.kind(method),
                    method.head().version(),
                    method.head()
                            .portion()
                            .map(portion -> plain(portion.soilG()) + " g")
                            .orElse("-"),
                    MethodPages.sources(method),
                    method.head().title() + own + ": " + MethodPages.symbols(method));
        });
        later.forEach(out::println);
        out.println(book.ids().size() + " methods"
                + folder.map(path -> ", " + path + " has no mistakes").orElse(""));
    }

    private static boolean isFuture(Method version, LocalDate today) {
        return version.head().version().isAfter(today);
    }

    private static String future(Method version, LocalDate today) {
        return isFuture(version, today) ? ", in the future" : "";
    }

    private static String later(MethodBook book, Method version, LocalDate today) {
        return version.id() + ": the version of " + version.head().version() + " is in the future; until then "
                + book.find(version.id(), today)
                        .map(now -> "the version of " + now.head().version() + " holds")
                        .orElse("the method cannot be used");
    }

    private static String plain(double number) {
        return org.tenmesh.core.quantity.Significant.text(number, 6);
    }

    private static Map<String, Object> json(Method method, List<Method> versions, LocalDate today) {
        Map<Source.Standing, Long> standing = new LinkedHashMap<>();
        method.head().sources().forEach(source -> standing.merge(source.standing(), 1L, Long::sum));
        Map<String, Object> sources = new LinkedHashMap<>();
        standing.forEach((one, count) -> sources.put(one.word(), count));
        return Json.object(
                "id",
                method.id(),
                "kind",
                MethodPage.kind(method),
                "title",
                method.head().title(),
                "version",
                method.head().version().toString(),
                "versions",
                versions.stream()
                        .map(version -> version.head().version().toString())
                        .toList(),
                "future_versions",
                versions.stream()
                        .filter(version -> isFuture(version, today))
                        .map(version -> version.head().version().toString())
                        .toList(),
                "analytes",
                method.head().analytes().stream()
                        .map(analyte -> Json.object(
                                "symbol",
                                analyte.symbol(),
                                "name",
                                analyte.name(),
                                "unit",
                                analyte.unit().ucum()))
                        .toList(),
                "portion",
                method.head().portion().map(portion -> Json.object("name", portion.name(), "soil_g", portion.soilG())),
                "sources",
                sources,
                "examples",
                method.head().examples().size());
    }
}
