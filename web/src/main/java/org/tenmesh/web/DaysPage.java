package org.tenmesh.web;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The laboratory days that are kept, by which every earlier page is found. */
final class DaysPage {
    private DaysPage() {}

    /** One day of the list. */
    record Line(String title, String href, String says) {}

    static List<Route> routes() {
        return List.of(Route.get("/days", Route.ALL, DaysPage::days));
    }

    private static Answer days(Visit visit) {
        Map<String, String> says = new HashMap<>();
        boolean sees = visit.may(Route.FLOOR);
        if (sees) {
            visit.days().stream().findFirst().ifPresent(newest -> says.put(newest, "the newest day, on Today"));
            visit.open().forEach(day -> says.put(day.day(), day.says()));
        }
        String home = sees ? "/today" : visit.may(Route.CLIENTS) ? "/submissions" : "/trays";
        return Answer.shown(
                "days",
                "Days",
                Map.of(
                        "open",
                        sees ? visit.open() : List.of(),
                        "days",
                        visit.days().stream()
                                .map(day -> new Line(day, DayAddress.on(day, home), says.getOrDefault(day, "")))
                                .toList()));
    }
}
