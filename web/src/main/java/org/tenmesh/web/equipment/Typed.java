package org.tenmesh.web.equipment;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.web.http.Visit;

/** What was typed into a form about a lot or a piece of equipment; what cannot be is an {@link IllegalArgumentException} with a sentence. */
record Typed(Visit visit, ZoneId zone, Instant now) {
    /** So many services and checks stand in the form of a piece of equipment. */
    static final int DUES = 3;

    private static final Pattern CONTENT =
            Pattern.compile("(\\S+)\\s+(-?[0-9.]+)(?:\\s*(?:±|\\+/-)\\s*([0-9.]+))?\\s+(\\S+)");

    Lot lot() {
        Lot.Kind kind = Lot.Kind.of(visit.form("kind"))
                .orElseThrow(() -> new IllegalArgumentException("choose what the lot is of"));
        LocalDate received = date("received").orElse(LocalDate.ofInstant(now, zone));
        return new Lot(
                visit.form("name"),
                kind,
                visit.form("for"),
                visit.form("method"),
                visit.form("source"),
                contents(),
                received,
                date("expires"),
                whole("open"),
                names("from"),
                visit.actor(),
                now);
    }

    private List<Lot.Content> contents() {
        List<Lot.Content> contents = new ArrayList<>();
        for (String line : visit.form("contents").split("\\R")) {
            if (line.isBlank()) {
                continue;
            }
            Matcher parts = CONTENT.matcher(line.strip());
            if (!parts.matches()) {
                throw new IllegalArgumentException(
                        "content \"" + line.strip()
                                + "\": expected analyte, value, ± uncertainty where it has one, and unit, such as K 100 ± 0.4 mg/L");
            }
            Unit unit = Unit.ofUcum(parts.group(4))
                    .orElseThrow(() -> new IllegalArgumentException("content \"" + line.strip() + "\": the unit "
                            + parts.group(4) + " is not known; expected a UCUM code such as mg/L, mg/kg, dS/m, [pH]"));
            contents.add(new Lot.Content(
                    parts.group(1),
                    number(parts.group(2), "a content"),
                    parts.group(3) == null
                            ? OptionalDouble.empty()
                            : OptionalDouble.of(number(parts.group(3), "an uncertainty")),
                    unit));
        }
        return contents;
    }

    Equipment equipment() {
        Equipment.Kind kind = Equipment.Kind.of(visit.form("kind"))
                .orElseThrow(() -> new IllegalArgumentException("choose what the equipment is"));
        List<Equipment.Due> dues = new ArrayList<>();
        for (int i = 1; i <= DUES; i++) {
            if (!visit.form("what" + i).isEmpty()) {
                dues.add(new Equipment.Due(
                        visit.form("what" + i),
                        whole("every" + i),
                        date("by" + i),
                        number("low" + i),
                        number("high" + i),
                        visit.form("unit" + i)));
            }
        }
        return new Equipment(
                visit.form("name"),
                kind,
                visit.form("identity"),
                visit.form("instrument"),
                visit.form("channel"),
                dues,
                visit.actor(),
                now);
    }

    /** When it happened: now where nothing was typed. */
    Instant at() {
        String text = visit.form("at");
        if (text.isEmpty()) {
            return now;
        }
        try {
            return LocalDateTime.parse(text).atZone(zone).toInstant();
        } catch (DateTimeException e) {
            throw new IllegalArgumentException("the time \"" + text + "\": expected one like 2026-11-25T09:30", e);
        }
    }

    List<String> names(String field) {
        return Arrays.stream(visit.form(field).split("[,;\\s]+"))
                .filter(name -> !name.isEmpty())
                .distinct()
                .toList();
    }

    private Optional<LocalDate> date(String field) {
        String text = visit.form(field);
        try {
            return text.isEmpty() ? Optional.empty() : Optional.of(LocalDate.parse(text));
        } catch (DateTimeException e) {
            throw new IllegalArgumentException("the date \"" + text + "\": expected one like 2026-11-28", e);
        }
    }

    private OptionalInt whole(String field) {
        String text = visit.form(field);
        if (text.isEmpty()) {
            return OptionalInt.empty();
        }
        if (!text.matches("[0-9]{1,6}")) {
            throw new IllegalArgumentException("\"" + text + "\": expected a whole number of days");
        }
        return OptionalInt.of(Integer.parseInt(text));
    }

    OptionalDouble number(String field) {
        String text = visit.form(field);
        return text.isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(number(text, "a number"));
    }

    private static double number(String text, String what) {
        try {
            return Double.parseDouble(text.replace(',', '.'));
        } catch (NumberFormatException e) {
            throw new IllegalArgumentException("\"" + text + "\": expected " + what, e);
        }
    }
}
