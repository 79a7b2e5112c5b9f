package org.tenmesh.app;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.app.methods.MethodPage;
import org.tenmesh.app.methods.MethodPages;
import org.tenmesh.app.methods.Worked;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.MethodFiles;
import org.tenmesh.exchange.MethodSettings;
import org.tenmesh.exchange.Problem;
import org.tenmesh.exchange.UnusableFile;

/** {@code tenmesh methods [FOLDER]}: lists methods, shows one, proves a laboratory's own. */
final class MethodsCommand implements Command {
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
        if (given.has("--pages")) {
            Path folder = Path.of(given.text("--pages").orElseThrow());
            MethodPages.write(folder);
            out.println("Written to " + folder + ": " + MethodPages.all().size() + " pages");
            return Status.DONE;
        }
        if (given.has("--file")) {
            String id = given.text("--file").orElseThrow();
            named(MethodFiles.shipped(), id);
            out.print(MethodFiles.shippedText(id));
            return Status.DONE;
        }
        Optional<Path> folder = given.placed().isEmpty() ? Optional.empty() : Optional.of(Path.of(given.place(0)));
        if (folder.isPresent() && !Files.isDirectory(folder.get())) {
            throw new CannotUse("there is no folder " + folder.get() + "; a folder of method files was expected");
        }
        Map<String, List<Method>> versions;
        try {
            versions = versions(folder);
        } catch (UnusableFile wrong) {
            if (given.has("--json")) {
                out.println(JsonText.object(
                        "problems",
                        JsonText.of(
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
            Method method = named(newest(versions), id);
            out.print(MethodPage.plain(method, MethodSettings.of(text(folder, method))));
            dates(out, versions.getOrDefault(id, List.of()));
            return Status.DONE;
        }
        if (given.has("--examples")) {
            return examples(out, versions);
        }
        if (given.has("--json")) {
            out.println(JsonText.object(
                    "methods",
                    JsonText.list(versions.values().stream()
                            .map(list -> json(list.get(0), list))
                            .toList()),
                    "problems",
                    "[]"));
        } else {
            list(out, folder, versions);
        }
        return Status.DONE;
    }

    private static Map<String, List<Method>> versions(Optional<Path> folder) {
        if (folder.isPresent()) {
            return MethodFiles.versions(folder.get());
        }
        Map<String, List<Method>> versions = new LinkedHashMap<>();
        MethodFiles.shipped().forEach((id, method) -> versions.put(id, List.of(method)));
        return versions;
    }

    private static Map<String, Method> newest(Map<String, List<Method>> versions) {
        Map<String, Method> newest = new LinkedHashMap<>();
        versions.forEach((id, methods) -> newest.put(id, methods.get(0)));
        return newest;
    }

    private static Method named(Map<String, Method> methods, String id) {
        Method method = methods.get(id);
        if (method == null) {
            throw new CannotUse("there is no method \"" + id + "\"; tenmesh methods lists those there are");
        }
        return method;
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
        return MethodFiles.shipped().containsKey(method.id()) ? MethodFiles.shippedText(method.id()) : "";
    }

    private static void dates(PrintWriter out, List<Method> versions) {
        if (versions.size() > 1) {
            out.println();
            out.println("Versions");
            versions.forEach(version -> out.println("  from " + version.head().version()));
        }
    }

    private static int examples(PrintWriter out, Map<String, List<Method>> versions) {
        int all = 0;
        int wrong = 0;
        for (List<Method> methods : versions.values()) {
            for (Worked worked : Worked.of(methods.get(0))) {
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

    private static void list(PrintWriter out, Optional<Path> folder, Map<String, List<Method>> versions) {
        int widest = versions.keySet().stream().mapToInt(String::length).max().orElse(0);
        String row = "%-" + widest + "s  %-12s  %-10s  %-14s  %-12s  %s%n";
        out.printf(row, "id", "kind", "version", "portion", "sources", "title: results");
        Map<String, Method> shipped = MethodFiles.shipped();
        versions.forEach((id, methods) -> {
            Method method = methods.get(0);
            String own = folder.isPresent() && method != shipped.get(id) ? " (own)" : "";
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
        out.println(versions.size() + " methods"
                + folder.map(path -> ", " + path + " has no mistakes").orElse(""));
    }

    private static String plain(double number) {
        return org.tenmesh.core.quantity.Significant.text(number, 6);
    }

    private static String json(Method method, List<Method> versions) {
        Map<Source.Standing, Long> standing = new LinkedHashMap<>();
        method.head().sources().forEach(source -> standing.merge(source.standing(), 1L, Long::sum));
        List<String> sources = new ArrayList<>();
        standing.forEach((one, count) -> sources.addAll(List.of(one.word(), String.valueOf(count))));
        return JsonText.object(
                "id",
                JsonText.of(method.id()),
                "kind",
                JsonText.of(MethodPage.kind(method)),
                "title",
                JsonText.of(method.head().title()),
                "version",
                JsonText.of(method.head().version().toString()),
                "versions",
                JsonText.of(versions.stream()
                        .map(version -> version.head().version().toString())
                        .toList()),
                "analytes",
                JsonText.list(method.head().analytes().stream()
                        .map(analyte -> JsonText.object(
                                "symbol",
                                JsonText.of(analyte.symbol()),
                                "name",
                                JsonText.of(analyte.name()),
                                "unit",
                                JsonText.of(analyte.unit().ucum())))
                        .toList()),
                "portion",
                method.head()
                        .portion()
                        .map(portion -> JsonText.object(
                                "name", JsonText.of(portion.name()), "soil_g", String.valueOf(portion.soilG())))
                        .orElse("null"),
                "sources",
                JsonText.object(sources.toArray(new String[0])),
                "examples",
                String.valueOf(method.head().examples().size()));
    }
}
