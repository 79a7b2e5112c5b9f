package org.tenmesh.web.trays;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/** Trays. */
public final class TrayPages {
    private TrayPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/trays", Rights.TRAYS, visit -> PageContext.withDay(visit, desk -> trays(visit, desk))),
                Route.get(
                        "/trays/{tray}",
                        Rights.TRAYS,
                        visit -> PageContext.withDay(visit, desk -> tray(context, visit, desk))));
    }

    /** One tray in the list. */
    public record TrayLink(String tray, String href, String picture, String says, String word) {}

    private static Answer trays(Visit visit, Desk desk) {
        boolean bench = visit.role() == PersonRole.BENCH;
        List<TrayLink> links = new ArrayList<>();
        for (TrayState tray : desk.trayStates()) {
            links.add(new TrayLink(
                    tray.name(),
                    bench && !visit.newest()
                            ? DayAddress.on(desk.name(), "/bench/" + Words.part(tray.name()))
                            : (bench ? "/bench/" : "/trays/") + Words.part(tray.name()),
                    Pictures.plate(tray, 28, !bench),
                    bench
                            ? Words.of(tray.soils(), "soil")
                            : tray.station().word().toLowerCase(java.util.Locale.ROOT),
                    bench || tray.worst() == Verdict.FIT ? "" : tray.worst().word()));
        }
        return Answer.shown("trays", "Trays", Map.of("trays", links));
    }

    /**
     * One well with its lab number.
     *
     * @param counts fit, hold and redo in words; empty text for those who see no verdicts
     */
    public record WellRow(String well, String labNumber, String href, String says, String counts, Verdict worst) {}

    /** What is to be seen to in a tray with soil that became regulated after its layout; empty where there is none. */
    private static List<String> apart(PageContext context, Desk desk, String tray) {
        return context.store().custody().inOneTray().stream()
                .filter(one -> one.day().equals(desk.name()) && one.tray().equals(tray))
                .flatMap(one -> {
                    Stream<String> says = Stream.of(
                            "Found to be regulated after layout: "
                                    + String.join(", ", one.regulated())
                                    + ". Print new labels for the tray and these soils, and keep the tray with regulated soil.");
                    return one.open()
                            ? Stream.concat(
                                    says,
                                    Stream.of("Other soils in this tray, to be decided: "
                                            + String.join(", ", one.ordinary()) + "."))
                            : says;
                })
                .toList();
    }

    private static Answer tray(PageContext context, Visit visit, Desk desk) {
        if (visit.role() == PersonRole.BENCH) {
            return desk.tray(visit.part("tray"))
                    .map(t -> Answer.moved("/bench/" + Words.part(t.tray())))
                    .orElseGet(Answer::notFound);
        }
        return desk.trayState(visit.part("tray"))
                .map(state -> Answer.shown(
                        "tray",
                        "Tray " + state.name(),
                        Map.of(
                                "state", state,
                                "picture", Pictures.plate(state, 420, true),
                                "lacking",
                                        state.lacking().stream()
                                                .map(desk::methodTitle)
                                                .toList(),
                                "rows", rows(visit, desk, state.tray()),
                                "apart", apart(context, desk, state.name()),
                                "orders",
                                        RedoOrder.of(desk).stream()
                                                .filter(o -> o.tray().equals(state.name()))
                                                .map(o -> Words.sentence(
                                                                o.work().word()) + ", " + desk.methodTitle(o.method())
                                                        + ", ordered by "
                                                        + o.acted().actor() + " at "
                                                        + Words.time(o.acted().at(), desk.zone())
                                                        + (o.done() ? ": read again" : ": not read again yet"))
                                                .toList())))
                .orElseGet(Answer::notFound);
    }

    private static List<WellRow> rows(Visit visit, Desk desk, Tray tray) {
        List<WellRow> rows = new ArrayList<>();
        for (Tray.Place place : tray.wells()) {
            String says = place.purpose() == Tray.Purpose.KEY
                    ? "key well"
                    : place.labNumber().isEmpty() ? "empty" : "";
            if (visit.seesControls()) {
                String material =
                        place.labNumber().map(desk.day().controls()::get).orElse(null);
                says = material == null ? says : "hidden control, " + material;
            }
            int[] n = new int[3];
            Verdict worst = Verdict.FIT;
            if (place.labNumber().isPresent()) {
                for (var result : desk.standing(place.labNumber().get())) {
                    n[result.verdict().ordinal()]++;
                    worst = worst.or(result.verdict());
                }
            }
            List<String> counts = new ArrayList<>();
            for (Verdict verdict : Verdict.values()) {
                if (n[verdict.ordinal()] > 0) {
                    counts.add(n[verdict.ordinal()] + " " + verdict.word());
                }
            }
            String labNumber = place.labNumber().map(LabNumber::text).orElse("");
            rows.add(new WellRow(
                    place.well().toString(),
                    labNumber,
                    labNumber.isEmpty() ? "" : "/soils/" + Words.part(labNumber),
                    says,
                    String.join(", ", counts),
                    worst));
        }
        return rows;
    }
}
