package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlChart;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.FrozenLimits;
import org.tenmesh.core.charts.RuleSet;
import org.tenmesh.core.charts.SmallShiftRule;
import org.tenmesh.core.charts.Together;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.reduction.Run;

/**
 * What the charts of control soils say beyond the limit of a single value: a small shift that goes on from run to run, and analytes of one
 * control that do not agree with each other as they always did.
 *
 * <p>The rate of false alarms is the policy's: a point that is the mean of n control soils, one of m analytes, has n/m of the chance that one
 * control soil has over all its analytes. A finding of one instrument and method is one cause. It touches nobody and its verdict is fit,
 * so that somebody looks while single controls still pass; only where the mean distance since the shift began is {@link Setting#CONTROL_TREND_SEVERE} standard
 * deviations or more, as large as the expanded uncertainty that results carry, it holds what that instrument read today.
 */
public final class ControlTrends {
    private static final RuleSet RULES = RuleSet.multirule();
    private static final int NAMED = 4;
    private static final DateTimeFormatter DATE = DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);

    private ControlTrends() {}

    /** The day with its trends among what was found: those of the day by itself, then those since earlier days where any are known. */
    static Judging on(Day day, Judging judged, List<ControlValue> controlValues) {
        List<ControlTrend> trends = new ArrayList<>(ControlsTogether.of(day, controlValues));
        if (!day.history().isEmpty()) {
            trends.addAll(of(
                    day.history(),
                    entries(day.runs(), controlValues),
                    day.materials(),
                    day.laboratory().policy()));
        }
        return trends.isEmpty() ? judged : with(judged, trends);
    }

    /** Control values of a day as the history takes them. */
    public static List<ChartValue> entries(List<Run> runs, List<ControlValue> values) {
        Map<String, Run> byName = new HashMap<>();
        runs.forEach(run -> byName.put(run.run(), run));
        // A run that starts after midnight belongs to the laboratory day before.
        LocalDate day = runs.stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElse(LocalDate.MIN);
        List<ChartValue> entries = new ArrayList<>();
        for (ControlValue value : values) {
            Run run = byName.get(value.run());
            if (run != null && Double.isFinite(value.value())) {
                entries.add(new ChartValue(
                        new ChartKey(value.material(), value.method(), value.analyte(), run.instrument()),
                        day,
                        run.startedAt(),
                        value.run(),
                        value.position(),
                        value.value(),
                        !value.rules().isEmpty()));
            }
        }
        return entries;
    }

    /**
     * What the charts say of today.
     *
     * @param history of earlier days; what is from today or later in it is passed over
     * @param today control values of today
     * @param materials what the laboratory states, for charts whose history is too short for limits
     * @return by method and instrument, those that hold results first
     */
    public static List<ControlTrend> of(
            ControlHistory history, List<ChartValue> today, List<Material> materials, Policy policy) {
        Optional<LocalDate> first = today.stream().map(ChartValue::day).min(Comparator.naturalOrder());
        if (first.isEmpty()) {
            return List.of();
        }
        ControlHistory earlier = history.before(first.get());
        List<ControlChart> charts = charts(earlier.with(today), first.get(), materials, policy);
        Map<String, List<ChartValue>> byInstrument = new TreeMap<>();
        today.forEach(entry -> byInstrument
                .computeIfAbsent(instrument(entry.key()), key -> new ArrayList<>())
                .add(entry));
        List<ControlTrend> trends = new ArrayList<>();
        Map<Double, SmallShiftRule> rules = new HashMap<>();
        byInstrument.forEach((instrument, entries) -> {
            List<ControlChart> own = charts.stream()
                    .filter(chart -> instrument(chart.key()).equals(instrument))
                    .toList();
            new Instrument(first.get(), policy, entries, own, earlier, rules)
                    .trends()
                    .forEach(trends::add);
        });
        trends.sort(Comparator.comparing(trend -> trend.severe() ? 0 : 1));
        return trends;
    }

    /** Charts with the limits that hold on a day: from history, else what the laboratory states of its materials. */
    public static List<ControlChart> charts(
            ControlHistory history, LocalDate day, List<Material> materials, Policy policy) {
        return history.charts(
                day,
                key -> materials.stream()
                        .filter(material -> material.material().equals(key.material())
                                && material.method().equals(key.method())
                                && material.analyte().equals(key.analyte())
                                && material.sd() > 0)
                        .findFirst()
                        .map(material -> new FrozenLimits(
                                key,
                                day,
                                material.mean(),
                                // How much of it is within runs is not stated: taken as all between, a mean of several
                                // values is never judged
                                // too sharply.
                                material.sd(),
                                0,
                                material.n().orElse(policy.whole(Setting.CONTROL_TREND_ASSIGNED_RUNS)),
                                Math.max(2, material.n().orElse(policy.whole(Setting.CONTROL_TREND_ASSIGNED_RUNS))),
                                0,
                                0,
                                "assigned value",
                                "history is too short for limits of its own")));
    }

    /** The chance of a false alarm that a point has: the mean of so many control soils, one of so many analytes of each. */
    public static double falseAlarm(Policy policy, int values, int analytes) {
        return Math.min(
                policy.number(Setting.CONTROL_TREND_HIGHEST_CHANCE),
                policy.number(Setting.CONTROL_FALSE_ALARM) * values / Math.max(1, analytes));
    }

    private static String instrument(ChartKey key) {
        return key.method() + "\n" + key.instrument();
    }

    private static Judging with(Judging judged, List<ControlTrend> trends) {
        List<Found> found = new ArrayList<>(judged.found());
        List<Result> results = new ArrayList<>(judged.results());
        Map<String, Integer> numbers = new HashMap<>();
        for (ControlTrend trend : trends) {
            String id = trend.run() + "." + CauseKind.CONTROL_TREND.word() + "."
                    + numbers.merge(trend.run(), 1, Integer::sum);
            for (int i = 0; trend.severe() && i < results.size(); i++) {
                Result result = results.get(i);
                if (trend.runs().contains(result.run()) && trend.analytes().contains(result.analyte())) {
                    results.set(i, result.heldBy(id));
                }
            }
            found.add(Found.plain(
                            id,
                            CauseKind.CONTROL_TREND,
                            trend.severe() ? Verdict.HOLD : Verdict.FIT,
                            trend.run(),
                            trend.method(),
                            trend.analytes(),
                            0,
                            0,
                            trend.evidence(),
                            trend.action())
                    .with(trend.measures()));
        }
        return new Judging(results, found);
    }

    /** One instrument under one method. */
    private record Instrument(
            LocalDate day,
            Policy policy,
            List<ChartValue> today,
            List<ControlChart> charts,
            ControlHistory earlier,
            Map<Double, SmallShiftRule> rules) {
        private record Shown(ControlChart chart, ControlChart.Shift shift) {
            double force() {
                return Math.abs(shift.average()) / shift.limit();
            }
        }

        List<ControlTrend> trends() {
            List<ControlTrend> trends = new ArrayList<>();
            Map<String, List<Shown>> shown = shown();
            addShifts(shown, true, trends);
            addShifts(shown, false, trends);
            together().ifPresent(trends::add);
            return trends;
        }

        private Map<String, List<Shown>> shown() {
            int analytes = (int) charts.stream()
                    .map(chart -> chart.key().analyte())
                    .distinct()
                    .count();
            Map<String, List<Shown>> shown = new LinkedHashMap<>();
            for (ControlChart chart : charts) {
                List<ControlChart.Point> accepted = chart.accepted();
                if (accepted.isEmpty()
                        || accepted.get(accepted.size() - 1).day().isBefore(day)) {
                    continue;
                }
                int values = accepted.get(accepted.size() - 1).n();
                chart.shift(rules.computeIfAbsent(falseAlarm(policy, values, analytes), SmallShiftRule::of))
                        .ifPresent(shift -> shown.computeIfAbsent(chart.key().analyte(), symbol -> new ArrayList<>())
                                .add(new Shown(chart, shift)));
            }
            return shown;
        }

        private void addShifts(Map<String, List<Shown>> shown, boolean severe, List<ControlTrend> trends) {
            List<String> analytes = new ArrayList<>();
            List<String> phrases = new ArrayList<>();
            List<Measure> measures = new ArrayList<>();
            shown.forEach((analyte, several) -> {
                Shown worst = several.stream()
                        .max(Comparator.comparingDouble(Shown::force))
                        .orElseThrow();
                if (Math.abs(worst.shift().sds()) >= policy.number(Setting.CONTROL_TREND_SEVERE) == severe) {
                    analytes.add(analyte);
                    phrases.add(phrase(worst, several.size()));
                    measures.add(new Measure(
                            Measure.Kind.CONTROL_TREND,
                            analyte,
                            "",
                            0,
                            worst.shift().average(),
                            OptionalDouble.of(-worst.shift().limit()),
                            OptionalDouble.of(worst.shift().limit()),
                            "SD"));
                }
            });
            if (!analytes.isEmpty()) {
                trends.add(trend(
                        analytes,
                        severe,
                        "Control soils have moved, run by run: " + listed(phrases) + ".",
                        severe
                                ? "Find what changed then on " + name()
                                        + " (standards, extractant, scoop, instrument) and put it right, then read these"
                                        + " soils again; what was read today is held."
                                : "Look for what changed then on " + name()
                                        + " (standards, extractant, scoop, instrument) before the next run; single control"
                                        + " soils still pass and nothing is held.",
                        measures));
            }
        }

        private String phrase(Shown worst, int soils) {
            ControlChart.Shift shift = worst.shift();
            List<List<String>> broken = worst.chart().broken(RULES);
            Set<String> rules = new LinkedHashSet<>(broken.get(broken.size() - 1));
            return worst.chart().key().analyte() + " " + signed(shift.sds()) + " standard deviations since "
                    + DATE.format(shift.since().day()) + ", "
                    + (shift.points() == 1 ? "1 run" : shift.points() + " runs")
                    + (soils > 1 ? ", in " + soils + " control soils" : "") + " (weighted average "
                    + signed(shift.average()) + ", limit " + text(shift.limit(), 3)
                    + (rules.isEmpty() ? "" : "; rules " + String.join(", ", rules)) + ")";
        }

        private String name() {
            return charts.get(0).key().instrument();
        }

        private static String signed(double value) {
            return (value < 0 ? "−" : "+") + text(Math.abs(value), 2);
        }

        private static String listed(List<String> phrases) {
            String named = String.join("; ", phrases.subList(0, Math.min(NAMED, phrases.size())));
            return phrases.size() > NAMED ? named + "; and " + (phrases.size() - NAMED) + " more" : named;
        }

        private ControlTrend trend(
                List<String> analytes, boolean severe, String evidence, String action, List<Measure> measures) {
            ChartValue last = today.stream()
                    .max(Comparator.comparing((ChartValue entry) -> entry.at().toInstant())
                            .thenComparing(ChartValue::run))
                    .orElseThrow();
            Set<String> runs = new HashSet<>();
            today.forEach(entry -> runs.add(entry.run()));
            return new ControlTrend(
                    last.run(),
                    last.key().method(),
                    last.key().instrument(),
                    analytes,
                    runs,
                    severe,
                    evidence,
                    action,
                    measures.stream().sorted(Measure.FURTHEST_FIRST).toList());
        }

        /** Controls of today whose analytes do not agree with each other as those of earlier days did. */
        private Optional<ControlTrend> together() {
            Set<String> symbols = new LinkedHashSet<>();
            charts.forEach(chart -> symbols.add(chart.key().analyte()));
            if (symbols.size() < 2) {
                return Optional.empty();
            }
            List<String> analytes = List.copyOf(symbols);
            Set<String> materials = new LinkedHashSet<>();
            today.forEach(entry -> materials.add(entry.key().material()));
            int strange = 0;
            int all = 0;
            double least = 1;
            for (String material : materials) {
                double[][] past = vectors(earlier.entries().stream(), material, analytes);
                if (past.length
                        < Math.max(
                                policy.whole(Setting.CONTROL_TREND_LEAST_VECTORS),
                                policy.whole(Setting.CONTROL_TREND_VECTORS_PER_ANALYTE) * analytes.size())) {
                    continue;
                }
                List<Integer> kept = Together.independent(past, policy.number(Setting.CONTROL_TREND_OWN_SHARE));
                if (kept.size() < 2) {
                    continue;
                }
                Together.Residual residual = Together.Residual.of(only(past, kept));
                for (double[] vector : only(vectors(today.stream(), material, analytes), kept)) {
                    double chance = residual.chance(residual.tSquared(vector));
                    all++;
                    strange += chance < policy.number(Setting.CONTROL_FALSE_ALARM) ? 1 : 0;
                    least = Math.min(least, chance);
                }
            }
            if (strange == 0) {
                return Optional.empty();
            }
            return Optional.of(trend(
                    analytes,
                    false,
                    "In " + strange + " of " + all
                            + " control soils that passed, the results of one portion do not hang"
                            + " together as they did on earlier days (joint residual, chance " + text(least, 1)
                            + ", limit " + text(policy.number(Setting.CONTROL_FALSE_ALARM), 2) + ").",
                    "Look at what moves analytes apart on " + name()
                            + " (a line's background, an interference, a standard) before the next run; nothing is held.",
                    List.of()));
        }

        private double[][] vectors(Stream<ChartValue> entries, String material, List<String> analytes) {
            Map<String, double[]> byPlace = new LinkedHashMap<>();
            Map<String, Integer> found = new HashMap<>();
            entries.filter(entry -> !entry.failed()
                            && entry.key().material().equals(material)
                            && entry.key().method().equals(charts.get(0).key().method())
                            && entry.key().instrument().equals(name()))
                    .forEach(entry -> {
                        int column = analytes.indexOf(entry.key().analyte());
                        if (column >= 0) {
                            String place = entry.day() + " " + entry.run() + " " + entry.position();
                            byPlace.computeIfAbsent(place, key -> new double[analytes.size()])[column] = entry.value();
                            found.merge(place, 1, Integer::sum);
                        }
                    });
            return byPlace.entrySet().stream()
                    .filter(entry -> found.getOrDefault(entry.getKey(), 0) == analytes.size())
                    .map(Map.Entry::getValue)
                    .toArray(double[][]::new);
        }

        private static double[][] only(double[][] rows, List<Integer> columns) {
            return Stream.of(rows)
                    .map(row ->
                            columns.stream().mapToDouble(column -> row[column]).toArray())
                    .toArray(double[][]::new);
        }
    }
}
