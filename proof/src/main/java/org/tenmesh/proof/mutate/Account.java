package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The account of what was read, as the summary gives it, added up once more and held against the files. */
final class Account {
    private static final Pattern NUMBER = Pattern.compile("\"([^\"]+)\": (\\d+)");
    private static final Pattern FILE = Pattern.compile("\"([^\"]+)\": \\{([^}]*)\\}");

    private Account() {}

    /**
     * What does not add up; empty when all does.
     *
     * @param folder the files that were read
     */
    static Optional<String> wrong(Path summary, Folder folder) throws IOException {
        String text = Files.readString(summary, StandardCharsets.UTF_8);
        if (!text.contains("\"adds_up\": true")) {
            return Optional.of("the program says that its account does not add up");
        }
        Map<String, Integer> readings = numbers(line(text, "readings"));
        int places = readings.entrySet().stream()
                .filter(one -> !one.getKey().equals("read"))
                .mapToInt(Map.Entry::getValue)
                .sum();
        int judged = 0;
        Matcher files = FILE.matcher(line(text, "rows"));
        Map<String, Map<String, Integer>> rows = new LinkedHashMap<>();
        while (files.find()) {
            rows.put(files.group(1), numbers(files.group(2)));
        }
        for (Map.Entry<String, Map<String, Integer>> file : rows.entrySet()) {
            Map<String, Integer> its = file.getValue();
            int read = its.getOrDefault("read", -1);
            if (read
                    != its.getOrDefault("used", 0)
                            + its.getOrDefault("not_needed", 0)
                            + its.getOrDefault("set_aside", 0)) {
                return Optional.of(file.getKey() + ": " + its);
            }
            if (file.getKey().startsWith("readings/")) {
                judged += its.getOrDefault("used", 0);
            }
            int lines = lines(folder, file.getKey());
            if (read < lines) {
                return Optional.of(file.getKey() + ": " + lines + " rows in the file, " + read + " in the account");
            }
        }
        for (String name : folder.tables()) {
            boolean ofTheDay = !name.contains(" (copy)") && !name.startsWith("old/") && lines(folder, name) > 0;
            boolean known = rows.containsKey(name) || !name.startsWith("readings/") && !Judged.TABLES.contains(name);
            if (ofTheDay && !known) {
                return Optional.of(name + " is not in the account");
            }
        }
        return places == readings.getOrDefault("read", -1) && places == judged
                ? Optional.empty()
                : Optional.of("readings " + readings + ", and " + judged + " in the files");
    }

    // Rows that anybody would count: in files without a quote, whose lines end as usual.
    private static int lines(Folder folder, String name) {
        byte[] bytes = folder.files.get(name);
        String text = bytes == null ? "" : new String(bytes, StandardCharsets.ISO_8859_1);
        return text.contains("\"") || text.contains("\0")
                ? 0
                : (int) Math.max(0, text.lines().filter(line -> !line.isEmpty()).count() - 1);
    }

    private static String line(String text, String key) {
        return text.lines()
                .filter(line -> line.startsWith("  \"" + key + "\": {"))
                .map(line -> line.substring(line.indexOf('{') + 1))
                .findFirst()
                .orElse("");
    }

    private static Map<String, Integer> numbers(String text) {
        Map<String, Integer> numbers = new LinkedHashMap<>();
        Matcher found = NUMBER.matcher(text);
        while (found.find()) {
            numbers.put(found.group(1), Integer.parseInt(found.group(2)));
        }
        return numbers;
    }
}
