package org.tenmesh.web.people;

import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalLine;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.people.JournalView.Line;
import org.tenmesh.web.words.Words;

/** The record of who did what. */
public final class JournalPages {
    private static final int ON_A_PAGE = 100;
    private static final int IN_A_FILE = 5_000;
    private static final int LONGEST_WORDS = 240;
    private static final String DIGEST = "[0-9a-f]{64}";

    private JournalPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/journal", Rights.FLOOR, visit -> journal(context, visit)),
                Route.get("/journal/anchor", Rights.FLOOR, visit -> anchor(context, visit)));
    }

    /** The newest entry as a file to be printed, or as a mail that the laboratory's own program sends. */
    private static Answer anchor(PageContext context, Visit visit) {
        Anchor anchor = context.store().anchor();
        String text = """
                Journal of Tenmesh: its newest entry, to be kept outside the database.

                %s

                In short, to be typed: %s

                Whoever can write the whole database can cut off its newest part. To find that, give this to
                tenmesh verify --anchor FILE (or the short form in place of FILE).
                """.formatted(anchor.line(), anchor.shortForm());
        boolean mail = visit.query("as").equals("mail");
        // RFC 5322; whom it is from and to is for the program that sends it.
        String head = "Date: "
                + DateTimeFormatter.RFC_1123_DATE_TIME.format(
                        context.clock().instant().atOffset(ZoneOffset.UTC))
                + "\nSubject: Journal of Tenmesh, entry " + anchor.seq()
                + "\nMIME-Version: 1.0\nContent-Type: text/plain; charset=utf-8\n\n";
        String all = mail ? (head + text).replace("\n", "\r\n") : text;
        return new Answer.Download(
                all.getBytes(StandardCharsets.UTF_8),
                mail ? "message/rfc822" : "text/plain; charset=utf-8",
                "anchor-" + anchor.seq() + (mail ? ".eml" : ".txt"));
    }

    private static Answer journal(PageContext context, Visit visit) {
        ZoneId zone = visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC);
        Optional<LocalDate> day = Optional.empty();
        String wrong = "";
        try {
            day = given(visit, "day").map(LocalDate::parse).map(JournalPages::within);
        } catch (DateTimeException notADay) {
            wrong = "\"" + visit.query("day") + "\" is no day; write 2026-11-25. Entries of all days stand here.";
        }
        Optional<Long> before = given(visit, "before")
                .filter(text -> text.matches("[0-9]{1,18}"))
                .map(Long::valueOf);
        Optional<LocalDate> on = day;
        JournalQuestion asked = new JournalQuestion(
                given(visit, "who"),
                given(visit, "what"),
                visit.query("about").strip(),
                on.map(date -> start(date, zone)),
                on.map(date -> start(date.plusDays(1), zone)),
                before);
        int most = visit.query("file").isEmpty() ? ON_A_PAGE : IN_A_FILE;
        JournalReading reading = context.store().journal(asked, most);
        List<JournalCheck> checks =
                visit.query("check").equals("yes") ? List.of(context.store().verifyJournal()) : List.of();
        return Answer.shown(
                "journal",
                "Journal",
                Map.of(
                        "view",
                        new JournalView(
                                reading.lines().stream()
                                        .map(line -> line(line, zone, visit.seesControls()))
                                        .toList(),
                                reading.count(),
                                reading.actors(),
                                reading.kinds(),
                                asked,
                                on.map(LocalDate::toString).orElse(""),
                                older(reading, asked, on, most),
                                visit.actor(),
                                wrong,
                                IN_A_FILE),
                        "checks",
                        checks,
                        "anchor",
                        context.store().anchor()));
    }

    private static Optional<String> given(Visit visit, String name) {
        return Optional.of(visit.query(name).strip()).filter(text -> !text.isEmpty());
    }

    // Beyond these years the database holds no time, and nothing was done.
    private static LocalDate within(LocalDate date) {
        return date.withYear(Math.max(1, Math.min(9000, date.getYear())));
    }

    private static Instant start(LocalDate date, ZoneId zone) {
        return date.atStartOfDay(zone).toInstant();
    }

    /** The address of the next part; empty after the last. */
    private static String older(JournalReading reading, JournalQuestion asked, Optional<LocalDate> day, int most) {
        if (reading.lines().size() < most) {
            return "";
        }
        List<String> parts = new ArrayList<>();
        asked.actor().ifPresent(who -> parts.add("who=" + Words.part(who)));
        asked.what().ifPresent(what -> parts.add("what=" + Words.part(what)));
        day.ifPresent(date -> parts.add("day=" + date));
        if (!asked.about().isEmpty()) {
            parts.add("about=" + Words.part(asked.about()));
        }
        parts.add("before="
                + reading.lines().get(reading.lines().size() - 1).entry().seq());
        return "/journal?" + String.join("&", parts);
    }

    /**
     * An entry in words. Digests are shortened, and left out for who does not see the key: one of them is taken over it.
     * Why a day could not be judged may name a control.
     */
    private static Line line(JournalLine line, ZoneId zone, boolean sealed) {
        boolean mayName = line.entry().what().equals("day-not-judged") && !sealed;
        String says = line.detail().entrySet().stream()
                .filter(one -> !one.getValue().isEmpty())
                .filter(one -> sealed || !one.getKey().contains("sha256"))
                .filter(one -> !(mayName && one.getKey().equals("reason")))
                .map(one ->
                        Words.shortened(plain(one.getKey()) + ": " + digests(one.getValue(), sealed), LONGEST_WORDS))
                .collect(Collectors.joining("; "));
        return new Line(
                line.entry().seq(),
                Words.moment(line.entry().at(), zone),
                line.entry().actor(),
                plain(line.entry().what()),
                line.entry().subject(),
                says,
                line.entry().sha256());
    }

    private static String digests(String value, boolean sealed) {
        return sealed
                ? value.replaceAll("(" + DIGEST.replace("{64}", "{12}") + ")[0-9a-f]{52}", "$1…")
                : withoutDigests(value);
    }

    /** {@code {"soils":[406,"DIGEST"]}} is "soils 406" for who does not see the digests. */
    private static String withoutDigests(String value) {
        String without = value.replaceAll(DIGEST, "…");
        return without.startsWith("{") || without.startsWith("[")
                ? without.replaceAll("(,?\"…\")+", "")
                        .replace("\":", " ")
                        .replaceAll("[\\[\\]{}\"]", "")
                        .replace(",", ", ")
                : without;
    }

    private static String plain(String word) {
        return word.replace('-', ' ').replace('_', ' ');
    }
}
