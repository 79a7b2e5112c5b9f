package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;

/**
 * What share of one tube shows in the next, in plasma emission, from everything known that was read after something else.
 *
 * <p>A blank reads {@code b + s c}, a check solution {@code k + s c}, with {@code c} what the tube before held, in mg/L, {@code b} what
 * clean blanks hold and {@code s} the share, for each element. Both lines are fitted by weighted least squares, readings beyond two and a
 * half of their robust standard deviations pulled in (Huber's weights); each kind of known thing has the scatter that the run itself
 * shows. A share counts when its lower bound at one in ten thousand lies above 0.
 */
final class CarriedOver {
    /** The median of a normal deviate without its sign. */
    private static final double MEDIAN_OF_NORMAL = 0.6744897501960817;
    /** Residuals can be 0 after rounding; the scale is kept above this. */
    private static final double LEAST_SCALE = 1e-9;

    private static final int ROUNDS = 20;
    private static final double SETTLED = 1e-4;
    /** In standard deviations of the first, plain fit. */
    private static final double LEAST_TO_REFINE = 1;

    private static final double TWO_SIDED_95 = 2;

    private final RunTable table;
    private final Extraction extraction;
    private final List<Integer> knownRows = new ArrayList<>();
    private final Map<Integer, Double> shares = new HashMap<>();
    private final Map<Integer, Double> inBlanks = new HashMap<>();

    CarriedOver(RunTable table, Extraction extraction) {
        this.table = table;
        this.extraction = extraction;
        for (int row = 1; row < table.rows(); row++) {
            Role role = table.role(row);
            if ((role == Role.BLANK || role == Role.VERIFICATION)
                    && table.position(row) == table.position(row - 1) + 1) {
                knownRows.add(row);
            }
        }
    }

    /** One known thing: what it read beyond what it holds, and what the tube before held; mg/L. */
    private record Seen(double off, double before, boolean blank, double known) {}

    /** Finds the shares and what they did to soils: one cause, whatever the elements. */
    void judge(Consumer<Draft> drafts) {
        Draft draft = new Draft(
                table, CauseKind.CARRY_OVER, Verdict.REDO, "", "", "Read these extracts again after a longer rinse.");
        List<String> each = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            measure(column, draft, each);
        }
        if (!draft.saysNothing()) {
            each.forEach(draft::says);
            drafts.accept(draft);
        }
    }

    /** What a soil gained by the tube before and lost by blanks that gained by theirs, mg/L in the tube. */
    double change(int row, int column) {
        return carried(row, column) - inBlanks.getOrDefault(column, 0.0);
    }

    boolean foundNothing() {
        return shares.isEmpty();
    }

    /** What came over from the tube before, mg/L in the tube; 0 where no share was found. */
    double carried(int row, int column) {
        Double share = shares.get(column);
        double before = share == null ? Double.NaN : before(row, column);
        return share == null || Double.isNaN(before) ? 0 : share * before;
    }

    private void measure(int column, Draft draft, List<String> each) {
        List<Seen> all = seen(column);
        if (all.size() < table.policy().whole(Setting.CARRY_OVER_LEAST_READINGS)
                || blanks(all) < table.policy().whole(Setting.CARRY_OVER_LEAST_BLANKS)) {
            return;
        }
        double least = table.policy().number(Setting.CARRY_OVER_LEAST_SCATTER)
                * Math.max(extraction.reportingLimitMgPerL(table.analyte(column)), Double.MIN_NORMAL);
        Fit fit = fit(all, Math.max(least, scatter(all, true)), scatter(all, false));
        double falseAlarm = table.policy().number(Setting.CARRY_OVER_FALSE_ALARM);
        // Student's quantile is never less than the normal one, which costs less to compute.
        if (!(fit.share() > Quantiles.normal(1 - falseAlarm) * fit.se())) {
            return;
        }
        double lower = fit.share() - Quantiles.t(1 - falseAlarm, Math.max(1, all.size() - 3)) * fit.se();
        if (!(lower > 0)) {
            return;
        }
        shares.put(column, fit.share());
        double blanks = 0;
        int n = 0;
        for (int row = 0; row < table.rows(); row++) {
            if (table.role(row) == Role.BLANK) {
                blanks += carried(row, column);
                n++;
            }
        }
        inBlanks.put(column, extraction.subtractBlank() && n > 0 ? blanks / n : 0.0);
        touched(column, fit, draft, each);
    }

    private static int blanks(List<Seen> all) {
        int n = 0;
        for (Seen one : all) {
            n += one.blank() ? 1 : 0;
        }
        return n;
    }

    private List<Seen> seen(int column) {
        List<Seen> all = new ArrayList<>();
        for (int row : knownRows) {
            Determination d = table.at(row, column);
            boolean blank = d.role() == Role.BLANK;
            boolean known = d.role() == Role.VERIFICATION && !Double.isNaN(d.known());
            double before = before(row, column);
            if (d.flaw() == Flaw.NONE && (blank || known) && !Double.isNaN(before)) {
                double holds = blank ? 0 : d.known();
                all.add(new Seen(d.amount().raw() - holds, before, blank, holds));
            }
        }
        return all;
    }

    // How far readings of one kind scatter: blanks in mg/L, check solutions as a share of what they hold.
    private static double scatter(List<Seen> all, boolean blank) {
        int blanks = blanks(all);
        double[] off = new double[blank ? blanks : all.size() - blanks];
        int n = 0;
        for (Seen one : all) {
            if (one.blank() == blank) {
                off[n++] = blank ? one.off() : one.off() / one.known();
            }
        }
        return off.length == 0 ? 0 : Robust.scaledMad(off);
    }

    private record Fit(double share, double se) {}

    // Three unknowns: the share, what clean blanks hold, and by what factor the calibration is off, which standards
    // read one after the
    // other may be for the same reason.
    private Fit fit(List<Seen> all, double blankScatter, double solutionScatter) {
        int n = all.size();
        double[] sd = new double[n];
        double[] weight = new double[n];
        for (int i = 0; i < n; i++) {
            Seen one = all.get(i);
            sd[i] = one.blank() ? blankScatter : Math.hypot(blankScatter, solutionScatter * one.known());
            weight[i] = 1 / (sd[i] * sd[i]);
        }
        double share = 0;
        double left = 0;
        double scale = 1;
        for (int round = 0; round < ROUNDS; round++) {
            Part blanks = new Part();
            Part solutions = new Part();
            for (int i = 0; i < n; i++) {
                Seen one = all.get(i);
                (one.blank() ? blanks : solutions)
                        .add(weight[i], one.blank() ? 1 : one.known(), one.before(), one.off());
            }
            left = blanks.left() + solutions.left();
            double before = share;
            share = left > 0 ? (blanks.product() + solutions.product()) / left : 0;
            // Nothing to refine where nothing came over, or where it has settled.
            boolean nothing = round == 0 && !(share * Math.sqrt(left) > LEAST_TO_REFINE);
            if (nothing || round > 2 && Math.abs(share - before) <= SETTLED * Math.abs(share)) {
                break;
            }
            double[] rests = new double[n];
            for (int i = 0; i < n; i++) {
                Seen one = all.get(i);
                double base = one.blank() ? blanks.level(share) : solutions.level(share) * one.known();
                rests[i] = Math.abs(one.off() - base - share * one.before()) / sd[i];
            }
            // The scatter of blanks that follow soils holds the share itself: the rests of the fit say what is left.
            scale = Math.max(Robust.median(rests) / MEDIAN_OF_NORMAL * Math.sqrt(n / (n - 3.0)), LEAST_SCALE);
            for (int i = 0; i < n; i++) {
                weight[i] = Math.min(
                                1,
                                table.policy().number(Setting.CARRY_OVER_HUBER)
                                        * scale
                                        / Math.max(rests[i], Double.MIN_NORMAL))
                        / (sd[i] * sd[i]);
            }
        }
        return new Fit(share, left > 0 ? scale / Math.sqrt(left) : Double.POSITIVE_INFINITY);
    }

    /** Sums of one kind of known things, whose own level is taken out. */
    private static final class Part {
        private double uu;
        private double ux;
        private double uy;
        private double xx;
        private double xy;

        void add(double weight, double unit, double before, double off) {
            uu += weight * unit * unit;
            ux += weight * unit * before;
            uy += weight * unit * off;
            xx += weight * before * before;
            xy += weight * before * off;
        }

        double left() {
            return uu > 0 ? xx - ux * ux / uu : 0;
        }

        double product() {
            return uu > 0 ? xy - ux * uy / uu : 0;
        }

        double level(double share) {
            return uu > 0 ? (uy - share * ux) / uu : 0;
        }
    }

    // What the tube before held, mg/L; NaN when it was not read or nobody can say.
    private double before(int row, int column) {
        if (row == 0 || table.position(row) != table.position(row - 1) + 1) {
            return Double.NaN;
        }
        Determination d = table.at(row - 1, column);
        return solution(d) ? d.amount().raw() : d.amount().raw() / extraction.content(1, 0, d.dilution());
    }

    private static boolean solution(Determination d) {
        return d.role() == Role.STANDARD || d.role() == Role.VERIFICATION || d.role() == Role.BLANK;
    }

    private void touched(int column, Fit fit, Draft draft, List<String> each) {
        Analyte analyte = table.analyte(column);
        double limit = analyte.reportingLimit().orElse(0);
        List<String> here = new ArrayList<>();
        for (int row = Math.max(1, table.firstSoil()); row <= table.lastSoil(); row++) {
            Determination d = table.at(row, column);
            boolean soil = d.role() == Role.SAMPLE && table.stands(row, column) || d.role() == Role.DUPLICATE;
            if (!soil || Double.isNaN(d.amount().raw())) {
                continue;
            }
            double perMgPerL = extraction.content(1, 0, d.dilution());
            double gained = carried(row, column) * perMgPerL;
            double net = change(row, column) * perMgPerL;
            double own = Math.max(0, d.amount().raw() - net);
            // Blanks that gained too hide a part of it, but what was read is not the soil's.
            double change = Math.abs(gained) >= Math.abs(net) ? gained : net;
            // What stays below the reporting limit either way is stated as below it.
            boolean stated = Math.max(own, d.amount().raw()) >= limit * d.dilution();
            if (stated
                    && (1 + table.policy().number(Setting.CARRY_OVER_UNCERTAINTY)) * Math.abs(change)
                            > table.policy().number(Setting.CARRY_OVER_MATTERS) / 100 * own) {
                draft.touch(row, column);
                here.add(d.identity() + " at position " + d.position() + " read " + analyte.symbol() + " "
                        + text(d.amount().raw(), 3) + " " + analyte.unit().spelling() + ", "
                        + text(Math.abs(change), 2)
                        + (change > 0 ? " of it carried over" : " too little, for what its blanks hold"));
            }
        }
        if (!here.isEmpty()) {
            draft.says(analyte.symbol() + " " + text(100 * fit.share(), 2) + " ± "
                            + text(100 * TWO_SIDED_95 * fit.se(), 1) + " % of a tube shows in the next one")
                    .odds(fit.share() / fit.se());
            each.addAll(here);
        }
    }
}
