package org.tenmesh.app.methods;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.exchange.methods.MethodSettings;

/** The pages of the documentation, one for each method that ships, and their index. */
public final class MethodPages {
    private MethodPages() {}

    /** Every page as Markdown, by file name. */
    public static Map<String, String> all() {
        Map<String, String> pages = new LinkedHashMap<>();
        pages.put("README.md", index());
        MethodFiles.allShipped()
                .forEach(method -> pages.put(
                        method.id() + ".md",
                        MethodPage.markdown(method, MethodSettings.of(MethodFiles.shippedText(method.id())))));
        return pages;
    }

    /**
     * Writes every page.
     *
     * @throws IOException if the folder cannot be written
     */
    public static void write(Path folder) throws IOException {
        Files.createDirectories(folder);
        for (Map.Entry<String, String> page : all().entrySet()) {
            Files.writeString(folder.resolve(page.getKey()), page.getValue(), StandardCharsets.UTF_8);
        }
    }

    /** What a method reports: the symbols of its results. */
    public static String symbols(Method method) {
        return method.head().analytes().stream().map(Analyte::symbol).collect(Collectors.joining(" "));
    }

    /** How many of a method's sources were read: "3 of 4 read". */
    public static String sources(Method method) {
        List<Source> sources = method.head().sources();
        long read = sources.stream()
                .filter(source -> source.standing() == Source.Standing.READ)
                .count();
        return read == sources.size() ? read + " read" : read + " of " + sources.size() + " read";
    }

    private static String index() {
        Sheet sheet = Sheet.markdown();
        sheet.title("Methods that ship");
        sheet.paragraph("Each page is written by the program from the method's file, with its worked examples run:"
                + " `tenmesh methods --pages docs/methods` writes them all anew. How a laboratory changes a method or adds"
                + " one is told in [own-method.md](../own-method.md).");
        Map<Integer, Map<String, List<List<String>>>> groups = new TreeMap<>();
        for (Method method : MethodFiles.allShipped()) {
            boolean advice = method.regionalAdvice().isPresent();
            groups.computeIfAbsent(advice ? 2 : method.isCalculated() ? 1 : 0, place -> new LinkedHashMap<>())
                    .computeIfAbsent(
                            method.description().heading() + (advice ? ", off unless it is turned on" : ""),
                            heading -> new ArrayList<>())
                    .add(List.of(
                            sheet.link(method.head().title(), method.id() + ".md"),
                            sheet.name(method.id()),
                            symbols(method),
                            sources(method),
                            String.valueOf(method.head().examples().size())));
        }
        groups.values()
                .forEach(kinds -> kinds.forEach((heading, rows) -> {
                    sheet.heading(heading);
                    sheet.table(List.of("Method", "Id", "Results", "Sources", "Worked examples"), rows);
                }));
        remembered(sheet);
        return sheet.toString();
    }

    private static void remembered(Sheet sheet) {
        sheet.heading("Settings from memory");
        sheet.paragraph(
                "These values, or a part of them, were recalled and not read again. None of them is used to prove"
                        + " anything; a laboratory checks them before it relies on them.");
        List<List<String>> rows = new ArrayList<>();
        MethodFiles.allShipped().forEach(method -> {
            String id = method.id();
            for (MethodSettings.Setting setting : MethodSettings.of(MethodFiles.shippedText(id))) {
                if (setting.isRemembered()) {
                    rows.add(List.of(
                            sheet.link(id, id + ".md"),
                            (setting.where() + " " + setting.key()).strip(),
                            setting.value(),
                            MethodPage.spoken(setting.remark())));
                }
            }
            method.head().sources().stream()
                    .filter(source -> source.standing() == Source.Standing.FROM_MEMORY)
                    .forEach(source -> rows.add(List.of(sheet.link(id, id + ".md"), "a source", "", source.text())));
        });
        sheet.table(List.of("Method", "Setting", "Value", "What is said of it"), rows);
    }
}
