package org.tenmesh.web.find;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/** The field that a scan goes into. */
public final class FindPages {
    private FindPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(Route.get(
                "/find", Rights.ALL, visit -> PageContext.withDay(visit, desk -> find(context, visit, desk))));
    }

    /**
     * Goes where a whole name points; otherwise to the only thing that holds these characters, or to the list of those that do. What the
     * newest day lacks is looked for on earlier ones by its whole name.
     */
    private static Answer find(PageContext context, Visit visit, Desk desk) {
        String asked = visit.query("q").strip();
        if (asked.isEmpty()) {
            return Answer.moved("/");
        }
        PersonRole role = visit.role();
        List<String> spellings = List.of(asked, asked.toUpperCase(Locale.ROOT), hyphenated(asked));
        Optional<String> named = spellings.stream()
                .flatMap(text -> Found.named(desk, role, text).stream())
                .findFirst();
        if (named.isPresent()) {
            return Answer.moved(named.get());
        }
        Found found = Found.containing(desk, role, asked);
        if (found.only().isPresent()) {
            return Answer.moved(found.only().get().href());
        }
        if (!found.groups().isEmpty()) {
            return Answer.shown("find", "Find " + asked, Map.of("asked", asked, "found", found));
        }
        return spellings.stream()
                .flatMap(text -> earlier(context, role, desk, text).stream())
                .findFirst()
                .map(Answer::moved)
                .orElseGet(() -> Answer.refused(
                        404,
                        "Nothing found",
                        "Nothing here is called “" + asked + "”, or it is not for your role. "
                                + mistyped(desk, role, hyphenated(asked))
                                + nearest(desk, role, hyphenated(asked))
                                + "Scan again, or type the number as it stands on the label."));
    }

    /** The newest other day that has something of this name. */
    private static Optional<String> earlier(PageContext context, PersonRole role, Desk newest, String text) {
        for (LaboratoryStore.Kept kind : LaboratoryStore.Kept.values()) {
            Optional<String> other = context.store().newestDayWith(kind, text);
            if (other.isPresent() && !other.get().equals(newest.name())) {
                return context.currentDay()
                        .desk(other.get())
                        .flatMap(desk -> Found.named(desk, role, text))
                        .map(path -> DayAddress.on(other.get(), path));
            }
        }
        return Optional.empty();
    }

    // Only a number that this visitor could open is named: existence must tell no more here than it does when found.
    private static String mistyped(Desk desk, PersonRole role, String asked) {
        List<LabNumber> likely = LabNumber.likely(asked);
        return likely.isEmpty()
                ? ""
                : "Its check character is wrong: a digit was mistyped or misread. "
                        + likely.stream()
                                .filter(number ->
                                        Found.named(desk, role, number.text()).isPresent())
                                .findFirst()
                                .map(number -> "Most likely " + number + " is meant. ")
                                .orElse("");
    }

    /** At the bench a smeared label is common: the number here that differs by one or two characters, where there is one alone. */
    private static String nearest(Desk desk, PersonRole role, String asked) {
        if (role != PersonRole.BENCH
                || asked.length() < 4
                || !LabNumber.likely(asked).isEmpty()) {
            return "";
        }
        List<String> names = Stream.concat(
                        desk.day().trays().stream().map(Tray::tray),
                        desk.day().soils().stream().map(soil -> soil.labNumber().text()))
                .toList();
        for (int most = 1; most <= 2; most++) {
            int allowed = most;
            List<String> near = names.stream()
                    .filter(name -> distance(name, asked) <= allowed)
                    .limit(4)
                    .toList();
            if (!near.isEmpty()) {
                return "Nearest here: " + Words.and(near) + ". ";
            }
        }
        return "";
    }

    /** Characters to change, add or leave out (Levenshtein 1966); 3 for whatever is farther. */
    private static int distance(String a, String b) {
        if (Math.abs(a.length() - b.length()) > 2) {
            return 3;
        }
        int[] before = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            before[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            int[] row = new int[b.length() + 1];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int changed = before[j - 1] + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                row[j] = Math.min(changed, Math.min(before[j], row[j - 1]) + 1);
            }
            before = row;
        }
        return Math.min(3, before[b.length()]);
    }

    /** A lab number typed without its hyphens: 263290417K. */
    private static String hyphenated(String text) {
        String upper = text.toUpperCase(Locale.ROOT);
        return upper.matches("\\d{9,10}[0-9A-Z]")
                ? upper.substring(0, 5) + "-" + upper.substring(5, upper.length() - 1) + "-"
                        + upper.substring(upper.length() - 1)
                : upper;
    }
}
