package org.tenmesh.web.bench;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.print.labels.Labels;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.cards.ThingsNow;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** The bench's pages: what to do now, and what was done. */
public final class BenchPages {
    private static final Set<PersonRole> BENCH = Set.of(PersonRole.BENCH);

    /** What a hand that holds a scanner can say without touching the page, by the word on the card. */
    private static final Map<String, String> COMMANDS = commands();

    private final PageContext context;
    private final BenchDays days;
    private final String worker = read("bench-worker.js");

    private BenchPages(PageContext context) {
        this.context = context;
        this.days = new BenchDays(context.store().bench());
    }

    private static Map<String, String> commands() {
        Map<String, String> commands = new LinkedHashMap<>();
        commands.put("DO-BEGIN", "Begun");
        commands.put("DO-DONE", "Done");
        commands.put("DO-SPILT", "Spilt");
        commands.put("DO-LITTLE", "Too little soil");
        commands.put("DO-WRONG", "Wrong tray");
        commands.put("DO-BACK", "Take the last one back");
        commands.put("DO-YES", "Yes, go on");
        commands.put("DO-NO", "No");
        return commands;
    }

    public static List<Route> routes(PageContext context) {
        BenchPages pages = new BenchPages(context);
        return List.of(
                Route.get("/bench", BENCH, visit -> PageContext.withDay(visit, desk -> pages.front(visit, desk))),
                Route.get("/bench/soil/{labNumber}", BENCH, pages.soil(Visit::desk)),
                Route.get("/bench/rack/{rack}", BENCH, pages::rack),
                Route.get(
                        "/bench/mill/{mill}",
                        BENCH,
                        visit -> PageContext.withDay(visit, desk -> pages.mill(visit, desk))),
                Route.get("/bench/{tray}", BENCH, visit -> PageContext.withDay(visit, desk -> pages.tray(visit, desk))),
                Route.get(
                        "/days/{day}/bench/{tray}",
                        BENCH,
                        visit -> PageContext.withDay(visit, desk -> pages.tray(visit, desk))),
                Route.get(
                        "/days/{day}/bench",
                        BENCH,
                        visit -> PageContext.withDay(visit, desk -> pages.front(visit, desk))),
                Route.get("/days/{day}/bench/soil/{labNumber}", BENCH, pages.soil(Visit::desk)),
                Route.post("/bench-acts", BENCH, pages::note),
                Route.get("/bench-work", BENCH, pages::work),
                Route.get("/bench-card", BENCH, visit -> pages.card()),
                Route.get(
                        "/bench-worker.js",
                        Set.of(),
                        visit -> new Answer.Text(200, "text/javascript; charset=utf-8", pages.worker)));
    }

    private Answer front(Visit visit, Desk desk) {
        BenchDay day = days.of(desk);
        return Answer.shown(
                "bench",
                "Bench",
                Map.of(
                        "lines",
                        BenchView.list(day),
                        "timers",
                        BenchView.timers(day),
                        "mills",
                        RackView.mills(context.store().bench(), desk),
                        "things",
                        ThingsNow.all(desk),
                        "earlier",
                        visit.newest() ? BenchView.earlier(visit.open(), desk) : List.of()));
    }

    private Answer tray(Visit visit, Desk desk) {
        Optional<Tray> tray = desk.tray(visit.part("tray"));
        if (tray.isEmpty()) {
            return elsewhere(visit, desk);
        }
        return shown(BenchView.of(
                days.of(desk),
                tray.get(),
                visit.query("soil"),
                visit.newest() ? "" : "/days/" + Words.part(desk.name())));
    }

    /** A tray that the newest day lacks is looked for on earlier ones. */
    private Answer elsewhere(Visit visit, Desk desk) {
        String name = visit.part("tray");
        return !visit.part("day").isEmpty()
                ? Answer.notFound()
                : context.store()
                        .newestDayWith(org.tenmesh.web.days.LaboratoryStore.Kept.TRAY, name)
                        .filter(day -> !day.equals(desk.name()))
                        .map(day -> Answer.moved("/days/" + Words.part(day) + "/bench/" + Words.part(name)))
                        .orElseGet(Answer::notFound);
    }

    private Route.Page soil(Function<Visit, Optional<Desk>> of) {
        return visit -> of.apply(visit)
                .filter(desk -> desk.soil(visit.part("labNumber")).isPresent())
                .map(desk -> shown(BenchView.soil(days.of(desk), new LabNumber(visit.part("labNumber")))))
                .orElseGet(Answer::notFound);
    }

    private Answer rack(Visit visit) {
        String rack = Subject.rack(visit.part("rack")).code();
        if (BenchDay.isRack(rack) && !rack.equals(visit.part("rack"))) {
            return Answer.moved(BenchView.href(Subject.rack(rack)));
        }
        return BenchDay.isRack(rack)
                ? PageContext.withDay(visit, desk -> {
                    BenchDay day = days.of(desk);
                    return Answer.shown(
                            "bench-rack",
                            "Rack " + rack,
                            Map.of(
                                    "view",
                                    BenchView.rack(day, rack),
                                    "rack",
                                    RackView.of(context.store().bench(), day, rack)));
                })
                : Answer.notFound();
    }

    private Answer mill(Visit visit, Desk desk) {
        String mill = visit.part("mill");
        return BenchDay.isMill(mill)
                ? Answer.shown(
                        "bench-mill",
                        "Mill " + mill,
                        Map.of(
                                "mill",
                                RackView.mill(context.store().bench(), desk, mill),
                                "registered",
                                desk.holds().register().equipment(mill).isPresent(),
                                "uncleaned",
                                RackView.uncleaned(context.store().bench(), mill, desk.zone())))
                : Answer.notFound();
    }

    private static Answer shown(BenchView view) {
        return Answer.shown("bench-tray", view.heading(), Map.of("view", view));
    }

    private Answer note(Visit visit) {
        boolean json = visit.form("answer").equals("json");
        Noting.Outcome outcome;
        try {
            outcome = new Noting(context, days, visit).take();
        } catch (Refused refused) {
            if (!json) {
                throw refused;
            }
            return json(409, "refused", Words.sentence(String.valueOf(refused.getMessage())));
        }
        if (outcome instanceof Noting.Outcome.Kept kept) {
            return json ? json(200, "kept", kept.says()) : Answer.moved(address(kept.subject()));
        }
        if (outcome instanceof Noting.Outcome.Known known) {
            return json ? json(200, "known", known.says()) : Answer.moved(address(known.subject()));
        }
        boolean asks = outcome instanceof Noting.Outcome.Asks;
        String question = outcome instanceof Noting.Outcome.Asks ask
                ? ask.question()
                : ((Noting.Outcome.Chooses) outcome).question();
        return json
                ? json(200, asks ? "asks" : "chooses", question)
                : Answer.shown(
                        "bench-ask",
                        "Go on?",
                        Map.of(
                                "question",
                                question,
                                "asks",
                                asks,
                                "back",
                                address(outcome.subject()),
                                "fields",
                                visit.form()));
    }

    private static String address(Subject subject) {
        return subject.day().isEmpty()
                ? BenchView.href(subject)
                : "/days/" + Words.part(subject.day()) + BenchView.href(subject);
    }

    private static Answer json(int status, String word, String says) {
        return new Answer.Text(status, "application/json", Json.object("word", word, "says", says));
    }

    /** What a tablet keeps for the time without network; to one that has it already, only that it is still so. */
    private Answer work(Visit visit) {
        String feed = visit.desk().map(desk -> BenchFeed.of(days.of(desk))).orElse("{}");
        String digest = BenchFeed.digest(feed);
        long now = context.clock().millis();
        String text = visit.query("have").equals(digest)
                ? Json.object("same", true, "now", now, "person", visit.actor())
                : "{\"digest\":\"" + digest + "\",\"now\":" + now + ",\"person\":" + Json.text(visit.actor())
                        + ",\"work\":" + feed + "}";
        return new Answer.Text(200, "application/json", text);
    }

    private Answer card() {
        return Answer.shown(
                "bench-card",
                "Command card",
                Map.of(
                        "commands",
                        COMMANDS.entrySet().stream()
                                .map(one -> new Command(one.getValue(), Labels.code128(one.getKey())))
                                .toList()));
    }

    /** One command of the card, with its bars. */
    public record Command(String says, String bars) {}

    private static String read(String name) {
        try (InputStream in = BenchPages.class.getResourceAsStream("/org/tenmesh/web/assets/" + name)) {
            if (in == null) {
                throw new IllegalStateException("the program lacks its own file " + name);
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
