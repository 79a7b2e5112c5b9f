package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.StudentT;

/**
 * One extract read twice in a run, the second time diluted: what was in range both times must agree. If all elements differ by one
 * factor, the extract was diluted by another factor than recorded, and the factor says how.
 *
 * <p>Each dilution that a laboratory makes is weighed by the likelihood of all elements' log ratios together; how far they scatter is
 * taken from all extracts of the run that were read twice, about their own medians. What agrees within the duplicate limit is never
 * called.
 */
final class Dilutions {
    private final RunTable table;
    private final KnownEffects effects;
    private final Consumer<Draft> drafts;
    private final StudentT density;

    Dilutions(RunTable table, KnownEffects effects, Consumer<Draft> drafts) {
        this.table = table;
        this.effects = effects;
        this.drafts = drafts;
        this.density = new StudentT(table.policy().number(Setting.DILUTION_FREEDOM));
    }

    /** One extract read twice: log of second over first, for each element in range both times. */
    private record Pair(int first, int second, double[] ratios) {
        double middle() {
            return Robust.median(ratios);
        }
    }

    void judge() {
        Optional<Extraction> extract = table.method().extract();
        if (extract.isEmpty()) {
            return;
        }
        double bearable = Math.log1p(extract.get().duplicateLimitPct() / 100);
        List<Pair> pairs = pairs();
        if (pairs.isEmpty()) {
            return;
        }
        boolean any = false;
        for (Pair pair : pairs) {
            any |= Math.abs(pair.middle()) > bearable;
        }
        if (!any) {
            return;
        }
        double[] rests = pairs.stream()
                .flatMapToDouble(pair -> Arrays.stream(pair.ratios()).map(ratio -> ratio - pair.middle()))
                .toArray();
        // Each pair's own median is taken out of its elements.
        double shrunk = Math.sqrt(rests.length / (double) Math.max(1, rests.length - pairs.size()));
        double scatter =
                Math.max(table.policy().number(Setting.DILUTION_LEAST_SCATTER), Robust.scaledMad(rests) * shrunk);
        pairs.stream().filter(pair -> Math.abs(pair.middle()) > bearable).forEach(pair -> judge(pair, scatter));
    }

    private List<Pair> pairs() {
        Map<String, List<Integer>> rows = new LinkedHashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            // Only what was read diluted can have been diluted otherwise.
            if (isSoil(row) && table.at(row, 0).dilution() != 1) {
                rows.computeIfAbsent(key(row), key -> new ArrayList<>(2));
            }
        }
        for (int row = 0; row < table.rows() && !rows.isEmpty(); row++) {
            List<Integer> same = isSoil(row) ? rows.get(key(row)) : null;
            if (same != null) {
                same.add(row);
            }
        }
        List<Pair> pairs = new ArrayList<>();
        for (List<Integer> same : rows.values()) {
            for (int i = 1; i < same.size(); i++) {
                int first = same.get(0);
                int second = same.get(i);
                if (table.at(first, 0).dilution() != table.at(second, 0).dilution()) {
                    double[] ratios = ratios(first, second);
                    if (ratios.length >= table.policy().whole(Setting.DILUTION_LEAST_ELEMENTS)) {
                        pairs.add(new Pair(first, second, ratios));
                    }
                }
            }
        }
        return pairs;
    }

    private boolean isSoil(int row) {
        return table.role(row) == Role.SAMPLE || table.role(row) == Role.DUPLICATE;
    }

    private String key(int row) {
        return table.role(row) == Role.SAMPLE
                ? table.at(row, 0).identity()
                : "second " + table.at(row, 0).identity();
    }

    private double[] ratios(int first, int second) {
        List<Double> ratios = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            Determination one = table.at(first, column);
            Determination two = table.at(second, column);
            Analyte analyte = table.analyte(column);
            double least = table.policy().number(Setting.DILUTION_LEAST_LIMITS)
                    * analyte.reportingLimit().orElse(0)
                    * Math.max(one.dilution(), two.dilution());
            if (one.flaw() == Flaw.NONE
                    && two.flaw() == Flaw.NONE
                    && one.amount().raw() > least) {
                double ratio = effects.corrected(second, column) / effects.corrected(first, column);
                if (ratio > 0 && Double.isFinite(ratio)) {
                    ratios.add(Math.log(ratio));
                }
            }
        }
        return ratios.stream().mapToDouble(Double::doubleValue).toArray();
    }

    private void judge(Pair pair, double scatter) {
        double recorded = table.at(pair.second(), 0).dilution();
        double best = recorded / Math.exp(pair.middle());
        // Any other factor could lie anywhere up to the largest dilution, and fits best only within its own
        // uncertainty: its likelihood
        // is the mean over that range. Each of the dilutions that are made has its share.
        double within = Math.sqrt(2 * Math.PI / pair.ratios().length) * scatter;
        double most = likelihood(pair, pair.middle(), scatter)
                + Math.log10(within
                        / Math.log(table.policy()
                                .list(Setting.DILUTIONS_MADE)[table.policy().list(Setting.DILUTIONS_MADE).length - 1]));
        boolean made = false;
        for (double dilution : table.policy().list(Setting.DILUTIONS_MADE)) {
            double one = likelihood(pair, Math.log(recorded / dilution), scatter)
                    - Math.log10(table.policy().list(Setting.DILUTIONS_MADE).length);
            if (dilution != recorded && one > most) {
                most = one;
                best = dilution;
                made = true;
            }
        }
        double odds = most - likelihood(pair, 0, scatter);
        double factor = Math.log(recorded / best);
        long ofOneMind = Arrays.stream(pair.ratios())
                .filter(ratio -> Math.abs(ratio - factor) <= table.policy().number(Setting.DILUTION_AGREES) * scatter)
                .count();
        if (odds < table.policy().number(Setting.DILUTION_CALLED) || 2 * ofOneMind <= pair.ratios().length) {
            return;
        }
        Determination second = table.at(pair.second(), 0);
        Draft draft = new Draft(
                        table,
                        CauseKind.DILUTION_MISMATCH,
                        Verdict.REDO,
                        second.identity() + " " + second.position(),
                        "",
                        "Dilute the extract of " + second.identity() + " again, write down how, and read it.")
                .says(second.identity() + " at position " + second.position() + ", recorded as diluted "
                        + text(recorded, 3) + "-fold, gives " + text(100 * Math.exp(pair.middle()), 3)
                        + " % of what it gave at position "
                        + table.position(pair.first()) + " in " + pair.ratios().length
                        + " elements in range both times: diluted " + (made ? "" : "about ") + text(best, 3) + "-fold")
                .log10Odds(odds)
                .measures(new Measure(
                        Measure.Kind.DILUTION,
                        "",
                        second.identity(),
                        second.position(),
                        100 * Math.exp(pair.middle()),
                        OptionalDouble.empty(),
                        OptionalDouble.empty(),
                        "%"))
                .stretch(pair.second(), pair.second(), 0);
        for (int column = 0; column < table.columns(); column++) {
            if (table.stands(pair.second(), column) || table.role(pair.second()) == Role.DUPLICATE) {
                draft.touch(pair.second(), column);
            }
        }
        drafts.accept(draft);
    }

    private double likelihood(Pair pair, double factor, double scatter) {
        double sum = 0;
        for (double ratio : pair.ratios()) {
            sum += density.log10(ratio - factor, scatter);
        }
        return sum;
    }
}
