package org.tenmesh.web;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.PersonRole;

/**
 * What stands around every page.
 *
 * @param today the laboratory day that the page shows
 * @param earlier whether a newer day has begun
 * @param look light, dark or empty text for whatever the system says
 * @param version of the day the page was drawn from; 0 when there is none or nobody has signed in
 * @param notJudged one sentence for each stored day that could not be judged
 * @param csrf the token every form carries
 */
record Frame(
        String title,
        String laboratory,
        boolean invented,
        String today,
        boolean earlier,
        String who,
        String role,
        List<Link> links,
        boolean finds,
        String csrf,
        String look,
        String path,
        String version,
        boolean bench,
        List<String> notJudged,
        String css,
        String script,
        String mark) {

    /** One entry of the navigation. */
    record Link(String word, String href, boolean current) {}

    boolean signedIn() {
        return !who.isEmpty();
    }

    static Frame of(String title, Visit visit, String csrf, String look, String path, Assets assets) {
        Optional<Desk> desk = visit.desk();
        return new Frame(
                title,
                desk.map(f -> f.day().laboratory().name()).orElse("Soil laboratory"),
                desk.map(f -> f.day().laboratory().invented()).orElse(false),
                desk.map(f -> Words.day(f.date())).orElse(""),
                visit.person().isPresent() && desk.isPresent() && !visit.newest(),
                visit.person().map(p -> p.name()).orElse(""),
                visit.person().map(p -> p.role().phrase()).orElse(""),
                visit.person().map(p -> links(p.role(), path)).orElse(List.of()),
                visit.person().isPresent(),
                csrf,
                look,
                path,
                visit.person().isPresent() ? visit.version() : "0",
                visit.person().filter(p -> p.role() == PersonRole.BENCH).isPresent(),
                visit.person()
                        .map(p -> visit.notJudged().stream()
                                .map(day -> day.sentence(visit.seesControls()))
                                .toList())
                        .orElse(List.of()),
                assets.address("tenmesh.css"),
                assets.address("tenmesh.js"),
                assets.address("mark.svg"));
    }

    private record Entry(String word, String href, java.util.Set<PersonRole> roles) {}

    private static final List<Entry> ENTRIES = List.of(
            new Entry("Today", "/today", Route.FLOOR),
            new Entry("Bench", "/bench", java.util.Set.of(PersonRole.BENCH)),
            new Entry("Submissions", "/submissions", Route.CLIENTS),
            new Entry("Causes", "/causes", Route.FLOOR),
            new Entry("Runs", "/runs", Route.FLOOR),
            new Entry("Gates", "/gates", Route.FLOOR),
            new Entry("Differences", "/differences", Route.FLOOR),
            new Entry("Trays", "/trays", Route.TRAYS),
            new Entry("Controls", "/controls", Route.SEALED),
            new Entry("Charts", "/charts", Route.SEALED),
            new Entry("Release", "/release", Route.CLIENTS),
            new Entry("Reports", "/reports", Route.CLIENTS),
            new Entry("Days", "/days", Route.ALL),
            new Entry("Methods", "/methods", Route.ALL),
            new Entry("Packages", "/packages", Route.CLIENTS),
            new Entry("Journal", "/journal", Route.SEALED),
            new Entry(
                    "People",
                    "/people",
                    java.util.Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR)));

    private static List<Link> links(PersonRole role, String address) {
        String path = address.replaceFirst("^/days/[^/]*", "");
        return ENTRIES.stream()
                .filter(e -> e.roles().contains(role))
                .map(e -> new Link(e.word(), e.href(), path.equals(e.href()) || path.startsWith(e.href() + "/")))
                .toList();
    }
}
