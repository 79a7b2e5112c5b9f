package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;

/**
 * What only a flow of sample after sample shows: a baseline that moves, and how much of one sample shows in the next. A run that
 * reads no low, high, low says nothing of carry-over; soils after a peak too high to be read are touched all the same.
 */
final class Flow {
    private final RunTable table;
    private final FlowMethod method;
    private final Gates gates;
    private final Consumer<Draft> drafts;

    Flow(RunTable table, FlowMethod method, Gates gates, Consumer<Draft> drafts) {
        this.table = table;
        this.method = method;
        this.gates = gates;
        this.drafts = drafts;
    }

    void judge() {
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            atTheGate.addAll(baseline(column));
        }
        gates.decide(
                Gate.BASELINE, atTheGate, "moves by " + text(method.baselineDriftLimit(), 2) + " at most", Role.WASH);
        carryOver();
    }

    // Between two washes the baseline may run straight, within the limit; before the first soil the last two decide.
    private List<Check> baseline(int column) {
        String symbol = table.analyte(column).symbol();
        List<Check> moves = new ArrayList<>();
        Reduced.Wash last = null;
        for (Reduced.Wash wash : table.reduced().washes()) {
            if (!wash.analyte().equals(symbol)) {
                continue;
            }
            if (last != null) {
                Reduced.Wash from = last;
                Check move = new Check(
                        table.row(wash.position()) - 1,
                        symbol,
                        (wash.signal() - last.signal()) / method.baselineDriftLimit(),
                        () -> symbol + " baseline moved from " + text(from.signal(), 3) + " to "
                                + text(wash.signal(), 3)
                                + " between positions " + from.position() + " and " + wash.position() + " (allowed "
                                + text(method.baselineDriftLimit(), 2) + ")",
                        () -> Measure.around(
                                Measure.Kind.BASELINE,
                                symbol,
                                "",
                                wash.position(),
                                wash.signal() - from.signal(),
                                0,
                                method.baselineDriftLimit(),
                                ""));
                moves.add(move);
                if (!move.passes() && move.row() >= table.firstSoil()) {
                    drifted(move, Math.max(table.firstSoil(), table.row(from.position())), column, Verdict.REDO);
                }
            }
            last = wash;
        }
        List<Check> own = Check.atTheGate(moves, table.firstSoil());
        own.forEach(move -> gates.judges(Gate.BASELINE, table.firstSoil(), column));
        own.stream()
                .filter(move -> !move.passes())
                .forEach(move -> drifted(move, table.firstSoil(), column, Verdict.HOLD));
        return own;
    }

    private void drifted(Check move, int first, int column, Verdict verdict) {
        int last = verdict == Verdict.HOLD ? table.lastSoil() : Math.min(move.row(), table.lastSoil());
        if (first <= last) {
            drafts.accept(new Draft(
                            table,
                            CauseKind.DRIFT,
                            verdict,
                            "baseline " + move.row(),
                            verdict == Verdict.HOLD ? "Before the first soil, " : "",
                            "Look for a bubble, an empty reagent bottle or a dirty flow cell; let the baseline settle, then read these soils again.")
                    .says(move.evidence().get())
                    .measures(move.measure().get())
                    .touch(first, last, column, ""));
        }
    }

    private void carryOver() {
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            Optional<Double> measured = share(column);
            double limit = method.carryOver().limitPct() / 100;
            boolean shut = false;
            if (measured.isPresent()) {
                gates.judges(Gate.CARRY_OVER, 0, at);
                double share = measured.get();
                String said = table.analyte(at).symbol() + " " + text(100 * share, 2)
                        + " % of a peak shows in the next one (allowed " + text(100 * limit, 2) + " %)";
                Measure of = Measure.upTo(
                        Measure.Kind.CARRY_OVER, table.analyte(at).symbol(), "", 0, 100 * share, 100 * limit, "%");
                Check check = new Check(table.firstSoil() - 1, "carry-over", share / limit, () -> said, () -> of);
                atTheGate.add(check);
                shut = !check.passes();
                if (shut) {
                    drafts.accept(new Draft(
                                    table,
                                    CauseKind.CARRY_OVER,
                                    Verdict.HOLD,
                                    "gate",
                                    "Before the first soil, ",
                                    "Lengthen the wash, replace tubing that holds on to the sample, then read these soils again.")
                            .says(said)
                            .measures(of)
                            .touch(table.firstSoil(), table.lastSoil(), at, ""));
                }
            }
            if (!shut) {
                touched(at, measured.orElse(0.0));
            }
        }
        gates.decide(
                Gate.CARRY_OVER,
                atTheGate,
                "within " + text(method.carryOver().limitPct(), 2) + " %",
                Role.VERIFICATION);
    }

    // Low, high, low: what the second low has more than the first came from the high one.
    private Optional<Double> share(int column) {
        double before = Double.NaN;
        double high = Double.NaN;
        double after = Double.NaN;
        for (int row = 0; row < table.firstSoil() && row < table.rows(); row++) {
            Determination d = table.at(row, column);
            if (d.role() != Role.VERIFICATION || d.flaw() != Flaw.NONE) {
                continue;
            }
            if (d.identity().equals(method.carryOver().high())) {
                high = d.amount().raw();
                after = Double.NaN;
            } else if (d.identity().equals(method.carryOver().low())) {
                if (Double.isNaN(high)) {
                    before = d.amount().raw();
                } else if (Double.isNaN(after)) {
                    after = d.amount().raw();
                }
            }
        }
        double share = (after - before) / high;
        return Double.isFinite(share) ? Optional.of(Math.max(0, share)) : Optional.empty();
    }

    // A soil is touched when what came over from the position before raises its own result by more than the method
    // bears, or when
    // nobody can say how much came, because the peak before had no height any more.
    private void touched(int column, double share) {
        Draft draft = new Draft(
                table,
                CauseKind.CARRY_OVER,
                Verdict.REDO,
                table.analyte(column).symbol(),
                "",
                "Read these extracts again, each after a wash.");
        double least = table.analyte(column).reportingLimit().orElse(0);
        String unit = table.analyte(column).unit().spelling();
        for (int row = Math.max(1, table.firstSoil()); row <= table.lastSoil(); row++) {
            Determination before = table.at(row - 1, column);
            Determination own = table.at(row, column);
            boolean follows = table.position(row) == table.position(row - 1) + 1;
            boolean soil = own.role() == Role.SAMPLE && table.stands(row, column) || own.role() == Role.DUPLICATE;
            if (!follows || !soil) {
                continue;
            }
            String place = own.identity() + " at position " + own.position();
            if (isBeyondMeasure(before)) {
                draft.says(place + " follows a peak too high to be read").touch(row, column);
                continue;
            }
            double peak = soilEquivalent(before);
            double carried = share * peak;
            double read = own.amount().raw() / own.dilution();
            if (carried > least && carried > method.carryOver().matterPct() / 100 * Math.max(0, read - carried)) {
                draft.says(place + " read " + text(read, 3) + " " + unit + " after " + text(peak, 3) + ", of which "
                                + text(carried, 2) + " came over")
                        .touch(row, column);
            }
        }
        if (!draft.saysNothing()) {
            drafts.accept(draft);
        }
    }

    private static boolean isBeyondMeasure(Determination before) {
        return before.flaw() == Flaw.OVER_RANGE && Double.isNaN(before.amount().raw());
    }

    // What a peak would be in an undiluted soil; 0 when nothing was read.
    private double soilEquivalent(Determination before) {
        boolean solution =
                before.role() == Role.STANDARD || before.role() == Role.VERIFICATION || before.role() == Role.BLANK;
        double raw = before.amount().raw();
        double content = solution ? method.extraction().content(raw, 0, 1) : raw / before.dilution();
        return Double.isNaN(content) ? 0 : content;
    }
}
