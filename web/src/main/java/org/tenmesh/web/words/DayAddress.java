package org.tenmesh.web.words;

import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Addresses of what belongs to a laboratory day. Names of runs, trays and submissions come again, so an address that is to stay carries its
 * day: {@code /days/2026-11-25/runs/PH1-01}. Pages write addresses without a day; here, in one place, every link and form of a page gets
 * the day of that page, so that none can slide to another day when the next one begins.
 */
public final class DayAddress {
    /** What the first word of an address is when the page shows one day. */
    private static final Set<String> OF_A_DAY = Set.of(
            "today",
            "causes",
            "gates",
            "runs",
            "soils",
            "trays",
            "submissions",
            "release",
            "reports",
            "packages",
            "differences",
            "controls",
            "charts",
            "lots",
            "equipment");

    /**
     * A bench page is found without a day, so that a tablet keeps it while there is no network; one of an earlier day has its day like the
     * others.
     */
    private static final String BENCH = "/bench/";

    /** How an attribute's value begins where it is an address of this program. */
    private static final String VALUE = "=\"/";

    private static final Pattern ADDRESS =
            Pattern.compile("/(?:" + String.join("|", OF_A_DAY) + ")(/[^\"?#]*)?(?=[\"?#])");

    private DayAddress() {}

    /** Whether a path, such as {@code /runs/{run}}, shows one day. */
    public static boolean isOfADay(String path) {
        int end = path.indexOf('/', 1);
        return path.startsWith("/") && OF_A_DAY.contains(end < 0 ? path.substring(1) : path.substring(1, end));
    }

    /** The same path on a day. */
    public static String on(String day, String path) {
        return isOfADay(path) || path.startsWith(BENCH) ? "/days/" + Words.part(day) + path : path;
    }

    /**
     * A page's text with the day in every link and form that concerns one.
     *
     * @param newest whether it is the newest day, whose lists are found without a day: they show the newest one whenever they are opened
     */
    public static String in(String html, String day, boolean newest) {
        // Looked for by what is rare in a page: trying every character took a fifth of a page's time.
        Matcher address = ADDRESS.matcher(html);
        StringBuilder out = new StringBuilder(html.length() + html.length() / 16);
        int done = 0;
        for (int at = html.indexOf(VALUE); at >= 0; at = html.indexOf(VALUE, at + 1)) {
            boolean form = isNamed(html, "action", at);
            if (!form && !isNamed(html, "href", at)) {
                continue;
            }
            int start = at + VALUE.length() - 1;
            if (!address.region(start, html.length()).lookingAt()) {
                continue;
            }
            boolean list = address.group(1) == null || address.group(1).equals("/");
            if (!(newest && list && !form)) {
                out.append(html, done, start).append(on(day, address.group()));
                done = address.end();
            }
        }
        return out.append(html, done, html.length()).toString();
    }

    /** Whether the attribute that ends there has this name. */
    private static boolean isNamed(String html, String name, int end) {
        int start = end - name.length();
        return html.startsWith(name, start) && (start == 0 || !Character.isLetterOrDigit(html.charAt(start - 1)));
    }
}
