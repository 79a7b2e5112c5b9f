package org.tenmesh.web.cards;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Rulings;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.desk.Withdrawal;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Times;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.web.words.Words;

/**
 * One cause as a card: what, evidence, price, and what was done.
 *
 * @param anchor its place on the page of causes
 * @param verdict fit when it was accepted
 * @param word the judge's own verdict as a word
 * @param where method, instrument, run and positions
 * @param price lab numbers, trays and promises
 * @param runnerUp the next best explanation in words; empty text when none was weighed
 * @param odds against "no fault" to 1, as text; empty text when it cannot be given
 * @param found the number furthest from what is allowed; empty where none was told
 * @param evidenceDigest what a decision made from this card is bound to
 * @param did what was done, oldest first
 * @param mayWithdraw whether the decision may still be taken back
 * @param at from when one would look back, as ISO 8601: when the first reading that it touches in its run was taken
 * @param answer what was read again says of it, in words; empty text as long as nothing can be compared
 */
public record CauseCard(
        String id,
        String evidenceDigest,
        String anchor,
        Verdict verdict,
        String word,
        String kind,
        String title,
        String evidence,
        Optional<MeasureFigure> found,
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
        boolean mayWithdraw,
        boolean shut,
        String at,
        String answer) {

    /** The causes of the day that somebody must decide about, costliest first: those that touch a result. */
    public static List<CauseCard> toDecide(Desk desk) {
        return desk.judged().causes().stream()
                .filter(Cause::touchesResults)
                .map(cause -> of(desk, cause))
                .toList();
    }

    /** What was found and touches no result: nothing is to be redone for it, and it stands on the page of its run. */
    public static List<CauseCard> notes(Desk desk) {
        return desk.judged().causes().stream()
                .filter(cause -> !cause.touchesResults())
                .map(cause -> of(desk, cause))
                .toList();
    }

    public static CauseCard of(Desk desk, Cause cause) {
        List<String> trays = desk.traysOf(cause);
        String instrument = desk.instrumentOf(cause.run());
        Optional<Rulings.Decision> decision = desk.decision(cause.id());
        boolean accepted = decision.filter(d -> d.action() == Action.ACCEPT).isPresent();
        List<String> did = new ArrayList<>();
        for (Acted one : desk.acted(cause.id())) {
            did.add(Words.sentence(one.action().phrase()) + " by " + one.actor() + ", "
                    + Words.moment(one.at(), desk.zone())
                    + (one.reason().isEmpty() ? "" : ": " + one.reason())
                    + (one.grounds().hold(cause) ? "" : " (lapsed: the evidence has changed)"));
        }
        return new CauseCard(
                cause.id(),
                cause.evidenceDigest(),
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
                found(desk, cause),
                where(desk, cause),
                price(desk, cause, trays),
                cause.action(),
                cause.runnerUp().map(Finding.RunnerUp::sentence).orElse(""),
                odds(cause),
                cause.run(),
                instrument,
                trays,
                did,
                decision.isPresent(),
                decision.isPresent() && Withdrawal.refused(desk, cause).isEmpty(),
                desk.shutByHand(instrument).isPresent(),
                at(desk, cause),
                "");
    }

    private static String at(Desk desk, Cause cause) {
        return desk.run(cause.run())
                .map(run -> desk.positions(run).positions().stream()
                        .filter(one -> one.position() == cause.firstPosition())
                        .map(RunPositions.Position::at)
                        .findFirst()
                        .orElse(run.startedAt())
                        .toInstant()
                        .toString())
                .orElse("");
    }

    /** The same card with what was read again. */
    CauseCard with(List<Answer> answers) {
        return new CauseCard(
                id,
                evidenceDigest,
                anchor,
                verdict,
                word,
                kind,
                title,
                evidence,
                found,
                where,
                price,
                action,
                runnerUp,
                odds,
                run,
                instrument,
                trays,
                did,
                settled,
                mayWithdraw,
                shut,
                at,
                answers.stream()
                        .filter(one -> one.cause().equals(id) && one.compared() > 0)
                        .map(one -> Words.sentence(one.said().word()) + ": " + one.sentence())
                        .findFirst()
                        .orElse(""));
    }

    private static Optional<MeasureFigure> found(Desk desk, Cause cause) {
        return cause.stretches().stream()
                .flatMap(one -> one.measures().stream()
                        .map(measure -> MeasureFigure.of(desk, one.run(), one.method(), measure)))
                .findFirst();
    }

    /** Kind, results and instrument; and the place, when another cause would have the same title. */
    private static String title(Desk desk, Cause cause, String instrument) {
        String title = plainTitle(desk, cause, instrument);
        boolean alone = desk.judged().causes().stream()
                .filter(other -> other != cause && other.kind() == cause.kind())
                .noneMatch(other ->
                        plainTitle(desk, other, desk.instrumentOf(other.run())).equals(title));
        return alone ? title : title + ", " + apart(cause);
    }

    private static String apart(Cause cause) {
        if (cause.samples() > 0 && cause.samples() <= 2) {
            return Words.and(
                    cause.labNumbers().stream().sorted().map(LabNumber::text).toList());
        }
        return "run " + cause.run()
                + (cause.firstPosition() <= 0
                        ? ""
                        : " at " + cause.firstPosition()
                                + (cause.lastPosition() > cause.firstPosition() ? " to " + cause.lastPosition() : ""));
    }

    private static String plainTitle(Desk desk, Cause cause, String instrument) {
        StringBuilder out = new StringBuilder(Words.sentence(cause.kind().phrase()));
        int all = desk.methods()
                .find(cause.method())
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
        if (cause.methods().size() > 1) {
            out.append(", and ").append(Words.of(cause.methods().size() - 1, "other method"));
        }
        if (!instrument.isEmpty()) {
            out.append(", ").append(instrument);
        }
        return out.toString();
    }

    /** Every stretch: its method and instrument where they change, its run and positions; its verdict where not all have the same. */
    private static String where(Desk desk, Cause cause) {
        boolean several =
                cause.stretches().stream().map(Stretch::verdict).distinct().count() > 1;
        StringBuilder out = new StringBuilder();
        String before = "";
        for (Stretch one : cause.stretches()) {
            String on = desk.instrumentOf(one.run());
            String method = desk.methodTitle(one.method()) + (on.isEmpty() ? "" : " on " + on);
            out.append(out.isEmpty() ? "" : "; ");
            if (!method.equals(before)) {
                out.append(method).append(", ");
            }
            before = method;
            out.append("run ").append(one.run());
            if (one.firstPosition() > 0) {
                out.append(
                        one.lastPosition() > one.firstPosition()
                                ? ", positions " + one.firstPosition() + " to " + one.lastPosition()
                                : ", position " + one.firstPosition());
            }
            if (several) {
                out.append(" (").append(one.verdict().word()).append(")");
            }
        }
        return out.toString();
    }

    private static String price(Desk desk, Cause cause, List<String> trays) {
        List<LocalDate> due = desk.submissionsOf(cause).stream()
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
                + (first.equals(desk.today()) ? "today" : Words.day(first, desk.today()));
    }

    private static String odds(Cause cause) {
        if (cause.log10Odds().isEmpty()) {
            return "";
        }
        return Times.ratio(cause.log10Odds().getAsDouble());
    }
}
