package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.StudentT;

/** What the soils' own readings show: two portions that disagree, flaws of single determinations, a run that does not close. */
final class Soils {
    private final RunTable table;
    private final Map<Integer, Double> internalStandard = new HashMap<>();
    private final References references;
    private final KnownEffects effects;
    private final Consumer<Draft> drafts;
    private final StudentT density;

    private final StillToCome still;

    Soils(RunTable table, References references, KnownEffects effects, StillToCome still, Consumer<Draft> drafts) {
        this.still = still;
        this.table = table;
        this.references = references;
        this.effects = effects;
        this.drafts = drafts;
        this.density = new StudentT(table.policy().number(Setting.DUPLICATE_FREEDOM));
    }

    void judge() {
        duplicates();
        overRange();
        stretches(
                Flaw.INTERNAL_STANDARD_LOST,
                CauseKind.INTERNAL_STANDARD_LOST,
                Verdict.REDO,
                "Look at the nebuliser, the pump tubing and the internal standard's supply, then read these soils again.");
        overlaps();
        stretches(
                Flaw.MISSING_READING,
                CauseKind.MISSING_READING,
                Verdict.HOLD,
                "Look into the file and at the instrument; read the soil again from the tray.");
        weighings();
        closing();
    }

    // ---- two portions of one soil
    // ------------------------------------------------------------------------------------

    private void duplicates() {
        Map<String, List<Integer>> samples = new HashMap<>();
        Map<String, List<Integer>> duplicates = new LinkedHashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            Map<String, List<Integer>> portion = table.role(row) == Role.SAMPLE
                    ? samples
                    : table.role(row) == Role.DUPLICATE ? duplicates : new HashMap<>();
            portion.computeIfAbsent(table.at(row, 0).identity(), identity -> new ArrayList<>(1))
                    .add(row);
        }
        duplicates.forEach((identity, second) -> {
            List<Integer> first = samples.get(identity);
            if (first != null) {
                for (int row : second) {
                    compare(identity, first, second, row);
                }
            }
        });
    }

    private void compare(String identity, List<Integer> samples, List<Integer> duplicates, int second) {
        Draft draft = new Draft(
                table,
                CauseKind.DUPLICATES_DISAGREE,
                Verdict.REDO,
                identity,
                "Two portions of " + identity + " gave ",
                "Take a third portion of " + identity + " from the tray and read it again.");
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            int first = samples.stream()
                    .filter(row -> table.stands(row, at))
                    .findFirst()
                    .orElse(samples.get(0));
            Determination one = table.at(first, column);
            Determination two = table.at(second, column);
            if (one.flaw() != Flaw.NONE || two.flaw() != Flaw.NONE || readBefore(duplicates, second, column)) {
                continue;
            }
            Analyte analyte = table.analyte(column);
            double limit = limit(analyte, (one.amount().raw() + two.amount().raw()) / 2);
            double apart = Math.abs(one.amount().raw() - two.amount().raw());
            double without = Math.abs(effects.corrected(first, column) - effects.corrected(second, column));
            // Two portions that agree without what is known to have happened to one of them do agree.
            if (apart > limit && !(without <= limit)) {
                String unit = analyte.unit().spelling();
                draft.says(analyte.symbol() + " " + text(one.amount().raw(), 4) + " and "
                                + text(two.amount().raw(), 4) + (unit.isEmpty() ? "" : " " + unit)
                                + " (allowed difference " + text(limit, 3) + ")")
                        .odds(apart / (Math.sqrt(2) * within(analyte, one, two)))
                        .measures(Measure.upTo(
                                Measure.Kind.DUPLICATES,
                                analyte.symbol(),
                                identity,
                                two.position(),
                                apart,
                                limit,
                                unit))
                        .touch(first, column);
            }
        }
        if (!draft.saysNothing()) {
            portion(samples, duplicates, second).ifPresent(odds -> draft.runnerUp(CauseKind.PORTION_WRONG, odds));
            drafts.accept(draft);
        }
    }

    // How much better two soils explain the two portions than one soil of which one portion was too large or too small:
    // under that all
    // elements differ by one factor, under two soils each by its own.
    private OptionalDouble portion(List<Integer> samples, List<Integer> duplicates, int second) {
        List<double[]> ratios = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            int first = samples.stream()
                    .filter(row -> table.stands(row, at))
                    .findFirst()
                    .orElse(samples.get(0));
            Determination one = table.at(first, column);
            Determination two = table.at(second, column);
            Analyte analyte = table.analyte(column);
            double middle = (one.amount().raw() + two.amount().raw()) / 2;
            double sd = Math.sqrt(2) * analyte.withinSd(middle) / middle;
            if (one.flaw() == Flaw.NONE
                    && two.flaw() == Flaw.NONE
                    && !readBefore(duplicates, second, column)
                    && Math.min(one.amount().raw(), two.amount().raw())
                            > analyte.reportingLimit().orElse(0)
                    && sd > 0) {
                ratios.add(
                        new double[] {Math.log(two.amount().raw() / one.amount().raw()), sd});
            }
        }
        if (ratios.size() < table.policy().whole(Setting.DUPLICATE_LEAST_ELEMENTS)
                || table.method().extract().isEmpty()) {
            return OptionalDouble.empty();
        }
        double factor = Robust.median(ratios.stream().mapToDouble(r -> r[0]).toArray());
        double soils = 0;
        double portion = 0;
        for (double[] ratio : ratios) {
            soils += density.log10(
                    ratio[0], Math.hypot(ratio[1], table.policy().number(Setting.DUPLICATE_BETWEEN_SOILS)));
            portion += density.log10(ratio[0] - factor, ratio[1]);
        }
        return OptionalDouble.of(soils - portion);
    }

    // Two portions agree within the critical difference of ISO 5725-6:1994, a number of standard deviations of a
    // result, where the
    // laboratory knows its own; the method's limit is for one that does not. A pair of several analytes is still one
    // pair, so that they share its chance (Sidak 1967); a deviation known from few results has the wider t. Control
    // soils
    // tell the scatter between runs, which is not less than that within one.
    private double limit(Analyte analyte, double mean) {
        WithinLaboratory own = references.withinLaboratory(table.method(), analyte);
        if (!own.own()) {
            return table.method().duplicateLimit(analyte, mean);
        }
        double inside = 1 - 2 * Quantiles.normalBelow(-table.policy().number(Setting.DUPLICATE_GOOD_PAIR));
        double each = Math.pow(inside, 1.0 / table.columns());
        return Quantiles.t((1 + each) / 2, own.degreesAt(mean)) * Math.sqrt(2) * own.sdAt(mean);
    }

    private static double within(Analyte analyte, Determination one, Determination two) {
        double sd = analyte.withinSd((one.amount().raw() + two.amount().raw()) / 2);
        return sd > 0 ? sd : Double.POSITIVE_INFINITY;
    }

    // A more diluted reading of the same portion stands only for what was out of range before.
    private boolean readBefore(List<Integer> duplicates, int second, int column) {
        return duplicates.stream()
                .anyMatch(row -> row < second
                        && table.at(row, column).dilution()
                                < table.at(second, column).dilution()
                        && table.at(row, column).flaw() == Flaw.NONE);
    }

    // ---- flaws
    // -------------------------------------------------------------------------------------------------------

    // What lies above the range in one run is one order to dilute, over all its soils and elements.
    private void overRange() {
        Map<Integer, BitSet> columns = new TreeMap<>();
        Set<String> identities = new HashSet<>();
        for (int row = 0; row < table.rows(); row++) {
            for (int column = 0; column < table.columns(); column++) {
                Determination d = table.at(row, column);
                if (d.flaw() == Flaw.OVER_RANGE && table.stands(row, column) && !inRangeWithout(row, column)) {
                    columns.computeIfAbsent(row, its -> new BitSet()).set(column);
                    identities.add(d.identity());
                }
            }
        }
        if (columns.isEmpty()) {
            return;
        }
        Draft draft = new Draft(
                table,
                CauseKind.OVER_RANGE,
                Verdict.REDO,
                "above the range",
                identities.size() > 1 ? identities.size() + " soils lie above the calibrated range: " : "",
                table.method().extract().isPresent()
                        ? "Dilute these extracts with extractant and read them again in this run."
                        : "Dilute these with water and read them again in this run.");
        columns.forEach((row, its) -> its.stream().forEach(column -> {
            Determination d = table.at(row, column);
            draft.says(overRange(d)).touch(row, column);
            if (d.amount() instanceof Amount.Above above) {
                draft.measures(Measure.upTo(
                        Measure.Kind.RANGE,
                        d.analyte(),
                        d.identity(),
                        d.position(),
                        above.raw(),
                        above.limit(),
                        above.unit().spelling()));
            }
        }));
        drafts.accept(draft);
    }

    // Over range only for a cause that is already found, which holds it.
    private boolean inRangeWithout(int row, int column) {
        Determination d = table.at(row, column);
        return d.amount() instanceof Amount.Above above
                && d.amount().raw() > above.limit()
                && effects.corrected(row, column) <= above.limit();
    }

    private static String overRange(Determination d) {
        if (d.amount() instanceof Amount.Above above) {
            return d.identity() + " " + d.analyte() + " about " + text(above.raw(), 3) + " "
                    + above.unit().spelling() + ", range ends at " + text(above.limit(), 4);
        }
        return d.identity() + " " + d.analyte()
                + (d.amount() instanceof Amount.Saturated ? " saturated the detector" : " outside the curve");
    }

    // Neighbouring positions with one flaw are one thing that went wrong.
    private void stretches(Flaw flaw, CauseKind kind, Verdict verdict, String action) {
        @Nullable Draft open = null;
        for (int row = 0; row < table.rows(); row++) {
            List<Integer> here = new ArrayList<>();
            for (int column = 0; column < table.columns(); column++) {
                boolean soilElsewhere = table.role(row) == Role.SAMPLE && !table.stands(row, column);
                if (table.at(row, column).flaw() == flaw && !soilElsewhere) {
                    if (flaw == Flaw.MISSING_READING && table.run().underWay() && still.mayStillBeRead(row)) {
                        still.readings(row, column);
                    } else {
                        here.add(column);
                    }
                }
            }
            if (here.isEmpty()) {
                open = null;
                continue;
            }
            if (open == null) {
                Determination d = table.at(row, here.get(0));
                open = new Draft(table, kind, verdict, "from " + row, "", action)
                        .says(
                                flaw == Flaw.INTERNAL_STANDARD_LOST
                                        ? "the internal standard left its window from position " + d.position()
                                        : "position " + d.position() + ": " + reason(d));
                drafts.accept(open);
            }
            if (flaw == Flaw.INTERNAL_STANDARD_LOST) {
                internalStandardOdds(table.position(row)).ifPresent(open::log10Odds);
            }
            for (int column : here) {
                open.touch(row, column);
            }
        }
    }

    // Against an internal standard that only scatters as it does along the whole run.
    private OptionalDouble internalStandardOdds(int position) {
        Map<Integer, Double> read = internalStandard();
        Double here = read.get(position);
        if (here == null) {
            return OptionalDouble.empty();
        }
        double[] all = read.values().stream().mapToDouble(Double::doubleValue).toArray();
        double sd = Robust.scaledMad(all);
        return sd > 0
                ? OptionalDouble.of(density.log10(0, sd) - density.log10(here - Robust.median(all), sd))
                : OptionalDouble.empty();
    }

    private Map<Integer, Double> internalStandard() {
        if (internalStandard.isEmpty()) {
            Readings readings = table.run().readings();
            int code = table.method()
                    .internalStandard()
                    .map(readings::quantityCode)
                    .orElse(-1);
            for (int i = 0; i < readings.size(); i++) {
                if (readings.quantityCode(i) == code) {
                    internalStandard.put(readings.position(i), readings.value(i));
                }
            }
        }
        return internalStandard;
    }

    private void overlaps() {
        Map<String, Draft> found = new LinkedHashMap<>();
        for (Reduced.Overlap overlap : table.reduced().overlaps()) {
            int column = table.column(overlap.analyte()).orElseThrow();
            int row = table.row(overlap.position());
            Determination d = table.at(row, column);
            if (d.flaw() != Flaw.OVERLAPPED || d.role() == Role.SAMPLE && !table.stands(row, column)) {
                continue;
            }
            String place = d.identity() + " at position " + d.position() + ", line " + overlap.line() + ": ";
            found.computeIfAbsent(
                            overlap.analyte(),
                            symbol -> new Draft(
                                    table,
                                    CauseKind.INTERFERENCE,
                                    Verdict.HOLD,
                                    symbol,
                                    "",
                                    "Read another line of the element, or dilute; look whether the correction still holds on this instrument."))
                    .says(
                            Double.isNaN(overlap.addedMgPerL())
                                    ? place + "what " + overlap.from() + " adds is not known there"
                                    : place + overlap.from() + " made up " + text(overlap.addedMgPerL(), 3) + " of "
                                            + text(overlap.readMgPerL(), 3) + " mg/L read")
                    .touch(row, column);
        }
        found.values().forEach(drafts);
    }

    private void weighings() {
        for (int row = 0; row < table.rows(); row++) {
            List<Integer> wrong = new ArrayList<>();
            for (int column = 0; column < table.columns(); column++) {
                if (table.at(row, column).flaw() == Flaw.WEIGHING_IMPOSSIBLE) {
                    wrong.add(column);
                }
            }
            if (wrong.isEmpty()) {
                continue;
            }
            Determination d = table.at(row, wrong.get(0));
            String balance = d.channel().isEmpty() ? "" : " on balance " + d.channel();
            Draft draft = new Draft(
                            table,
                            CauseKind.WEIGHING_IMPOSSIBLE,
                            Verdict.REDO,
                            "row " + row,
                            "",
                            "Look whether two " + table.method().vessel()
                                    + "s were exchanged or one was spilt; weigh a fresh portion.")
                    .says("position " + d.position() + balance + ", " + reason(d));
            for (int column : wrong) {
                draft.touch(row, column);
            }
            drafts.accept(draft);
        }
    }

    private static String reason(Determination d) {
        return d.amount() instanceof Amount.Missing missing ? missing.reason() : "no number";
    }

    // ---- the end of the run
    // ------------------------------------------------------------------------------------------

    private void closing() {
        int lastCheck = -1;
        for (int row = 0; row < table.rows(); row++) {
            if (table.role(row) == Role.VERIFICATION) {
                lastCheck = row;
            }
        }
        int lastSoil = table.lastSoil();
        if (table.run().underWay() || lastCheck < 0 || lastSoil < 0 || lastCheck > lastSoil) {
            return;
        }
        Draft draft = new Draft(
                        table,
                        CauseKind.TRUNCATED_RUN,
                        Verdict.HOLD,
                        "closing",
                        "",
                        "Read the closing check solution; if the run was cut short, read the rest.")
                .says("no check solution was read after position " + table.position(lastCheck)
                        + "; the run's last soil is at " + table.position(lastSoil));
        for (int column = 0; column < table.columns(); column++) {
            draft.touch(Math.max(lastCheck + 1, table.firstSoil()), lastSoil, column, "");
        }
        drafts.accept(draft);
    }
}
