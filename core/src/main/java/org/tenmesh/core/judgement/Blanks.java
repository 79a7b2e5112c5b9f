package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Spoken;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/**
 * Method blanks: above zero at most the method's share of the reporting limit, below zero at most the policy's; a large one matters to
 * soils that hold little. Where the method takes the mean blank off, one below zero is added to every soil.
 */
final class Blanks {
    private final RunTable table;
    private final Extraction extraction;
    private final KnownEffects effects;
    private final Gates gates;
    private final Consumer<Draft> drafts;

    Blanks(RunTable table, Extraction extraction, KnownEffects effects, Gates gates, Consumer<Draft> drafts) {
        this.table = table;
        this.extraction = extraction;
        this.effects = effects;
        this.gates = gates;
        this.drafts = drafts;
    }

    void judge() {
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            Analyte analyte = table.analyte(column);
            double limit = extraction.blankShareOfLimit() * extraction.reportingLimitMgPerL(analyte);
            double below = table.policy().number(Setting.BLANK_BELOW_ZERO) * extraction.reportingLimitMgPerL(analyte);
            for (int row = 0; row < table.firstSoil() && row < table.rows(); row++) {
                if (table.role(row) == Role.BLANK && table.at(row, column).flaw() == Flaw.NONE) {
                    gates.judges(Gate.BLANK, row, column);
                }
            }
            if (limit <= 0) {
                continue;
            }
            int here = column;
            List<Check> checks = new ArrayList<>();
            for (int row = 0; row < table.rows(); row++) {
                Determination d = table.at(row, column);
                if (d.role() == Role.BLANK && d.flaw() == Flaw.NONE) {
                    // What came over from the tube before is not in the blank, as well as its share is known.
                    double without = Math.min(d.amount().raw(), effects.corrected(row, column));
                    double holds = without
                            - table.policy().number(Setting.BLANK_CARRIED_UNCERTAINTY)
                                    * Math.max(0, d.amount().raw() - without);
                    checks.add(new Check(
                            row,
                            "blank " + d.position(),
                            // What carry-over explains brings a blank above zero down to nothing, not below; one
                            // below zero may come from a wrong standard.
                            d.amount().raw() > 0
                                    ? Math.max(0, holds) / limit
                                    : smaller(d.amount().raw(), row, here) / below,
                            () -> analyte.symbol() + " " + text(d.amount().raw(), 3) + " mg/L in the blank at position "
                                    + d.position() + " (allowed " + text(-below, 3) + " to " + text(limit, 3) + ")",
                            () -> RunMeasures.blank(d, analyte, extraction, table.policy())));
                }
            }
            List<Check> own = Check.atTheGate(checks, table.firstSoil());
            atTheGate.addAll(own);
            List<Check> shut = own.stream().filter(check -> !check.passes()).toList();
            if (!shut.isEmpty()) {
                fails(shut, checks, table.firstSoil(), table.lastSoil(), here, Verdict.HOLD);
            }
            Check.brackets(
                    checks,
                    table,
                    (before, failing, first, last) -> fails(failing, checks, first, last, here, Verdict.REDO));
        }
        gates.decide(
                Gate.BLANK,
                atTheGate,
                text(extraction.blankShareOfLimit(), 2) + " of the reporting limit above zero, "
                        + text(table.policy().number(Setting.BLANK_BELOW_ZERO), 2) + " below",
                Role.BLANK);
    }

    private double smaller(double read, int row, int column) {
        double corrected = effects.corrected(row, column);
        return Math.abs(corrected) < Math.abs(read) ? corrected : read;
    }

    private void fails(List<Check> failing, List<Check> checks, int first, int last, int column, Verdict verdict) {
        Check worst = Check.worst(failing);
        Draft draft = new Draft(
                        table,
                        CauseKind.BLANK_HIGH,
                        verdict,
                        "",
                        "",
                        "Look for the source (extractant, ware, carry-over); extract again the soils that hold less than "
                                + Spoken.number(table.policy().number(Setting.BLANK_MATTERS_BELOW))
                                + " times the blank.")
                .says(worst.evidence().get())
                .stretch(first, last, column);
        checks.forEach(check -> draft.measures(check.measure().get()));
        double blank = table.at(worst.row(), column).amount().raw();
        double blankInSoil = Math.abs(extraction.content(blank, 0, 1));
        for (int row = first; row <= last; row++) {
            if (table.at(row, column).amount().raw()
                    < table.policy().number(Setting.BLANK_MATTERS_BELOW) * blankInSoil) {
                draft.touch(row, column);
            }
        }
        drafts.accept(draft);
    }
}
