package org.tenmesh.web.submissions;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.report.ClientReports;
import org.tenmesh.print.report.Reports;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;

/** The reports of what was released. */
public final class ReportPages {
    private ReportPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/reports", Rights.CLIENTS, visit -> PageContext.withDay(visit, ReportPages::reports)),
                Route.get(
                        "/reports/{submission}/{revision}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> pdf(context, visit, desk))));
    }

    private static Answer reports(Desk desk) {
        List<Release> newest = new ArrayList<>(desk.releases());
        newest.sort(
                Comparator.comparing((Release r) -> r.signedAt().toInstant()).reversed());
        return Answer.shown("reports", "Reports", Map.of("lines", ReleaseLine.of(desk, newest)));
    }

    private static Answer pdf(PageContext context, Visit visit, Desk desk) {
        String name = visit.part("submission");
        Optional<Submission> submission = desk.submission(name);
        Optional<Release> release = desk.releases(name).stream()
                .filter(r -> Integer.toString(r.revision()).equals(visit.part("revision")))
                .findFirst();
        if (submission.isEmpty() || release.isEmpty()) {
            return Answer.notFound();
        }
        Optional<Release> before = desk.releases(name).stream()
                .filter(r -> r.revision() == release.get().revision() - 1)
                .findFirst();
        byte[] bytes = Reports.pdf(ClientReports.of(
                desk.day().laboratory(),
                submission.get(),
                desk.soilsOf(name),
                release.get(),
                before,
                context.methods()));
        String file = name.replaceAll("[^A-Za-z0-9-]", "-").toLowerCase(Locale.ROOT) + "-revision-"
                + release.get().revision() + ".pdf";
        return new Answer.Download(bytes, "application/pdf", file);
    }
}
