package org.tenmesh.web.soils;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.Part;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.desk.Completeness;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Uncertainty;
import org.tenmesh.core.reduction.Step;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.cards.HeldByThing;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/** One lab number with the story of each of its numbers. */
public final class SoilPages {
    private SoilPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(Route.get(
                "/soils/{labNumber}",
                Rights.FLOOR,
                visit -> PageContext.withDay(visit, desk -> soil(context, visit, desk))));
    }

    /**
     * One result of the soil.
     *
     * @param key method and analyte, as the address names them
     * @param picture on its plain scale
     */
    public record Line(
            String key,
            String name,
            String value,
            String unit,
            String uncertainty,
            String picture,
            Verdict verdict,
            String causes,
            boolean on) {}

    /** One step of a story. */
    public record StepLine(String what, String arithmetic, String result) {}

    /**
     * Steps that belong together: those of one input, or the last ones.
     *
     * @param heading of an input that is folded away; empty text for steps that stand open
     */
    public record Chapter(String heading, String result, List<StepLine> steps) {}

    /** How one number was made. */
    public record StoryView(
            String heading,
            String where,
            String runHref,
            List<Chapter> chapters,
            List<String> around,
            List<CauseLink> causes,
            List<String> accepted,
            String method,
            String methodHref,
            List<String> earlier) {}

    /** A cause by its title. */
    public record CauseLink(String title, String href, Verdict verdict) {}

    private static Answer soil(PageContext context, Visit visit, Desk desk) {
        Optional<Soil> found = desk.soil(visit.part("labNumber"));
        if (found.isEmpty()) {
            return Answer.notFound();
        }
        Soil soil = found.get();
        LabNumber labNumber = soil.labNumber();
        List<Result> results = desk.standing(labNumber);
        Optional<Result> chosen = results.stream()
                .filter(r -> key(r).equals(visit.query("why")))
                .findFirst()
                .or(() -> results.stream().reduce((a, b) -> b.verdict().compareTo(a.verdict()) > 0 ? b : a));
        Map<String, List<Line>> groups = new LinkedHashMap<>();
        List.of("Measured", "Calculated from these", "Regional advice").forEach(g -> groups.put(g, new ArrayList<>()));
        Set<String> asked = new HashSet<>();
        Completeness completeness = Completeness.of(desk, soil);
        completeness.all().forEach(one -> asked.add(one.method() + "." + one.analyte()));
        for (Result result : results) {
            Optional<Analyte> analyte = desk.analyte(result.method(), result.analyte());
            boolean wanted = asked.contains(key(result));
            Optional<Stated> stated =
                    analyte.map(a -> Stated.of(result.amount(), a.rounding(), result.expandedUncertainty()));
            String value = stated.map(Stated::text).orElse(result.reported());
            groups.getOrDefault(group(desk, result.method()), new ArrayList<>())
                    .add(new Line(
                            key(result),
                            analyte.map(Analyte::name).orElse(result.analyte()),
                            Words.grouped(value.isEmpty() ? "no number" : value),
                            result.amount() instanceof Amount.NotEnoughSoil
                                            || result.amount() instanceof Amount.Saturated
                                            || result.reported().isEmpty()
                                    ? ""
                                    : result.amount().unit().spelling(),
                            stated.map(SoilPages::uncertainty).orElse(""),
                            analyte.map(a -> Pictures.scale(result, a)).orElse(""),
                            result.verdict(),
                            remarks(result, wanted),
                            chosen.filter(c -> c == result).isPresent()));
        }
        List<String> unread = new ArrayList<>();
        for (Completeness.One one : completeness.all()) {
            String name = desk.analyteName(one.method(), one.analyte()) + ", " + desk.methodTitle(one.method());
            if (one.state() == Completeness.State.UNREAD
                    && results.stream().noneMatch(r -> key(r).equals(one.method() + "." + one.analyte()))) {
                unread.add(name);
            }
        }
        groups.values().removeIf(List::isEmpty);
        long fit = results.stream().filter(r -> r.verdict() == Verdict.FIT).count();
        long hold = results.stream().filter(r -> r.verdict() == Verdict.HOLD).count();
        long redo = results.stream().filter(r -> r.verdict() == Verdict.REDO).count();
        Optional<Desk.Place> place = desk.place(labNumber);
        return Answer.shown(
                "soil",
                labNumber.text(),
                Map.of(
                        "labNumber", labNumber.text(),
                        "about", about(visit, desk, soil),
                        "tray", place.map(p -> p.tray().tray()).orElse(""),
                        "well", place.map(p -> p.well().toString()).orElse(""),
                        "groups", groups,
                        "unread", unread,
                        "summary",
                                summary(
                                        results.stream()
                                                .filter(Result::isAccepted)
                                                .count(),
                                        fit,
                                        hold,
                                        redo),
                        "story",
                                chosen.flatMap(r -> story(context, desk, r))
                                        .map(List::of)
                                        .orElse(List.of())));
    }

    private static String remarks(Result result, boolean wanted) {
        List<String> remarks = new ArrayList<>();
        if (result.isAccepted()) {
            remarks.add("accepted");
        } else if (!wanted) {
            remarks.add("not asked for");
        }
        if (!result.amount().remark().isEmpty()) {
            remarks.add(result.amount().remark());
        }
        return String.join(", ", remarks);
    }

    private static String group(Desk desk, String method) {
        Method of = desk.methods().find(method).orElse(null);
        if (of == null || !of.isCalculated()) {
            return "Measured";
        }
        return of.regionalAdvice().isPresent() ? "Regional advice" : "Calculated from these";
    }

    /**
     * What stands beneath the lab number. Of whom it is stands there for those who also see the hidden controls, and for others where it
     * tells nothing of them.
     */
    private static String about(Visit visit, Desk desk, Soil soil) {
        List<String> parts = new ArrayList<>();
        if (visit.seesControls()) {
            String material = desk.day().controls().get(soil.labNumber());
            if (material != null) {
                parts.add("hidden control, " + material);
            }
        }
        if (visit.seesControls() || desk.controlsCameAsSoils()) {
            soil.submission().flatMap(desk::submission).ifPresent(s -> {
                parts.add(s.client() + ", submission " + s.submission());
                s.promisedOn().ifPresent(d -> parts.add("due " + Words.day(d)));
            });
            soil.clientLabel().ifPresent(l -> parts.add("their “" + l + "”"));
            if (soil.topCm().isPresent() && soil.bottomCm().isPresent()) {
                parts.add(Words.plain(soil.topCm().getAsDouble()) + " to "
                        + Words.plain(soil.bottomCm().getAsDouble()) + " cm");
            }
        }
        return String.join(" · ", parts);
    }

    private static String summary(long accepted, long fit, long hold, long redo) {
        String despite = accepted == 0
                ? ""
                : " " + Words.of(accepted, "result is", "results are")
                        + " fit only because a failed check was accepted with a reason.";
        if (hold + redo == 0) {
            return fit == 0
                    ? "Nothing of this lab number has been read yet."
                    : "All " + fit + " results may be released." + despite;
        }
        List<String> parts = new ArrayList<>();
        if (redo > 0) {
            parts.add(Words.of(redo, "result waits", "results wait") + " for a redo");
        }
        if (hold > 0) {
            parts.add(Words.of(hold, "is held", "are held"));
        }
        return Words.sentence(String.join(", ", parts))
                + (fit > 0 ? ". The other " + fit + " may be released." : ".")
                + despite;
    }

    private static String uncertainty(Stated stated) {
        return stated.known() instanceof Uncertainty.NotStated ? "not stated" : Words.grouped(stated.uncertainty());
    }

    public static String key(Result result) {
        return result.method() + "." + result.analyte();
    }

    /** The story of a result that was read, told by the day that read it. */
    private static Story told(PageContext context, Desk desk, Result read) {
        Desk.Origin origin = desk.origin(read);
        Desk its = origin.day().isEmpty()
                ? desk
                : context.currentDay()
                        .desk(origin.day())
                        .orElseThrow(() -> new IllegalStateException("day " + origin.day() + ", which read "
                                + read.labNumber() + " in run " + origin.run() + ", cannot be read now"));
        return context.currentDay().judge().story(its.day(), context.methods(), its.ruled(), read.inRun(origin.run()));
    }

    private static Optional<StoryView> story(PageContext context, Desk desk, Result result) {
        Method method = desk.methodOf(result);
        Desk.Origin origin = desk.origin(result);
        Story story = desk.story(result, read -> told(context, desk, read));
        List<Chapter> chapters = chapters(story);
        String name = method.analyte(result.analyte()).map(Analyte::name).orElse(result.analyte());
        String value = result.reported().isEmpty()
                ? "has no number"
                : "became " + Words.grouped(result.reported())
                        + (result.amount().unit().spelling().isEmpty()
                                ? ""
                                : " " + result.amount().unit().spelling());
        List<CauseLink> causes = result.causes().stream()
                .flatMap(id -> desk.cause(id).stream())
                .map(c -> CauseCard.of(desk, c))
                .map(c -> new CauseLink(c.title(), "/causes#" + c.anchor(), c.verdict()))
                .toList();
        List<String> earlier = desk.superseded(result.labNumber()).stream()
                .filter(r -> key(r).equals(key(result)))
                .map(r -> "Run " + r.run() + ", position " + r.position() + ": "
                        + (r.reported().isEmpty() ? "no number" : Words.grouped(r.reported())) + ", "
                        + r.verdict().word() + ". " + desk.whyNot(r))
                .toList();
        return Optional.of(new StoryView(
                "How " + name + " " + value,
                result.run().isEmpty()
                        ? method != null && method.isCalculated()
                                ? "Calculated from other results of this soil"
                                : "The client sent too little soil for this portion"
                        : result.unread()
                                ? "not read"
                                : "Read in run " + result.run() + " at position " + result.position()
                                        + (result.channel().isEmpty() ? "" : ", channel " + result.channel()),
                result.run().isEmpty()
                        ? "/methods/" + Words.part(result.method())
                        : origin.day().isEmpty()
                                ? "/runs/" + Words.part(result.run())
                                : DayAddress.on(origin.day(), "/runs/" + Words.part(origin.run())),
                chapters,
                around(desk, story, result),
                causes,
                desk.acceptances().of(result).stream()
                        .map(acted -> Words.accepted(acted, desk.zone()))
                        .toList(),
                method.head().title() + ", version of " + method.head().version(),
                "/methods/" + Words.part(method.id()),
                earlier));
    }

    /** What stands around a result, whether its run's gate is shut by hand, and what else holds it. */
    private static List<String> around(Desk desk, Story story, Result result) {
        List<String> around = new ArrayList<>(story.around());
        around.addAll(HeldByThing.says(desk, result));
        result.causes().stream()
                .flatMap(key -> Grounds.instrumentOf(key).stream())
                .forEach(instrument -> around.add("Held: the gate of " + instrument + " is shut by hand."));
        return around;
    }

    /** Each input folded with what made it; the steps of the number itself stand open. */
    private static List<Chapter> chapters(Story story) {
        List<Chapter> chapters = new ArrayList<>();
        for (Part part : story.parts()) {
            if (part instanceof Part.Input input) {
                StepLine line = line(input.step());
                chapters.add(new Chapter(
                        input.name() + ": " + line.what(),
                        line.result(),
                        input.parts().stream()
                                .flatMap(Part::steps)
                                .map(SoilPages::line)
                                .toList()));
            } else {
                if (chapters.isEmpty()
                        || !chapters.get(chapters.size() - 1).heading().isEmpty()) {
                    chapters.add(new Chapter("", "", new ArrayList<>()));
                }
                List<StepLine> steps = chapters.get(chapters.size() - 1).steps();
                part.steps().map(SoilPages::line).forEach(steps::add);
            }
        }
        return chapters;
    }

    private static StepLine line(Step step) {
        String unit = step.unit().spelling();
        return new StepLine(
                step.what(),
                step.arithmetic(),
                Double.isNaN(step.result())
                        ? ""
                        : Words.grouped(Significant.text(step.result(), 6)) + (unit.isEmpty() ? "" : " " + unit));
    }
}
