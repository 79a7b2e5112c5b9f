package org.tenmesh.exchange.readers;

import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeParseException;
import java.time.temporal.ChronoField;
import java.time.temporal.TemporalAccessor;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.day.ReadingsColumns;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;

/** One reading of an export's rows by a reader's description. */
final class ExportReading {
    private final ReaderDescription says;
    private final ExportTable table;
    private final FileProblems problems;
    private final Arriving arriving;
    private final List<Column> taken = new ArrayList<>();

    ExportReading(ReaderDescription says, ExportTable table, Arriving arriving, FileProblems problems) {
        this.says = says;
        this.table = table;
        this.problems = problems;
        this.arriving = arriving;
    }

    private record Column(String name, Template quantity, Template unit, Optional<Template> time) {}

    private record Named(Role role, String identity) {}

    /** The readings; what cannot be read goes to the problems. */
    Readings readings() {
        Readings.Builder builder = Readings.builder();
        Set<String> known = new HashSet<>(table.columns());
        known.addAll(table.header().keySet());
        if (table.columns().isEmpty() || !checkNames(known)) {
            return builder.build();
        }
        List<Column> columns = columns();
        taken.addAll(columns);
        long lastInstant = Long.MIN_VALUE;
        int counted = arriving.positionsBefore();
        for (ExportTable.Row row : table.rows()) {
            counted++;
            Map<String, String> cells = new LinkedHashMap<>(table.header());
            cells.putAll(row.cells());
            Optional<Integer> place = says.position.isEmpty() ? Optional.of(counted) : position(row, cells);
            Optional<Named> named = says.identity.isPresent()
                    ? named(row, says.identity.get(), cells)
                    : place.flatMap(position -> ordered(row, position));
            if (named.isEmpty()) {
                continue;
            }
            Role role = named.get().role();
            String text = named.get().identity();
            double factor = dilution(row, cells)
                    * (says.identity.isPresent()
                            ? 1
                            : place.flatMap(this::orderedAt)
                                    .map(RunOrder.Place::dilution)
                                    .orElse(1.0));
            for (Column column : columns) {
                String cell = cells.getOrDefault(column.name(), "");
                if (says.missing.contains(cell)) {
                    continue;
                }
                OptionalDouble value = number(cell);
                if (value.isEmpty()) {
                    problems.add(row.line(), column.name(), Problem.quoted(cell), decimal());
                } else if (Math.abs(value.getAsDouble()) > CsvFile.LARGEST) {
                    value = OptionalDouble.empty();
                    problems.add(
                            row.line(),
                            column.name(),
                            Problem.quoted(cell),
                            "a number of no more than " + DecimalText.of(CsvFile.LARGEST));
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
                Optional<OffsetDateTime> at = time(row, column.time(), cells, lastInstant);
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
                            says.channel.fill(cells).strip(),
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

    private Optional<Named> named(ExportTable.Row row, Template identity, Map<String, String> cells) {
        String text = identity.fill(cells).strip();
        Role role = says.otherwise;
        for (ReaderDescription.RoleRule rule : says.roles) {
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
            return Optional.empty();
        }
        return Optional.of(new Named(role, text));
    }

    private Optional<RunOrder.Place> orderedAt(int position) {
        return arriving.order().flatMap(order -> order.at(position));
    }

    private Optional<Named> ordered(ExportTable.Row row, int position) {
        Optional<RunOrder.Place> place = orderedAt(position);
        if (place.isEmpty()) {
            problems.add(
                    row.line(),
                    "",
                    "position " + position,
                    arriving.order()
                            .map(order -> "a position of run order " + order.name() + ", which has "
                                    + order.places().size())
                            .orElse("a run order that says what is at it"));
        }
        return place.map(one -> new Named(one.role(), one.identity()));
    }

    private List<Template> named() {
        List<Template> templates = new ArrayList<>(List.of(says.channel, says.dilution));
        says.identity.ifPresent(templates::add);
        says.time.ifPresent(templates::add);
        says.position.ifPresent(templates::add);
        return templates;
    }

    /** Every name in a template must be a column or a header entry. */
    private boolean checkNames(Set<String> known) {
        List<Template> templates = named();
        boolean all = true;
        for (Template template : templates) {
            for (String name : template.namesBeyond(known)) {
                problems.add(0, name, "no such column", "a column or header entry " + name);
                all = false;
            }
        }
        return all;
    }

    private List<Column> columns() {
        List<Column> columns = new ArrayList<>();
        for (ReaderDescription.ValueRule rule : says.values) {
            int before = columns.size();
            for (String name : table.columns()) {
                Optional<Template> its = rule.time().or(() -> says.time);
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

    /** Columns that hold something in some row and are neither values nor named in a template. */
    List<String> unused() {
        Set<String> used = new HashSet<>();
        List<Template> templates = named();
        for (Column column : taken) {
            used.add(column.name());
            templates.addAll(List.of(column.quantity(), column.unit()));
            column.time().ifPresent(templates::add);
        }
        templates.forEach(template -> used.addAll(template.namesBeyond(Set.of())));
        return table.columns().stream()
                .filter(name -> !used.contains(name))
                .filter(name -> table.rows().stream()
                        .anyMatch(row -> !says.missing.contains(row.cells().getOrDefault(name, ""))))
                .toList();
    }

    private Optional<Integer> position(ExportTable.Row row, Map<String, String> cells) {
        String text =
                says.position.map(template -> template.fill(cells).strip()).orElse("");
        try {
            int place = Integer.parseInt(text);
            if (place >= 1 && place <= ReadingsColumns.MOST_POSITIONS) {
                return Optional.of(place);
            }
        } catch (NumberFormatException notWhole) {
            // told below
        }
        problems.add(
                row.line(),
                String.valueOf(says.position.map(Template::toString).orElse("")),
                Problem.quoted(text),
                "a position: a whole number of 1 or more");
        return Optional.empty();
    }

    private double dilution(ExportTable.Row row, Map<String, String> cells) {
        String text = says.dilution.fill(cells).strip();
        if (says.missing.contains(text)) {
            return 1;
        }
        double factor = number(text).orElse(0);
        if (factor < 1) {
            problems.add(
                    row.line(), says.dilution.toString(), Problem.quoted(text), "a dilution: a factor of 1 or more");
        }
        return factor;
    }

    private OptionalDouble number(String cell) {
        if (!says.decimalComma) {
            return Numbers.parse(cell);
        }
        // A point where the comma is the decimal mark could be a thousand: refused, never guessed.
        return cell.indexOf('.') >= 0 ? OptionalDouble.empty() : Numbers.parse(cell.replace(',', '.'));
    }

    private String decimal() {
        return "a number with " + (says.decimalComma ? "," : ".") + " as the decimal mark";
    }

    private Optional<Unit> unit(String text) {
        return Unit.ofUcum(says.units.getOrDefault(text, text));
    }

    private Optional<OffsetDateTime> time(
            ExportTable.Row row, Optional<Template> given, Map<String, String> cells, long lastInstant) {
        if (given.isEmpty()) {
            if (arriving.receivedAt().isEmpty()) {
                problems.add(row.line(), "", "no time", "a reading that comes by itself: its time is when it came");
            }
            return arriving.receivedAt();
        }
        Template template = given.get();
        String text = template.fill(cells).strip();
        try {
            TemporalAccessor parsed = says.timeFormat.parseBest(text, OffsetDateTime::from, LocalDateTime::from);
            int year = parsed.get(ChronoField.YEAR);
            if (year < CsvFile.FIRST_YEAR || year > CsvFile.LAST_YEAR) {
                problems.add(
                        row.line(),
                        template.toString(),
                        Problem.quoted(text),
                        "a time of the years " + CsvFile.FIRST_YEAR + " to " + CsvFile.LAST_YEAR);
                return Optional.empty();
            }
            if (parsed instanceof OffsetDateTime withOffset) {
                return Optional.of(shifted(withOffset));
            }
            LocalDateTime local = LocalDateTime.from(parsed);
            List<ZoneOffset> offsets = says.zone.getRules().getValidOffsets(local);
            if (offsets.isEmpty()) {
                problems.add(
                        row.line(),
                        template.toString(),
                        Problem.quoted(text),
                        "a time that the clocks of " + says.zone + " showed; they were set forward over it");
                return Optional.empty();
            }
            OffsetDateTime at = shifted(local.atOffset(offsets.get(0)));
            // Set back, the clocks show an hour twice: the second one when the first would be before the last reading.
            if (offsets.size() > 1 && at.toInstant().toEpochMilli() < lastInstant) {
                at = shifted(local.atOffset(offsets.get(1)));
            }
            return Optional.of(at);
        } catch (DateTimeParseException notTime) {
            problems.add(
                    row.line(), template.toString(), Problem.quoted(text), "a time of the form " + says.timePattern);
            return Optional.empty();
        }
    }

    private OffsetDateTime shifted(OffsetDateTime at) {
        return says.clockOffsetSeconds == 0 ? at : at.plusNanos(Math.round(says.clockOffsetSeconds * 1e9));
    }
}
