package org.tenmesh.web.today;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicReference;
import java.util.stream.Collectors;
import org.tenmesh.capture.Capture;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.custody.Age;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Withdrawal;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.store.custody.Became;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.cards.CauseView;
import org.tenmesh.web.cards.GatePicture;
import org.tenmesh.web.cards.GateRow;
import org.tenmesh.web.cards.LapsedLine;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.cards.OrderView;
import org.tenmesh.web.cards.ReadAgainRow;
import org.tenmesh.web.cards.RegulatedNow;
import org.tenmesh.web.cards.ThingsNow;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Today, causes, gates, and the word by which a page learns that the day has changed. */
public final class DayPages {
    private DayPages() {}

    /** What was made last, and of what: everybody who looks at the same day sees the same. */
    private record Made(Desk desk, List<OpenDay> open, Today today) {
        boolean of(Desk asked, List<OpenDay> others) {
            return desk == asked && open.equals(others);
        }
    }

    private static Today today(AtomicReference<Made> last, Desk desk, List<OpenDay> open) {
        // All open pages ask at once when the day has changed: the first makes it, the others wait for it.
        synchronized (last) {
            Made made = last.get();
            if (made == null || !made.of(desk, open)) {
                made = new Made(desk, open, Today.of(desk, open));
                last.set(made);
            }
            return made.today();
        }
    }

    /** What was said last of parcels that are here for too long, and of what. */
    private record Told(long newest, LocalDate today, int mostDays, List<RegulatedNow> parcels) {}

    /** Parcels of regulated soil that are here for too long; asked again only when a line of the account, the day or the setting is another. */
    private static List<RegulatedNow> regulated(PageContext context, AtomicReference<Told> last, Desk desk) {
        CustodyStore account = context.store().custody();
        long newest = account.newest();
        LocalDate today = context.clock().instant().atZone(desk.zone()).toLocalDate();
        int mostDays = desk.day().laboratory().policy().whole(Setting.REGULATED_DAYS);
        Told told = last.get();
        if (told == null || told.newest() != newest || !told.today().equals(today) || told.mostDays() != mostDays) {
            told = new Told(
                    newest,
                    today,
                    mostDays,
                    RegulatedNow.of(Age.of(account.parcels(), account.ledger(), today, mostDays)));
            last.set(told);
        }
        return told.parcels();
    }

    /** What is wrong with the clock and where readings come from, in one line; empty text when nothing is. */
    private static String capture(PageContext context) {
        List<String> wrong = new ArrayList<>(context.store().clockTold());
        wrong.addAll(context.capture().map(Capture::wrong).orElse(List.of()));
        return wrong.isEmpty()
                ? ""
                : Words.sentence(wrong.get(0)) + (wrong.size() > 1 ? ", and " + (wrong.size() - 1) + " more." : ".");
    }

    /** Trays in which ordinary soil stands with regulated soil and nobody decided what becomes of it, in one line; empty text when there are none. */
    private static String undecided(PageContext context) {
        List<String> trays = context.store().custody().inOneTray().stream()
                .filter(Became.InOneTray::open)
                .map(Became.InOneTray::tray)
                .toList();
        return trays.isEmpty()
                ? ""
                : "decide about the ordinary soils that share a tray with regulated soil: " + String.join(", ", trays)
                        + ".";
    }

    public static List<Route> routes(PageContext context) {
        AtomicReference<Made> last = new AtomicReference<>();
        AtomicReference<Told> told = new AtomicReference<>();
        return List.of(
                Route.get(
                        "/today",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "today",
                                        "Today",
                                        Map.of(
                                                "today",
                                                today(last, desk, visit.newest() ? visit.open() : List.of()),
                                                "capture",
                                                visit.newest() ? capture(context) : "",
                                                "things",
                                                visit.newest() ? ThingsNow.line(desk) : "",
                                                "apart",
                                                visit.newest() && visit.may(Rights.ACT) ? undecided(context) : "",
                                                "silent",
                                                visit.newest() ? context.silentRecorders(desk.zone()) : List.of(),
                                                "regulated",
                                                visit.newest() ? regulated(context, told, desk) : List.of(),
                                                "acts",
                                                visit.may(Rights.ACT))))),
                Route.get(
                        "/causes",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(visit, desk -> causes(visit, context.store(), desk, "", 200))),
                Route.get(
                        "/causes/{cause}",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(visit, desk -> cause(visit, desk))),
                Route.get(
                        "/causes/{cause}/order",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> order(visit, desk))),
                Route.post(
                        "/causes/act",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> act(context, visit, desk))),
                Route.get(
                        "/gates",
                        Rights.FLOOR,
                        visit ->
                                PageContext.withDay(visit, desk -> Answer.shown("gates", "Gates", gates(visit, desk)))),
                Route.get("/live", Rights.ALL, visit -> new Answer.Live()));
    }

    /** The pictures of gates that are shut, and of the instrument that is asked for, or of all. */
    private static Map<String, Object> gates(Visit visit, Desk desk) {
        List<GateRow> gates = GateRow.of(desk);
        String asked = visit.query("of");
        Set<String> drawn = gates.stream()
                .filter(gate -> !gate.open() || gate.instrument().equals(asked) || asked.equals("all"))
                .map(GateRow::instrument)
                .collect(Collectors.toSet());
        return Map.of(
                "gates", gates,
                "pictures", GatePicture.of(desk, drawn),
                "zone", desk.zone(),
                "acts", visit.may(Rights.ACT));
    }

    private static Answer causes(Visit visit, LaboratoryStore store, Desk desk, String wrong, int status) {
        List<org.tenmesh.core.redo.Answer> answers = desk.answers();
        List<CauseView> causes = desk.judged().causes().stream()
                .filter(Cause::touchesResults)
                .map(cause -> CauseView.inList(desk, cause, answers, visit.seesControls()))
                .toList();
        Map<String, Object> model = new HashMap<>(Map.of(
                "again", ReadAgainRow.of(org.tenmesh.core.redo.Answer.byKind(answers)),
                "record", ReadAgainRow.of(store.answers()),
                "rates", ReadAgainRow.rates(store.ownRecord(desk.name())),
                "open", causes.stream().filter(c -> !c.card().settled()).toList(),
                "settled", causes.stream().filter(c -> c.card().settled()).toList(),
                "lapsed",
                        desk.lapsed().stream()
                                .map(one -> LapsedLine.of(desk, one))
                                .toList(),
                "notes", CauseCard.notes(desk),
                "wrong", wrong,
                "acts", visit.may(Rights.ACT),
                "earlier", visit.newest() ? visit.open() : List.of()));
        model.put("changed", ReadAgainRow.changed(desk));
        return new Answer.Shown(status, "causes", "Causes", model);
    }

    private static Answer cause(Visit visit, Desk desk) {
        return desk.cause(visit.part("cause"))
                .<Answer>map(cause -> Answer.shown(
                        "one-cause",
                        "Cause",
                        Map.of(
                                "view", CauseView.alone(desk, cause, visit.seesControls()),
                                "acts", visit.may(Rights.ACT))))
                .orElseGet(DayPages::noSuchCause);
    }

    private static Answer noSuchCause() {
        return Answer.refused(
                404,
                "No such cause",
                "The day was judged again and this cause is no longer there. Look at the causes as they stand now.");
    }

    private static Answer order(Visit visit, Desk desk) {
        return desk.cause(visit.part("cause"))
                .<Answer>map(cause -> Answer.shown("order", "Order a redo", Map.of("order", OrderView.of(desk, cause))))
                .orElseGet(DayPages::noSuchCause);
    }

    private static Answer act(PageContext context, Visit visit, Desk desk) {
        Optional<Cause> cause = desk.cause(visit.form("cause"));
        Optional<Action> action = List.of(Action.values()).stream()
                .filter(a -> a.word().equals(visit.form("action")))
                .findFirst();
        // A gate that was shut for a cause that is gone can still be opened, for what it was shut for.
        Optional<Grounds> grounds = cause.map(Grounds::of)
                .filter(now -> now.evidenceDigest().equals(visit.form("evidence")))
                .or(() -> action.filter(a -> a == Action.OPEN_GATE)
                        .flatMap(a -> desk.shutFor(visit.form("cause"), visit.form("evidence"))))
                .or(() -> action.filter(a -> a == Action.SHUT_GATE || a == Action.OPEN_GATE)
                        .flatMap(a -> desk.instrumentGrounds(visit.form("cause"))));
        if (grounds.isEmpty() || action.isEmpty()) {
            return Answer.refused(
                    409,
                    "Not done",
                    cause.isEmpty()
                            ? "The day was judged again and this cause is no longer there. Nothing was done; look at the causes"
                                    + " as they stand now."
                            : "The day was judged again and the evidence of this cause has changed since the page was drawn."
                                    + " Nothing was done; look at the cause as it stands now.");
        }
        Optional<String> refused = action.get() == Action.WITHDRAW
                ? cause.flatMap(one -> Withdrawal.refused(desk, one))
                : Optional.empty();
        if (refused.isPresent()) {
            return Answer.refused(409, "Not withdrawn", refused.get());
        }
        String reason = visit.form("reason");
        if (action.get().needsReason() && reason.isEmpty()) {
            return causes(
                    visit,
                    context.store(),
                    desk,
                    Words.sentence(action.get().phrase()) + ": not done yet. Give a reason, for the journal.",
                    400);
        }
        context.store()
                .act(
                        desk.name(),
                        grounds.get(),
                        action.get(),
                        reason,
                        visit.actor(),
                        context.clock().instant());
        context.currentDay().renew();
        String back = Answer.own(visit.form("back"));
        return Answer.moved(
                back.equals("/causes") || back.equals("/today")
                        ? back + "#cause-" + Words.anchor(grounds.get().cause())
                        : back);
    }
}
