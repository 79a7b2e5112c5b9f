package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.tenmesh.core.judgement.GateOutcome.Gate;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;

/** What only a flow of sample after sample shows: a baseline that moves, and how much of one sample shows in the next. */
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
        for (int column = 0; column < table.columns(); column++) {
            baseline(column);
        }
        carryOver();
    }

    private void baseline(int column) {
        String symbol = table.analyte(column).symbol();
        Reduced.Wash last = null;
        for (Reduced.Wash wash : table.reduced().washes()) {
            if (!wash.analyte().equals(symbol)) {
                continue;
            }
            if (last != null && Math.abs(wash.signal() - last.signal()) > method.baselineDriftLimit()) {
                Draft draft = new Draft(
                                table,
                                CauseKind.DRIFT,
                                Verdict.REDO,
                                "baseline",
                                "",
                                "Look for a bubble, an empty reagent bottle or a dirty flow cell; let the baseline settle, then read these soils again.")
                        .says(symbol + " baseline moved from " + text(last.signal(), 3) + " to "
                                + text(wash.signal(), 3)
                                + " between positions " + last.position() + " and " + wash.position() + " (allowed "
                                + text(method.baselineDriftLimit(), 2) + ")");
                for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
                    if (table.position(row) > last.position() && table.position(row) < wash.position()) {
                        draft.touch(row, column);
                    }
                }
                if (!draft.cells().isEmpty()) {
                    drafts.accept(draft);
                }
            }
            last = wash;
        }
    }

    private void carryOver() {
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            share(column).ifPresent(share -> {
                double limit = method.carryOver().limitPct() / 100;
                String said = table.analyte(at).symbol() + " " + text(100 * share, 2)
                        + " % of a peak shows in the next one (allowed " + text(100 * limit, 2) + " %)";
                Check check = new Check(table.firstSoil() - 1, "carry-over", share / limit, () -> said);
                atTheGate.add(check);
                if (!check.passes()) {
                    drafts.accept(new Draft(
                                    table,
                                    CauseKind.CARRY_OVER,
                                    Verdict.HOLD,
                                    "gate",
                                    "Before the first soil, ",
                                    "Lengthen the wash, replace tubing that holds on to the sample, then read these soils again.")
                            .says(said)
                            .touch(table.firstSoil(), table.lastSoil(), at, ""));
                } else if (share > 0) {
                    touched(at, share);
                }
            });
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

    private void touched(int column, double share) {
        for (int row = Math.max(1, table.firstSoil()); row <= table.lastSoil(); row++) {
            Determination before = table.at(row - 1, column);
            Determination own = table.at(row, column);
            boolean follows = table.position(row) == table.position(row - 1) + 1;
            boolean soil = own.role() == Role.SAMPLE || own.role() == Role.DUPLICATE;
            if (!follows || !soil || !table.stands(row, column) && own.role() == Role.SAMPLE) {
                continue;
            }
            double carried = carried(before, share);
            double undiluted = own.amount().raw() / own.dilution();
            if (carried > method.carryOver().matterPct() / 100 * Math.max(0, undiluted - carried)
                    && carried > table.analyte(column).reportingLimit().orElse(0)) {
                drafts.accept(new Draft(
                                table,
                                CauseKind.CARRY_OVER,
                                Verdict.REDO,
                                own.identity(),
                                "",
                                "Read this extract again after a wash.")
                        .says(own.identity() + " " + own.analyte() + " " + text(undiluted, 3) + " follows "
                                + (Double.isInfinite(carried)
                                        ? "a saturated peak"
                                        : text(before.amount().raw(), 3)) + " at position "
                                + before.position() + ", of which "
                                + (Double.isInfinite(carried) ? "an unknown part" : text(carried, 2))
                                + " was carried over")
                        .touch(row, column));
            }
        }
    }

    // What the sample before leaves, in the units of an undiluted soil.
    private double carried(Determination before, double share) {
        if (before.amount() instanceof Amount.Saturated) {
            return Double.POSITIVE_INFINITY;
        }
        boolean solution =
                before.role() != Role.SAMPLE && before.role() != Role.DUPLICATE && before.role() != Role.CONTROL;
        double raw = before.amount().raw();
        double content = solution ? method.extraction().content(raw, 0, 1) : raw / before.dilution();
        return Double.isNaN(content) ? 0 : share * content;
    }
}
