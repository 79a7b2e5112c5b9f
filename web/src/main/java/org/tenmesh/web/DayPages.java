package org.tenmesh.web;

import java.util.List;
import java.util.Map;

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
                        "/live",
                        Route.ALL,
                        visit -> new Answer.Plain(
                                Long.toString(visit.floor().map(Floor::version).orElse(0L)))));
    }
}
