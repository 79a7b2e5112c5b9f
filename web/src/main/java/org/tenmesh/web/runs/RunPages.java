package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.web.cards.ThingsNow;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.words.Words;

/** The list of runs, one run, and the control soils of the day. */
public final class RunPages {
    private RunPages() {}

    public static List<Route> routes(PageContext context) {
        RunViews views = new RunViews();
        return List.of(
                Route.get(
                        "/runs",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(
                                visit, desk -> Answer.shown("runs", "Runs", Map.of("runs", RunView.list(desk))))),
                Route.get(
                        "/runs/{run}",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> desk.run(visit.part("run"))
                                        .map(run -> Answer.shown(
                                                "run",
                                                "Run " + run.run(),
                                                Map.of(
                                                        "view",
                                                        views.of(
                                                                desk,
                                                                new RunViews.Asked(
                                                                        run.run(),
                                                                        visit.seesControls(),
                                                                        visit.query("file")
                                                                                        .isEmpty()
                                                                                ? page(visit.query("page"))
                                                                                : 0,
                                                                        visit.query("of"),
                                                                        visit.query("by")
                                                                                .equals("time"),
                                                                        page(visit.query("part")))),
                                                        "with",
                                                        ThingsNow.ReadWith.of(desk, run),
                                                        "lookBack",
                                                        "/look-back?of=instrument&name="
                                                                + Words.part(run.instrument()) + "&at="
                                                                + run.startedAt()
                                                                        .toInstant(),
                                                        "acts",
                                                        visit.may(Rights.ACT))))
                                        .orElseGet(Answer::notFound))),
                Route.get(
                        "/controls",
                        Rights.SEALED,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> Answer.shown("controls", "Controls", Map.of("rows", ControlRow.of(desk))))),
                Route.get(
                        "/differences",
                        Rights.FLOOR,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "differences",
                                        "Differences",
                                        Map.of("view", DifferencesView.of(desk, visit.query("method")))))),
                Route.get(
                        "/charts",
                        Rights.SEALED,
                        visit -> PageContext.withDay(
                                visit,
                                desk -> Answer.shown(
                                        "charts",
                                        "Charts",
                                        Map.of(
                                                "view",
                                                ChartsView.of(
                                                        desk,
                                                        visit.query("method"),
                                                        visit.query("of"),
                                                        page(visit.query("part"))))))));
    }

    private static int page(String text) {
        return text.matches("\\d{1,4}") ? Integer.parseInt(text) : 1;
    }

    /** One control soil at one position. */
    public record ControlRow(
            String run,
            int position,
            String material,
            String identity,
            boolean hidden,
            int analytes,
            String worst,
            String worstAnalyte,
            List<String> rules) {

        static List<ControlRow> of(Desk desk) {
            Map<String, List<ControlValue>> grouped = new LinkedHashMap<>();
            for (ControlValue value : desk.judged().controlValues()) {
                grouped.computeIfAbsent(value.run() + "\n" + value.position(), k -> new ArrayList<>())
                        .add(value);
            }
            List<ControlRow> rows = new ArrayList<>();
            for (List<ControlValue> values : grouped.values()) {
                ControlValue first = values.get(0);
                ControlValue worst = values.stream()
                        .reduce((a, b) -> Math.abs(b.z()) > Math.abs(a.z()) ? b : a)
                        .orElse(first);
                rows.add(new ControlRow(
                        first.run(),
                        first.position(),
                        first.material(),
                        first.identity(),
                        first.hidden(),
                        values.size(),
                        String.format(Locale.ROOT, "%+.1f", worst.z()).replace('-', '−'),
                        worst.analyte(),
                        values.stream()
                                .flatMap(
                                        v -> v.rules().stream().map(rule -> v.analyte() + " " + rule.replace('-', ' ')))
                                .toList()));
            }
            rows.sort((a, b) -> Boolean.compare(a.rules().isEmpty(), b.rules().isEmpty()));
            return rows;
        }
    }
}
