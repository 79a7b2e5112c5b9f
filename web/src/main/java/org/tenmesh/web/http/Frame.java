package org.tenmesh.web.http;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

/**
 * What stands around every page.
 *
 * @param today the laboratory day that the page shows
 * @param earlier whether a newer day has begun
 * @param groups of the menu, each leading to its first page; empty where all pages stand in one line
 * @param links to the pages of the group that is shown
 * @param look light, dark or empty text for whatever the system says
 * @param version of the day the page was drawn from; 0 when there is none or nobody has signed in
 * @param notJudged one sentence for each stored day that could not be judged
 * @param csrf the token every form carries
 * @param locksS after how many seconds without use the sign-in locks; 0 where it does not, as one by password
 */
public record Frame(
        String title,
        String laboratory,
        boolean invented,
        String today,
        boolean earlier,
        String who,
        String role,
        List<Link> groups,
        List<Link> links,
        String csrf,
        String look,
        String path,
        String version,
        boolean bench,
        List<String> notJudged,
        String css,
        String script,
        String benchScript,
        long locksS,
        String mark) {

    /** One entry of the navigation. */
    public record Link(String word, String href, boolean current) {}

    public boolean signedIn() {
        return !who.isEmpty();
    }

    public static Frame of(String title, Visit visit, String csrf, String look, String path, Assets assets) {
        Optional<Desk> desk = visit.desk();
        return new Frame(
                title,
                desk.map(f -> f.day().laboratory().name()).orElse("Soil laboratory"),
                desk.map(f -> f.day().laboratory().invented()).orElse(false),
                desk.map(f -> Words.day(f.date())).orElse(""),
                visit.person().isPresent() && desk.isPresent() && !visit.newest(),
                visit.person().map(p -> p.name()).orElse(""),
                visit.person().map(p -> p.role().phrase()).orElse(""),
                visit.person().map(p -> groups(p.role(), path)).orElse(List.of()),
                visit.person().map(p -> links(p.role(), path)).orElse(List.of()),
                csrf,
                look,
                path,
                visit.person().isPresent() ? visit.version() : "0",
                path.equals("/badge")
                        || visit.person()
                                .filter(p -> p.role() == PersonRole.BENCH)
                                .isPresent(),
                visit.person()
                        .map(p -> visit.notJudged().stream()
                                .map(day -> day.sentence(visit.seesControls()))
                                .toList())
                        .orElse(List.of()),
                assets.address("tenmesh.css"),
                assets.address("tenmesh.js"),
                assets.address("bench.js"),
                visit.locksAfter().map(Duration::toSeconds).orElse(0L),
                assets.address("mark.svg"));
    }

    /** What the menu puts together. */
    private enum Group {
        DAY("Day"),
        CLIENTS("Clients"),
        QUALITY("Quality"),
        LABORATORY("Laboratory");

        private final String word;

        Group(String word) {
            this.word = word;
        }
    }

    private record Entry(Group group, String word, String href, Set<PersonRole> roles) {
        boolean leadsTo(String path) {
            return path.equals(href) || path.startsWith(href + "/");
        }
    }

    /** So many pages stand in one line without groups. */
    private static final int ONE_LINE = 6;

    private static final List<Entry> ENTRIES = List.of(
            new Entry(Group.DAY, "Today", "/today", Rights.FLOOR),
            new Entry(Group.DAY, "Bench", "/bench", Set.of(PersonRole.BENCH)),
            new Entry(Group.DAY, "By hand", "/by-hand", Set.of(PersonRole.BENCH)),
            new Entry(Group.DAY, "Causes", "/causes", Rights.FLOOR),
            new Entry(Group.DAY, "Runs", "/runs", Rights.FLOOR),
            new Entry(Group.DAY, "Gates", "/gates", Rights.FLOOR),
            new Entry(Group.DAY, "Differences", "/differences", Rights.FLOOR),
            new Entry(Group.DAY, "Trays", "/trays", Rights.TRAYS),
            new Entry(Group.DAY, "Run orders", "/orders", Rights.TRAYS),
            new Entry(Group.DAY, "Shelf", "/shelf", Rights.TRAYS),
            new Entry(
                    Group.CLIENTS,
                    "Dock",
                    "/dock",
                    Set.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY)),
            new Entry(
                    Group.DAY,
                    "Regulated",
                    "/regulated",
                    Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR, PersonRole.BENCH)),
            new Entry(
                    Group.CLIENTS,
                    "Worksheets",
                    "/intake",
                    Set.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY)),
            new Entry(Group.CLIENTS, "Submissions", "/submissions", Rights.CLIENTS),
            new Entry(Group.CLIENTS, "Release", "/release", Rights.CLIENTS),
            new Entry(Group.CLIENTS, "Reports", "/reports", Rights.CLIENTS),
            new Entry(Group.QUALITY, "Controls", "/controls", Rights.SEALED),
            new Entry(Group.QUALITY, "Charts", "/charts", Rights.SEALED),
            new Entry(Group.QUALITY, "Look back", "/look-back", Rights.FLOOR),
            new Entry(Group.QUALITY, "Lots", "/lots", Rights.TRAYS),
            new Entry(Group.QUALITY, "Equipment", "/equipment", Rights.TRAYS),
            new Entry(Group.LABORATORY, "Capture", "/capture", Rights.FLOOR),
            new Entry(Group.LABORATORY, "By hand", "/by-hand", Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY)),
            new Entry(
                    Group.LABORATORY,
                    "Labels",
                    "/labels",
                    Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH, PersonRole.CLIENT_SERVICE)),
            new Entry(Group.LABORATORY, "Days", "/days", Rights.ALL),
            new Entry(Group.LABORATORY, "Methods", "/methods", Rights.ALL),
            new Entry(Group.LABORATORY, "Packages", "/packages", Rights.CLIENTS),
            new Entry(
                    Group.LABORATORY,
                    "People",
                    "/people",
                    Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR)),
            new Entry(Group.LABORATORY, "Programs", "/programs", Set.of(PersonRole.IN_CHARGE, PersonRole.AUDITOR)),
            new Entry(Group.LABORATORY, "Journal", "/journal", Rights.FLOOR));

    private static List<Entry> entries(PersonRole role) {
        return ENTRIES.stream().filter(entry -> entry.roles().contains(role)).toList();
    }

    /** A page without an entry of its own, such as a soil's, belongs to the day, or to the first group of who sees no day. */
    private static Group group(List<Entry> entries, String path) {
        return entries.stream()
                .filter(entry -> entry.leadsTo(path))
                .map(Entry::group)
                .findFirst()
                .orElseGet(() -> entries.get(0).group());
    }

    private static String withoutDay(String address) {
        return address.replaceFirst("^/days/[^/]+(?=/)", "");
    }

    private static List<Link> groups(PersonRole role, String address) {
        List<Entry> entries = entries(role);
        if (entries.size() <= ONE_LINE) {
            return List.of();
        }
        Group shown = group(entries, withoutDay(address));
        Map<Group, Link> groups = new EnumMap<>(Group.class);
        entries.forEach(entry ->
                groups.putIfAbsent(entry.group(), new Link(entry.group().word, entry.href(), entry.group() == shown)));
        return List.copyOf(groups.values());
    }

    private static List<Link> links(PersonRole role, String address) {
        List<Entry> entries = entries(role);
        String path = withoutDay(address);
        Group shown = group(entries, path);
        return entries.stream()
                .filter(entry -> entries.size() <= ONE_LINE || entry.group() == shown)
                .map(entry -> new Link(entry.word(), entry.href(), entry.leadsTo(path)))
                .toList();
    }
}
