package org.tenmesh.web.http;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.Words;

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
public record Frame(
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
            new Entry("Today", "/today", Rights.FLOOR),
            new Entry("Bench", "/bench", java.util.Set.of(PersonRole.BENCH)),
            new Entry("Submissions", "/submissions", Rights.CLIENTS),
            new Entry("Causes", "/causes", Rights.FLOOR),
            new Entry("Runs", "/runs", Rights.FLOOR),
            new Entry("Gates", "/gates", Rights.FLOOR),
            new Entry("Differences", "/differences", Rights.FLOOR),
            new Entry("Trays", "/trays", Rights.TRAYS),
            new Entry("Controls", "/controls", Rights.SEALED),
            new Entry("Charts", "/charts", Rights.SEALED),
            new Entry("Release", "/release", Rights.CLIENTS),
            new Entry("Reports", "/reports", Rights.CLIENTS),
            new Entry("Days", "/days", Rights.ALL),
            new Entry("Methods", "/methods", Rights.ALL),
            new Entry("Packages", "/packages", Rights.CLIENTS),
            new Entry("Journal", "/journal", Rights.SEALED),
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
