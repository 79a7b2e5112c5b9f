package org.tenmesh.web.submissions;

import java.time.Instant;
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
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.store.people.Person;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Passwords;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.http.WrongPasswords;
import org.tenmesh.web.words.Words;

/** What may be released, and releasing it with a signature. */
public final class ReleasePages {
    private ReleasePages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/release", Rights.CLIENTS, visit -> PageContext.withDay(visit, ReleasePages::ready)),
                Route.get(
                        "/release/{submission}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> draft(context, visit, desk, "", 200))),
                Route.post(
                        "/release/{submission}",
                        Rights.ACT,
                        visit -> PageContext.withDay(visit, desk -> release(context, visit, desk))));
    }

    private static Answer ready(Desk desk) {
        List<SubmissionLine> ready = new ArrayList<>();
        List<SubmissionLine> partly = new ArrayList<>();
        List<SubmissionLine> gone = new ArrayList<>();
        for (Promise promise : desk.promises()) {
            List<SubmissionLine> list =
                    promise.released() ? gone : promise.complete() ? ready : promise.fit() > 0 ? partly : List.of();
            if (promise.released() || promise.fit() > 0) {
                list.add(SubmissionLine.of(desk, promise));
            }
        }
        return Answer.shown("release", "Release", Map.of("ready", ready, "partly", partly, "gone", gone));
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

    private static List<ReleasedResult> drafted(PageContext context, Desk desk, String submission) {
        List<Soil> soils = desk.soilsOf(submission);
        return Releasing.draft(desk.day(), soils, desk.standing(submission), desk.ruled(), context.methods());
    }

    private static Answer draft(PageContext context, Visit visit, Desk desk, String wrong, int status) {
        Optional<Promise> promise = desk.promise(visit.part("submission"));
        if (promise.isEmpty()) {
            return Answer.notFound();
        }
        String name = promise.get().submission().submission();
        List<ReleasedResult> results = drafted(context, desk, name);
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
                        Map.entry("refusal", visit.may(Rights.ACT) ? refusal(context, visit, desk, name) : ""),
                        Map.entry("revision", before.size() + 1),
                        Map.entry("releases", ReleaseLine.of(desk, before)),
                        Map.entry("signs", visit.may(Rights.ACT)),
                        Map.entry("same", same),
                        Map.entry("reason", visit.form("reason")),
                        Map.entry("wrong", wrong)));
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

    /** Why this person may not sign, where the laboratory asks for a second one; empty text when nothing stands against it. */
    private static String refusal(PageContext context, Visit visit, Desk desk, String submission) {
        if (!desk.day().laboratory().acceptedFailures().secondSignature()) {
            return "";
        }
        return desk.acceptances()
                .refusesToSign(
                        visit.actor(),
                        desk.standing(submission),
                        context.store().people().stream()
                                .filter(person -> person.active() && Rights.ACT.contains(person.role()))
                                .map(Person::name)
                                .toList())
                .orElse("");
    }

    private static Answer release(PageContext context, Visit visit, Desk desk) {
        String name = visit.part("submission");
        if (desk.promise(name).isEmpty()) {
            return Answer.notFound();
        }
        int revision = desk.releases(name).size() + 1;
        if (!visit.form("revision").equals(Integer.toString(revision))) {
            return draft(
                    context,
                    visit,
                    desk,
                    "Somebody released this submission while the page was open. Nothing was released now; look at it "
                            + "as it stands.",
                    409);
        }
        if (!visit.form("version").equals(visit.version())) {
            return draft(
                    context,
                    visit,
                    desk,
                    "The day changed after this page was drawn, so what you saw may not be what would be released. Nothing "
                            + "was released; look again and sign.",
                    409);
        }
        String reason = visit.form("reason");
        if (reason.isEmpty()) {
            return draft(context, visit, desk, "A release needs a reason, for the report and the journal.", 400);
        }
        String refusal = refusal(context, visit, desk, name);
        if (!refusal.isEmpty()) {
            return draft(context, visit, desk, refusal + " Nothing was released.", 403);
        }
        if (context.store().failedSignIns(visit.actor(), WrongPasswords.of(visit), WrongPasswords.WAIT)
                >= WrongPasswords.MOST) {
            return draft(context, visit, desk, "Too many wrong passwords. Wait a quarter of an hour.", 429);
        }
        String hash =
                context.store().find(visit.actor()).map(Person::passwordHash).orElse("");
        if (!Passwords.right(visit.secret("password"), hash)) {
            context.store().signInFailed(visit.actor(), WrongPasswords.of(visit));
            return draft(
                    context,
                    visit,
                    desk,
                    hash.isEmpty()
                            ? "You have no password yet, and a release is signed with one. Choose it under “password” "
                                    + "first. Nothing was released."
                            : "That is not your password. Nothing was released.",
                    403);
        }
        context.store().signInSucceeded(visit.actor(), WrongPasswords.of(visit));
        List<ReleasedResult> results = drafted(context, desk, name);
        if (results.stream().noneMatch(r -> r.heldBecause().isEmpty())) {
            return draft(context, visit, desk, "Nothing of this submission can be released yet.", 409);
        }
        Instant now = context.clock().instant();
        context.store()
                .release(
                        desk.name(),
                        new Release(
                                name,
                                revision,
                                visit.actor(),
                                now.atZone(desk.zone()).toOffsetDateTime(),
                                reason,
                                results));
        context.currentDay().renew();
        return Answer.moved("/release/" + Words.part(name));
    }
}
