package org.tenmesh.web.find;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.words.Words;

/**
 * What a day has for a few characters, as far as a role may open it. A lab number that a role may not open is not found by it, whatever it
 * is: a hidden control and a number that does not exist are answered alike.
 *
 * @param groups by what is found, in a fixed order; none is empty
 */
public record Found(List<Group> groups) {
    /** Of a longer list the first ones are shown, with the number of the others. */
    private static final int SHOWN = 24;

    /**
     * One thing that was found.
     *
     * @param name as it stands on its label
     * @param about what tells it from the others; may be empty
     */
    public record Hit(String name, String about, String href) {}

    /** @param more how many are found beside those listed */
    public record Group(String heading, List<Hit> hits, int more) {}

    /** Where a whole name leads; empty when nothing is called so, or not for this role. */
    static Optional<String> named(Desk desk, PersonRole role, String text) {
        Optional<Soil> soil = desk.soil(text);
        if (Rights.FLOOR.contains(role)) {
            if (soil.isPresent()) {
                return Optional.of("/soils/" + Words.part(text));
            }
            if (desk.run(text).isPresent()) {
                return Optional.of("/runs/" + Words.part(text));
            }
        }
        if (role == PersonRole.BENCH) {
            if (soil.isPresent()) {
                String number = Words.part(soil.get().labNumber().text());
                return Optional.of(desk.place(soil.get().labNumber())
                        .map(p -> "/bench/" + Words.part(p.tray().tray()) + "?soil=" + number)
                        .orElse("/bench/soil/" + number));
            }
            return desk.tray(text)
                    .map(t -> "/bench/" + Words.part(t.tray()))
                    .or(() -> text.matches("R-?[0-9]{1,6}")
                            ? Optional.of("/bench/rack/"
                                    + Words.part(Subject.rack(text).code()))
                            : text.matches("(?i)MILL-[A-Z0-9-]{1,40}")
                                    ? Optional.of("/bench/mill/" + Words.part(text.toUpperCase(Locale.ROOT)))
                                    : thing(desk, text));
        }
        if (Rights.TRAYS.contains(role) && desk.tray(text).isPresent()) {
            return Optional.of("/trays/" + Words.part(text));
        }
        if (Rights.CLIENTS.contains(role)) {
            if (desk.submission(text).isPresent()) {
                return Optional.of("/submissions/" + Words.part(text));
            }
            Optional<String> submission = soil.flatMap(Soil::submission).map(s -> "/submissions/" + Words.part(s));
            if (submission.isPresent()) {
                return submission;
            }
        }
        return Rights.TRAYS.contains(role) ? thing(desk, text) : Optional.empty();
    }

    /** The label of a lot or a piece of equipment. */
    private static Optional<String> thing(Desk desk, String text) {
        if (desk.holds().register().lot(text).isPresent()) {
            return Optional.of("/lots/" + Words.part(text));
        }
        return desk.holds().register().equipment(text).map(one -> "/equipment/" + Words.part(one.name()));
    }

    /** Everything whose name holds these characters, in any case. */
    static Found containing(Desk desk, PersonRole role, String text) {
        String wanted = text.toLowerCase(Locale.ROOT);
        String digits = bare(wanted);
        Predicate<String> holds = name -> name.toLowerCase(Locale.ROOT).contains(wanted);
        Predicate<String> numbered = name -> holds.test(name)
                || digits.length() >= 3 && bare(name.toLowerCase(Locale.ROOT)).contains(digits);
        boolean clients = Rights.CLIENTS.contains(role);
        List<Group> groups = new ArrayList<>();
        add(
                groups,
                "Lab numbers",
                desk.day().soils().stream()
                        .filter(soil -> numbered.test(soil.labNumber().text())),
                soil -> soil(desk, role, soil, ""));
        if (Rights.TRAYS.contains(role)) {
            add(
                    groups,
                    "Trays",
                    desk.day().trays().stream().filter(tray -> holds.test(tray.tray())),
                    tray -> hit(desk, role, tray.tray(), ""));
        }
        if (Rights.FLOOR.contains(role)) {
            add(
                    groups,
                    "Runs",
                    desk.day().runs().stream().filter(run -> holds.test(run.run())),
                    run -> Optional.of(run(desk, run)));
            add(
                    groups,
                    "Runs of an instrument",
                    desk.instruments().entrySet().stream()
                            .filter(one -> holds.test(one.getKey()))
                            .flatMap(one -> one.getValue().stream()),
                    run -> Optional.of(run(desk, run)));
        }
        if (clients) {
            add(
                    groups,
                    "Submissions",
                    desk.day().submissions().stream()
                            .filter(one -> holds.test(one.submission()) || holds.test(one.client())),
                    one -> Optional.of(submission(one)));
            add(
                    groups,
                    "Labels written by clients",
                    desk.day().soils().stream()
                            .filter(soil -> soil.clientLabel().filter(holds).isPresent()),
                    soil -> soil(desk, role, soil, soil.clientLabel().orElse("")));
        }
        add(
                groups,
                "Methods",
                desk.methods().all().stream()
                        .filter(one -> holds.test(one.head().title())
                                || holds.test(one.head().id())),
                one -> Optional.of(method(one)));
        return new Found(List.copyOf(groups));
    }

    /** The only thing that was found; empty when there are several or none. */
    Optional<Hit> only() {
        List<Hit> hits = groups.stream().flatMap(group -> group.hits().stream()).toList();
        return hits.size() == 1 && groups.stream().allMatch(group -> group.more() == 0)
                ? Optional.of(hits.get(0))
                : Optional.empty();
    }

    /** Letters and digits alone: a lab number is found with or without its hyphens. */
    private static String bare(String text) {
        return text.replaceAll("[^0-9a-z]", "");
    }

    private static <T> void add(List<Group> groups, String heading, Stream<T> found, Function<T, Optional<Hit>> hit) {
        List<Hit> all = found.map(hit).flatMap(Optional::stream).toList();
        if (!all.isEmpty()) {
            groups.add(
                    new Group(heading, all.subList(0, Math.min(SHOWN, all.size())), Math.max(0, all.size() - SHOWN)));
        }
    }

    private static Optional<Hit> hit(Desk desk, PersonRole role, String name, String about) {
        return named(desk, role, name).map(href -> new Hit(name, about, href));
    }

    private static Optional<Hit> soil(Desk desk, PersonRole role, Soil soil, String label) {
        LabNumber number = soil.labNumber();
        String tray = Rights.TRAYS.contains(role)
                ? desk.place(number)
                        .map(place -> "tray " + place.tray().tray() + ", well " + place.well())
                        .orElse("")
                : "";
        String about = Stream.of(label, tray)
                .filter(part -> !part.isEmpty())
                .reduce((a, b) -> a + " · " + b)
                .orElse("");
        return hit(desk, role, number.text(), about);
    }

    private static Hit run(Desk desk, Run run) {
        return new Hit(
                run.run(),
                desk.methodTitle(run.method()) + " · " + run.instrument() + " · "
                        + Words.time(run.startedAt(), desk.zone(), desk.day().date()),
                "/runs/" + Words.part(run.run()));
    }

    private static Hit submission(Submission one) {
        return new Hit(one.submission(), one.client(), "/submissions/" + Words.part(one.submission()));
    }

    private static Hit method(Method one) {
        return new Hit(
                one.head().title(), "", "/methods/" + Words.part(one.head().id()));
    }
}
