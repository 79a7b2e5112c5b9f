package org.tenmesh.web.methods;

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
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;

/** The methods, each with how it calculates and where it comes from; and the packages made of them. */
public final class MethodPages {
    private MethodPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get(
                        "/methods",
                        Rights.ALL,
                        visit -> Answer.shown(
                                "methods",
                                "Methods",
                                Map.of(
                                        "groups",
                                        MethodView.groups(
                                                context.methods(),
                                                today(context, visit),
                                                visit.desk()
                                                        .map(f -> f.day()
                                                                .laboratory()
                                                                .advice())
                                                        .orElse(Set.of()))))),
                Route.get("/methods/{method}", Rights.ALL, visit -> {
                    LocalDate today = today(context, visit);
                    String id = visit.part("method");
                    if (!context.methods().knows(id)) {
                        return Answer.notFound();
                    }
                    Method method = MethodView.inUse(context.methods(), id, today);
                    return Answer.shown(
                            "method",
                            method.head().title(),
                            Map.of(
                                    "view",
                                    MethodView.of(method, context.methods(), today, released(visit, method)),
                                    "detection",
                                    DetectionView.of(method, context.store().lowReadings(id))));
                }),
                Route.get(
                        "/packages",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "packages", "Packages", Map.of("packages", PackageView.list(desk))))));
    }

    // Today by the clock of the laboratory.
    private static LocalDate today(PageContext context, Visit visit) {
        return LocalDate.now(
                context.clock().withZone(visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC)));
    }

    /** Versions under which results of the method were released, newest first. */
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
