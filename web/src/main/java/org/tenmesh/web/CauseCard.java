package org.tenmesh.web;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Times;

/**
 * One cause as a card: what, evidence, price, and what was done.
 *
 * @param anchor its place on the page of causes
 * @param verdict fit when it was accepted
 * @param word the judge's own verdict as a word
 * @param where method, instrument, run and positions
 * @param price lab numbers, trays and promises
 * @param runnerUp the next best explanation in words; empty text when none was weighed
 * @param odds against "nothing wrong" to 1, as text; empty text when it cannot be given
 * @param did what was done, oldest first
 */
record CauseCard(
        String id,
        String anchor,
        Verdict verdict,
        String word,
        String kind,
        String title,
        String evidence,
        String where,
        String price,
        String action,
        String runnerUp,
        String odds,
        String run,
        String instrument,
        List<String> trays,
        List<String> did,
        boolean settled,
        boolean shut) {

    static CauseCard of(Desk desk, Cause cause) {
        List<String> trays = desk.traysOf(cause.id());
        String instrument = desk.instrumentOf(cause.run());
        Optional<Desk.Decision> decision = desk.decision(cause.id());
        boolean accepted = decision.filter(d -> d.action() == Action.ACCEPT).isPresent();
        List<String> did = new ArrayList<>();
        for (Acted one : desk.acted(cause.id())) {
            did.add(Words.sentence(one.action().phrase()) + " by " + one.actor() + ", "
                    + Words.moment(one.at(), desk.zone())
                    + (one.reason().isEmpty() ? "" : ": " + one.reason()));
        }
        return new CauseCard(
                cause.id(),
                "cause-" + Words.anchor(cause.id()),
                accepted ? Verdict.FIT : cause.verdict(),
                accepted
                        ? "accepted"
                        : cause.verdict() == Verdict.FIT
                                ? "look"
                                : cause.verdict().word(),
                cause.kind().word(),
                title(desk, cause, instrument),
                cause.evidence(),
                where(desk, cause, instrument),
                price(desk, cause, trays),
                cause.action(),
                cause.runnerUp().map(Finding.RunnerUp::sentence).orElse(""),
                odds(cause),
                cause.run(),
                instrument,
                trays,
                did,
                decision.isPresent(),
                desk.shutByHand(instrument).isPresent());
    }

    private static String title(Desk desk, Cause cause, String instrument) {
        StringBuilder out = new StringBuilder(Words.sentence(cause.kind().phrase()));
        int all = Optional.ofNullable(desk.methods().get(cause.method()))
                .map(m -> m.head().analytes().size())
                .orElse(0);
        if (!cause.analytes().isEmpty()) {
            List<String> names = cause.analytes().stream()
                    .map(a -> desk.analyteName(cause.method(), a))
                    .toList();
            if (names.size() <= 4) {
                out.append(": ").append(Words.and(names));
            } else if (names.size() >= all) {
                out.append(": all ").append(Words.count(all)).append(" results");
            } else {
                out.append(": ").append(Words.and(cause.analytes()));
            }
        }
        if (!instrument.isEmpty()) {
            out.append(", ").append(instrument);
        }
        return out.toString();
    }

    private static String where(Desk desk, Cause cause, String instrument) {
        StringBuilder out = new StringBuilder(desk.methodTitle(cause.method()));
        if (!instrument.isEmpty()) {
            out.append(" on ").append(instrument);
        }
        out.append(", run ").append(cause.run());
        if (cause.firstPosition() > 0) {
            out.append(
                    cause.lastPosition() > cause.firstPosition()
                            ? ", positions " + cause.firstPosition() + " to " + cause.lastPosition()
                            : ", position " + cause.firstPosition());
        }
        return out.toString();
    }

    private static String price(Desk desk, Cause cause, List<String> trays) {
        List<LocalDate> due = desk.submissionsOf(cause.id()).stream()
                .flatMap(s -> desk.submission(s).stream())
                .flatMap(s -> s.promisedOn().stream())
                .sorted()
                .toList();
        String touched = Words.of(cause.samples(), "lab number")
                + (trays.isEmpty() ? "" : " in " + Words.of(trays.size(), "tray"));
        if (due.isEmpty()) {
            return touched + " · touches no promise";
        }
        LocalDate first = due.get(0);
        return touched + " · touches " + Words.of(due.size(), "promise") + ", the first due "
                + (first.equals(desk.date()) ? "today" : Words.day(first));
    }

    private static String odds(Cause cause) {
        if (cause.log10Odds().isEmpty()) {
            return "";
        }
        return Times.ratio(cause.log10Odds().getAsDouble());
    }
}
