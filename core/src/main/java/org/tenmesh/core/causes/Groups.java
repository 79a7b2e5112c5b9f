package org.tenmesh.core.causes;

import static org.tenmesh.core.quantity.Significant.text;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
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
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.IntFunction;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.GroupEffects;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.Quantiles;

/**
 * The day as an instrument: differences between probes, balances, detectors, instruments, people, wells and hours, from ordinary
 * soils and from the control soils each of them read. The share of false ones among those told is controlled for each kind of group
 * (Benjamini and Hochberg 1995, J. R. Statist. Soc. B 57:289).
 */
final class Groups {
    private static final double NINETY_FIVE = 1.959964;
    /** Groups that every client's soils are shared out to. */
    private static final Set<String> INTERLEAVED = Set.of("channel", "well");

    private static final double MANY = 1000;

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final Map<String, References> references;
    private final Map<LabNumber, String> controls;
    private final ZoneId zone;
    private final Policy policy;
    private final Reuse reuse;
    private final Questions questions;
    private final Map<Long, String> hours = new ConcurrentHashMap<>();
    private final List<Found> found = new ArrayList<>();
    /** The middle of each column of the day. */
    private final Map<Integer, Double> middles = new HashMap<>();

    private record Found(GroupDifference difference, MethodSoils method, int column, int[] rows) {}

    Groups(
            DaySoils soils,
            List<RunStage> runs,
            Map<String, References> references,
            Map<LabNumber, String> controls,
            String zone,
            Policy policy,
            Reuse reuse,
            Questions questions) {
        this.questions = questions;
        this.reuse = reuse;
        this.soils = soils;
        this.runs = runs;
        this.references = references;
        this.controls = controls;
        this.zone = zone(zone);
        this.policy = policy;
        for (MethodSoils method : soils.methods()) {
            for (int c = 0; c < method.own.length; c++) {
                middles.put(method.own[c], soils.middle(method, c));
            }
        }
    }

    private static ZoneId zone(String name) {
        return ZoneId.getAvailableZoneIds().contains(name) ? ZoneId.of(name) : ZoneOffset.UTC;
    }

    /** @param asked methods that are asked about */
    void judge(List<DayRelations.Learnt> agreements, Predicate<MethodSoils> asked) {
        soils.settleColumns();
        IntStream.range(0, agreements.size())
                .filter(m -> asked.test(soils.methods().get(m)))
                .parallel()
                .mapToObj(m -> questions.ask(
                        "all places read alike",
                        RunStage.names(runs, soils.methods().get(m).method),
                        () -> compared(soils.methods().get(m), agreements.get(m)),
                        List::<Found>of))
                .toList()
                .forEach(found::addAll);
        Map<String, List<Integer>> families = new TreeMap<>();
        for (int i = 0; i < found.size(); i++) {
            families.computeIfAbsent(found.get(i).difference().kind(), kind -> new ArrayList<>())
                    .add(i);
        }
        families.values().forEach(this::tellReal);
    }

    private record Compared(List<Found> found) {}

    /** The groups of one method's soils, in a fixed order. */
    private List<Found> compared(MethodSoils method, DayRelations.Learnt learnt) {
        if (!learnt.agreement().isFitted()) {
            return List.of();
        }
        String key = "";
        if (reuse.keeps()) {
            key = reuse.key(
                    "compared",
                    learnt.key(),
                    soils.layoutKey(),
                    soils.valuesKey(method),
                    method.placesKey(runs, reuse),
                    reuse.digestOf(references.get(method.method.id())),
                    reuse.digest(controls),
                    zone);
        }
        return reuse
                .piece(Compared.class, key, () -> {
                    List<Comparison> comparisons = new ArrayList<>();
                    comparisons(method, learnt.agreement(), comparisons);
                    return new Compared(comparisons.stream()
                            .flatMap(one -> compare(one).stream())
                            .toList());
                })
                .found()
                .stream()
                .map(one -> new Found(one.difference(), method, one.column(), one.rows()))
                .toList();
    }

    /** Everything that was compared, in a fixed order. */
    List<GroupDifference> differences() {
        return found.stream().map(Found::difference).toList();
    }

    /** Groups of one method's soils, in the order of their names, that are to be compared. */
    private record Comparison(
            String kind,
            MethodSoils method,
            Agreement agreement,
            Map<String, List<Integer>> groups,
            UnaryOperator<String> naming,
            String instrument) {}

    private void comparisons(MethodSoils method, Agreement agreement, List<Comparison> to) {
        Map<String, Map<String, List<Integer>>> byInstrument = new TreeMap<>();
        for (int row = 0; row < soils.size(); row++) {
            if (method.runOf[row] >= 0 && !method.channelOf[row].isEmpty()) {
                byInstrument
                        .computeIfAbsent(run(method.runOf[row]).instrument(), name -> new TreeMap<>())
                        .computeIfAbsent(method.channelOf[row], channel -> new ArrayList<>())
                        .add(row);
            }
        }
        byInstrument.forEach((instrument, channels) -> to.add(
                new Comparison("channel", method, agreement, channels, name -> instrument + " " + name, instrument)));
        Map<String, Map<String, List<Integer>>> groups = new LinkedHashMap<>();
        groups.put("instrument", grouped(method, row -> run(method.runOf[row]).instrument()));
        groups.put(
                "operator",
                grouped(method, row -> run(method.runOf[row]).operator().orElse("")));
        groups.put("well", grouped(method, row -> soils.trayOf(row) < 0 ? "" : new Well(soils.wellOf(row)).toString()));
        Map<Integer, long[]> times = new HashMap<>();
        groups.put("hour", grouped(method, row -> hour(method, row, times)));
        groups.forEach((kind, of) -> to.add(new Comparison(kind, method, agreement, of, name -> name, "")));
    }

    private String hour(MethodSoils method, int row, Map<Integer, long[]> times) {
        long[] at = times.computeIfAbsent(method.runOf[row], r -> {
            Readings readings = run(r).readings();
            int last = 0;
            for (int i = 0; i < readings.size(); i++) {
                last = Math.max(last, readings.position(i));
            }
            long[] of = new long[last + 1];
            for (int i = 0; i < readings.size(); i++) {
                of[readings.position(i)] = readings.atMillis(i);
            }
            return of;
        });
        // No zone's hours begin within a quarter of an hour.
        return hours.computeIfAbsent(
                Math.floorDiv(at[method.positionOf[row]], (policy.whole(Setting.GROUP_PERIOD) * 60_000L)),
                quarter -> String.format(
                        "%02d h",
                        Instant.ofEpochMilli(quarter * (policy.whole(Setting.GROUP_PERIOD) * 60_000L))
                                .atZone(zone)
                                .getHour()));
    }

    private org.tenmesh.core.reduction.Run run(int index) {
        return runs.get(index).judgement().reduced().run();
    }

    private Map<String, List<Integer>> grouped(MethodSoils method, IntFunction<String> nameOfRow) {
        Map<String, List<Integer>> groups = new TreeMap<>();
        for (int row = 0; row < soils.size(); row++) {
            if (method.runOf[row] >= 0) {
                String name = nameOfRow.apply(row);
                if (!name.isEmpty()) {
                    groups.computeIfAbsent(name, key -> new ArrayList<>()).add(row);
                }
            }
        }
        return groups;
    }

    private List<Found> compare(Comparison comparison) {
        String kind = comparison.kind();
        MethodSoils method = comparison.method();
        Map<String, List<Integer>> kept = new LinkedHashMap<>();
        comparison.groups().forEach((name, rows) -> {
            if (rows.size() >= policy.whole(Setting.GROUP_LEAST_SOILS)) {
                kept.put(name, rows);
            }
        });
        int k = kept.size();
        if (k < 2) {
            return List.of();
        }
        int[] groupOf = new int[soils.size()];
        Arrays.fill(groupOf, -1);
        List<String> names = new ArrayList<>(kept.keySet());
        for (int g = 0; g < k; g++) {
            for (int row : kept.getOrDefault(names.get(g), List.of())) {
                groupOf[row] = g;
            }
        }
        GroupEffects effects = GroupEffects.of(comparison.agreement(), groupOf, k);
        KnownMeans known = kind.equals("channel")
                ? known(method, comparison.instrument(), names)
                : new KnownMeans(k, method.own.length);
        List<Found> all = new ArrayList<>();
        for (int g = 0; g < k; g++) {
            int[] rows = kept.getOrDefault(names.get(g), List.of()).stream()
                    .mapToInt(row -> row)
                    .toArray();
            double[] of = new double[k];
            double others = 0;
            for (int h = 0; h < k; h++) {
                others +=
                        h == g ? 0 : kept.getOrDefault(names.get(h), List.of()).size();
            }
            for (int h = 0; h < k; h++) {
                of[h] = h == g ? 1 : -kept.getOrDefault(names.get(h), List.of()).size() / others;
            }
            GroupEffects.Contrast contrast = effects.contrast(of);
            double freedom = INTERLEAVED.contains(kind) ? MANY : clients(groupOf, g) - 1;
            for (int c = 0; c < method.own.length; c++) {
                Found one = found(
                        kind,
                        comparison.naming().apply(names.get(g)),
                        method,
                        c,
                        rows,
                        joined(contrast, known, of, c),
                        freedom);
                // Groups whose soils say nothing of their difference are not compared: it could be anything.
                if (isKnown(one.difference())) {
                    all.add(one);
                }
            }
        }
        return all;
    }

    private static boolean isKnown(GroupDifference difference) {
        return Double.isFinite(difference.size())
                && Double.isFinite(difference.low())
                && Double.isFinite(difference.high())
                && Double.isFinite(difference.log10Chance());
    }

    // Whatever reads whole clients one after the other is compared over clients: the fewer on either side decide.
    private int clients(int[] groupOf, int group) {
        Set<Integer> inside = new HashSet<>();
        Set<Integer> outside = new HashSet<>();
        for (int row = 0; row < groupOf.length; row++) {
            if (groupOf[row] >= 0 && soils.client(row) >= 0) {
                (groupOf[row] == group ? inside : outside).add(soils.client(row));
            }
        }
        return Math.max(2, Math.min(inside.size(), outside.size()));
    }

    private record Estimate(double size, double sd) {}

    // Soils and control soils tell of the same difference independently: each counts by its precision.
    private static Estimate joined(GroupEffects.Contrast contrast, KnownMeans known, double[] of, int column) {
        double size = contrast.size()[column];
        double variance = contrast.sd()[column] * contrast.sd()[column];
        double knownSize = 0;
        double knownVariance = 0;
        for (int g = 0; g < of.length; g++) {
            double precision = known.precision[g][column];
            if (!(precision > 0)) {
                return new Estimate(size, Math.sqrt(variance));
            }
            knownSize += of[g] * known.sum[g][column] / precision;
            knownVariance += of[g] * of[g] / precision;
        }
        double whole = 1 / variance + 1 / knownVariance;
        return new Estimate((size / variance + knownSize / knownVariance) / whole, Math.sqrt(1 / whole));
    }

    /** Deviations of control soils from their materials, for each group and column: sums weighted by precision. */
    private static final class KnownMeans {
        final double[][] sum;
        final double[][] precision;

        KnownMeans(int groups, int columns) {
            sum = new double[groups][columns];
            precision = new double[groups][columns];
        }
    }

    private KnownMeans known(MethodSoils method, String instrument, List<String> channels) {
        KnownMeans means = new KnownMeans(channels.size(), method.own.length);
        References known = references.get(method.method.id());
        for (RunStage stage : runs) {
            RunJudgement run = stage.judgement();
            if (known == null
                    || !run.reduced().run().instrument().equals(instrument)
                    || !run.reduced().method().id().equals(method.method.id())) {
                continue;
            }
            for (Determination d : run.reduced().determinations()) {
                Optional<String> material = d.role() == Role.CONTROL
                        ? Optional.of(d.identity())
                        : d.role() == Role.SAMPLE
                                ? Optional.ofNullable(controls.get(new LabNumber(d.identity())))
                                : Optional.empty();
                int g = channels.indexOf(d.channel());
                Optional<Material> expected = material.flatMap(name -> known.material(name, d.analyte()));
                if (g < 0
                        || d.flaw() != Flaw.NONE
                        || expected.isEmpty()
                        || !(expected.get().sd() > 0)) {
                    continue;
                }
                for (int c = 0; c < method.own.length; c++) {
                    if (method.analytes.get(c).symbol().equals(d.analyte())) {
                        double sd = method.isPh(c)
                                ? expected.get().sd()
                                : expected.get().sd() / (expected.get().mean() + method.floor[c]);
                        double off = method.scaled(c, d.amount().raw())
                                - method.scaled(c, expected.get().mean());
                        // One control soil far out, for whatever reason, must not speak for its channel.
                        double clipped = Math.max(-3 * sd, Math.min(3 * sd, off));
                        means.sum[g][c] += clipped / (sd * sd);
                        means.precision[g][c] += 1 / (sd * sd);
                    }
                }
            }
        }
        return means;
    }

    private Found found(
            String kind, String group, MethodSoils method, int column, int[] rows, Estimate estimate, double freedom) {
        double middle = middle(method, column);
        double at = method.unscaled(column, middle);
        Analyte analyte = method.analytes.get(column);
        double z = Math.abs(estimate.size() / estimate.sd());
        double chance = freedom >= MANY ? 2 * Quantiles.normalBelow(-z) : Quantiles.fAbove(z * z, 1, freedom);
        double half = estimate.sd() * (freedom >= MANY ? NINETY_FIVE : Quantiles.t(0.975, freedom));
        return new Found(
                new GroupDifference(
                        kind,
                        group,
                        method.method.id(),
                        analyte.symbol(),
                        method.unscaled(column, middle + estimate.size()) - at,
                        method.unscaled(column, middle + estimate.size() - half) - at,
                        method.unscaled(column, middle + estimate.size() + half) - at,
                        analyte.unit().spelling(),
                        rows.length,
                        Math.log10(Math.max(chance, 1e-300)),
                        false),
                method,
                column,
                rows);
    }

    private double middle(MethodSoils method, int column) {
        return middles.getOrDefault(method.own[column], 0.0);
    }

    private void tellReal(List<Integer> family) {
        List<Integer> rising = new ArrayList<>(family);
        rising.sort(Comparator.comparingDouble(i -> found.get(i).difference().log10Chance()));
        int told = 0;
        for (int i = 0; i < rising.size(); i++) {
            double allowed = Math.log10(policy.number(Setting.FALSE_DISCOVERIES) * (i + 1) / rising.size());
            if (found.get(rising.get(i)).difference().log10Chance() <= allowed) {
                told = i + 1;
            }
        }
        for (int i = 0; i < told; i++) {
            Found one = found.get(rising.get(i));
            GroupDifference d = one.difference();
            found.set(
                    rising.get(i),
                    new Found(
                            new GroupDifference(
                                    d.kind(),
                                    d.group(),
                                    d.method(),
                                    d.analyte(),
                                    d.size(),
                                    d.low(),
                                    d.high(),
                                    d.unit(),
                                    d.soils(),
                                    d.log10Chance(),
                                    true),
                            one.method(),
                            one.column(),
                            one.rows()));
        }
    }

    /** Probes, balances and detectors that read apart by an amount that matters: of each instrument the one that stands out most. */
    List<DayFinding> findings() {
        Map<String, Found> worst = new LinkedHashMap<>();
        for (Found one : found) {
            GroupDifference d = one.difference();
            if (d.told()
                    && d.kind().equals("channel")
                    && -d.log10Chance() >= policy.number(Setting.CHANNEL_EVIDENCE)
                    && matters(one)) {
                String instrument = d.method() + " "
                        + run(one.method().runOf[one.rows()[0]]).instrument();
                worst.merge(
                        instrument,
                        one,
                        (a, b) -> a.difference().log10Chance() <= b.difference().log10Chance() ? a : b);
            }
        }
        List<DayFinding> findings = new ArrayList<>();
        worst.values().forEach(one -> tell(one, findings));
        return findings;
    }

    private boolean matters(Found one) {
        return Math.abs(one.difference().size()) >= least(one);
    }

    // From this size on a difference matters.
    private double least(Found one) {
        Analyte analyte = one.method().analytes.get(one.column());
        References known = references.get(one.method().method.id());
        WithinLaboratory within =
                WithinLaboratory.of(analyte, known == null ? List.of() : known.materials(analyte.symbol()));
        double at = one.method().unscaled(one.column(), middle(one.method(), one.column()));
        double share = one.method().method instanceof IgnitionMethod
                ? policy.number(Setting.GROUP_MATTERS_BALANCE)
                : policy.number(Setting.GROUP_MATTERS);
        return share * within.sdAt(at);
    }

    private void tell(Found one, List<DayFinding> findings) {
        GroupDifference d = one.difference();
        String channel = one.method().channelOf[one.rows()[0]];
        boolean balance = one.method().method instanceof IgnitionMethod;
        String thing = balance ? "balance" : "probe";
        String size =
                text(Math.abs(d.size()), 2) + (d.unit().isEmpty() || d.unit().equals("[pH]") ? "" : " " + d.unit());
        String evidence = Character.toUpperCase(thing.charAt(0)) + thing.substring(1) + " " + channel + " reads "
                + d.analyte() + " " + size + " " + (d.size() > 0 ? "higher" : "lower")
                + " than the others of its instrument (95 % between " + text(d.low(), 2) + " and " + text(d.high(), 2)
                + "), from " + d.soils() + " soils with client, field and the soils' other results taken out"
                + (balance ? "; at the dry or at the ash weighing, which cannot be distinguished" : "") + ".";
        String action = balance
                ? "Put the check weight on balance " + channel + " at both weighings; weigh its crucibles again."
                : "Clean probe " + channel + ", look at its junction, calibrate it and read its soils again.";
        Map<Integer, Set<String>> byRun = new TreeMap<>();
        Map<Integer, int[]> places = new TreeMap<>();
        for (int row : one.rows()) {
            int run = one.method().runOf[row];
            int position = one.method().positionOf[row];
            byRun.computeIfAbsent(run, r -> new LinkedHashSet<>())
                    .add(soils.labNumber(row).text());
            int[] place = places.computeIfAbsent(run, r -> new int[] {position, position});
            place[0] = Math.min(place[0], position);
            place[1] = Math.max(place[1], position);
        }
        byRun.forEach((run, labNumbers) -> findings.add(new DayFinding(
                run(run).run(),
                new Finding(
                        CauseKind.CHANNEL_BIAS,
                        Verdict.HOLD,
                        one.method().method.head().analytes().stream()
                                .map(Analyte::symbol)
                                .toList(),
                        places.getOrDefault(run, new int[2])[0],
                        places.getOrDefault(run, new int[2])[1],
                        evidence,
                        action,
                        OptionalDouble.of(-d.log10Chance()),
                        Optional.empty(),
                        List.of(new Measure(
                                Measure.Kind.CHANNEL,
                                d.analyte(),
                                thing + " " + channel,
                                0,
                                d.size(),
                                OptionalDouble.of(-least(one)),
                                OptionalDouble.of(least(one)),
                                d.unit().equals("[pH]") ? "" : d.unit()))),
                labNumbers)));
    }
}
