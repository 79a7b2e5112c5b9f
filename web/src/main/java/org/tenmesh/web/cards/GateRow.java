package org.tenmesh.web.cards;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.GateState;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/**
 * An instrument's gates after its newest run, by the newest checks: {@link GateState}.
 *
 * @param run its newest one; empty text for an instrument that was shut by hand on another day and has not run on this one
 * @param method title of that run's method, empty text without one
 * @param open whether it may run
 * @param says one line: since when it is open, or what shut it
 * @param cause key of what the gate is shut or opened by hand for: a cause, or the instrument itself
 * @param evidenceDigest of that cause; empty text for the instrument
 * @param things lots and equipment of it with something wrong today
 * @param outcomes what the checks before the first soil said and, where later ones said something else, what they said
 */
public record GateRow(
        String instrument,
        String run,
        String method,
        boolean open,
        boolean shutByHand,
        String says,
        String picture,
        String cause,
        String evidenceDigest,
        List<ThingsNow> things,
        List<GateOutcome> outcomes) {

    private static final Set<Role> CHECKS = Set.of(Role.STANDARD, Role.VERIFICATION, Role.BLANK, Role.CONTROL);

    /** Why nothing may go on the instrument, as the bench is told; empty when it may run. */
    public Optional<String> shutSays() {
        return open || (outcomes.isEmpty() && !shutByHand && !isRefused())
                ? Optional.empty()
                : Optional.of(instrument + " may not run: " + says + ".");
    }

    /** Whether a piece of equipment keeps it from running. */
    public boolean isRefused() {
        return things.stream().anyMatch(ThingsNow::refused);
    }

    public static List<GateRow> of(Desk desk) {
        List<GateRow> rows = new ArrayList<>();
        desk.instruments().forEach((instrument, runs) -> rows.add(of(desk, instrument, runs.get(runs.size() - 1))));
        desk.shutWithoutRun().forEach(instrument -> rows.add(shut(desk, instrument)));
        rows.sort(Comparator.comparing(GateRow::open).thenComparing(GateRow::instrument));
        return rows;
    }

    /** An instrument that was shut on another day and has not run on this one. */
    private static GateRow shut(Desk desk, String instrument) {
        return new GateRow(
                instrument,
                "",
                "",
                false,
                true,
                desk.shutByHand(instrument).map(acted -> says(desk, acted)).orElse(""),
                Pictures.gates(instrument, List.of()),
                desk.toOpen(instrument).map(Grounds::cause).orElse(""),
                desk.toOpen(instrument).map(Grounds::evidenceDigest).orElse(""),
                ThingsNow.of(desk, instrument),
                List.of());
    }

    private static String says(Desk desk, Acted acted) {
        return "shut by " + acted.actor() + ", " + Words.moment(acted.at(), desk.zone()) + ": " + acted.reason();
    }

    private static GateRow of(Desk desk, String instrument, Run run) {
        GateState state = desk.gateState(run);
        List<GateOutcome> outcomes = outcomes(state);
        Optional<GateOutcome> shut = state.shut().stream()
                .findFirst()
                .flatMap(gate -> outcomes.stream()
                        .filter(one -> one.gate() == gate && !one.open())
                        .reduce((first, later) -> later));
        Optional<Acted> byHand = desk.shutByHand(instrument);
        List<ThingsNow> things = ThingsNow.of(desk, instrument);
        Optional<ThingsNow> refuses = things.stream().filter(ThingsNow::refused).findFirst();
        String says;
        if (refuses.isPresent()) {
            says = refuses.get().says();
        } else if (byHand.isPresent()) {
            says = says(desk, byHand.get());
        } else if (shut.isPresent()) {
            GateOutcome gate = shut.get();
            says = gate.gate().phrase() + ": " + gate.observed()
                    + state.since(gate.gate())
                            .map(since -> ", " + gate.limit() + ", "
                                    + Words.time(
                                            since.at(), desk.zone(), desk.day().date()) + "; shut until one passes")
                            .orElse("");
        } else if (outcomes.isEmpty()) {
            says = "nothing was checked in run " + run.run();
        } else {
            OffsetDateTime last = desk.positions(run).positions().stream()
                    .filter(place -> CHECKS.contains(place.role()))
                    .map(RunPositions.Position::at)
                    .max(Comparator.naturalOrder())
                    .orElse(run.startedAt());
            says = "last checked at " + Words.time(last, desk.zone(), desk.day().date());
        }
        Grounds grounds = desk.toOpen(instrument)
                .or(() -> desk.judged().causes().stream()
                        .filter(c -> desk.instrumentOf(c.run()).equals(instrument))
                        .map(Grounds::of)
                        .findFirst())
                .orElseGet(() -> Grounds.ofInstrument(instrument, run.run()));
        boolean open = byHand.isEmpty() && refuses.isEmpty() && state.isOpen();
        return new GateRow(
                instrument,
                run.run(),
                desk.methodTitle(run.method()),
                open,
                byHand.isPresent(),
                says,
                Pictures.gates(instrument, newest(state, outcomes)),
                grounds.cause(),
                grounds.evidenceDigest(),
                things,
                outcomes);
    }

    /** What the checks before the first soil said and, where later ones said something else, what they said, gate by gate. */
    private static List<GateOutcome> outcomes(GateState state) {
        List<GateOutcome> outcomes = new ArrayList<>(state.atTheStart());
        state.since().forEach(since -> outcomes.add(outcome(state.run(), since)));
        outcomes.sort(Comparator.comparing(GateOutcome::gate));
        return outcomes;
    }

    private static GateOutcome outcome(Run run, GateState.Since since) {
        Measure one = since.decides();
        String place = one.identity().isEmpty() ? "" : " " + one.identity();
        return new GateOutcome(
                run.instrument(),
                run.run(),
                since.gate(),
                !since.failed(),
                (since.failed() ? "" : "passed again: ") + one.analyte() + " " + MeasureFigure.found(one) + ", "
                        + one.kind().phrase() + place
                        + (one.position() > 0
                                ? " at position " + one.position()
                                : ", with none that passed before the end of the run"),
                MeasureFigure.allowed(one),
                since.at());
    }

    private static List<GateOutcome> newest(GateState state, List<GateOutcome> outcomes) {
        return outcomes.stream()
                .filter(one -> !state.atTheStart().contains(one)
                        || state.since(one.gate()).isEmpty())
                .toList();
    }
}
