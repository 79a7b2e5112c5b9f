package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.charts.RuleSet;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.statistics.Quantiles;

/**
 * Control soils that passed one by one and lie off together: within a run, and over all runs of an instrument on one day.
 *
 * <p>What is judged is the mean of their distances z in standard deviations. With a share r of the variance common to each run, n_i results behind
 * material i, k control soils, k_i of material i and k_j in run j, its variance without a fault is
 * {@code r sum (k_j/k)^2 + (1 - r)/k + sum (k_i/k)^2 / n_i}, and it is compared with Student's t of the fewest degrees among the materials. Every
 * mean of the day has the same chance of a false alarm, {@link Setting#CONTROL_DAY_FALSE_ALARMS} divided by the number of means, so that this is the
 * number expected in the whole day, however they hang together. Run rules that are broken are named beside it; they decide nothing,
 * because their rates hold for independent results.
 */
final class ControlsTogether {
    private static final RuleSet RULES = RuleSet.multirule();

    private final Policy policy;
    private final Map<String, Run> runs = new HashMap<>();
    private final Map<String, References> references = new HashMap<>();
    private final Day day;
    /** Of Student's t at the chance of the day, by degrees of freedom. */
    private final Map<Integer, Double> quantiles = new HashMap<>();

    private double chance;
    private int means;

    private ControlsTogether(Day day) {
        this.day = day;
        policy = day.laboratory().policy();
        day.runs().forEach(run -> runs.put(run.run(), run));
    }

    /** The control soils of one analyte that are judged together. */
    private record Group(String method, String instrument, String run, String analyte) {
        boolean isOfDay() {
            return run.isEmpty();
        }
    }

    private record Off(Group group, List<ControlValue> values, double mean, double limit) {}

    static List<ControlTrend> of(Day day, List<ControlValue> values) {
        return new ControlsTogether(day).trends(values);
    }

    private List<ControlTrend> trends(List<ControlValue> values) {
        Map<Group, List<ControlValue>> groups = groups(values);
        means = groups.size();
        chance = Math.min(
                policy.number(Setting.CONTROL_TREND_HIGHEST_CHANCE),
                policy.number(Setting.CONTROL_DAY_FALSE_ALARMS) / Math.max(1, means));
        List<Off> off = new ArrayList<>();
        groups.forEach((group, own) -> judge(group, own).ifPresent(off::add));
        // Where a run says it by itself, the day's mean says nothing more.
        Set<List<String>> said = new HashSet<>();
        off.stream().filter(one -> !one.group().isOfDay()).forEach(one -> said.add(lane(one.group())));
        Map<List<String>, List<Off>> together = new LinkedHashMap<>();
        for (Off one : off) {
            if (!one.group().isOfDay() || !said.contains(lane(one.group()))) {
                together.computeIfAbsent(
                                List.of(
                                        one.group().method(),
                                        one.group().instrument(),
                                        one.group().run(),
                                        severe(one) ? "hold" : "look"),
                                key -> new ArrayList<>())
                        .add(one);
            }
        }
        return together.values().stream()
                .map(this::trend)
                .sorted(Comparator.comparing(trend -> trend.severe() ? 0 : 1))
                .toList();
    }

    private static List<String> lane(Group group) {
        return List.of(group.method(), group.instrument(), group.analyte());
    }

    private Map<Group, List<ControlValue>> groups(List<ControlValue> values) {
        Map<Group, List<ControlValue>> groups = new LinkedHashMap<>();
        Map<Group, Set<String>> runsOf = new HashMap<>();
        for (ControlValue value : values) {
            Run run = runs.get(value.run());
            if (run == null || !value.rules().isEmpty() || material(value).isEmpty()) {
                continue;
            }
            Group within = new Group(value.method(), run.instrument(), run.run(), value.analyte());
            Group over = new Group(value.method(), run.instrument(), "", value.analyte());
            groups.computeIfAbsent(within, key -> new ArrayList<>()).add(value);
            groups.computeIfAbsent(over, key -> new ArrayList<>()).add(value);
            runsOf.computeIfAbsent(over, key -> new HashSet<>()).add(run.run());
        }
        groups.entrySet()
                .removeIf(one -> one.getValue().size() < policy.whole(Setting.CONTROL_LEAST_TOGETHER)
                        || one.getKey().isOfDay()
                                && runsOf.getOrDefault(one.getKey(), Set.of()).size() < 2);
        return groups;
    }

    private Optional<Off> judge(Group group, List<ControlValue> own) {
        double k = own.size();
        Map<String, Integer> ofRun = new HashMap<>();
        Map<String, Integer> ofMaterial = new HashMap<>();
        Map<String, Integer> behind = new HashMap<>();
        double mean = 0;
        for (ControlValue value : own) {
            mean += value.z() / k;
            ofRun.merge(value.run(), 1, Integer::sum);
            ofMaterial.merge(value.material(), 1, Integer::sum);
            behind.put(
                    value.material(),
                    material(value).map(Material::n).orElseThrow().orElse(assigned()));
        }
        double common = policy.number(Setting.CONTROL_RUN_SHARE);
        double variance = (1 - common) / k;
        for (int one : ofRun.values()) {
            variance += common * (one / k) * (one / k);
        }
        int fewest = Integer.MAX_VALUE;
        for (Map.Entry<String, Integer> one : ofMaterial.entrySet()) {
            int n = behind.getOrDefault(one.getKey(), assigned());
            variance += one.getValue() / k * (one.getValue() / k) / n;
            fewest = Math.min(fewest, n);
        }
        double quantile = quantiles.computeIfAbsent(fewest - 1, degrees -> Quantiles.t(chance / 2, degrees));
        double limit = -quantile * Math.sqrt(variance);
        return Math.abs(mean) > limit ? Optional.of(new Off(group, own, mean, limit)) : Optional.empty();
    }

    private int assigned() {
        return policy.whole(Setting.CONTROL_TREND_ASSIGNED_RUNS);
    }

    private Optional<Material> material(ControlValue value) {
        return references
                .computeIfAbsent(
                        value.method(),
                        method -> References.of(method, day.standards(), day.materials(), day.history(), policy))
                .material(value.material(), value.analyte());
    }

    private boolean severe(Off off) {
        return Math.abs(off.mean()) >= policy.number(Setting.CONTROL_TREND_SEVERE);
    }

    private ControlTrend trend(List<Off> off) {
        Group group = off.get(0).group();
        Set<String> touched = new LinkedHashSet<>();
        off.forEach(one -> one.values().forEach(value -> touched.add(value.run())));
        String last = touched.stream()
                .map(runs::get)
                .max(Comparator.comparing((Run run) -> run.startedAt().toInstant())
                        .thenComparing(Run::run))
                .orElseThrow()
                .run();
        boolean severe = severe(off.get(0));
        String evidence = "Control soils that passed one by one lie off together "
                + (group.isOfDay() ? "over the day's runs of " + group.instrument() : "in this run") + ": "
                + String.join("; ", off.stream().map(ControlsTogether::phrase).toList()) + ". "
                + text(chance * means, 2) + " such false alarms are expected in a day of " + means
                + (means == 1 ? " mean." : " means.");
        return new ControlTrend(
                last,
                group.method(),
                group.instrument(),
                off.stream().map(one -> one.group().analyte()).toList(),
                touched,
                severe,
                evidence,
                "Look for what all of them share on " + group.instrument()
                        + " (standards, extractant, scoop, calibration)"
                        + (severe
                                ? " and put it right, then read these soils again; they are held."
                                : " before the next run; nothing is held."),
                off.stream()
                        .map(one -> new Measure(
                                Measure.Kind.CONTROL_TREND,
                                one.group().analyte(),
                                "",
                                0,
                                one.mean(),
                                OptionalDouble.of(-one.limit()),
                                OptionalDouble.of(one.limit()),
                                "SD"))
                        .sorted(Measure.FURTHEST_FIRST)
                        .toList());
    }

    private static String phrase(Off off) {
        double[] z = off.values().stream()
                .sorted(Comparator.comparing(ControlValue::run).thenComparingInt(ControlValue::position))
                .mapToDouble(ControlValue::z)
                .toArray();
        Set<String> broken = new LinkedHashSet<>();
        RULES.broken(z).forEach(broken::addAll);
        return off.group().analyte() + " " + (off.mean() < 0 ? "−" : "+") + text(Math.abs(off.mean()), 2)
                + " standard deviations, mean of " + z.length + " (limit " + text(off.limit(), 3)
                + (broken.isEmpty() ? "" : "; rules " + String.join(", ", broken)) + ")";
    }
}
