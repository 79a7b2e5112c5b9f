package org.tenmesh.web.today;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;

/** The laboratory days that are kept, by which every earlier page is found. */
public final class DaysPage {
    private DaysPage() {}

    /** One day of the list. */
    public record Line(String title, String href, String says) {}

    public static List<Route> routes() {
        return List.of(Route.get("/days", Rights.ALL, DaysPage::days));
    }

    private static Answer days(Visit visit) {
        Map<String, String> says = new HashMap<>();
        boolean sees = visit.may(Rights.FLOOR);
        if (sees) {
            visit.days().stream().findFirst().ifPresent(newest -> says.put(newest, "the newest day, on Today"));
            visit.open().forEach(day -> says.put(day.day(), day.says()));
        }
        String home = sees ? "/today" : visit.may(Rights.CLIENTS) ? "/submissions" : "/trays";
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
