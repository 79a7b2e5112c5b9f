package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.BiPredicate;
import java.util.function.Predicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.StudentT;

/**
 * Elements in another's signal, from the control soils of a plasma run together with its ordinary soils.
 *
 * <p>Control soils that read apart may do so by a factor of the run, by the same amount in every tube, or by what goes with another
 * element. A handful of control soils seldom tells these apart; ordinary soils do: what an analyte reads beside what the soil's other
 * results predict goes with the other element over the analyte in this run and not in others. Slopes are taken within clients, because
 * each client's ground has relations of its own, and how far clients of other runs differ in their slopes is the noise (DerSimonian and
 * Laird 1986, Controlled Clin. Trials 7:177).
 */
final class Interferences {
    // Of algorithms that converge: they decide nothing.
    private static final int ROUNDS = 4;
    private static final int STEPS = 160;
    private static final double LOG10_E = 1 / Math.log(10);
    /** Causes that change an analyte along a whole run in a way of their own. */
    private static final Set<CauseKind> OF_THEIR_OWN = Set.of(
            CauseKind.STANDARD_WRONG,
            CauseKind.DRIFT,
            CauseKind.CARRY_OVER,
            CauseKind.CALIBRATION_REJECTED,
            CauseKind.INTERFERENCE);

    private final Policy policy;
    private final double freedom;
    private final StudentT density;
    private final DaySoils soils;
    private final List<RunJudgement> runs;
    private final Map<String, References> references;
    private final Map<LabNumber, String> materials;
    private final Set<String> repeated;
    private final BiPredicate<String, String> misplaced;
    private final Map<Integer, Map<Integer, double[]>> controlContents = new HashMap<>();
    /** By method, the columns of the other methods that its soils have. */
    private final Map<String, int[]> others = new HashMap<>();

    private final Map<Integer, List<double[]>> standards = new HashMap<>();
    private final Map<String, List<Interference>> found = new HashMap<>();

    /**
     * @param materials the hidden controls with what they truly are
     * @param repeated runs that are another's readings again
     * @param misplaced whether what a run read under a lab number is not that soil
     * @param asked methods that are asked about
     */
    Interferences(
            DaySoils soils,
            List<RunStage> stages,
            Map<String, References> references,
            Map<LabNumber, String> materials,
            Set<String> repeated,
            BiPredicate<String, String> misplaced,
            Predicate<MethodSoils> asked,
            Policy policy,
            Reuse reuse,
            Questions questions) {
        this.policy = policy;
        this.freedom = policy.number(Setting.INTERFERENCE_FREEDOM);
        this.density = new StudentT(freedom);
        this.soils = soils;
        runs = stages.stream().map(RunStage::judgement).toList();
        this.references = references;
        this.materials = materials;
        this.repeated = repeated;
        this.misplaced = misplaced;
        for (MethodSoils method : soils.methods()) {
            if (method.method.readsEmissionLines() && asked.test(method)) {
                questions
                        .ask(
                                "other elements add to its signals",
                                RunStage.names(stages, method.method),
                                () -> reuse.piece(
                                        OfMethod.class,
                                        reuse.keeps() ? key(method, stages, reuse) : "",
                                        () -> new OfMethod(look(method))),
                                () -> new OfMethod(Map.of()))
                        .byRun()
                        .forEach((run, its) -> found.computeIfAbsent(run, name -> new ArrayList<>())
                                .addAll(its));
            }
        }
    }

    /** What was found in a run. */
    List<Interference> of(String run) {
        return found.getOrDefault(run, List.of());
    }

    /**
     * A control soil in one analyte.
     *
     * @param contents of every column, NaN where it was not read
     */
    private record Seen(String material, double mean, double off, double sd, double[] contents) {}

    /** An explanation at its best amount. */
    private record Weighed(int other, double amount, double se, double log10, double most, OrdinarySoils.Said said) {}

    private record OfMethod(Map<String, List<Interference>> byRun) {}

    private String key(MethodSoils method, List<RunStage> stages, Reuse reuse) {
        List<RunStage> own = stages.stream()
                .filter(stage -> stage.method().id().equals(method.method.id()))
                .toList();
        return reuse.key(
                "interferences",
                own.stream().map(RunStage::key).toList(),
                own.stream().map(stage -> repeated.contains(stage.name())).toList(),
                own.stream()
                        .map(stage -> materials.keySet().stream()
                                .map(LabNumber::text)
                                .filter(lab -> misplaced.test(stage.name(), lab))
                                .sorted()
                                .toList())
                        .toList(),
                reuse.digest(materials),
                reuse.digestOf(references.get(method.method.id())),
                soils.layoutKey(),
                method.placesKey(stages, reuse),
                soils.valuesKey(method),
                soils.others(method),
                soils.columnsKey(soils.others(method)));
    }

    private Map<String, List<Interference>> look(MethodSoils method) {
        Map<String, List<Interference>> byRun = new TreeMap<>();
        Map<String, List<Integer>> byInstrument = new TreeMap<>();
        for (int r = 0; r < runs.size(); r++) {
            if (runs.get(r).reduced().method().id().equals(method.method.id())
                    && !repeated.contains(runs.get(r).reduced().run().run())) {
                byInstrument
                        .computeIfAbsent(runs.get(r).reduced().run().instrument(), name -> new ArrayList<>())
                        .add(r);
            }
        }
        byInstrument.values().forEach(together -> {
            for (int column = 0; column < method.own.length; column++) {
                look(method, column, together, byRun);
            }
        });
        return byRun;
    }

    // An overlap belongs to an instrument: it is there in one of its runs, since something changed, or in all of them.
    private void look(MethodSoils method, int column, List<Integer> together, Map<String, List<Interference>> byRun) {
        Map<Integer, List<Seen>> seen = new TreeMap<>();
        List<Seen> all = new ArrayList<>();
        for (int r : together) {
            List<Seen> here = seen(method, column, r);
            seen.put(r, here);
            all.addAll(here);
        }
        Map<Integer, Interference> alone = new TreeMap<>();
        seen.forEach((r, here) -> explain(method, column, Set.of(r), here).ifPresent(one -> alone.put(r, one)));
        Optional<Interference> everywhere =
                together.size() < 2 ? Optional.empty() : explain(method, column, new HashSet<>(together), all);
        double best = alone.values().stream()
                .mapToDouble(Interference::log10Odds)
                .max()
                .orElse(0);
        if (everywhere.isPresent()
                && everywhere.get().log10Odds() > best + policy.number(Setting.INTERFERENCE_AS_GOOD)) {
            together.forEach(r -> add(r, everywhere.get(), byRun));
        } else {
            alone.forEach((r, one) -> add(r, one, byRun));
        }
    }

    private void add(int run, Interference one, Map<String, List<Interference>> byRun) {
        byRun.computeIfAbsent(runs.get(run).reduced().run().run(), name -> new ArrayList<>())
                .add(one);
    }

    private List<Seen> seen(MethodSoils method, int column, int r) {
        RunJudgement run = runs.get(r);
        References known = references.get(method.method.id());
        String symbol = method.analytes.get(column).symbol();
        boolean otherwise = run.findings().stream()
                .anyMatch(finding -> OF_THEIR_OWN.contains(finding.kind())
                        && finding.analytes().contains(symbol));
        if (known == null || otherwise) {
            return List.of();
        }
        List<ControlValue> values = run.controlValues().stream()
                .filter(value -> value.analyte().equals(symbol) && isItself(value))
                .toList();
        Map<Integer, double[]> contents = controlContents.computeIfAbsent(r, any -> contents(method, run));
        List<Seen> seen = new ArrayList<>();
        for (ControlValue value : values) {
            Optional<Material> material = known.material(value.material(), symbol);
            double[] here = contents.get(value.position());
            if (material.isPresent() && here != null) {
                seen.add(new Seen(
                        value.material(),
                        material.get().mean(),
                        value.value() - material.get().mean(),
                        material.get().sd(),
                        here));
            }
        }
        return seen;
    }

    private boolean isItself(ControlValue value) {
        return !value.hidden()
                || value.material().equals(materials.get(new LabNumber(value.identity())))
                        && !misplaced.test(value.run(), value.identity());
    }

    // What each control soil of a run read in every column, by its position.
    private static Map<Integer, double[]> contents(MethodSoils method, RunJudgement run) {
        Map<Integer, double[]> contents = new HashMap<>();
        run.controlValues()
                .forEach(value -> contents.computeIfAbsent(value.position(), position -> {
                    double[] none = new double[method.own.length];
                    Arrays.fill(none, Double.NaN);
                    return none;
                }));
        for (Determination d : run.reduced().determinations()) {
            double[] here = contents.get(d.position());
            for (int c = 0; here != null && c < method.own.length; c++) {
                if (method.analytes.get(c).symbol().equals(d.analyte()) && d.flaw() == Flaw.NONE) {
                    here[c] = d.amount().raw();
                }
            }
        }
        return contents;
    }

    private Optional<Interference> explain(MethodSoils method, int column, Set<Integer> of, List<Seen> seen) {
        long different = seen.stream().map(Seen::material).distinct().count();
        if (seen.size() < policy.whole(Setting.INTERFERENCE_LEAST_CONTROLS)
                || different < policy.whole(Setting.INTERFERENCE_LEAST_MATERIALS)) {
            return Optional.empty();
        }
        double[] none = controls(seen, 0, new double[seen.size()], 0, true);
        if (-sum(none) < policy.number(Setting.INTERFERENCE_LOOKED_AT)) {
            return Optional.empty();
        }
        List<Weighed> elements = new ArrayList<>();
        Map<Integer, Double> proportions = new HashMap<>();
        for (int other = 0; other < method.own.length; other++) {
            int at = other;
            double[] x = seen.stream().mapToDouble(one -> one.contents()[at]).toArray();
            if (other != column && Arrays.stream(x).noneMatch(Double::isNaN)) {
                double proportion = proportion(method, column, other, of);
                proportions.put(other, proportion);
                elements.add(first(other, seen, x, proportion, none));
            }
        }
        if (elements.stream().noneMatch(one -> one.log10() >= policy.number(Setting.INTERFERENCE_LOOKED_AT))) {
            return Optional.empty();
        }
        int[] columns = others.computeIfAbsent(method.method.id(), id -> soils.others(method));
        OrdinarySoils ordinary = new OrdinarySoils(soils, method, column, columns, of, policy);
        for (int i = 0; i < elements.size(); i++) {
            Weighed one = elements.get(i);
            double[] x = seen.stream()
                    .mapToDouble(each -> each.contents()[one.other()])
                    .toArray();
            double proportion = proportions.getOrDefault(one.other(), 0.0);
            double most = ordinary.most(one.other());
            OrdinarySoils.Said said = ordinary.says(one.other(), proportion, Math.min(one.amount(), most), most);
            elements.set(i, weigh(one.other(), seen, x, proportion, none, said, Kind.ELEMENT, most));
        }
        // The same in every tube is in the blanks too. Where these are taken off, only a blank that is too high could
        // do
        // it, and soils would read too low.
        double[] ones = new double[seen.size()];
        Arrays.fill(ones, 1);
        Kind kind = method.method.extract().filter(Extraction::subtractBlank).isPresent()
                ? Kind.BLANK_TOO_HIGH
                : Kind.SAME_IN_EVERY_TUBE;
        Weighed same =
                weigh(-1, seen, ones, 0, none, ordinary.says(-1, 0, 0, ordinary.most(-1)), kind, ordinary.most(-1));
        elements.sort((one, two) -> Double.compare(two.log10(), one.log10()));
        if (elements.isEmpty()) {
            return Optional.empty();
        }
        Weighed best = elements.get(0);
        double ahead = best.log10() - Math.max(0, same.log10());
        if (ahead < policy.number(Setting.INTERFERENCE_CALLED)
                || best.log10() - best.most() < policy.number(Setting.INTERFERENCE_WITHOUT_ONE)) {
            return Optional.empty();
        }
        List<String> asGood = elements.stream()
                .skip(1)
                .filter(one -> one.log10() > best.log10() - policy.number(Setting.INTERFERENCE_AS_GOOD))
                .map(one -> method.analytes.get(one.other()).symbol())
                .toList();
        return Optional.of(new Interference(
                method.analytes.get(column).symbol(),
                method.analytes.get(best.other()).symbol(),
                best.amount(),
                best.se(),
                proportions.getOrDefault(best.other(), 0.0),
                ahead,
                kind == Kind.BLANK_TOO_HIGH && same.log10() > 0 ? CauseKind.BLANK_HIGH : CauseKind.CONTROL_FAILED,
                asGood,
                best.said().soils()));
    }

    // Content of one element over that of another in the standards, weighted by one over the content as a curve is.
    private double proportion(MethodSoils method, int column, int other, Set<Integer> of) {
        double others = 0;
        double own = 0;
        for (int r : of) {
            for (double[] standard : standards.computeIfAbsent(r, any -> standards(method, runs.get(r)))) {
                if (standard[column] > 0) {
                    own += standard[column];
                    others += standard[other] > 0 ? standard[other] : 0;
                }
            }
        }
        return own > 0 ? others / own : 0;
    }

    // What each standard of a run holds in every column.
    private static List<double[]> standards(MethodSoils method, RunJudgement run) {
        Map<Integer, double[]> byPosition = new TreeMap<>();
        for (Determination d : run.reduced().determinations()) {
            for (int c = 0; d.role() == Role.STANDARD && c < method.own.length; c++) {
                if (method.analytes.get(c).symbol().equals(d.analyte())) {
                    byPosition.computeIfAbsent(d.position(), position -> new double[method.own.length])[c] = d.known();
                }
            }
        }
        return List.copyOf(byPosition.values());
    }

    /**
     * Likelihoods of the control soils when {@code amount} times x is in their signal.
     *
     * @param factor whether the run may have a factor of its own beside it: the likeliest is taken
     */
    private double[] controls(List<Seen> seen, double amount, double[] x, double proportion, boolean factor) {
        int n = x.length;
        double[] left = new double[n];
        for (int i = 0; i < n; i++) {
            Seen one = seen.get(i);
            left[i] = one.off() - amount * (x[i] - proportion * one.mean());
        }
        double f = 0;
        for (int round = 0; factor && round < 3 * ROUNDS; round++) {
            double above = 0;
            double below = 0;
            for (int i = 0; i < n; i++) {
                Seen one = seen.get(i);
                double z = (left[i] - f * one.mean()) / one.sd();
                double w = (freedom + 1) / (freedom + z * z) / (one.sd() * one.sd());
                above += w * one.mean() * left[i];
                below += w * one.mean() * one.mean();
            }
            f = above / below;
        }
        double[] logs = new double[n];
        for (int i = 0; i < n; i++) {
            Seen one = seen.get(i);
            logs[i] = density.log10((left[i] - f * one.mean()) / one.sd(), 1);
        }
        return logs;
    }

    // What the control soils alone say: reweighted least squares, without the grid.
    private Weighed first(int other, List<Seen> seen, double[] x, double proportion, double[] none) {
        double amount = 0;
        for (int round = 0; round < 3 * ROUNDS; round++) {
            double above = 0;
            double below = 0;
            for (int i = 0; i < x.length; i++) {
                Seen one = seen.get(i);
                double lever = x[i] - proportion * one.mean();
                double z = (one.off() - amount * lever) / one.sd();
                double w = (freedom + 1) / (freedom + z * z) / (one.sd() * one.sd());
                above += w * lever * one.off();
                below += w * lever * lever;
            }
            amount = below > 0 ? Math.max(0, above / below) : 0;
        }
        double log10 = sum(controls(seen, amount, x, proportion, false)) - sum(none);
        return new Weighed(other, amount, 0, log10, 0, OrdinarySoils.Said.NOTHING);
    }

    /** Of which sign an amount may be, and whether the run may have a factor of its own beside it. */
    private enum Kind {
        ELEMENT(0, 1, false),
        SAME_IN_EVERY_TUBE(-1, 1, true),
        BLANK_TOO_HIGH(-1, 0, true);

        final double from;
        final double to;
        final boolean factor;

        Kind(double from, double to, boolean factor) {
            this.from = from;
            this.to = to;
            this.factor = factor;
        }
    }

    // The likeliest amount, over a grid.
    private Weighed weigh(
            int other,
            List<Seen> seen,
            double[] x,
            double proportion,
            double[] none,
            OrdinarySoils.Said said,
            Kind kind,
            double atMost) {
        double most = said.soils() > 0 ? Math.abs(said.amount()) + 3 * said.sd() : 0;
        for (int i = 0; i < x.length; i++) {
            Seen one = seen.get(i);
            double lever = Math.abs(x[i] - proportion * one.mean());
            if (lever > 0) {
                most = Math.max(most, Math.min(1.5 * Math.abs(one.off()) / lever, one.mean() / lever));
            }
        }
        most = Math.min(most, atMost);
        double step = most * (kind.to - kind.from) / STEPS;
        double start = sum(none);
        double[] totals = new double[STEPS + 1];
        double log10 = Double.NEGATIVE_INFINITY;
        double[] logs = none;
        int at = 0;
        for (int i = 0; i <= STEPS; i++) {
            double amount = kind.from * most + i * step;
            double[] each = controls(seen, amount, x, proportion, kind.factor);
            totals[i] = sum(each) - start + said.log10(amount);
            if (totals[i] > log10) {
                log10 = totals[i];
                logs = each;
                at = i;
            }
        }
        double carried = 0;
        for (int i = 0; i < logs.length; i++) {
            carried = Math.max(carried, logs[i] - none[i]);
        }
        return new Weighed(other, kind.from * most + at * step, width(totals, at) * step, log10, carried, said);
    }

    // Steps to where the likelihood has fallen to that of one standard deviation, on the side where that is farther.
    private static double width(double[] totals, int at) {
        double fallen = totals[at] - 0.5 * LOG10_E;
        int from = at;
        int to = at;
        while (from > 0 && totals[from] > fallen) {
            from--;
        }
        while (to < STEPS && totals[to] > fallen) {
            to++;
        }
        return Math.max(to - at, at - from);
    }

    private static double sum(double[] values) {
        double sum = 0;
        for (double value : values) {
            sum += value;
        }
        return sum;
    }
}
