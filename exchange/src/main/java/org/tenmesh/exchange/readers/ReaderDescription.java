package org.tenmesh.exchange.readers;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.ResolverStyle;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** What a reader's YAML file says of an export. Immutable. */
final class ReaderDescription {
    private static final Pattern GROUP_NAME = Pattern.compile("\\(\\?<([a-zA-Z][a-zA-Z0-9]*)>");

    final String name;
    final String title;
    final Charset encoding;
    final boolean decimalComma;
    final ZoneId zone;
    final double clockOffsetSeconds;
    final ExportTable.Frame frame;
    final ExportTable.Form form;
    final Optional<Template> position;
    /** Empty when the run order says what is at a position. */
    final Optional<Template> identity;

    final Template channel;
    final Template dilution;
    /** Empty when the time is that at which the reading came. */
    final Optional<Template> time;

    final DateTimeFormatter timeFormat;
    final String timePattern;
    final Set<String> missing;
    final Map<String, String> units;
    final List<RoleRule> roles;
    final Role otherwise;
    final List<ValueRule> values;

    record RoleRule(Pattern pattern, Role role, String identity) {}

    /** Which cells hold values: one column, or all whose header matches. */
    record ValueRule(
            Optional<String> column,
            Optional<Pattern> columns,
            Template quantity,
            Template unit,
            Optional<Template> time) {}

    /** Takes the whole file; what is wrong goes to the problems of the section. */
    ReaderDescription(Section top) {
        name = top.text("name");
        title = top.text("title");
        encoding = parsed(
                        top,
                        "encoding",
                        top.optionalText("encoding").orElse("UTF-8"),
                        Charset::forName,
                        "a character encoding, such as UTF-8 or ISO-8859-1")
                .orElse(StandardCharsets.UTF_8);
        decimalComma = top.choice("decimal", Map.of("point", false, "comma", true));
        zone = parsed(
                        top,
                        "zone",
                        top.optionalText("zone").orElse("UTC"),
                        ZoneId::of,
                        "an IANA time zone, such as Europe/Dublin")
                .orElse(ZoneOffset.UTC);
        clockOffsetSeconds = top.number("clock_offset_seconds", 0);
        frame = frame(top);
        form = form(top);
        String place = top.text("position");
        position = place.equals("count") ? Optional.empty() : Optional.of(Template.of(place));
        String who = top.text("identity");
        identity = who.equals("order") ? Optional.empty() : Optional.of(Template.of(who));
        channel = Template.of(top.optionalText("channel").orElse(""));
        dilution = Template.of(top.optionalText("dilution").orElse(""));
        String when = top.text("time");
        time = when.equals("received") ? Optional.empty() : Optional.of(Template.of(when));
        timePattern = top.optionalText("time_format").orElse("ISO 8601");
        timeFormat = timePattern.equals("ISO 8601")
                ? DateTimeFormatter.ISO_DATE_TIME
                : parsed(
                                top,
                                "time_format",
                                timePattern,
                                text -> DateTimeFormatter.ofPattern(text, Locale.ROOT)
                                        .withResolverStyle(ResolverStyle.STRICT),
                                "a pattern, such as dd.MM.uuuu HH:mm:ss")
                        .orElse(DateTimeFormatter.ISO_DATE_TIME);
        missing = new HashSet<>(top.texts("missing"));
        missing.add("");
        Map<String, String> words = new LinkedHashMap<>();
        if (top.has("units")) {
            Section section = top.section("units");
            for (String key : section.keys()) {
                words.put(key, section.text(key));
            }
        }
        units = words;
        roles = roles(top);
        otherwise = top.optionalText("otherwise").isPresent() ? role(top, "otherwise") : Role.SAMPLE;
        if (identity.isEmpty() && (!roles.isEmpty() || top.has("otherwise"))) {
            top.wrong("identity", "order together with roles", "roles only where the export names what it read");
        }
        values = values(top);
        top.nothingElse();
    }

    private static ExportTable.Frame frame(Section top) {
        Map<String, Pattern> header = new LinkedHashMap<>();
        if (top.has("header")) {
            Section section = top.section("header");
            for (String key : section.keys()) {
                pattern(section, key, section.text(key), 1).ifPresent(pattern -> header.put(key, pattern));
            }
        }
        List<Pattern> skip = new ArrayList<>();
        for (String text : top.texts("skip")) {
            pattern(top, "skip", text, 0).ifPresent(skip::add);
        }
        return new ExportTable.Frame(
                header,
                top.whole("skip_rows", 0, 100_000, 0),
                optionalPattern(top, "starts_after", 0),
                optionalPattern(top, "ends_before", 0),
                skip,
                optionalPattern(top, "announced_rows", 1));
    }

    private static ExportTable.Form form(Section top) {
        String form = top.choice(
                "form", Map.of("delimited", "delimited", "fixed", "fixed", "lines", "lines", "records", "records"));
        switch (form) {
            case "fixed" -> {
                List<ExportTable.FixedColumn> columns = new ArrayList<>();
                for (Section section : top.sections("columns")) {
                    int from = section.whole("from", 1, 10_000);
                    columns.add(
                            new ExportTable.FixedColumn(section.text("name"), from, section.whole("to", from, 10_000)));
                    section.nothingElse();
                }
                if (columns.isEmpty()) {
                    top.missing("columns", "names with from and to");
                }
                return new ExportTable.Fixed(columns);
            }
            case "records" -> {
                return new ExportTable.Records();
            }
            case "lines" -> {
                Optional<Pattern> pattern = optionalPattern(top, "pattern", 0);
                if (pattern.isEmpty()) {
                    top.missing("pattern", "a regular expression with named groups");
                    return new ExportTable.Lines(Pattern.compile(""), List.of());
                }
                List<String> names = new ArrayList<>();
                Matcher groups = GROUP_NAME.matcher(pattern.get().pattern());
                while (groups.find()) {
                    names.add(groups.group(1));
                }
                return new ExportTable.Lines(pattern.get(), names);
            }
            default -> {
                String delimiter = top.optionalText("delimiter").orElse(",");
                if (delimiter.equals("tab")) {
                    delimiter = "\t";
                }
                if (delimiter.length() != 1 || delimiter.equals("\"")) {
                    top.wrong("delimiter", Problem.quoted(delimiter), "one character, or the word tab");
                    delimiter = ",";
                }
                return new ExportTable.Delimited(delimiter.charAt(0));
            }
        }
    }

    private static List<RoleRule> roles(Section top) {
        List<RoleRule> rules = new ArrayList<>();
        for (Section section : top.sections("roles")) {
            String becomes = section.optionalText("identity").orElse("");
            Role role = role(section, "role");
            pattern(section, "pattern", section.text("pattern"), 0).ifPresent(pattern -> {
                if (groups(becomes) > pattern.matcher("").groupCount()) {
                    section.wrong("identity", Problem.quoted(becomes), "a text that names only groups of the pattern");
                } else {
                    rules.add(new RoleRule(pattern, role, becomes));
                }
            });
            section.nothingElse();
        }
        return rules;
    }

    private static List<ValueRule> values(Section top) {
        List<ValueRule> rules = new ArrayList<>();
        for (Section section : top.sections("values")) {
            Optional<String> column = section.optionalText("column");
            Optional<Pattern> columns = optionalPattern(section, "columns", 0);
            if (column.isPresent() == section.has("columns")) {
                section.missing("column", "either column or columns");
            }
            String quantity = section.text("quantity");
            if (columns.isPresent()
                    && groups(quantity) > columns.get().matcher("").groupCount()) {
                section.wrong("quantity", Problem.quoted(quantity), "a text that names only groups of columns");
                columns = Optional.empty();
            }
            rules.add(new ValueRule(
                    column,
                    columns,
                    Template.of(quantity),
                    Template.of(section.text("unit")),
                    section.optionalText("time").map(Template::of)));
            section.nothingElse();
        }
        if (rules.isEmpty()) {
            top.missing("values", "at least one column of values");
        }
        return rules;
    }

    /** The largest group a replacement text names. */
    private static int groups(String replacement) {
        int most = 0;
        for (int i = 0; i + 1 < replacement.length(); i++) {
            if (replacement.charAt(i) == '$' && Character.isDigit(replacement.charAt(i + 1))) {
                most = Math.max(most, replacement.charAt(i + 1) - '0');
            }
        }
        return most;
    }

    private static Role role(Section section, String key) {
        Map<String, Role> words = new LinkedHashMap<>();
        for (Role role : Role.values()) {
            words.put(role.word(), role);
        }
        return section.choice(key, words);
    }

    private static Optional<Pattern> optionalPattern(Section section, String key, int groups) {
        return section.optionalText(key).flatMap(text -> pattern(section, key, text, groups));
    }

    private static Optional<Pattern> pattern(Section section, String key, String text, int groups) {
        try {
            Pattern pattern = Pattern.compile(text);
            if (pattern.matcher("").groupCount() < groups) {
                section.wrong(key, Problem.quoted(text), "a regular expression with one group in parentheses");
                return Optional.empty();
            }
            return Optional.of(pattern);
        } catch (PatternSyntaxException broken) {
            section.wrong(key, Problem.quoted(text), "a regular expression: " + broken.getDescription());
            return Optional.empty();
        }
    }

    private static <T> Optional<T> parsed(
            Section section, String key, String text, Function<String, T> parser, String expected) {
        try {
            return Optional.of(parser.apply(text));
        } catch (DateTimeException | IllegalArgumentException wrong) {
            section.wrong(key, Problem.quoted(text), expected);
        }
        return Optional.empty();
    }
}
