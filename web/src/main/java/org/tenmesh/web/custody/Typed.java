package org.tenmesh.web.custody;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.exchange.readers.TemperatureLines;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** What is typed into the forms of regulated soil: fields, and lines of fields with semicolons between them. */
final class Typed {
    private Typed() {}

    /** What was typed cannot be taken; the message says where, and what was expected. */
    static final class Wrong extends IllegalArgumentException {
        private static final long serialVersionUID = 1L;

        Wrong(String message) {
            super(message);
        }
    }

    /** A page that takes what was typed. */
    interface Page {
        Answer answer();
    }

    /** What was typed wrongly is told, and nothing is kept. */
    static Answer answered(Page page) {
        try {
            return page.answer();
        } catch (Wrong wrong) {
            return Answer.refused(400, "Not kept", String.valueOf(wrong.getMessage()));
        } catch (IllegalArgumentException wrong) {
            return Answer.refused(
                    400, "Not kept", Words.sentence(String.valueOf(wrong.getMessage())) + ". Nothing was kept.");
        }
    }

    private interface Reading<T> {
        T read(String[] fields);
    }

    /** Fills up to so many fields. */
    private static String[] fields(String line, int many) {
        String[] parts = line.split(line.contains("\t") ? "\t" : line.contains(";") ? ";" : ",", -1);
        String[] fields = Arrays.copyOf(parts, Math.max(many, parts.length));
        for (int i = 0; i < fields.length; i++) {
            fields[i] = fields[i] == null ? "" : fields[i].strip();
        }
        return fields;
    }

    private static <T> List<T> lines(String text, int many, String expected, Reading<T> reading) {
        List<T> read = new ArrayList<>();
        int number = 0;
        for (String line : text.split("\\R")) {
            number++;
            if (line.isBlank() || line.startsWith("#")) {
                continue;
            }
            String[] fields = fields(line, many);
            try {
                if (fields.length > many) {
                    throw new IllegalArgumentException("there are " + fields.length + " fields");
                }
                read.add(reading.read(fields));
            } catch (IllegalArgumentException | DateTimeParseException wrong) {
                throw new Wrong("Line " + number + ", \"" + line.strip() + "\": " + found(wrong) + ". Expected: "
                        + expected + ". Nothing was kept.");
            }
        }
        return read;
    }

    /** What was found, without the end that the message of the line has itself. */
    private static String found(RuntimeException wrong) {
        return String.valueOf(wrong.getMessage()).replaceFirst("\\. Nothing was kept\\.$", "");
    }

    static LocalDate date(String what, String text) {
        try {
            return LocalDate.parse(text);
        } catch (DateTimeParseException wrong) {
            throw new Wrong(
                    "The " + what + " is a date written like 2026-11-28, found \"" + text + "\". Nothing was kept.");
        }
    }

    static int whole(String what, String text) {
        if (!text.matches("\\d{1,9}")) {
            throw new Wrong("The " + what + " is a whole number, found \"" + text + "\". Nothing was kept.");
        }
        return Integer.parseInt(text);
    }

    /** A limit that the text of a permit states, or the word none. */
    static OptionalInt stated(String what, String text) {
        if (text.isEmpty()) {
            throw new Wrong("The " + what
                    + " is a whole number, or the word none where the permit states none. It was left empty. "
                    + "Nothing was kept.");
        }
        return text.equalsIgnoreCase("none") ? OptionalInt.empty() : OptionalInt.of(whole(what, text));
    }

    static double number(String what, String text) {
        if (!text.matches("-?\\d{1,6}(\\.\\d{1,6})?")) {
            throw new Wrong(
                    "The " + what + " is a number with a decimal point, found \"" + text + "\". Nothing was kept.");
        }
        return Double.parseDouble(text);
    }

    private static List<String> names(String field) {
        return Arrays.stream(field.split("\\|"))
                .map(String::strip)
                .filter(name -> !name.isEmpty())
                .toList();
    }

    private static Optional<LocalDate> day(String field) {
        return field.isEmpty() ? Optional.empty() : Optional.of(LocalDate.parse(field));
    }

    static final String AREA_LINE =
            "country; region|other names; county|other names; from; until; note, of which all but the country may be empty";

    static List<Area> areas(String text) {
        return lines(text, 6, AREA_LINE, f -> new Area(f[0], names(f[1]), names(f[2]), day(f[3]), day(f[4]), f[5]));
    }

    static AreaList areaList(Visit visit) {
        try {
            return new AreaList(
                    visit.form("name"),
                    visit.form("authority"),
                    visit.form("pest"),
                    visit.form("rule"),
                    words(visit.form("covers")),
                    visit.form("elsewhere").equals("yes"),
                    areas(visit.form("areas")),
                    areas(visit.form("free")),
                    visit.form("source"),
                    date("day of the source", visit.form("asOf")),
                    date("day of the next review", visit.form("reviewBy")));
        } catch (Wrong told) {
            throw told;
        } catch (IllegalArgumentException wrong) {
            throw new Wrong("It cannot be kept: " + wrong.getMessage() + ". Nothing was kept.");
        }
    }

    private static Set<String> words(String text) {
        return new LinkedHashSet<>(Arrays.stream(text.split("[,;]"))
                .map(String::strip)
                .filter(word -> !word.isEmpty())
                .toList());
    }

    static final String TREATMENT_LINE =
            "name; °C for minutes, several with | between; unbroken or summed; longest gap in minutes; kinds of portions with | between, or all;"
                    + " what is confirmed at the device with | between; where it stands";

    static List<Treatment> treatments(String text) {
        return lines(text, 7, TREATMENT_LINE, f -> {
            List<Treatment.Limit> limits = new ArrayList<>();
            for (String limit : names(f[1])) {
                String[] two = limit.split("\\s+for\\s+");
                if (two.length != 2) {
                    throw new IllegalArgumentException(
                            "a limit is written like \"121 for 120\", found \"" + limit + "\"");
                }
                limits.add(new Treatment.Limit(
                        number("temperature", two[0].strip()),
                        Duration.ofSeconds(Math.round(number("time", two[1].strip()) * 60))));
            }
            if (!f[2].equals("unbroken") && !f[2].equals("summed")) {
                throw new IllegalArgumentException("the time is unbroken or summed, found \"" + f[2] + "\"");
            }
            Set<PortionKind> kinds = new LinkedHashSet<>();
            if (!f[4].equals("all")) {
                names(f[4]).forEach(word -> kinds.add(PortionKind.of(word)));
                if (kinds.isEmpty()) {
                    throw new IllegalArgumentException("the kinds of portions are named, or all");
                }
            }
            return new Treatment(
                    f[0],
                    limits,
                    f[2].equals("unbroken"),
                    Duration.ofSeconds(Math.round(number("longest gap", f[3]) * 60)),
                    kinds,
                    names(f[5]),
                    f[6]);
        });
    }

    static Permit permit(Visit visit) {
        Set<Permit.Analysis> analyses = new LinkedHashSet<>();
        for (Permit.Analysis one : Permit.Analysis.values()) {
            if (visit.form("analysis-" + one.name()).equals("yes")) {
                analyses.add(one);
            }
        }
        OptionalInt most = stated("largest consignment in grams", visit.form("mostG"));
        String amended = visit.form("amended");
        try {
            return new Permit(
                    visit.form("kind").equals("AGREEMENT") ? Permit.Kind.AGREEMENT : Permit.Kind.PERMIT,
                    visit.form("number"),
                    visit.form("authority"),
                    visit.form("holder"),
                    visit.form("site"),
                    areas(visit.form("origins")),
                    words(visit.form("lists")),
                    analyses,
                    most.isPresent() ? OptionalLong.of(most.getAsInt()) : OptionalLong.empty(),
                    visit.form("handCarried").equals("yes"),
                    date("day of issue", visit.form("issued")),
                    amended.isEmpty() ? Optional.empty() : Optional.of(date("day of amendment", amended)),
                    date("last day", visit.form("expires")),
                    whole("number of days of warning", visit.form("warnDays")),
                    stated("storage limit in days", visit.form("storageDays")),
                    stated("retention of records in years", visit.form("retentionYears")),
                    treatments(visit.form("treatments")),
                    visit.form("label"),
                    visit.form("effluent"),
                    visit.form("conditions")
                            .lines()
                            .map(String::strip)
                            .filter(line -> !line.isEmpty())
                            .toList(),
                    visit.form("contact"));
        } catch (Wrong told) {
            throw told;
        } catch (IllegalArgumentException wrong) {
            throw new Wrong("It cannot be kept: " + wrong.getMessage() + ". Nothing was kept.");
        }
    }

    /** Points of a record. */
    static List<Charge.Point> points(String text, ZoneId zone) {
        try {
            return TemperatureLines.read(text, zone);
        } catch (IllegalArgumentException wrong) {
            throw new Wrong(wrong.getMessage() + ". Nothing was kept.");
        }
    }

    // The same the other way round, so that what is kept can be changed.

    static String text(List<Area> areas) {
        StringBuilder text = new StringBuilder();
        for (Area one : areas) {
            text.append(String.join(
                            "; ",
                            one.country(),
                            String.join("|", one.region()),
                            String.join("|", one.county()),
                            one.from().map(LocalDate::toString).orElse(""),
                            one.until().map(LocalDate::toString).orElse(""),
                            one.note()))
                    .append('\n');
        }
        return text.toString();
    }

    static String treatmentText(List<Treatment> treatments) {
        StringBuilder text = new StringBuilder();
        for (Treatment one : treatments) {
            text.append(String.join(
                            "; ",
                            one.name(),
                            String.join(
                                    " | ",
                                    one.limits().stream().map(Typed::limit).toList()),
                            one.unbroken() ? "unbroken" : "summed",
                            plain(one.longestGap().toSeconds() / 60.0),
                            one.fit().isEmpty()
                                    ? "all"
                                    : String.join(
                                            " | ",
                                            one.fit().stream()
                                                    .map(PortionKind::word)
                                                    .sorted()
                                                    .toList()),
                            String.join(" | ", one.confirm()),
                            one.source()))
                    .append('\n');
        }
        return text.toString();
    }

    private static String limit(Treatment.Limit limit) {
        return plain(limit.leastC()) + " for " + plain(limit.time().toSeconds() / 60.0);
    }

    private static String plain(double number) {
        return BigDecimal.valueOf(number).stripTrailingZeros().toPlainString();
    }
}
