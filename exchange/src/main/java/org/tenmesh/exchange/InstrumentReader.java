package org.tenmesh.exchange;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.time.format.ResolverStyle;
import java.time.temporal.TemporalAccessor;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;

/**
 * A description, in YAML, of what one instrument's export means: how its rows are cut, which cell is the position, the identity,
 * the channel, the value and the time, and how roles are told. Immutable.
 */
public final class InstrumentReader {
    private static final List<String> SHIPPED = List.of("plasma-wide-table", "weighing-list", "probe-lines");
    private static final String REFUSED = "The reader is not taken";
    private static final Pattern GROUP_NAME = Pattern.compile("\\(\\?<([a-zA-Z][a-zA-Z0-9]*)>");

    private final String name;
    private final String title;
    private final Charset encoding;
    private final boolean decimalComma;
    private final ZoneId zone;
    private final double clockOffsetSeconds;
    private final ExportTable.Frame frame;
    private final ExportTable.Form form;
    private final Optional<Template> position;
    private final Template identity;
    private final Template channel;
    private final Template dilution;
    private final Template time;
    private final DateTimeFormatter timeFormat;
    private final String timePattern;
    private final Set<String> missing;
    private final Map<String, String> units;
    private final List<RoleRule> roles;
    private final Role otherwise;
    private final List<ValueRule> values;

    private record RoleRule(Pattern pattern, Role role, String identity) {}

    /** Which cells hold values: one column, or all whose header matches. */
    private record ValueRule(
            Optional<String> column,
            Optional<Pattern> columns,
            Template quantity,
            Template unit,
            Optional<Template> time) {}

    /**
     * What an export gave.
     *
     * @param header entries found above the rows, by name
     * @param readings of every row that could be read; not to be stored when there are problems
     * @param problems everything that could not be read
     */
    public record Taken(Map<String, String> header, Readings readings, List<Problem> problems) {
        public Taken {
            header = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(header));
            problems = List.copyOf(problems);
        }

        /** Whether all of the file could be read. */
        public boolean whole() {
            return problems.isEmpty();
        }
    }

    private InstrumentReader(Section top) {
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
        identity = Template.of(top.text("identity"));
        channel = Template.of(top.optionalText("channel").orElse(""));
        dilution = Template.of(top.optionalText("dilution").orElse(""));
        time = Template.of(top.text("time"));
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
        values = values(top);
        top.nothingElse();
    }

    /**
     * Loads a reader from a laboratory's own file.
     *
     * @throws UnusableFile with everything that is wrong in it
     */
    public static InstrumentReader load(Path path) {
        String file = String.valueOf(path.getFileName());
        List<Problem> problems = new ArrayList<>();
        Optional<String> text = TextFile.read(path, file, 1_000_000, problems, REFUSED);
        if (text.isEmpty()) {
            throw new UnusableFile(problems);
        }
        return parse(file, text.get());
    }

    /** The readers that ship with the program, all for made-up exports, by name. */
    public static Map<String, InstrumentReader> shipped() {
        Map<String, InstrumentReader> readers = new LinkedHashMap<>();
        for (String name : SHIPPED) {
            String file = "readers/" + name + ".yaml";
            try (InputStream in = InstrumentReader.class.getResourceAsStream(file)) {
                if (in == null) {
                    throw new IllegalStateException(file + " is not in the program");
                }
                readers.put(name, parse(file, new String(in.readAllBytes(), StandardCharsets.UTF_8)));
            } catch (IOException unreadable) {
                throw new UncheckedIOException(file + " of the program cannot be read", unreadable);
            }
        }
        return readers;
    }

    static InstrumentReader parse(String file, String text) {
        List<Problem> problems = new ArrayList<>();
        Optional<InstrumentReader> reader =
                YamlText.read(file, text, problems, REFUSED).map(InstrumentReader::new);
        if (reader.isEmpty() || !problems.isEmpty()) {
            throw new UnusableFile(problems);
        }
        return reader.get();
    }

    /** Its name, as given on the command line. */
    public String name() {
        return name;
    }

    /** What it reads, in words. */
    public String title() {
        return title;
    }

    /** Reads an export within the default size limit. Never throws for what is in the file. */
    public Taken read(Path export) {
        return read(export, Limits.defaults());
    }

    /** Reads an export. Never throws for what is in the file. */
    public Taken read(Path export, Limits limits) {
        String file = String.valueOf(export.getFileName());
        FileProblems problems = new FileProblems(file, "Nothing of this file is taken");
        Optional<String> text = TextFile.bytes(
                        export, file, limits.fileBytes(), problems.told(), problems.consequence())
                .flatMap(bytes -> decode(bytes, problems));
        if (text.isEmpty()) {
            return new Taken(Map.of(), Readings.builder().build(), problems.all());
        }
        ExportTable table = ExportTable.of(text.get(), frame, form, problems);
        Readings readings = readings(table, problems);
        return new Taken(table.header(), readings, problems.all());
    }

    private Optional<String> decode(byte[] bytes, FileProblems problems) {
        if (encoding.equals(StandardCharsets.UTF_8)) {
            return TextFile.decode(bytes, problems.file(), problems.told(), problems.consequence());
        }
        try {
            return Optional.of(
                    encoding.newDecoder().decode(ByteBuffer.wrap(bytes)).toString());
        } catch (CharacterCodingException other) {
            problems.add(0, "", "bytes that are not " + encoding, "a file in " + encoding);
            return Optional.empty();
        }
    }

    private record Column(String name, Template quantity, Template unit, Template time) {}

    private Readings readings(ExportTable table, FileProblems problems) {
        Readings.Builder builder = Readings.builder();
        Set<String> known = new HashSet<>(table.columns());
        known.addAll(table.header().keySet());
        if (table.columns().isEmpty() || !checkNames(known, problems)) {
            return builder.build();
        }
        List<Column> columns = columns(table, problems);
        long lastInstant = Long.MIN_VALUE;
        int counted = 0;
        for (ExportTable.Row row : table.rows()) {
            counted++;
            Map<String, String> cells = new LinkedHashMap<>(table.header());
            cells.putAll(row.cells());
            Optional<Integer> place = position.isEmpty() ? Optional.of(counted) : position(row, cells, problems);
            String text = identity.fill(cells).strip();
            Role role = otherwise;
            for (RoleRule rule : roles) {
                Matcher matcher = rule.pattern().matcher(text);
                if (matcher.find()) {
                    role = rule.role();
                    text = rule.identity().isEmpty()
                            ? text
                            : matcher.replaceFirst(rule.identity()).strip();
                    break;
                }
            }
            if (text.isEmpty()) {
                problems.add(row.line(), identity.toString(), "an empty identity", "a name or lab number");
                continue;
            }
            double factor = dilution(row, cells, problems);
            for (Column column : columns) {
                String cell = cells.getOrDefault(column.name(), "");
                if (missing.contains(cell)) {
                    continue;
                }
                OptionalDouble value = number(cell);
                if (value.isEmpty()) {
                    problems.add(row.line(), column.name(), Problem.quoted(cell), decimal());
                }
                Optional<Unit> unit = unit(column.unit().fill(cells).strip());
                if (unit.isEmpty()) {
                    problems.add(
                            row.line(),
                            column.name(),
                            "unit " + Problem.quoted(column.unit().fill(cells)),
                            "one of the UCUM codes " + CsvFile.unitCodes());
                }
                String quantity = column.quantity().fill(cells).strip();
                if (quantity.isEmpty()) {
                    problems.add(row.line(), column.quantity().toString(), "no quantity", "what was read");
                }
                Optional<OffsetDateTime> at = time(row, column.time(), cells, lastInstant, problems);
                if (place.isPresent()
                        && value.isPresent()
                        && unit.isPresent()
                        && at.isPresent()
                        && !quantity.isEmpty()
                        && factor >= 1) {
                    lastInstant = at.get().toInstant().toEpochMilli();
                    builder.add(
                            place.get(),
                            role,
                            text,
                            channel.fill(cells).strip(),
                            quantity,
                            value.getAsDouble(),
                            unit.get(),
                            at.get(),
                            factor);
                }
            }
        }
        return builder.build();
    }

    /** Every name in a template must be a column or a header entry. */
    private boolean checkNames(Set<String> known, FileProblems problems) {
        List<Template> templates = new ArrayList<>(List.of(identity, channel, dilution, time));
        position.ifPresent(templates::add);
        boolean all = true;
        for (Template template : templates) {
            for (String name : template.namesBeyond(known)) {
                problems.add(0, name, "no such column", "a column or header entry " + name);
                all = false;
            }
        }
        return all;
    }

    private List<Column> columns(ExportTable table, FileProblems problems) {
        List<Column> columns = new ArrayList<>();
        for (ValueRule rule : values) {
            int before = columns.size();
            for (String name : table.columns()) {
                Template its = rule.time().orElse(time);
                if (rule.column().isPresent() && rule.column().get().equals(name)) {
                    columns.add(new Column(name, rule.quantity(), rule.unit(), its));
                } else if (rule.columns().isPresent()) {
                    Matcher matcher = rule.columns().get().matcher(name);
                    if (matcher.matches()) {
                        columns.add(new Column(
                                name,
                                Template.of(matcher.replaceFirst(rule.quantity().toString())),
                                rule.unit(),
                                its));
                    }
                }
            }
            if (columns.size() == before) {
                String what = rule.column().orElse("")
                        + rule.columns().map(Pattern::pattern).orElse("");
                problems.add(0, what, "no such column", "a column of values " + what);
            }
        }
        return columns;
    }

    private Optional<Integer> position(ExportTable.Row row, Map<String, String> cells, FileProblems problems) {
        String text = position.map(template -> template.fill(cells).strip()).orElse("");
        try {
            int place = Integer.parseInt(text);
            if (place >= 1 && place <= ReadingsFile.MOST_POSITIONS) {
                return Optional.of(place);
            }
        } catch (NumberFormatException notWhole) {
            // told below
        }
        problems.add(
                row.line(),
                String.valueOf(position.map(Template::toString).orElse("")),
                Problem.quoted(text),
                "a position: a whole number of 1 or more");
        return Optional.empty();
    }

    private double dilution(ExportTable.Row row, Map<String, String> cells, FileProblems problems) {
        String text = dilution.fill(cells).strip();
        if (missing.contains(text)) {
            return 1;
        }
        double factor = number(text).orElse(0);
        if (factor < 1) {
            problems.add(row.line(), dilution.toString(), Problem.quoted(text), "a dilution: a factor of 1 or more");
        }
        return factor;
    }

    private OptionalDouble number(String cell) {
        if (!decimalComma) {
            return Numbers.parse(cell);
        }
        // A point where the comma is the decimal mark could be a thousand: refused, never guessed.
        return cell.indexOf('.') >= 0 ? OptionalDouble.empty() : Numbers.parse(cell.replace(',', '.'));
    }

    private String decimal() {
        return "a number with " + (decimalComma ? "," : ".") + " as the decimal mark";
    }

    private Optional<Unit> unit(String text) {
        return Unit.ofUcum(units.getOrDefault(text, text));
    }

    private Optional<OffsetDateTime> time(
            ExportTable.Row row,
            Template template,
            Map<String, String> cells,
            long lastInstant,
            FileProblems problems) {
        String text = template.fill(cells).strip();
        try {
            TemporalAccessor parsed = timeFormat.parseBest(text, OffsetDateTime::from, LocalDateTime::from);
            if (parsed instanceof OffsetDateTime withOffset) {
                return Optional.of(shifted(withOffset));
            }
            LocalDateTime local = LocalDateTime.from(parsed);
            List<ZoneOffset> offsets = zone.getRules().getValidOffsets(local);
            if (offsets.isEmpty()) {
                problems.add(
                        row.line(),
                        template.toString(),
                        Problem.quoted(text),
                        "a time that the clocks of " + zone + " showed; they were set forward over it");
                return Optional.empty();
            }
            OffsetDateTime at = shifted(local.atOffset(offsets.get(0)));
            // Set back, the clocks show an hour twice: the second one when the first would be before the last reading.
            if (offsets.size() > 1 && at.toInstant().toEpochMilli() < lastInstant) {
                at = shifted(local.atOffset(offsets.get(1)));
            }
            return Optional.of(at);
        } catch (DateTimeParseException notTime) {
            problems.add(row.line(), template.toString(), Problem.quoted(text), "a time of the form " + timePattern);
            return Optional.empty();
        }
    }

    private OffsetDateTime shifted(OffsetDateTime at) {
        return clockOffsetSeconds == 0 ? at : at.plusNanos(Math.round(clockOffsetSeconds * 1e9));
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
        String form = top.choice("form", Map.of("delimited", "delimited", "fixed", "fixed", "lines", "lines"));
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
