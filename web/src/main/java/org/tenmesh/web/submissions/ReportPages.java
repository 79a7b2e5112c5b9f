package org.tenmesh.web.submissions;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.print.report.ReportFiles;
import org.tenmesh.print.report.Reports;
import org.tenmesh.store.release.KeptReport;
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
                        visit -> PageContext.withDay(visit, desk -> pdf(context, visit, desk))),
                Route.get(
                        "/reports/{submission}/{revision}/{format}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> table(context, visit, desk))));
    }

    private static Answer reports(Desk desk) {
        List<Release> newest = new ArrayList<>(desk.releases());
        newest.sort(
                Comparator.comparing((Release r) -> r.signedAt().toInstant()).reversed());
        return Answer.shown("reports", "Reports", Map.of("lines", ReleaseLine.of(desk, newest)));
    }

    /** What was asked for: a submission and one of its releases. */
    private record Asked(Submission submission, Release release) {
        static Optional<Asked> of(Visit visit, Desk desk) {
            String name = visit.part("submission");
            return desk.submission(name)
                    .flatMap(submission -> desk.releases(name).stream()
                            .filter(r -> Integer.toString(r.revision()).equals(visit.part("revision")))
                            .findFirst()
                            .map(release -> new Asked(submission, release)));
        }

        String file() {
            return fileName(submission.submission()) + "-revision-" + release.revision();
        }
    }

    static String fileName(String submission) {
        return submission.replaceAll("[^A-Za-z0-9-]", "-").toLowerCase(Locale.ROOT);
    }

    /** The report as it was kept when it was signed; of an older release it is made once, and its name says so. */
    private static Answer pdf(PageContext context, Visit visit, Desk desk) {
        Optional<Asked> asked = Asked.of(visit, desk);
        if (asked.isEmpty()) {
            return Answer.notFound();
        }
        String name = asked.get().submission().submission();
        int revision = asked.get().release().revision();
        KeptReport kept = context.store().report(desk.name(), name, revision).orElseGet(() -> {
            ReportForm form = Signing.set(desk, name);
            byte[] made = Reports.pdf(
                    Signing.report(
                            context, desk, asked.get().submission(), asked.get().release()),
                    form);
            return context.store().keepReportLater(desk.name(), name, revision, made, form, visit.actor());
        });
        return new Answer.Download(
                kept.pdf(),
                "application/pdf",
                asked.get().file()
                        + (kept.later()
                                ? "-made-later-"
                                        + kept.madeAt().atZone(desk.zone()).toLocalDate()
                                : "")
                        + ".pdf");
    }

    /** The same results as a table for other programs. */
    private static Answer table(PageContext context, Visit visit, Desk desk) {
        Optional<Asked> asked = Asked.of(visit, desk);
        if (asked.isEmpty()) {
            return Answer.notFound();
        }
        ClientReport report = Signing.report(
                context, desk, asked.get().submission(), asked.get().release());
        return switch (visit.part("format")) {
            case "csv" ->
                new Answer.Download(
                        ReportFiles.csv(report), "text/csv", asked.get().file() + ".csv");
            case "xlsx" ->
                new Answer.Download(
                        ReportFiles.xlsx(report),
                        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
                        asked.get().file() + ".xlsx");
            default -> Answer.notFound();
        };
    }
}
