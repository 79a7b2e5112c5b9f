package org.tenmesh.proof.power;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Difference;
import org.tenmesh.core.agreement.Smoother;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.GivenSoil;

/**
 * How often a card of identity or plausibility is made where nothing went wrong, and how often one is made at the place of a planted
 * fault: {@code ./tenmesh power --cards clean|planted|history|portions}. The same seed gives the same counts.
 */
final class CardStudy {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    /** Days of neighbouring seeds share their draws, one place on. */
    private static final long SPACED = 1_000_000_007;

    private static final int PLASMA_CONTENTS = 12;
    private static final int SOILS = 2_000;
    private static final int SMALLER = 1_000;
    private static final int EARLIER_DAYS = 35;
    private static final int EARLIER_OF_A_DAY = 400;
    private static final Set<CauseKind> CARDS = EnumSet.of(
            CauseKind.TRAY_TURNED,
            CauseKind.TRAYS_EXCHANGED,
            CauseKind.NEIGHBOURS_EXCHANGED,
            CauseKind.RUN_SHIFTED,
            CauseKind.PORTION_WRONG,
            CauseKind.DILUTION_MISMATCH,
            CauseKind.IMPLAUSIBLE_TOGETHER);

    private final int repeats;
    private final long seed;
    private final Map<String, List<GivenSoil>> tables;

    CardStudy(int repeats, long seed, List<Path> folders) throws IOException {
        this.repeats = repeats;
        this.seed = seed;
        tables = RealTables.each(folders);
    }

    /** Prints one part of the study. */
    void print(String part, String only) {
        switch (part) {
            case "clean" -> clean(only);
            case "planted" -> planted(only);
            case "history" -> history();
            case "portions" -> portions(only);
            default ->
                throw new IllegalArgumentException(
                        "--cards " + part + ": expected clean, planted, history or portions");
        }
    }

    private record Place(String name, Options options, int soils, List<GivenSoil> given) {}

    private List<Place> places(String only) {
        Options usual = Options.defaults();
        Options all = new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true);
        List<Place> places = new ArrayList<>();
        places.add(new Place("every method, simulated", all, SOILS, List.of()));
        places.add(new Place("three methods, simulated", usual, SOILS, List.of()));
        tables.forEach((table, soils) ->
                places.add(new Place(table + ", no key wells", usual.withKeyWells(false), soils.size(), soils)));
        return places.stream().filter(place -> place.name().contains(only)).toList();
    }

    private SimulatedDay day(Place place, long seed, List<Fault> faults) {
        return Study.simulate(new Study.Where(place.soils(), place.options(), place.given()), seed, faults);
    }

    private void clean(String only) {
        for (Place place : places(only)) {
            List<List<Cause>> days = IntStream.range(0, repeats)
                    .parallel()
                    .mapToObj(i -> cards(DayJudge.judge(
                            day(place, seed + i * SPACED, List.of()).day(), METHODS)))
                    .toList();
            report(place.name(), place.soils(), days);
        }
    }

    private static List<Cause> cards(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> CARDS.contains(cause.kind()))
                .toList();
    }

    private void report(String name, int soils, List<List<Cause>> days) {
        List<Cause> all = days.stream().flatMap(List::stream).toList();
        double thousands = days.size() * soils / 1000.0;
        long redo = all.stream().filter(one -> one.verdict() == Verdict.REDO).count();
        System.out.printf(
                Locale.ROOT,
                "clean, %s: %d days, seed %d, %d cards, %.2f a 1,000 soils, %.2f of them to redo%n",
                name,
                days.size(),
                seed,
                all.size(),
                all.size() / thousands,
                redo / thousands);
        Map<String, List<Double>> byKind = new TreeMap<>();
        all.forEach(one -> byKind.computeIfAbsent(
                        one.kind().word() + " " + one.method() + " "
                                + one.verdict().word(),
                        kind -> new ArrayList<>())
                .add(one.log10Odds().orElse(Double.NaN)));
        byKind.forEach((kind, odds) -> System.out.println("  " + odds.size() + " " + kind + ": log10 ratios "
                + odds.stream()
                        .sorted()
                        .map(one -> String.format(Locale.ROOT, "%.1f", one))
                        .collect(Collectors.joining(" "))));
    }

    private void planted(String only) {
        Map<String, Function<Random, String>> faults = new LinkedHashMap<>();
        for (String method : List.of("ph-water-1-1", "om-loi-360", "mehlich3-icp")) {
            for (String kind : List.of("tray-turned", "trays-exchanged", "neighbours-exchanged")) {
                faults.put(kind + " " + method, chance -> kind + ",method=" + method + ",position=" + inside(chance));
            }
            faults.put(
                    "run-shifted " + method,
                    chance -> "run-shifted,method=" + method + ",size=1,position=" + inside(chance));
            faults.put(
                    "implausible-together " + method,
                    chance -> "implausible-together,method=" + method + ",size=0.9,position=" + inside(chance));
        }
        faults.put("portion-wrong +40 %", chance -> "portion-wrong,size=0.4,position=" + inside(chance));
        faults.put("portion-wrong -40 %", chance -> "portion-wrong,size=-0.4,position=" + inside(chance));
        faults.put("dilution-mismatch 5", chance -> "dilution-mismatch,second=no,size=5,position=" + inside(chance));
        String[] wanted = only.split("/", 2);
        for (Place place : places(wanted[0])) {
            if (place.soils() < 400 || place.options().everyMethod()) {
                continue;
            }
            Place smaller =
                    place.given().isEmpty() ? new Place(place.name(), place.options(), SMALLER, List.of()) : place;
            faults.forEach((name, fault) -> {
                if (wanted.length == 1 || name.contains(wanted[1])) {
                    plant(smaller, name, fault);
                }
            });
        }
    }

    /**
     * How much a wrong portion can show at all: how widely the common factor of a soil's plasma contents scatters about what its other results
     * and its neighbours say of it, on clean days, and with that the evidence that a factor of 1.4 or 0.6 gives on average.
     */
    private void portions(String only) {
        for (Place place : places(only)) {
            if (place.options().everyMethod()) {
                continue;
            }
            List<Double> sds = new ArrayList<>();
            for (int i = 0; i < repeats; i++) {
                SimulatedDay clean = day(place, seed + i * SPACED, List.of());
                DayTable table = new DayTable(clean.day(), DayJudge.judge(clean.day(), METHODS), METHODS);
                Agreement agreement = table.agreement("mehlich3-icp");
                double[] ones = new double[PLASMA_CONTENTS];
                Arrays.fill(ones, 1);
                for (Difference difference : Smoother.differences(agreement)) {
                    if (difference != null) {
                        sds.add(difference.along(agreement.inCoordinates(ones)).sd());
                    }
                }
            }
            double[] sorted =
                    sds.stream().mapToDouble(Double::doubleValue).sorted().toArray();
            if (sorted.length == 0) {
                continue;
            }
            System.out.printf(
                    Locale.ROOT,
                    "portions, %s: %d days, seed %d: the common factor of %d soils is known to %.0f %% (middle; a tenth to %.0f %% or better);"
                            + " log10 ratio that portions 40 %% too large and too small give on average at the middle: %.1f and %.1f%n",
                    place.name(),
                    repeats,
                    seed,
                    sorted.length,
                    100 * sorted[sorted.length / 2],
                    100 * sorted[sorted.length / 10],
                    evidence(1.4, sorted[sorted.length / 2]),
                    evidence(0.6, sorted[sorted.length / 2]));
        }
    }

    // Of a normal difference: half its squared distance.
    private static double evidence(double factor, double sd) {
        double z = Math.log(factor) / sd;
        return 0.5 * z * z / Math.log(10);
    }

    private static int inside(Random chance) {
        return 20 + chance.nextInt(170);
    }

    private void plant(Place place, String name, Function<Random, String> fault) {
        List<Tried> tried = IntStream.range(0, repeats)
                .parallel()
                .mapToObj(i -> planted(place, fault, seed + i * SPACED))
                .flatMap(Optional::stream)
                .toList();
        List<Outcome> outcomes = tried.stream().map(Tried::outcome).toList();
        System.out.printf(
                Locale.ROOT,
                "planted, %s, %s: named on %s, redone or held %.2f, log10 ratios planted %s%n",
                place.name(),
                name,
                new Rate((int) outcomes.stream().filter(Outcome::named).count(), outcomes.size()).text(),
                outcomes.stream().mapToDouble(Outcome::held).average().orElse(Double.NaN),
                outcomes.stream()
                        .filter(one -> one.log10Odds().isPresent())
                        .map(one -> String.format(
                                Locale.ROOT, "%.1f", one.log10Odds().getAsDouble()))
                        .sorted(Comparator.comparingDouble(Double::parseDouble))
                        .collect(Collectors.joining(" ")));
        List<Tried> missed = tried.stream()
                .filter(one -> !one.outcome().named() && one.outcome().kind() == CauseKind.TRAY_TURNED)
                .toList();
        if (!missed.isEmpty()) {
            System.out.println("  missed, log10 ratio as judged and with everything else in its place: "
                    + missed.stream()
                            .map(one -> String.format(
                                    Locale.ROOT,
                                    "%.1f (%.1f; said: %s; day %d)",
                                    one.outcome().log10Odds().orElse(Double.NaN),
                                    bestTurned(place, one),
                                    one.outcome().instead(),
                                    one.seed()))
                            .collect(Collectors.joining(", ")));
        }
    }

    /**
     * The evidence that a turned tray would give to who has learnt every relation from the day with all soils in their places, the tray's own with
     * them, and knows that nothing else was moved: turning it once more is putting it right.
     */
    private double bestTurned(Place place, Tried tried) {
        SimulatedDay clean = day(place, tried.seed(), List.of());
        DayTable table = new DayTable(clean.day(), DayJudge.judge(clean.day(), METHODS), METHODS);
        return -table.turned(
                table.agreement(tried.outcome().method()), tried.outcome().method(), table.trayOf(tried.soil()));
    }

    private record Tried(long seed, Outcome outcome, LabNumber soil) {}

    private Optional<Tried> planted(Place place, Function<Random, String> fault, long at) {
        for (int attempt = 0; attempt < 5; attempt++) {
            long its = at + attempt * 100_000L;
            try {
                SimulatedDay day = day(
                        place,
                        its,
                        List.of(Fault.parse(fault.apply(new Random(new SplittableRandom(its).nextLong())))));
                Outcome outcome = Outcome.of(
                                day,
                                DayJudge.judge(day.day(), METHODS),
                                METHODS,
                                Row.Further.NONE,
                                other -> DayJudge.judge(other, METHODS))
                        .get(0);
                return Optional.of(new Tried(
                        its, outcome, day.truth().faults().get(0).labNumbers().get(0)));
            } catch (IllegalArgumentException cannotBePlanted) {
                continue;
            }
        }
        return Optional.empty();
    }

    // Days of known clients, with and without the days before them: clean ones, and each with one exchange planted.
    private void history() {
        Options usual = Options.defaults();
        history(new Place("three methods", usual, SOILS, List.of()));
        history(new Place(
                "every method",
                new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true),
                SOILS,
                List.of()));
    }

    private void history(Place place) {
        List<EarlierSoils.EarlierSoil> known = new ArrayList<>();
        IntStream.range(0, EARLIER_DAYS)
                .parallel()
                .mapToObj(i -> found(Simulator.simulate(new Scenario(
                        5001 + i, EARLIER_OF_A_DAY, List.of(), DATE.minusDays(EARLIER_DAYS - i), place.options()))))
                .toList()
                .forEach(known::addAll);
        EarlierSoils earlier = new EarlierSoils(known);
        List<List<Cause>> without = new ArrayList<>();
        List<List<Cause>> with = new ArrayList<>();
        for (int i = 0; i < repeats; i++) {
            SimulatedDay day = Simulator.simulate(new Scenario(201 + i, SOILS, List.of(), DATE, place.options()));
            without.add(cards(DayJudge.judge(day.day(), METHODS)));
            with.add(cards(DayJudge.judge(day.day(), METHODS, earlier)));
        }
        report(place.name() + ", days 201 on, nothing known of earlier ones", SOILS, without);
        report(place.name() + ", days 201 on, 35 earlier days of 400 soils known", SOILS, with);
        for (String method : List.of("ph-water-1-1", "om-loi-360", "mehlich3-icp")) {
            for (String kind : List.of("tray-turned", "neighbours-exchanged")) {
                history(place, kind, method, earlier);
            }
        }
    }

    private void history(Place place, String kind, String method, EarlierSoils earlier) {
        int[] named = new int[2];
        int[] beside = new int[2];
        int planted = 0;
        for (int i = 0; i < repeats; i++) {
            long its = seed + i * SPACED;
            SimulatedDay day;
            try {
                day = day(
                        new Place(place.name(), place.options(), SMALLER, List.of()),
                        its,
                        List.of(Fault.parse(kind + ",method=" + method + ",position="
                                + inside(new Random(new SplittableRandom(its).nextLong())))));
            } catch (IllegalArgumentException cannotBePlanted) {
                continue;
            }
            planted++;
            for (int known = 0; known < 2; known++) {
                EarlierSoils of = known == 0 ? EarlierSoils.NONE : earlier;
                Outcome.Judging judge = one -> DayJudge.judge(one, METHODS, of);
                Outcome outcome = Outcome.of(
                                day, DayJudge.judge(day.day(), METHODS, of), METHODS, Row.Further.NONE, judge)
                        .get(0);
                named[known] += outcome.named() ? 1 : 0;
                beside[known] += outcome.beside();
            }
        }
        System.out.printf(
                Locale.ROOT,
                "planted, %s, %d soils, %s %s: named on %s without earlier days and %s with them; causes elsewhere %d and %d%n",
                place.name(),
                SMALLER,
                kind,
                method,
                new Rate(named[0], planted).text(),
                new Rate(named[1], planted).text(),
                beside[0],
                beside[1]);
    }

    private static List<EarlierSoils.EarlierSoil> found(SimulatedDay day) {
        LocalDate date = day.day().runs().stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElseThrow();
        Map<LabNumber, Map<String, Map<String, Double>>> fit = new HashMap<>();
        for (Result result : DayJudge.judge(day.day(), METHODS).results()) {
            if (result.verdict() == Verdict.FIT
                    && Double.isFinite(result.amount().raw())) {
                fit.computeIfAbsent(result.labNumber(), lab -> new HashMap<>())
                        .computeIfAbsent(result.method(), method -> new HashMap<>())
                        .put(result.analyte(), result.amount().raw());
            }
        }
        Map<String, Submission> submissions = new HashMap<>();
        day.day().submissions().forEach(one -> submissions.put(one.submission(), one));
        List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
        for (Soil soil : day.day().soils()) {
            Optional<Submission> from = soil.submission().map(submissions::get);
            from.ifPresent(one -> soils.add(new EarlierSoils.EarlierSoil(
                    date,
                    one.submission(),
                    one.client(),
                    one.originRegion().map(region -> one.originCountry().orElse("") + " " + region),
                    soil.clientLabel().orElse(""),
                    fit.getOrDefault(soil.labNumber(), Map.of()))));
        }
        return soils;
    }
}
