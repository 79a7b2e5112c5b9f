package org.tenmesh.web;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Acted;

/**
 * An instrument's gates after its newest run.
 *
 * @param open whether it may run
 * @param says one line: since when it is open, or what shut it
 * @param cause a cause under which the gate can be shut or opened by hand; empty text when there is none
 */
record GateRow(
        String instrument,
        String run,
        String method,
        boolean open,
        boolean shutByHand,
        String says,
        String picture,
        String cause,
        List<GateOutcome> outcomes) {

    static List<GateRow> of(Floor floor) {
        List<GateRow> rows = new ArrayList<>();
        floor.instruments().forEach((instrument, runs) -> rows.add(of(floor, instrument, runs.get(runs.size() - 1))));
        rows.sort(Comparator.comparing(GateRow::open).thenComparing(GateRow::instrument));
        return rows;
    }

    private static GateRow of(Floor floor, String instrument, Run run) {
        List<GateOutcome> outcomes = floor.gates(run.run());
        Optional<GateOutcome> shut = outcomes.stream().filter(g -> !g.open()).findFirst();
        Optional<Acted> byHand = floor.shutByHand(instrument);
        String says;
        if (byHand.isPresent()) {
            Acted acted = byHand.get();
            says = "by " + acted.actor() + " at " + Words.time(acted.at(), floor.zone()) + ": " + acted.reason();
        } else if (shut.isPresent()) {
            GateOutcome gate = shut.get();
            says = gate.gate().word() + ": " + gate.observed();
        } else if (outcomes.isEmpty()) {
            says = "nothing was checked in run " + run.run();
        } else {
            OffsetDateTime last = outcomes.stream()
                    .map(GateOutcome::at)
                    .max(Comparator.naturalOrder())
                    .orElse(run.startedAt());
            says = "last check passed at " + Words.time(last, floor.zone());
        }
        String cause = floor.judged().causes().stream()
                .filter(c -> floor.instrumentOf(c.run()).equals(instrument))
                .map(Cause::id)
                .findFirst()
                .orElse("");
        boolean open = byHand.isEmpty() && shut.isEmpty() && !outcomes.isEmpty();
        return new GateRow(
                instrument,
                run.run(),
                floor.methodTitle(run.method()),
                open,
                byHand.isPresent(),
                says,
                Pictures.gates(instrument, outcomes, byHand.isPresent()),
                byHand.map(Acted::cause).orElse(cause),
                outcomes);
    }
}
