package org.tenmesh.web.today;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/** The laboratory days that are kept, by which every earlier page is found. */
public final class DaysPage {
    private DaysPage() {}

    /** Days on one page: most of half a year of working days. */
    private static final int MOST = 100;
    /** Days with something left to release that are told apart from those without. */
    private static final int MOST_OPEN = 1000;

    private static final Pattern DATE = Pattern.compile("(\\d{4}-\\d{2}-\\d{2})( .*)?");

    /**
     * One day of the list.
     *
     * @param open the day where something is still to be done on it; empty for all others
     * @param says what stands in place of that
     * @param reports where its reports are; empty text for who does not see them
     */
    public record Line(String title, String href, List<OpenDay> open, String says, String reports) {}

    public static List<Route> routes(PageContext context) {
        return List.of(Route.get("/days", Rights.ALL, visit -> days(visit, context.store())));
    }

    private static Answer days(Visit visit, LaboratoryStore store) {
        String before = visit.query("before");
        List<String> listed = (before.isEmpty() ? store.days(MOST + 1) : store.daysBefore(before, MOST + 1))
                .stream().map(LaboratoryStore.Mark::day).toList();
        List<String> shown = listed.subList(0, Math.min(MOST, listed.size()));
        boolean sees = visit.may(Rights.FLOOR);
        String home = sees ? "/today" : visit.may(Rights.CLIENTS) ? "/submissions" : "/trays";
        String newest = before.isEmpty() && !shown.isEmpty() ? shown.get(0) : "";
        Set<String> unreleased = sees ? Set.copyOf(store.openDays(MOST_OPEN)) : Set.of();
        return Answer.shown(
                "days",
                "Days",
                Map.of(
                        "days",
                        shown.stream()
                                .map(day -> new Line(
                                        title(day),
                                        DayAddress.on(day, home),
                                        visit.open().stream()
                                                .filter(one -> sees && one.day().equals(day))
                                                .toList(),
                                        !sees
                                                ? ""
                                                : day.equals(newest)
                                                        ? "the newest day, on Today"
                                                        : unreleased.contains(day)
                                                                ? "something left to release"
                                                                : "nothing known to be open",
                                        visit.may(Rights.CLIENTS) ? DayAddress.on(day, "/reports") : ""))
                                .toList(),
                        "first",
                        before.isEmpty(),
                        "earlier",
                        listed.size() > MOST ? "/days?before=" + Words.part(shown.get(MOST - 1)) : ""));
    }

    /** A day's name with its date as people write it; the register behind it stays. */
    private static String title(String day) {
        Matcher date = DATE.matcher(day);
        if (!date.matches()) {
            return day;
        }
        try {
            return Words.day(LocalDate.parse(date.group(1))) + (date.group(2) == null ? "" : date.group(2));
        } catch (DateTimeParseException noDate) {
            return day;
        }
    }
}
