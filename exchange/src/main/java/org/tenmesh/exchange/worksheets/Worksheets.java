package org.tenmesh.exchange.worksheets;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;

/**
 * A client's sheet, CSV or XLSX: above it, where they are, lines such as {@code Client | Birchfield Farm}; then a header row;
 * then one line a soil. Headers are known under several names, depths in cm or inches.
 */
public final class Worksheets {
    private static final String REFUSED = "Nothing of this sheet is taken";
    private static final int HEADER_WITHIN = 40;
    private static final long MOST_BYTES = 25_000_000;

    private static final Set<String> LABEL = Set.of(
            "sample",
            "sample id",
            "sample name",
            "sample no",
            "sample number",
            "label",
            "client label",
            "your label",
            "field",
            "field id",
            "field name");
    private static final Set<String> ORDINAL = Set.of("no", "nr", "number", "#", "line", "ordinal");
    private static final Set<String> TOP = Set.of("top", "from", "upper", "depth from", "depth top", "top depth");
    private static final Set<String> BOTTOM =
            Set.of("bottom", "to", "lower", "depth to", "depth bottom", "bottom depth");
    private static final Set<String> DEPTH = Set.of("depth", "depth range", "layer");
    private static final Set<String> PACKAGE = Set.of("package", "analysis", "analyses", "determinations");

    private static final Pattern RANGE =
            Pattern.compile("(\\d+(?:\\.\\d+)?)\\s*(?:-|–|to)\\s*(\\d+(?:\\.\\d+)?)\\s*(cm|in|inch|inches|\")?");
    private static final double CM_PER_INCH = 2.54; // exact, international yard and pound agreement of 1959

    private Worksheets() {}

    /** Reads a sheet within the default limits. Never throws for what is in it. */
    public static Worksheet read(Path path) {
        return read(path, Limits.defaults());
    }

    /** Reads a sheet. Never throws for what is in it. */
    public static Worksheet read(Path path, Limits limits) {
        String file = String.valueOf(path.getFileName());
        FileProblems problems = new FileProblems(file, REFUSED);
        List<List<SheetGrid.Line>> sheets = TextFile.bytes(
                        path, file, Math.min(limits.fileBytes(), MOST_BYTES), problems.told(), problems.consequence())
                .map(bytes -> SheetGrid.of(path, bytes, limits, problems))
                .orElse(List.of());
        return new Reading(sheets, problems).read();
    }

    private enum Meaning {
        LABEL,
        ORDINAL,
        TOP,
        BOTTOM,
        DEPTH,
        PACKAGE
    }

    private record Head(int column, Meaning meaning, Optional<Double> cmPerUnit) {}

    private static final class Reading {
        private final List<List<SheetGrid.Line>> sheets;
        private final FileProblems problems;
        private final Map<String, String> above = new HashMap<>();
        private final List<String> notRead = new ArrayList<>();
        private final List<Worksheet.Sample> samples = new ArrayList<>();

        Reading(List<List<SheetGrid.Line>> sheets, FileProblems problems) {
            this.sheets = sheets;
            this.problems = problems;
        }

        Worksheet read() {
            boolean found = false;
            for (List<SheetGrid.Line> sheet : sheets) {
                if (!found && problems.none()) {
                    found = sheet(sheet);
                }
            }
            if (!found && problems.none()) {
                problems.add(
                        0,
                        "",
                        "no header row in the first " + HEADER_WITHIN + " rows",
                        "a row with a column for the label: Sample, Sample ID, Label or Field");
            } else if (samples.isEmpty() && problems.none()) {
                problems.add(0, "", "no soil below the header row", "one row for each soil");
            }
            Optional<Boolean> water = water();
            Optional<String> country = country();
            return new Worksheet(
                    above("client"),
                    country,
                    region(),
                    above("package"),
                    water,
                    above("note"),
                    problems.none() ? samples : List.of(),
                    notRead,
                    problems.all());
        }

        private Optional<String> above(String key) {
            return Optional.ofNullable(above.get(key));
        }

        /** State and county together: an area that is regulated is often one county. */
        private Optional<String> region() {
            String both = Stream.of(above("region"), above("county"))
                    .flatMap(Optional::stream)
                    .collect(Collectors.joining(", "));
            return Optional.of(both).filter(text -> !text.isEmpty());
        }

        private Optional<String> country() {
            Optional<String> country = above("country");
            if (country.isPresent() && !country.get().matches("[A-Z]{2}")) {
                problems.add(
                        0, "country", Problem.quoted(country.get()), "two capital letters by ISO 3166-1, such as IE");
            }
            return country;
        }

        private Optional<Boolean> water() {
            Optional<String> text = above("water").map(word -> word.toLowerCase(Locale.ROOT));
            if (text.isPresent() && !Set.of("yes", "no").contains(text.get())) {
                problems.add(0, "water", Problem.quoted(text.get()), "yes or no");
                return Optional.empty();
            }
            return text.map("yes"::equals);
        }

        /** Whether this sheet has a header row. */
        private boolean sheet(List<SheetGrid.Line> lines) {
            List<Head> heads = List.of();
            int soils = 0;
            Map<Integer, Integer> rowOfOrdinal = new HashMap<>();
            for (SheetGrid.Line line : lines) {
                if (line.blank()) {
                    continue;
                }
                if (heads.isEmpty()) {
                    if (line.number() > HEADER_WITHIN) {
                        return false;
                    }
                    if (isHeader(line)) {
                        heads = heads(line);
                    } else {
                        keyAndValue(line);
                    }
                } else {
                    soils++;
                    sample(line, heads, soils).ifPresent(sample -> {
                        Integer before = rowOfOrdinal.putIfAbsent(sample.ordinal(), sample.row());
                        if (before != null) {
                            problems.add(
                                    sample.row(),
                                    "",
                                    "number " + sample.ordinal() + " a second time",
                                    "each number once; it stands in row " + before + " already");
                        }
                        samples.add(sample);
                    });
                }
            }
            return !heads.isEmpty();
        }

        private void keyAndValue(SheetGrid.Line line) {
            List<SheetGrid.SheetCell> filled =
                    line.cells().stream().filter(cell -> !cell.text().isEmpty()).toList();
            if (filled.size() < 2) {
                return;
            }
            String key = switch (plain(filled.get(0).text())) {
                case "client", "farm", "grower", "customer" -> "client";
                case "country", "origin country", "country of origin" -> "country";
                case "region", "state", "province", "origin region" -> "region";
                case "county", "origin county" -> "county";
                case "package", "analysis", "analyses" -> "package";
                case "water", "water supplied", "own water" -> "water";
                case "note", "notes", "remark", "remarks" -> "note";
                default -> "";
            };
            if (!key.isEmpty()) {
                above.putIfAbsent(key, filled.get(1).text());
            }
        }

        private static boolean isHeader(SheetGrid.Line line) {
            // "Field | Long Acre" above the table is an entry, not a header: a header has a label and no second word of
            // another kind.
            List<String> words = line.cells().stream()
                    .map(cell -> plain(withoutUnit(cell.text())))
                    .filter(word -> !word.isEmpty())
                    .toList();
            long known =
                    words.stream().filter(word -> meaning(word).isPresent()).count();
            return words.stream().anyMatch(LABEL::contains) && (known >= 2 || words.size() != 2);
        }

        private List<Head> heads(SheetGrid.Line line) {
            List<Head> heads = new ArrayList<>();
            Map<Meaning, String> seen = new HashMap<>();
            for (int i = 0; i < line.cells().size(); i++) {
                SheetGrid.SheetCell cell = line.cells().get(i);
                Optional<Meaning> meaning = meaning(plain(withoutUnit(cell.text())));
                if (meaning.isEmpty()) {
                    if (!cell.text().isEmpty()) {
                        notRead.add(cell.text());
                    }
                    continue;
                }
                String before = seen.putIfAbsent(meaning.get(), cell.address());
                if (before != null && meaning.get() != Meaning.LABEL) {
                    problems.add(
                            line.number(),
                            cell.address(),
                            Problem.quoted(cell.text()) + ", which says the same as " + before,
                            "one such column");
                }
                heads.add(new Head(i, meaning.get(), unitOf(cell.text())));
            }
            return heads;
        }

        private Optional<Worksheet.Sample> sample(SheetGrid.Line line, List<Head> heads, int counted) {
            StringBuilder label = new StringBuilder();
            OptionalDouble top = OptionalDouble.empty();
            OptionalDouble bottom = OptionalDouble.empty();
            Optional<String> packageName = Optional.empty();
            int ordinal = counted;
            String labelAddress = "";
            boolean well = true;
            for (Head head : heads) {
                if (head.column() >= line.cells().size()) {
                    continue;
                }
                SheetGrid.SheetCell cell = line.cells().get(head.column());
                if (cell.isError()) {
                    well = wrong(line, cell, "a value without an error");
                    continue;
                }
                if (cell.text().isEmpty()) {
                    labelAddress = head.meaning() == Meaning.LABEL ? cell.address() : labelAddress;
                    continue;
                }
                switch (head.meaning()) {
                    case LABEL -> {
                        if (cell.isDate()) {
                            problems.add(
                                    line.number(),
                                    cell.address(),
                                    "a date",
                                    "a label (sheets turn 1-2 into a date; write it as text)");
                            well = false;
                        }
                        label.append(label.length() == 0 ? "" : " ").append(cell.text());
                    }
                    case ORDINAL -> {
                        if (cell.text().matches("[1-9]\\d{0,5}")) {
                            ordinal = Integer.parseInt(cell.text());
                        } else {
                            well = wrong(line, cell, "a whole number of 1 or more");
                        }
                    }
                    case TOP -> {
                        top = length(line, cell, head);
                        well &= top.isPresent();
                    }
                    case BOTTOM -> {
                        bottom = length(line, cell, head);
                        well &= bottom.isPresent();
                    }
                    case DEPTH -> {
                        Matcher range = RANGE.matcher(cell.text().toLowerCase(Locale.ROOT));
                        Optional<Double> unit = head.cmPerUnit();
                        if (cell.isDate() || !range.matches()) {
                            well = wrong(line, cell, "a depth such as 0-15");
                            continue;
                        }
                        String written = range.group(3);
                        if (written != null) {
                            unit = Optional.of(written.equals("cm") ? 1.0 : CM_PER_INCH);
                        }
                        if (unit.isEmpty()) {
                            well = wrong(line, cell, "a depth with its unit, cm or in, here or in the header");
                            continue;
                        }
                        top = OptionalDouble.of(Double.parseDouble(range.group(1)) * unit.get());
                        bottom = OptionalDouble.of(Double.parseDouble(range.group(2)) * unit.get());
                    }
                    case PACKAGE -> packageName = Optional.of(cell.text());
                }
            }
            if (label.length() == 0 && well) {
                problems.add(line.number(), labelAddress, "an empty cell", "the label of this soil");
                return Optional.empty();
            }
            if (top.isPresent() && bottom.isPresent() && bottom.getAsDouble() < top.getAsDouble()) {
                problems.add(
                        line.number(),
                        "",
                        "a layer from " + DecimalText.of(top.getAsDouble()) + " to "
                                + DecimalText.of(bottom.getAsDouble()) + " cm",
                        "a lower edge below the upper one");
                return Optional.empty();
            }
            return well
                    ? Optional.of(
                            new Worksheet.Sample(ordinal, label.toString(), top, bottom, packageName, line.number()))
                    : Optional.empty();
        }

        private OptionalDouble length(SheetGrid.Line line, SheetGrid.SheetCell cell, Head head) {
            OptionalDouble value = Numbers.parse(cell.text());
            if (value.isEmpty() || value.getAsDouble() < 0 || cell.isDate()) {
                wrong(line, cell, "a depth of 0 or more, with . as the decimal mark");
                return OptionalDouble.empty();
            }
            if (head.cmPerUnit().isEmpty()) {
                wrong(line, cell, "a header with the unit, such as Top (cm) or Top (in)");
                return OptionalDouble.empty();
            }
            return OptionalDouble.of(value.getAsDouble() * head.cmPerUnit().get());
        }

        /** Always false, so that callers can say so in one word. */
        private boolean wrong(SheetGrid.Line line, SheetGrid.SheetCell cell, String expected) {
            problems.add(line.number(), cell.address(), Problem.quoted(cell.text()), expected);
            return false;
        }

        private static Optional<Meaning> meaning(String word) {
            if (LABEL.contains(word)) {
                return Optional.of(Meaning.LABEL);
            }
            if (ORDINAL.contains(word)) {
                return Optional.of(Meaning.ORDINAL);
            }
            if (TOP.contains(word)) {
                return Optional.of(Meaning.TOP);
            }
            if (BOTTOM.contains(word)) {
                return Optional.of(Meaning.BOTTOM);
            }
            if (DEPTH.contains(word)) {
                return Optional.of(Meaning.DEPTH);
            }
            return PACKAGE.contains(word) ? Optional.of(Meaning.PACKAGE) : Optional.empty();
        }

        /** Small letters, one blank between words, no punctuation at the ends. */
        private static String plain(String text) {
            return text.toLowerCase(Locale.ROOT)
                    .replaceAll("[_\\s]+", " ")
                    .replaceAll("[:.*?]+$", "")
                    .strip();
        }

        private static final Pattern UNIT = Pattern.compile("(?i)[ _(\\[]+(cm|in|inch|inches)\\.?[)\\]]?$");

        private static String withoutUnit(String header) {
            return UNIT.matcher(header.strip()).replaceFirst("");
        }

        private static Optional<Double> unitOf(String header) {
            Matcher unit = UNIT.matcher(header.strip());
            return unit.find()
                    ? Optional.of(unit.group(1).equalsIgnoreCase("cm") ? 1.0 : CM_PER_INCH)
                    : Optional.empty();
        }
    }
}
