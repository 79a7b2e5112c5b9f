package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Spoken;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/**
 * What another element adds to an analyte's line in a run and the method does not take off.
 *
 * <p>A soil of contents {@code c} and {@code x} reads {@code c + g (x - r c)}: the standards hold both elements too, in the proportion
 * {@code r} of the other to the analyte, and the calibration takes what the other adds there for sensitivity.
 *
 * @param analyte symbol of what is read wrongly
 * @param other symbol of the element that is in its signal
 * @param share g: what one unit of the other adds, in units of the analyte
 * @param se its standard error
 * @param proportion r
 * @param log10Odds against everything else that was weighed
 * @param runnerUp the next best explanation that is not another element
 * @param asGood other elements that explain the readings nearly as well
 * @param soils ordinary soils that confirm it, beside the control soils
 */
public record Interference(
        String analyte,
        String other,
        double share,
        double se,
        double proportion,
        double log10Odds,
        CauseKind runnerUp,
        List<String> asGood,
        int soils) {
    /** Of what a factor takes away, at the most. */
    private static final double LEAST_WHOLE = 0.1;

    public Interference {
        asGood = List.copyOf(asGood);
    }

    /**
     * What the other element adds to what was read, in the unit of the analyte; below 0 where the calibration takes off more.
     *
     * @param read content read
     * @param others content of the other element, NaN when it is not known: then nothing can be said, and 0 is given
     */
    public double added(double read, double others) {
        double own = (read - share * others) / Math.max(LEAST_WHOLE, 1 - share * proportion);
        return Double.isNaN(own) ? 0 : read - own;
    }

    /** The interferences of one run. */
    static final class OfRun {
        private final RunTable table;
        private final Map<Integer, Interference> byColumn = new HashMap<>();
        private final Map<String, Map<Integer, Double>> standing = new HashMap<>();

        OfRun(RunTable table, Collection<Interference> found) {
            this.table = table;
            found.forEach(one -> table.column(one.analyte())
                    .ifPresent(column -> table.column(one.other()).ifPresent(other -> {
                        byColumn.put(column, one);
                        standing.computeIfAbsent(one.other(), symbol -> contents(other));
                    })));
        }

        // An extract that was diluted for the other element holds that much of it in every reading.
        private Map<Integer, Double> contents(int column) {
            Map<String, Double> byIdentity = new HashMap<>();
            Map<Integer, Double> byRow = new HashMap<>();
            for (int row = 0; row < table.rows(); row++) {
                Determination d = table.at(row, column);
                if (d.role() == Role.SAMPLE && table.stands(row, column) && d.flaw() == Flaw.NONE) {
                    byIdentity.put(d.identity(), d.amount().raw());
                }
            }
            for (int row = 0; row < table.rows(); row++) {
                Determination d = table.at(row, column);
                double here = d.flaw() == Flaw.NONE ? d.amount().raw() : Double.NaN;
                byRow.put(row, d.role() == Role.SAMPLE ? byIdentity.getOrDefault(d.identity(), here) : here);
            }
            return byRow;
        }

        /** What the other element adds in a soil or control soil, in the unit of its amount; 0 where no other element was found in the signal. */
        double added(int row, int column) {
            Interference here = byColumn.get(column);
            return here == null ? 0 : added(here, row, column);
        }

        private double added(Interference here, int row, int column) {
            return here.added(
                    table.at(row, column).amount().raw(),
                    standing.getOrDefault(here.other(), Map.of()).getOrDefault(row, Double.NaN));
        }

        /** One finding for each analyte, with the soils of whose result too much comes from the other element. */
        List<Draft> drafts() {
            List<Draft> drafts = new ArrayList<>();
            byColumn.forEach((column, here) -> drafts.add(draft(column, here)));
            return drafts;
        }

        private boolean isTouched(Interference here, int row, int column) {
            Determination d = table.at(row, column);
            boolean soil = d.role() == Role.SAMPLE && table.stands(row, column) || d.role() == Role.DUPLICATE;
            double read = d.amount().raw();
            if (!soil || d.flaw() != Flaw.NONE || Double.isNaN(read)) {
                return false;
            }
            double added = added(here, row, column);
            double own = Math.max(0, read - added);
            double limit = table.analyte(column).reportingLimit().orElse(0) * d.dilution();
            return Math.max(own, read) >= limit
                    && (1 + table.policy().number(Setting.INTERFERENCE_UNCERTAINTY)) * Math.abs(added)
                            > table.policy().number(Setting.INTERFERENCE_MATTERS) * own;
        }

        private Draft draft(int column, Interference here) {
            Analyte analyte = table.analyte(column);
            Analyte other = table.analyte(table.column(here.other()).orElse(column));
            String symbol = analyte.symbol();
            Draft draft = new Draft(
                            table,
                            CauseKind.INTERFERENCE,
                            Verdict.HOLD,
                            symbol,
                            "",
                            "Read a solution of " + other.symbol() + " alone and look what the line of " + symbol
                                    + " says; read another line of " + symbol
                                    + ", or add the interference to the method and calculate again.")
                    .says("the control soils" + (here.soils() > 0 ? " and " + here.soils() + " ordinary soils" : "")
                            + " read " + symbol + " the higher the more " + other.symbol() + " they hold: 1 "
                            + other.unit().spelling() + " of " + other.symbol() + " adds " + text(here.share(), 2)
                            + " ± " + text(2 * here.se(), 1) + " "
                            + analyte.unit().spelling() + " of " + symbol)
                    .log10Odds(here.log10Odds())
                    .runnerUp(here.runnerUp(), here.log10Odds());
            if (!here.asGood().isEmpty()) {
                draft.says("it may be " + String.join(" or ", here.asGood())
                        + ", of which they hold more and less together");
            }
            draft.stretch(table.firstSoil(), table.lastSoil(), column);
            int worst = -1;
            double most = 0;
            int touched = 0;
            for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
                if (isTouched(here, row, column)) {
                    draft.touch(row, column);
                    touched++;
                    double share = Math.abs(
                            added(row, column) / table.at(row, column).amount().raw());
                    if (worst < 0 || share > most) {
                        worst = row;
                        most = share;
                    }
                }
            }
            if (worst >= 0) {
                Determination d = table.at(worst, column);
                double added = added(worst, column);
                draft.says(touched + (touched == 1 ? " result changes" : " results change")
                        + " by about "
                        + Spoken.share(table.policy().number(Setting.INTERFERENCE_MATTERS))
                        + " or more, most of all that of " + d.identity() + ": of "
                        + text(d.amount().raw(), 3) + " read, " + text(Math.abs(added), 2)
                        + (added > 0 ? " come from " + here.other() : " too little"));
            }
            return draft;
        }
    }
}
