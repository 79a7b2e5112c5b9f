package org.tenmesh.web;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.store.Action;

/** Today, causes, gates, and the word by which a page learns that the day has changed. */
final class DayPages {
    private DayPages() {}

    static List<Route> routes(House house) {
        return List.of(
                Route.get(
                        "/today",
                        Route.FLOOR,
                        visit -> House.withDay(
                                visit,
                                floor -> Answer.shown(
                                        "today",
                                        "Today",
                                        Map.of("today", Today.of(floor), "acts", visit.may(Route.ACT))))),
                Route.get(
                        "/causes", Route.FLOOR, visit -> House.withDay(visit, floor -> causes(visit, floor, "", 200))),
                Route.post("/causes/act", Route.ACT, visit -> House.withDay(visit, floor -> act(house, visit, floor))),
                Route.get(
                        "/gates",
                        Route.FLOOR,
                        visit -> House.withDay(
                                visit,
                                floor -> Answer.shown(
                                        "gates",
                                        "Gates",
                                        Map.of(
                                                "gates", GateRow.of(floor),
                                                "zone", floor.zone(),
                                                "acts", visit.may(Route.ACT))))),
                Route.get("/live", Route.ALL, visit -> new Answer.Live()));
    }

    private static Answer causes(Visit visit, Floor floor, String wrong, int status) {
        List<CauseCard> cards = floor.judged().causes().stream()
                .map(c -> CauseCard.of(floor, c))
                .toList();
        return new Answer.Shown(
                status,
                "causes",
                "Causes",
                Map.of(
                        "open", cards.stream().filter(c -> !c.settled()).toList(),
                        "settled", cards.stream().filter(CauseCard::settled).toList(),
                        "wrong", wrong,
                        "acts", visit.may(Route.ACT)));
    }

    private static Answer act(House house, Visit visit, Floor floor) {
        Optional<Cause> cause = floor.cause(visit.form("cause"));
        Optional<Action> action = List.of(Action.values()).stream()
                .filter(a -> a.word().equals(visit.form("action")))
                .findFirst();
        if (cause.isEmpty() || action.isEmpty()) {
            return Answer.refused(
                    409,
                    "Not done",
                    "The day was judged again and this cause is no longer there. Nothing was done; look at the causes "
                            + "as they stand now.");
        }
        String reason = visit.form("reason");
        if (action.get().needsReason() && reason.isEmpty()) {
            return causes(
                    visit,
                    floor,
                    Words.sentence(action.get().phrase()) + ": this needs a reason, for the journal. Nothing was done.",
                    400);
        }
        house.book()
                .act(
                        floor.name(),
                        cause.get().id(),
                        action.get(),
                        reason,
                        visit.actor(),
                        house.clock().instant());
        house.currentDay().renew();
        String back = SignInPages.safe(visit.form("back"));
        return Answer.moved(
                back.equals("/causes") || back.equals("/today")
                        ? back + "#cause-" + Words.anchor(cause.get().id())
                        : back);
    }
}
