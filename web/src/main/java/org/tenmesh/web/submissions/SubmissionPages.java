package org.tenmesh.web.submissions;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.desk.Completeness;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.PackageChange;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.ChangeLine;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/** Submissions with their promises. */
public final class SubmissionPages {
    private SubmissionPages() {}

    /** Those who may say a submission anew: the same as at the dock. */
    private static final Set<PersonRole> SAYS =
            Set.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY);

    private static final int LONGEST = 500;

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get(
                        "/submissions", Rights.CLIENTS, visit -> PageContext.withDay(visit, desk -> list(visit, desk))),
                Route.get(
                        "/submissions/{submission}",
                        Rights.CLIENTS,
                        visit -> PageContext.withDay(visit, desk -> submission(context, visit, desk, "", 200))),
                Route.post(
                        "/submissions/{submission}/change",
                        SAYS,
                        visit -> PageContext.withDay(visit, desk -> change(context, visit, desk))));
    }

    /** Says client, promise, package or note anew; what was reported stays as it was until a new revision is signed. */
    private static Answer change(PageContext context, Visit visit, Desk desk) {
        String name = visit.part("submission");
        Optional<Submission> submission = desk.submission(name);
        if (submission.isEmpty()) {
            return Answer.notFound();
        }
        Optional<LocalDate> promised;
        try {
            promised = filled(visit, "promised").map(LocalDate::parse);
        } catch (DateTimeParseException wrong) {
            return submission(
                    context, visit, desk, "Nothing was changed: a promised date is written like 2026-11-28.", 400);
        }
        KeptSheet.Said said = new KeptSheet.Said(
                visit.form("client").strip(), promised, filled(visit, "package"), filled(visit, "note"));
        if (said.equals(said(submission.get()))) {
            return submission(context, visit, desk, "Nothing was changed: it says the same as before.", 400);
        }
        Optional<String> refused = PackageChange.refused(desk, submission.get(), said.packageName());
        if (refused.isPresent()) {
            return submission(context, visit, desk, "Nothing was changed. " + refused.get(), 409);
        }
        if (visit.form("reason").isBlank()
                || visit.form("reason").length() > LONGEST
                || !visit.form("version").matches("[0-9]{1,6}")) {
            return submission(
                    context,
                    visit,
                    desk,
                    "Nothing was changed: a change needs its reason, of " + LONGEST + " characters at most.",
                    400);
        }
        context.store()
                .sheets()
                .changeLaidOut(
                        desk.name(),
                        name,
                        Integer.parseInt(visit.form("version")),
                        said,
                        visit.form("reason").strip(),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved(DayAddress.on(desk.name(), "/submissions/" + Words.part(name)));
    }

    private static KeptSheet.Said said(Submission submission) {
        return new KeptSheet.Said(
                submission.client(), submission.promisedOn(), submission.packageName(), submission.note());
    }

    private static Optional<String> filled(Visit visit, String field) {
        return Optional.of(visit.form(field).strip()).filter(text -> !text.isEmpty());
    }

    /** What stands in the form that says a submission anew. */
    public record Form(
            String action,
            int version,
            String client,
            String promised,
            String packageName,
            String note,
            List<String> packages) {}

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
        List<SubmissionLine> lines = desk.promises().stream()
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
                .map(p -> SubmissionLine.of(desk, p))
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
    public record Earlier(String day, List<SubmissionLine> lines) {}

    private static List<Earlier> earlier(List<OpenDay> open, String show) {
        return open.stream()
                .map(day -> new Earlier(
                        day.title(),
                        day.promises().stream()
                                .filter(p -> show.isEmpty() || (show.equals("late") && p.lateOn(day.today())))
                                .map(p -> SubmissionLine.of(day.today(), p, path -> DayAddress.on(day.day(), path)))
                                .toList()))
                .filter(day -> !day.lines().isEmpty())
                .toList();
    }

    /** One soil of a submission. */
    public record SoilLine(
            String labNumber,
            String anchor,
            String label,
            String layer,
            String ownPackage,
            List<StateCount> states,
            String lacking) {}

    /** How many results stand one way. */
    public record StateCount(int count, String word, String mark) {
        static List<StateCount> of(Completeness completeness) {
            return completeness.counts().entrySet().stream()
                    .map(e -> new StateCount(
                            e.getValue(), e.getKey().word(), e.getKey().mark()))
                    .toList();
        }
    }

    /** The package a submission asks for, where the day describes it. */
    public record PackageLine(String title, String href, String portions) {}

    private static Answer submission(PageContext context, Visit visit, Desk desk, String wrong, int status) {
        Optional<Promise> promise = desk.promise(visit.part("submission"));
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
        if (visit.seesControls() && desk.isOfControls(submission.submission())) {
            about.add("hidden controls alone: its report is for quality, not for a client");
        }
        List<SaidAnew> versions = context.store().sheets().versions(desk.name(), submission.submission());
        List<ChangeLine> changed = new ArrayList<>(ChangeLine.of(versions, desk.zone()));
        changed.addAll(ChangeLine.of(context.store().sheets().versionsOfSheet(submission.submission()), desk.zone()));
        List<String> known = new ArrayList<>(
                desk.day().packages().stream().map(one -> one.name()).toList());
        submission.packageName().filter(its -> !known.contains(its)).ifPresent(known::add);
        List<Release> releases = desk.releases(submission.submission());
        Map<String, Object> model = new HashMap<>(Map.of(
                "wrong", wrong,
                "changed", changed,
                "form",
                        visit.may(SAYS)
                                ? Optional.of(new Form(
                                        DayAddress.on(
                                                desk.name(),
                                                "/submissions/" + Words.part(submission.submission()) + "/change"),
                                        versions.isEmpty() ? 0 : versions.get(0).version(),
                                        submission.client(),
                                        submission
                                                .promisedOn()
                                                .map(LocalDate::toString)
                                                .orElse(""),
                                        submission.packageName().orElse(""),
                                        submission.note().orElse(""),
                                        known))
                                : Optional.empty(),
                "line", SubmissionLine.of(desk, promise.get()),
                "about", String.join(" · ", about),
                "packages", packages(desk, submission),
                "water", water(desk, submission),
                "soils", soils,
                "leads", visit.may(Rights.FLOOR),
                "releases", ReleaseLine.of(desk, releases)));
        model.put("since", ReleasePages.since(context, visit, desk, submission.submission()));
        model.put("approvals", ReleasePages.approvals(context, desk, submission.submission()));
        return new Answer.Shown(status, "submission", "Submission " + submission.submission(), model);
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
}
