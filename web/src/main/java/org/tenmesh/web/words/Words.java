package org.tenmesh.web.words;

import java.math.BigDecimal;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;

/** How pages write numbers, days and lists. */
public final class Words {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("EEE d MMM uuuu", Locale.ENGLISH);
    private static final DateTimeFormatter DAY_OF_YEAR = DateTimeFormatter.ofPattern("EEE d MMM", Locale.ENGLISH);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter OTHER_DAY = DateTimeFormatter.ofPattern("d MMM HH:mm", Locale.ENGLISH);
    private static final DateTimeFormatter SECOND = DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ENGLISH);
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("d MMM uuuu HH:mm", Locale.ENGLISH);

    /** Narrow space that does not break, between thousands. */
    private static final char THIN = '\u202f';

    private Words() {}

    /** A whole number, a narrow space between thousands. */
    public static String count(long n) {
        return grouped(Long.toString(n));
    }

    /** Reported text with thin spaces between thousands: "1720.5" becomes "1 720.5". */
    public static String grouped(String number) {
        int end = number.indexOf('.');
        if (end < 0) {
            end = number.length();
        }
        int start = end;
        while (start > 0 && Character.isDigit(number.charAt(start - 1))) {
            start--;
        }
        if (end - start < 4) {
            return number;
        }
        StringBuilder out = new StringBuilder(number.substring(0, start));
        for (int i = start; i < end; i++) {
            if (i > start && (end - i) % 3 == 0) {
                out.append(THIN);
            }
            out.append(number.charAt(i));
        }
        return out.append(number.substring(end)).toString();
    }

    /** "Accepted by M. Whelan, 25 Nov 2026 13:42: checked against a third standard". */
    public static String accepted(Acted acted, ZoneId zone) {
        return sentence(acted.action().phrase()) + " by " + acted.actor() + ", " + moment(acted.at(), zone)
                + (acted.reason().isEmpty() ? "" : ": " + acted.reason());
    }

    /** How a submission stands against what it asks for, in a word or a few. */
    public static String standing(Promise promise) {
        if (promise.released()) {
            return "released";
        }
        if (promise.complete()) {
            String complete = promise.accepted() == 0
                    ? "complete and fit"
                    : "complete, " + of(promise.accepted(), "result") + " accepted with reason";
            return promise.releasedInPart() ? "now " + complete + "; a revision can be released" : complete;
        }
        int there = promise.fit() + promise.hold() + promise.redo();
        if (there == 0) {
            return "nothing read yet";
        }
        List<String> parts = new ArrayList<>();
        addCount(parts, promise.redo(), "to redo");
        addCount(parts, promise.hold(), "held");
        addCount(parts, promise.unread(), "not read yet");
        return (promise.releasedInPart() ? "released in part; " : "") + String.join(", ", parts) + ", of "
                + of(there + promise.unread(), "result");
    }

    private static void addCount(List<String> parts, int n, String what) {
        if (n > 0) {
            parts.add(count(n) + " " + what);
        }
    }

    /** "1 soil", "12 soils". */
    public static String of(long n, String one, String many) {
        return count(n) + " " + (n == 1 ? one : many);
    }

    /** "1 soil", "12 soils". */
    public static String of(long n, String one) {
        return of(n, one, one + "s");
    }

    /** "Wed 25 Nov 2026". */
    public static String day(LocalDate date) {
        return DAY.format(date);
    }

    /** "Wed 25 Nov" in the year of a day that is shown with it, otherwise with the year. */
    public static String day(LocalDate date, LocalDate shown) {
        return date.getYear() == shown.getYear() ? DAY_OF_YEAR.format(date) : DAY.format(date);
    }

    /** "13:42" as it was written. */
    public static String time(OffsetDateTime at, ZoneId zone) {
        return TIME.format(at.atZoneSameInstant(zone));
    }

    public static String time(Instant at, ZoneId zone) {
        return TIME.format(at.atZone(zone));
    }

    /** "13:42" on the day that is shown, otherwise with its date: "26 Nov 13:42". Runs go on at night. */
    public static String time(OffsetDateTime at, ZoneId zone, LocalDate shown) {
        ZonedDateTime here = at.atZoneSameInstant(zone);
        return (here.toLocalDate().equals(shown) ? TIME : OTHER_DAY).format(here);
    }

    /** "13:42:07". */
    public static String second(OffsetDateTime at, ZoneId zone) {
        return SECOND.format(at.atZoneSameInstant(zone));
    }

    /** "25 Nov 2026 13:42". */
    public static String moment(Instant at, ZoneId zone) {
        return MOMENT.format(at.atZone(zone));
    }

    /** "2 h 5 min", "12 min", "40 s": seconds only below an hour. */
    public static String lasted(Duration time) {
        if (time.toHours() > 0) {
            return time.toHours() + " h" + (time.toMinutesPart() > 0 ? " " + time.toMinutesPart() + " min" : "");
        }
        String seconds = time.toSecondsPart() > 0 || time.toMinutes() == 0 ? time.toSecondsPart() + " s" : "";
        return time.toMinutes() == 0 ? seconds : (time.toMinutes() + " min " + seconds).strip();
    }

    /** "K, Mg and P". */
    public static String and(List<String> words) {
        if (words.size() < 2) {
            return String.join("", words);
        }
        return String.join(", ", words.subList(0, words.size() - 1)) + " and " + words.get(words.size() - 1);
    }

    /** Positions as spans: "12, 158–211". */
    static String spans(Set<Integer> positions) {
        StringBuilder out = new StringBuilder();
        int from = 0;
        int to = -1;
        for (int p : new TreeSet<>(positions)) {
            if (to >= from && p == to + 1) {
                to = p;
                continue;
            }
            append(out, from, to);
            from = p;
            to = p;
        }
        append(out, from, to);
        return out.toString();
    }

    private static void append(StringBuilder out, int from, int to) {
        if (to < from) {
            return;
        }
        if (!out.isEmpty()) {
            out.append(", ");
        }
        out.append(from);
        if (to > from) {
            out.append('–').append(to);
        }
    }

    /** At most so many characters, the last of them an ellipsis where something was left out. */
    public static String shortened(String text, int most) {
        return text.length() <= most ? text : text.substring(0, most - 1).stripTrailing() + "…";
    }

    /** First letter large; "pH" stays as it is. */
    public static String sentence(String text) {
        boolean sign = text.length() > 1 && Character.isUpperCase(text.charAt(1));
        return text.isEmpty() || sign ? text : Character.toUpperCase(text.charAt(0)) + text.substring(1);
    }

    /** One part of an address. */
    public static String part(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8).replace("+", "%20");
    }

    /** Text safe as the anchor inside a page: letters, digits and hyphens. */
    public static String anchor(String text) {
        return text.replaceAll("[^A-Za-z0-9-]", "-");
    }

    /** A number as it was set, without needless zeros. */
    public static String plain(double value) {
        return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
    }

    /** A UCUM code in the trade's spelling; a code the laboratory reports nothing in stays as it is. */
    public static String unit(String ucum) {
        return Unit.ofUcum(ucum).map(Unit::spelling).orElse(ucum);
    }

    /** A limit, or a dash where there is none. */
    public static String limit(OptionalDouble limit) {
        return limit.isPresent() ? grouped(plain(limit.getAsDouble())) : "–";
    }

    /** What a method reports, by symbol. */
    public static String analytes(Method method) {
        return String.join(
                ", ", method.head().analytes().stream().map(Analyte::symbol).toList());
    }

    /** The name of a portion as people say it: {@code suspension 1:1}. */
    public static String portion(String name) {
        return name.replaceFirst("-", " ").replaceFirst("(\\d)-(\\d)", "$1:$2");
    }
}
