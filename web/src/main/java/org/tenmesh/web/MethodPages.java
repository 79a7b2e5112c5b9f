package org.tenmesh.web;

import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
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
                                                visit.desk()
                                                        .map(f -> f.day()
                                                                .laboratory()
                                                                .advice())
                                                        .orElse(Set.of()))))),
                Route.get("/methods/{method}", Route.ALL, visit -> {
                    Method method = house.methods().get(visit.part("method"));
                    return method == null
                            ? Answer.notFound()
                            : Answer.shown(
                                    "method",
                                    method.head().title(),
                                    Map.of("view", MethodView.of(method, house.methods(), released(visit, method))));
                }),
                Route.get(
                        "/packages",
                        Route.CLIENTS,
                        visit -> House.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "packages", "Packages", Map.of("packages", PackageView.list(desk))))));
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
