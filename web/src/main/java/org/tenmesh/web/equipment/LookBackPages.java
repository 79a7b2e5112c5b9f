package org.tenmesh.web.equipment;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.lookback.LookBack;
import org.tenmesh.core.lookback.ReIssue;
import org.tenmesh.core.lookback.Scope;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Looking back from what went wrong: what was read since the last good check, a hold on it, and the reports to be issued again. */
public final class LookBackPages {
    /** Days that are looked through without being asked for more, and at the most. */
    private static final int DAYS = 7;

    private static final int MOST_DAYS = 60;

    private final PageContext context;

    private LookBackPages(PageContext context) {
        this.context = context;
    }

    public static List<Route> routes(PageContext context) {
        LookBackPages pages = new LookBackPages(context);
        return List.of(
                Route.get(
                        "/look-back",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(visit, desk -> pages.look(visit, desk, visit.query(), ""))),
                Route.get(
                        "/look-back/{hold}",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(visit, desk -> pages.hold(visit, desk, ""))),
                Route.post(
                        "/look-back/hold",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> pages.lay(visit, desk))),
                Route.post(
                        "/look-back/{hold}/lift",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> pages.lift(visit, desk))));
    }

    /** What can be looked back on, for the form. */
    public record Choice(String of, String word, List<String> names) {}

    /** A look back as its page shows it. */
    public record LookView(
            String of,
            String name,
            String at,
            int days,
            boolean whole,
            String heading,
            String since,
            String next,
            boolean reached,
            int results,
            int soils,
            int submissions,
            List<LookBack.Touched> touched,
            List<ReportLine> reports,
            String digest) {}

    /** A report that is out. */
    public record ReportLine(
            String day, String submission, String client, int revision, String signedAt, int results, String href) {}

    /** A hold on the list. */
    public record HoldLine(long number, String about, String reason, String who, int runs, String lifted) {}

    private record Asked(Scope scope, Instant at, String typedAt, int days, boolean whole) {}

    private Answer look(Visit visit, Desk desk, Map<String, String> asked, String wrong) {
        Optional<Asked> question = Optional.empty();
        String says = wrong;
        try {
            question = asked(desk, asked);
        } catch (IllegalArgumentException e) {
            says = Words.sentence(String.valueOf(e.getMessage())) + ".";
        }
        List<LookView> view = question.map(one -> view(desk, one)).map(List::of).orElse(List.of());
        return new Answer.Shown(
                says.isEmpty() ? 200 : 409,
                "look-back",
                "Look back",
                Map.of(
                        "choices",
                        choices(desk),
                        "look",
                        view,
                        "holds",
                        holds(desk),
                        "acts",
                        visit.may(Rights.ACT),
                        "reason",
                        asked.getOrDefault("reason", ""),
                        "wrong",
                        says));
    }

    private Optional<Asked> asked(Desk desk, Map<String, String> asked) {
        String name = asked.getOrDefault("name", "").strip();
        if (name.isEmpty()) {
            return Optional.empty();
        }
        Scope.Kind kind = Scope.Kind.of(asked.getOrDefault("of", ""))
                .orElseThrow(() -> new IllegalArgumentException(
                        "choose what is looked back on: an instrument, method, person, lot or equipment"));
        String typed = asked.getOrDefault("at", "").strip();
        Instant at = context.clock().instant();
        if (!typed.isEmpty()) {
            try {
                at = typed.endsWith("Z")
                        ? Instant.parse(typed)
                        : LocalDateTime.parse(typed).atZone(desk.zone()).toInstant();
            } catch (DateTimeException e) {
                throw new IllegalArgumentException("the time \"" + typed + "\": expected one like 2026-11-25T09:30", e);
            }
        }
        String days = asked.getOrDefault("days", "");
        int most = days.matches("[0-9]{1,3}") ? Math.max(1, Math.min(MOST_DAYS, Integer.parseInt(days))) : DAYS;
        return Optional.of(
                new Asked(new Scope(kind, name), at, typed, most, "yes".equals(asked.getOrDefault("whole", ""))));
    }

    /** The days from the newest to the first with a good control before the instant, one in memory at a time. */
    private List<LookBack.Part> parts(Asked asked, ZoneId zone) {
        List<LookBack.Part> parts = new ArrayList<>();
        LocalDate from = LocalDate.ofInstant(asked.at(), zone);
        int before = 0;
        for (LaboratoryStore.Mark mark : context.store().days(MOST_DAYS)) {
            Optional<LookBack.Part> part =
                    context.currentDay().desk(mark.day()).map(desk -> LookBack.Part.of(asked.scope(), desk));
            part.ifPresent(parts::add);
            boolean there = mark.day().compareTo(from.toString()) <= 0;
            before += there ? 1 : 0;
            if (before >= asked.days()
                    || !asked.whole()
                            && part.filter(one -> one.reaches(asked.at())).isPresent()) {
                break;
            }
        }
        // Reports of soils that came on other days and were read again on these.
        Set<String> known = parts.stream().map(LookBack.Part::day).collect(Collectors.toSet());
        List.copyOf(known).stream()
                .flatMap(day -> context.store().sharing(day).stream())
                .filter(known::add)
                .forEach(day -> context.currentDay()
                        .desk(day)
                        .map(LookBack.Part::ofReports)
                        .ifPresent(parts::add));
        return parts;
    }

    private LookBack looked(Asked asked, ZoneId zone) {
        return LookBack.of(asked.scope(), asked.at(), asked.whole(), parts(asked, zone));
    }

    private LookView view(Desk desk, Asked asked) {
        LookBack look = looked(asked, desk.zone());
        return new LookView(
                asked.scope().kind().word(),
                asked.scope().name(),
                asked.at().toString(),
                asked.days(),
                asked.whole(),
                Words.sentence(asked.scope().text()),
                look.since()
                        .map(good -> good.where() + ", " + Words.moment(good.at(), desk.zone()))
                        .orElse(""),
                look.next()
                        .map(good -> good.where() + ", " + Words.moment(good.at(), desk.zone()))
                        .orElse(""),
                look.since().isPresent() || asked.whole(),
                look.results(),
                look.soils().size(),
                look.submissions().size(),
                look.touched(),
                look.reports().stream()
                        .map(one -> new ReportLine(
                                one.day(),
                                one.submission(),
                                one.client(),
                                one.revision(),
                                Words.moment(one.signedAt(), desk.zone()),
                                one.results(),
                                "/days/" + Words.part(one.day()) + "/release/" + Words.part(one.submission())))
                        .toList(),
                digest(look));
    }

    private static String digest(LookBack look) {
        return Content.digest(look.spans());
    }

    private List<Choice> choices(Desk desk) {
        Set<String> people = new LinkedHashSet<>();
        desk.day().runs().stream()
                .map(Run::operator)
                .flatMap(Optional::stream)
                .sorted()
                .forEach(people::add);
        return List.of(
                new Choice(
                        "instrument",
                        "instrument",
                        List.copyOf(desk.instruments().keySet())),
                new Choice(
                        "method",
                        "method",
                        desk.day().runs().stream()
                                .map(Run::method)
                                .distinct()
                                .sorted()
                                .toList()),
                new Choice(
                        "lot",
                        "lot",
                        desk.holds().register().lots().stream().map(Lot::name).toList()),
                new Choice(
                        "equipment",
                        "equipment",
                        desk.holds().register().equipment().stream()
                                .map(Equipment::name)
                                .toList()),
                new Choice("person", "person", List.copyOf(people)));
    }

    private static List<HoldLine> holds(Desk desk) {
        List<HoldLine> lines = new ArrayList<>();
        List<HoldLine> lifted = new ArrayList<>();
        for (Hold hold : desk.holds().byHand()) {
            (hold.lifted().isPresent() ? lifted : lines).add(0, line(desk, hold));
        }
        lines.addAll(lifted);
        return lines;
    }

    private static HoldLine line(Desk desk, Hold hold) {
        return new HoldLine(
                hold.number(),
                hold.about(),
                hold.reason(),
                hold.person() + ", " + Words.moment(hold.at(), desk.zone()),
                (int) hold.spans().stream()
                        .map(span -> span.day() + "/" + span.run())
                        .distinct()
                        .count(),
                hold.lifted()
                        .map(its -> "Lifted by " + its.person() + ", " + Words.moment(its.at(), desk.zone()) + ": "
                                + its.reason())
                        .orElse(""));
    }

    /** Holds what the page listed; where it would list something else by now, nothing is held. */
    private Answer lay(Visit visit, Desk desk) {
        try {
            Asked asked = asked(desk, visit.form())
                    .orElseThrow(() -> new IllegalArgumentException("there is nothing to hold"));
            LookBack look = looked(asked, desk.zone());
            if (!digest(look).equals(visit.form("digest"))) {
                return look(
                        visit,
                        desk,
                        visit.form(),
                        "Readings or controls have come since the page was drawn, so it lists something else now."
                                + " Nothing was held; look again.");
            }
            long number = context.store()
                    .equipment()
                    .lay(new Hold(
                            0,
                            look.about(),
                            visit.form("reason"),
                            look.spans(),
                            visit.actor(),
                            context.clock().instant(),
                            Optional.empty()));
            context.currentDay().renew();
            return Answer.moved("/look-back/" + number);
        } catch (Refused | IllegalArgumentException wrong) {
            return look(visit, desk, visit.form(), "Nothing was held: " + wrong.getMessage() + ".");
        }
    }

    private Optional<Hold> named(Visit visit, Desk desk) {
        return desk.holds().byHand().stream()
                .filter(hold -> Long.toString(hold.number()).equals(visit.part("hold")))
                .findFirst();
    }

    private Answer lift(Visit visit, Desk desk) {
        Optional<Hold> hold = named(visit, desk);
        if (hold.isEmpty()) {
            return Answer.notFound();
        }
        try {
            context.store().equipment().lift(hold.get().number(), visit.form("reason"), visit.actor());
        } catch (Refused | IllegalArgumentException wrong) {
            return hold(visit, desk, "Nothing was changed: " + wrong.getMessage() + ".");
        }
        context.currentDay().renew();
        return Answer.moved("/look-back/" + hold.get().number());
    }

    /**
     * Reports of one day that a hold touches.
     *
     * @param toSign those of which a revision can be signed, with the revision
     */
    public record ReIssues(String day, List<ReIssueLine> lines, boolean toSign) {}

    /** One report that a client has. */
    public record ReIssueLine(
            String submission,
            String client,
            int revision,
            String signedAt,
            int touched,
            String state,
            List<String> changes,
            int more,
            boolean toSign,
            String href) {
        /** Changes that are shown of one report. */
        static final int SHOWN = 6;
    }

    private Answer hold(Visit visit, Desk desk, String wrong) {
        Optional<Hold> named = named(visit, desk);
        if (named.isEmpty()) {
            return Answer.notFound();
        }
        Hold hold = named.get();
        Map<String, List<Hold.Span>> byDay = new LinkedHashMap<>();
        hold.spans()
                .forEach(span -> byDay.computeIfAbsent(span.day(), day -> new ArrayList<>())
                        .add(span));
        Set<String> reported = new LinkedHashSet<>(byDay.keySet());
        byDay.keySet().forEach(day -> reported.addAll(context.store().sharing(day)));
        List<ReIssues> days = new ArrayList<>();
        List<String> notThere = new ArrayList<>();
        reported.forEach(day -> context.currentDay()
                .desk(day)
                .ifPresentOrElse(
                        its -> {
                            List<ReIssueLine> lines = ReIssue.of(hold, its, context.methods()).stream()
                                    .map(one -> line(its, one))
                                    .toList();
                            if (!lines.isEmpty()) {
                                days.add(new ReIssues(day, lines, lines.stream().anyMatch(ReIssueLine::toSign)));
                            }
                        },
                        () -> notThere.add(day)));
        return new Answer.Shown(
                wrong.isEmpty() ? 200 : 409,
                "hold",
                "Hold " + hold.number(),
                Map.of(
                        "hold",
                        line(desk, hold),
                        "spans",
                        hold.spans(),
                        "days",
                        days,
                        "notThere",
                        notThere,
                        "acts",
                        visit.may(Rights.ACT),
                        "wrong",
                        wrong));
    }

    private static ReIssueLine line(Desk desk, ReIssue one) {
        return new ReIssueLine(
                one.submission(),
                one.client(),
                one.revision(),
                Words.moment(one.signedAt(), desk.zone()),
                one.touched(),
                one.state().phrase(),
                one.changes().stream()
                        .limit(ReIssueLine.SHOWN)
                        .map(change -> change.labNumber().text() + " " + change.analyte() + ": "
                                + (change.was().isEmpty() ? "held back" : change.was()) + " → "
                                + (change.is().isEmpty() ? "held back" : change.is()))
                        .toList(),
                Math.max(0, one.changes().size() - ReIssueLine.SHOWN),
                one.state() == ReIssue.State.TO_SIGN,
                "/days/" + Words.part(one.day()) + "/release/" + Words.part(one.submission()));
    }
}
