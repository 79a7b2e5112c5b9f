package org.tenmesh.web;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/** The methods, each with how it reckons and where it comes from; and the packages made of them. */
final class MethodPages {
    private MethodPages() {}

    static List<Route> routes(House house) {
        return List.of(
                Route.get(
                        "/methods",
                        Route.ALL,
                        visit -> Answer.shown(
                                "methods",
                                "Methods",
                                Map.of(
                                        "groups",
                                        MethodView.groups(
                                                house.methods(),
                                                today(house, visit),
                                                visit.desk()
                                                        .map(f -> f.day()
                                                                .laboratory()
                                                                .advice())
                                                        .orElse(Set.of()))))),
                Route.get("/methods/{method}", Route.ALL, visit -> {
                    LocalDate today = today(house, visit);
                    String id = visit.part("method");
                    if (!house.methods().knows(id)) {
                        return Answer.notFound();
                    }
                    Method method = MethodView.inUse(house.methods(), id, today);
                    return Answer.shown(
                            "method",
                            method.head().title(),
                            Map.of("view", MethodView.of(method, house.methods(), today, released(visit, method))));
                }),
                Route.get(
                        "/packages",
                        Route.CLIENTS,
                        visit -> House.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "packages", "Packages", Map.of("packages", PackageView.list(desk))))));
    }

    // Today by the clock of the laboratory.
    private static LocalDate today(House house, Visit visit) {
        return LocalDate.now(house.clock().withZone(visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC)));
    }

    /** Versions under which results of the method have left, newest first. */
    private static Set<String> released(Visit visit, Method method) {
        Set<String> versions = new TreeSet<>(java.util.Comparator.reverseOrder());
        visit.desk().ifPresent(desk -> {
            for (Release release : desk.releases()) {
                for (ReleasedResult result : release.results()) {
                    if (result.method().equals(method.id())) {
                        versions.add(result.methodVersion());
                    }
                }
            }
        });
        return versions;
    }
}
