package org.tenmesh.web;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.desk.Completeness;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReports;
import org.tenmesh.print.Reports;
import org.tenmesh.store.Person;

/** Submissions with their promises, releasing them with a signature, and the reports that left. */
final class SubmissionPages {
    private SubmissionPages() {}

    static List<Route> routes(House house) {
        return List.of(
                Route.get("/submissions", Route.CLIENTS, visit -> House.withDay(visit, desk -> list(visit, desk))),
                Route.get(
                        "/submissions/{submission}",
                        Route.CLIENTS,
                        visit -> House.withDay(visit, desk -> submission(visit, desk))),
                Route.get("/release", Route.CLIENTS, visit -> House.withDay(visit, SubmissionPages::ready)),
                Route.get(
                        "/release/{submission}",
                        Route.CLIENTS,
                        visit -> House.withDay(visit, desk -> draft(house, visit, desk, "", 200))),
                Route.post(
                        "/release/{submission}",
                        Route.ACT,
                        visit -> House.withDay(visit, desk -> release(house, visit, desk))),
                Route.get("/reports", Route.CLIENTS, visit -> House.withDay(visit, SubmissionPages::reports)),
                Route.get(
                        "/reports/{submission}/{revision}",
                        Route.CLIENTS,
                        visit -> House.withDay(visit, desk -> pdf(house, visit, desk))));
    }

    /** One submission in a list. */
    record Line(
            String submission,
            String href,
            String client,
            int soils,
            String due,
            String dueWord,
            String standing,
            String word,
            String releaseHref) {}

    private static Line line(Desk desk, Promise promise) {
        return line(desk.today(), promise, path -> path);
    }

    private static Line line(LocalDate today, Promise promise, UnaryOperator<String> address) {
        Submission submission = promise.submission();
        boolean late = promise.lateOn(today);
        return new Line(
                submission.submission(),
                address.apply("/submissions/" + Words.part(submission.submission())),
                submission.client(),
                promise.soils(),
                submission.promisedOn().map(Words::day).orElse("not promised"),
                late ? "late" : promise.dueOn(today) ? "today" : "",
                Words.standing(promise),
                promise.redo() > 0 ? "redo" : promise.hold() > 0 ? "hold" : "",
                address.apply("/release/" + Words.part(submission.submission())));
    }

    private static final Map<String, String> SHOWS = new LinkedHashMap<>();

    static {
        SHOWS.put("", "all");
        SHOWS.put("due", "due today");
        SHOWS.put("holds", "on track");
        SHOWS.put("risk", "at risk");
        SHOWS.put("late", "late");
    }

    private static Answer list(Visit visit, Desk desk) {
        String show = SHOWS.containsKey(visit.query("show")) ? visit.query("show") : "";
        List<Line> lines = desk.promises().stream()
                .filter(p -> {
                    boolean due = p.dueOn(desk.dueDate());
                    boolean holds = p.released() || p.complete();
                    return switch (show) {
                        case "due" -> due;
                        case "holds" -> due && holds;
                        case "risk" -> due && !holds;
                        case "late" -> p.lateOn(desk.today());
                        default -> true;
                    };
                })
                .sorted(Comparator.comparing(
                        (Promise p) -> p.submission().promisedOn().orElse(LocalDate.MAX)))
                .map(p -> line(desk, p))
                .toList();
        Map<String, String> shows = new LinkedHashMap<>(SHOWS);
        shows.put("due", desk.dueDate().equals(desk.today()) ? "due today" : "due " + Words.day(desk.dueDate()));
        return Answer.shown(
                "submissions",
                "Submissions",
                Map.of(
                        "lines",
                        lines,
                        "show",
                        show,
                        "shows",
                        shows,
                        "earlier",
                        visit.newest() ? earlier(visit.open(), show) : List.of()));
    }

    /** Submissions that earlier days left unreleased. */
    record Earlier(String day, List<Line> lines) {}

    private static List<Earlier> earlier(List<OpenDay> open, String show) {
        return open.stream()
                .map(day -> new Earlier(
                        day.title(),
                        day.promises().stream()
                                .filter(p -> show.isEmpty() || (show.equals("late") && p.lateOn(day.today())))
                                .map(p -> line(day.today(), p, path -> DayAddress.on(day.day(), path)))
                                .toList()))
                .filter(day -> !day.lines().isEmpty())
                .toList();
    }

    /** One soil of a submission. */
    record SoilLine(
            String labNumber,
            String anchor,
            String label,
            String layer,
            String ownPackage,
            List<StateCount> states,
            String lacking) {}

    /** How many results stand one way. */
    record StateCount(int count, String word, String mark) {
        static List<StateCount> of(Completeness completeness) {
            return completeness.counts().entrySet().stream()
                    .map(e -> new StateCount(
                            e.getValue(), e.getKey().word(), e.getKey().mark()))
                    .toList();
        }
    }

    /** The package a submission asks for, where the day describes it. */
    record PackageLine(String title, String href, String portions) {}

    private static Answer submission(Visit visit, Desk desk) {
        Optional<Promise> promise = promise(desk, visit.part("submission"));
        if (promise.isEmpty()) {
            return Answer.notFound();
        }
        Submission submission = promise.get().submission();
        List<SoilLine> soils = new ArrayList<>();
        for (Soil soil : desk.soilsOf(submission.submission())) {
            Completeness completeness = Completeness.of(desk, soil);
            soils.add(new SoilLine(
                    soil.labNumber().text(),
                    Words.anchor(soil.labNumber().text()),
                    soil.clientLabel().orElse(""),
                    soil.matter() == Soil.Matter.WATER
                            ? "the client's water"
                            : soil.topCm().isPresent() && soil.bottomCm().isPresent()
                                    ? Words.plain(soil.topCm().getAsDouble()) + " to "
                                            + Words.plain(soil.bottomCm().getAsDouble()) + " cm"
                                    : "",
                    soil.packageName()
                            .filter(p ->
                                    !submission.packageName().filter(p::equals).isPresent())
                            .orElse(""),
                    StateCount.of(completeness),
                    lacking(desk, completeness)));
        }
        List<String> about = new ArrayList<>();
        about.add("came " + Words.moment(submission.receivedAt().toInstant(), desk.zone()));
        submission.promisedOn().ifPresent(d -> about.add("due " + Words.day(d)));
        submission.packageName().filter(p -> desk.testPackage(p).isEmpty()).ifPresent(p -> about.add("package " + p));
        submission
                .originCountry()
                .ifPresent(c -> about.add("from " + c
                        + submission.originRegion().map(r -> ", " + r).orElse("")));
        submission.note().ifPresent(about::add);
        return Answer.shown(
                "submission",
                "Submission " + submission.submission(),
                Map.of(
                        "line", line(desk, promise.get()),
                        "about", String.join(" · ", about),
                        "packages", packages(desk, submission),
                        "water", water(desk, submission),
                        "soils", soils,
                        "leads", visit.may(Route.FLOOR),
                        "releases", releaseLines(desk, desk.releases(submission.submission()))));
    }

    /** Which methods have not been read or could not be, by their titles. */
    private static String lacking(Desk desk, Completeness completeness) {
        Map<String, List<String>> byState = new LinkedHashMap<>();
        for (Completeness.One one : completeness.all()) {
            if (one.state() == Completeness.State.UNREAD || one.state() == Completeness.State.TOO_LITTLE) {
                List<String> of = byState.computeIfAbsent(one.state().word(), k -> new ArrayList<>());
                String title = desk.methodTitle(one.method());
                if (!of.contains(title)) {
                    of.add(title);
                }
            }
        }
        return String.join(
                ". ",
                byState.entrySet().stream()
                        .map(e -> Words.sentence(e.getKey()) + ": " + shortened(e.getValue()))
                        .toList());
    }

    private static String shortened(List<String> titles) {
        return titles.size() <= 3
                ? String.join(", ", titles)
                : String.join(", ", titles.subList(0, 2)) + " and " + (titles.size() - 2) + " more";
    }

    private static List<PackageLine> packages(Desk desk, Submission submission) {
        return desk.soilsOf(submission.submission()).stream()
                .flatMap(s -> desk.testPackage(s).stream())
                .distinct()
                .map(p -> {
                    List<Portions.Taken> portions = Portions.of(p, desk.methods());
                    return new PackageLine(
                            p.title(),
                            "/packages#" + Words.anchor(p.name()),
                            Words.of(portions.size(), "portion") + ", "
                                    + Words.plain(Portions.totalG(portions))
                                    + " g of each soil");
                })
                .toList();
    }

    /** With which water the pastes of a submission are made; empty text when it asks for none. */
    private static String water(Desk desk, Submission submission) {
        List<Soil> soils = desk.soilsOf(submission.submission());
        boolean pastes = soils.stream()
                .flatMap(s -> desk.methodsAsked(s).stream())
                .anyMatch(m -> PasteWater.restsOnPaste(m, desk.methods()::find));
        boolean came = submission.waterSupplied().orElse(false)
                || soils.stream().anyMatch(s -> s.matter() == Soil.Matter.WATER);
        return pastes || came ? PasteWater.of(submission, soils) : "";
    }

    private static Optional<Promise> promise(Desk desk, String submission) {
        return desk.promises().stream()
                .filter(p -> p.submission().submission().equals(submission))
                .findFirst();
    }

    private static Answer ready(Desk desk) {
        List<Line> ready = new ArrayList<>();
        List<Line> partly = new ArrayList<>();
        List<Line> gone = new ArrayList<>();
        for (Promise promise : desk.promises()) {
            List<Line> list =
                    promise.released() ? gone : promise.complete() ? ready : promise.fit() > 0 ? partly : List.of();
            if (promise.released() || promise.fit() > 0) {
                list.add(line(desk, promise));
            }
        }
        return Answer.shown("release", "Release", Map.of("ready", ready, "partly", partly, "gone", gone));
    }

    /** One released revision. */
    record ReleaseLine(
            String submission,
            String client,
            int revision,
            String signedBy,
            String signedAt,
            String reason,
            int left,
            int held,
            String href) {}

    private static List<ReleaseLine> releaseLines(Desk desk, List<Release> releases) {
        return releases.stream()
                .map(r -> {
                    int held = (int) r.results().stream()
                            .filter(x -> !x.heldBecause().isEmpty())
                            .count();
                    return new ReleaseLine(
                            r.submission(),
                            desk.submission(r.submission())
                                    .map(Submission::client)
                                    .orElse(""),
                            r.revision(),
                            r.signedBy(),
                            Words.moment(r.signedAt().toInstant(), desk.zone()),
                            r.reason(),
                            r.results().size() - held,
                            held,
                            "/reports/" + Words.part(r.submission()) + "/" + r.revision());
                })
                .toList();
    }

    /**
     * What would leave, one row a soil.
     *
     * @param cells in the order of the columns: the text, or a mark for what stays
     */
    record DraftRow(String labNumber, String label, List<Cell> cells) {}

    /** One column of the draft. */
    record Column(String symbol, String unit) {
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
    record Cell(String text, boolean held, boolean accepted, String because) {}

    private static List<ReleasedResult> drafted(House house, Desk desk, String submission) {
        List<Soil> soils = desk.soilsOf(submission);
        return Releasing.draft(desk.day(), soils, desk.standing(submission), desk.ruled(), house.methods());
    }

    private static Answer draft(House house, Visit visit, Desk desk, String wrong, int status) {
        Optional<Promise> promise = promise(desk, visit.part("submission"));
        if (promise.isEmpty()) {
            return Answer.notFound();
        }
        String name = promise.get().submission().submission();
        List<ReleasedResult> results = drafted(house, desk, name);
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
                        Map.entry("line", line(desk, promise.get())),
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
                        Map.entry("refusal", visit.may(Route.ACT) ? refusal(house, visit, desk, name) : ""),
                        Map.entry("revision", before.size() + 1),
                        Map.entry("releases", releaseLines(desk, before)),
                        Map.entry("signs", visit.may(Route.ACT)),
                        Map.entry("same", same),
                        Map.entry("reason", visit.form("reason")),
                        Map.entry("wrong", wrong)));
    }

    /** A failed check that somebody accepted, so that results of the submission stand all the same: the signer must see it. */
    record AcceptedLine(String title, String href, String says) {}

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
    private static String refusal(House house, Visit visit, Desk desk, String submission) {
        if (!desk.day().laboratory().acceptedFailures().secondSignature()) {
            return "";
        }
        return desk.acceptances()
                .refusesToSign(
                        visit.actor(),
                        desk.standing(submission),
                        house.book().people().stream()
                                .filter(person -> person.active() && Route.ACT.contains(person.role()))
                                .map(Person::name)
                                .toList())
                .orElse("");
    }

    private static Answer release(House house, Visit visit, Desk desk) {
        String name = visit.part("submission");
        if (promise(desk, name).isEmpty()) {
            return Answer.notFound();
        }
        int revision = desk.releases(name).size() + 1;
        if (!visit.form("revision").equals(Integer.toString(revision))) {
            return draft(
                    house,
                    visit,
                    desk,
                    "Somebody released this submission while the page was open. Nothing was released now; look at it "
                            + "as it stands.",
                    409);
        }
        if (!visit.form("version").equals(visit.version())) {
            return draft(
                    house,
                    visit,
                    desk,
                    "The day changed after this page was drawn, so what you saw may not be what would leave. Nothing "
                            + "was released; look again and sign.",
                    409);
        }
        String reason = visit.form("reason");
        if (reason.isEmpty()) {
            return draft(house, visit, desk, "A release needs a reason, for the report and the journal.", 400);
        }
        String refusal = refusal(house, visit, desk, name);
        if (!refusal.isEmpty()) {
            return draft(house, visit, desk, refusal + " Nothing was released.", 403);
        }
        if (house.book().failedSignIns(visit.actor(), SignInPages.signing(visit), SignInPages.WAIT)
                >= SignInPages.MOST_FAILURES) {
            return draft(house, visit, desk, "Too many wrong passwords. Wait a quarter of an hour.", 429);
        }
        String hash = house.book().find(visit.actor()).map(Person::passwordHash).orElse("");
        if (!Passwords.right(visit.secret("password"), hash)) {
            house.book().signInFailed(visit.actor(), SignInPages.signing(visit));
            return draft(
                    house,
                    visit,
                    desk,
                    hash.isEmpty()
                            ? "You have no password yet, and a release is signed with one. Choose it under “password” "
                                    + "first. Nothing was released."
                            : "That is not your password. Nothing was released.",
                    403);
        }
        house.book().signInSucceeded(visit.actor(), SignInPages.signing(visit));
        List<ReleasedResult> results = drafted(house, desk, name);
        if (results.stream().noneMatch(r -> r.heldBecause().isEmpty())) {
            return draft(house, visit, desk, "Nothing of this submission may leave yet.", 409);
        }
        Instant now = house.clock().instant();
        house.book()
                .release(
                        desk.name(),
                        new Release(
                                name,
                                revision,
                                visit.actor(),
                                now.atZone(desk.zone()).toOffsetDateTime(),
                                reason,
                                results));
        house.currentDay().renew();
        return Answer.moved("/release/" + Words.part(name));
    }

    private static Answer reports(Desk desk) {
        List<Release> newest = new ArrayList<>(desk.releases());
        newest.sort(
                Comparator.comparing((Release r) -> r.signedAt().toInstant()).reversed());
        return Answer.shown("reports", "Reports", Map.of("lines", releaseLines(desk, newest)));
    }

    private static Answer pdf(House house, Visit visit, Desk desk) {
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
                desk.day().laboratory(), submission.get(), desk.soilsOf(name), release.get(), before, house.methods()));
        String file = name.replaceAll("[^A-Za-z0-9-]", "-").toLowerCase(Locale.ROOT) + "-revision-"
                + release.get().revision() + ".pdf";
        return new Answer.Download(bytes, "application/pdf", file);
    }
}
