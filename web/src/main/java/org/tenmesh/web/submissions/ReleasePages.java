package org.tenmesh.web.submissions;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.desk.ReleaseOf;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.print.report.Reports;
import org.tenmesh.print.report.Unprintable;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** What may be released, and releasing it with a signature. */
public final class ReleasePages {
    private ReleasePages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get(
                        "/release",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> ready(context, visit, desk, "", 200))),
                Route.get(
                        "/release/{submission}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> draft(context, visit, desk, "", 200))),
                Route.post(
                        "/release/{submission}",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> release(context, visit, desk))),
                Route.get(
                        "/release/{submission}/preview/{paper}/{layout}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> preview(context, visit, desk))),
                Route.post(
                        "/release",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> releaseSeveral(context, visit, desk))));
    }

    private static Answer ready(PageContext context, Visit visit, Desk desk, String wrong, int status) {
        List<SubmissionLine> ready = new ArrayList<>();
        List<SubmissionLine> partly = new ArrayList<>();
        List<SubmissionLine> gone = new ArrayList<>();
        ReleaseOf of = of(visit);
        if (!of.isOn(desk)) {
            return Answer.notFound();
        }
        for (Promise promise : of.promises(desk)) {
            List<SubmissionLine> list =
                    promise.released() ? gone : promise.complete() ? ready : promise.fit() > 0 ? partly : List.of();
            if (promise.released() || promise.fit() > 0) {
                list.add(SubmissionLine.of(desk, promise));
            }
        }
        Map<String, Integer> revisions = new LinkedHashMap<>();
        ready.forEach(line -> revisions.put(
                line.submission(), desk.releases(line.submission()).size() + 1));
        return new Answer.Shown(
                status,
                "release",
                "Release",
                Map.ofEntries(
                        Map.entry("ready", ready),
                        Map.entry("partly", partly),
                        Map.entry("gone", gone),
                        Map.entry("revisions", revisions),
                        Map.entry("of", of),
                        Map.entry("heading", heading(desk, of)),
                        Map.entry("preview", of.kind() == ReleaseOf.Kind.DAY ? "" : preview(context, desk, ready)),
                        Map.entry(
                                "ticked",
                                of.kind() != ReleaseOf.Kind.DAY
                                        || visit.query("tick").equals("all")),
                        Map.entry("signs", visit.may(Rights.ACT)),
                        Map.entry("wrong", wrong)));
    }

    /** What is asked for by the address, or by the form that was sent. */
    private static ReleaseOf of(Visit visit) {
        String kind = visit.query("of").isEmpty() ? visit.form("of") : visit.query("of");
        String name = visit.query("name").isEmpty() ? visit.form("which") : visit.query("name");
        return name.isEmpty() ? new ReleaseOf(ReleaseOf.Kind.DAY, "") : new ReleaseOf(ReleaseOf.Kind.of(kind), name);
    }

    private static String heading(Desk desk, ReleaseOf of) {
        return switch (of.kind()) {
            case DAY -> "";
            case TRAY -> "tray " + of.name();
            case CAUSE ->
                desk.cause(of.name())
                        .map(cause -> CauseCard.of(desk, cause).title())
                        .orElse(of.name());
        };
    }

    /** How much would be released of the submissions that are complete, and how much of them is held back. */
    private static String preview(PageContext context, Desk desk, List<SubmissionLine> ready) {
        int leaves = 0;
        int held = 0;
        for (SubmissionLine line : ready) {
            for (ReleasedResult result : Signing.drafted(context, desk, line.submission())) {
                if (result.heldBecause().isEmpty()) {
                    leaves++;
                } else {
                    held++;
                }
            }
        }
        return Words.of(leaves, "result") + " of " + Words.of(ready.size(), "submission") + " would be released"
                + (held > 0 ? ", " + Words.count(held) + " held back" : "") + ".";
    }

    /**
     * What would be released, one row a soil.
     *
     * @param cells in the order of the columns: the text, or a mark for what is held back
     */
    public record DraftRow(String labNumber, String label, List<Cell> cells) {}

    /** One column of the draft. */
    public record Column(String symbol, String unit) {
        private static Column of(Desk desk, String key) {
            String symbol = key.substring(key.indexOf('\n') + 1);
            return new Column(
                    symbol,
                    desk.analyte(key.substring(0, key.indexOf('\n')), symbol)
                            .map(a -> a.unit().spelling())
                            .orElse(""));
        }
    }

    /** One cell of the draft. */
    public record Cell(String text, boolean held, boolean accepted, String because) {}

    private static Answer draft(PageContext context, Visit visit, Desk desk, String wrong, int status) {
        Optional<Promise> promise = desk.promise(visit.part("submission"));
        if (promise.isEmpty()) {
            return Answer.notFound();
        }
        String name = promise.get().submission().submission();
        List<ReleasedResult> results = Signing.drafted(context, desk, name);
        List<String> columns = results.stream()
                .map(r -> r.method() + "\n" + r.analyte())
                .distinct()
                .toList();
        Map<String, Map<String, ReleasedResult>> byLab = new LinkedHashMap<>();
        results.forEach(r -> byLab.computeIfAbsent(r.labNumber().text(), k -> new LinkedHashMap<>())
                .put(r.method() + "\n" + r.analyte(), r));
        List<DraftRow> rows = new ArrayList<>();
        for (Soil soil : desk.soilsOf(name)) {
            Map<String, ReleasedResult> of = byLab.getOrDefault(soil.labNumber().text(), Map.of());
            List<Cell> cells = new ArrayList<>();
            for (String column : columns) {
                ReleasedResult result = of.get(column);
                cells.add(
                        result == null
                                ? new Cell(ClientReport.NOT_ASKED, false, false, "")
                                : result.heldBecause().isEmpty()
                                        ? new Cell(
                                                Words.grouped(result.reported()),
                                                false,
                                                result.isAccepted(),
                                                result.despite())
                                        : new Cell("held", true, false, result.heldBecause()));
            }
            rows.add(new DraftRow(soil.labNumber().text(), soil.clientLabel().orElse(""), cells));
        }
        Map<String, Integer> because = new LinkedHashMap<>();
        results.stream()
                .filter(r -> !r.heldBecause().isEmpty())
                .forEach(r -> because.merge(r.heldBecause(), 1, Integer::sum));
        long leaves = results.stream().filter(r -> r.heldBecause().isEmpty()).count();
        List<Release> before = desk.releases(name);
        boolean same =
                !before.isEmpty() && before.get(before.size() - 1).results().equals(results);
        return new Answer.Shown(
                status,
                "draft",
                "Release " + name,
                Map.ofEntries(
                        Map.entry("line", SubmissionLine.of(desk, promise.get())),
                        Map.entry(
                                "columns",
                                columns.stream().map(c -> Column.of(desk, c)).toList()),
                        Map.entry("rows", rows),
                        Map.entry("leaves", leaves),
                        Map.entry(
                                "held",
                                because.entrySet().stream()
                                        .map(e -> Words.of(e.getValue(), "result") + ": " + e.getKey())
                                        .toList()),
                        Map.entry("accepted", accepted(desk, name)),
                        Map.entry("again", ReadAgain.of(desk, name)),
                        Map.entry("since", since(context, visit, desk, name)),
                        Map.entry("unprintable", unprintable(context, visit, desk, name)),
                        Map.entry(
                                "refusal",
                                visit.may(Rights.ACT) ? new Signing(context, visit, desk).secondSignature(name) : ""),
                        Map.entry("form", new Signing(context, visit, desk).form(name)),
                        Map.entry("revision", before.size() + 1),
                        Map.entry("releases", ReleaseLine.of(desk, before)),
                        Map.entry("approvals", approvals(context, desk, name)),
                        Map.entry("signs", visit.may(Rights.ACT)),
                        Map.entry("same", same),
                        Map.entry("reason", visit.form("reason")),
                        Map.entry("wrong", wrong)));
    }

    /** What the newest signature does not stand for any more, because a result has changed since; empty text where it stands for all. */
    static String since(PageContext context, Visit visit, Desk desk, String submission) {
        List<Release> before = desk.releases(submission);
        if (before.isEmpty()) {
            return "";
        }
        Release last = before.get(before.size() - 1);
        List<Amendment.Change> changes = Amendment.between(last, new Signing(context, visit, desk).next(submission, ""))
                .changes();
        if (changes.isEmpty()) {
            return "";
        }
        Amendment.Change first = changes.get(0);
        return "Of revision " + last.revision() + " " + Words.of(changes.size(), "result")
                + (changes.size() == 1 ? " has" : " have") + " changed since " + last.signedBy() + " signed it ("
                + first.labNumber() + " " + first.analyte() + ": " + said(first.was()) + " then, " + said(first.is())
                + " now" + (changes.size() > 1 ? ", and more" : "")
                + "). The signature does not stand for what is here now: a new revision is to be signed.";
    }

    /** Who did the work behind each revision and who approved it. */
    static List<String> approvals(PageContext context, Desk desk, String submission) {
        return context.store().approvals(desk.name(), submission).entrySet().stream()
                .map(one -> "Revision " + one.getKey() + ": " + one.getValue())
                .toList();
    }

    private static String said(String reported) {
        return reported.isEmpty() ? "not released" : Words.grouped(reported);
    }

    /** Names and labels that the PDF prints with empty squares: the signer must see it. */
    private static List<String> unprintable(PageContext context, Visit visit, Desk desk, String name) {
        Release next = new Signing(context, visit, desk).next(name, "");
        return desk.submission(name)
                .map(submission -> Unprintable.of(Signing.report(context, desk, submission, next)))
                .orElse(List.of());
    }

    /** A failed check that somebody accepted, so that results of the submission stand all the same: the signer must see it. */
    public record AcceptedLine(String title, String href, String says) {}

    private static List<AcceptedLine> accepted(Desk desk, String submission) {
        Map<String, Integer> touched = new LinkedHashMap<>();
        desk.standing(submission).stream()
                .filter(Result::isAccepted)
                .flatMap(result -> result.causes().stream())
                .forEach(cause -> touched.merge(cause, 1, Integer::sum));
        List<AcceptedLine> lines = new ArrayList<>();
        touched.forEach((id, results) -> {
            Optional<Cause> here = desk.cause(id);
            lines.add(new AcceptedLine(
                    here.map(cause -> CauseCard.of(desk, cause).title())
                            .orElseGet(() -> CauseKey.of(id)
                                    .map(key -> Words.sentence(key.kind().phrase()) + ", read on another day")
                                    .orElse(id)),
                    here.map(cause -> "/causes#" + CauseCard.of(desk, cause).anchor())
                            .orElse(""),
                    Words.of(results, "result") + ". "
                            + desk.acceptances()
                                    .of(id)
                                    .map(acted -> Words.accepted(acted, desk.zone()))
                                    .orElse("")));
        });
        return lines;
    }

    private static Answer release(PageContext context, Visit visit, Desk desk) {
        String name = visit.part("submission");
        if (desk.promise(name).isEmpty()) {
            return Answer.notFound();
        }
        Signing signing = new Signing(context, visit, desk);
        ReportForm last = signing.form(name);
        ReportForm form = new ReportForm(
                ReportForm.Paper.of(visit.form("paper")).orElse(last.paper()),
                ReportForm.Layout.of(visit.form("layout")).orElse(last.layout()));
        return signing.sign(List.of(new Signing.Wanted(name, visit.form("revision"), form)))
                .map(refusal -> draft(context, visit, desk, refusal.says(), refusal.status()))
                .orElseGet(() -> Answer.moved("/release/" + Words.part(name)));
    }

    private static Answer releaseSeveral(PageContext context, Visit visit, Desk desk) {
        Signing signing = new Signing(context, visit, desk);
        return signing.sign(signing.ticked())
                .map(refusal -> ready(context, visit, desk, refusal.says(), refusal.status()))
                .orElseGet(() -> Answer.moved("/reports"));
    }

    /** The report as it would be, marked as a preview on every page. */
    private static Answer preview(PageContext context, Visit visit, Desk desk) {
        String name = visit.part("submission");
        Optional<Submission> submission = desk.submission(name);
        Optional<ReportForm.Paper> paper = ReportForm.Paper.of(visit.part("paper"));
        Optional<ReportForm.Layout> layout = ReportForm.Layout.of(visit.part("layout"));
        if (submission.isEmpty() || paper.isEmpty() || layout.isEmpty()) {
            return Answer.notFound();
        }
        Release next = new Signing(context, visit, desk).next(name, "preview");
        byte[] pdf = Reports.preview(
                Signing.report(context, desk, submission.get(), next), new ReportForm(paper.get(), layout.get()));
        return new Answer.Download(pdf, "application/pdf", ReportPages.fileName(name) + "-preview.pdf");
    }
}
