package org.tenmesh.proof.power;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.stream.IntStream;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.GivenSoil;

/**
 * Plants, judges and counts. The same seed gives the same counts, on any number of threads.
 *
 * @param repeats of a row of the main tables
 * @param soils of a day
 * @param seed of everything
 */
record Study(int repeats, int soils, long seed) {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    /** Seeds of clean days and of days on which nothing could be planted lie apart from those of the repeats. */
    private static final long APART = 100_000;

    private static final long CLEAN = 50 * APART;
    /** Days of neighbouring seeds share their draws, one place on: seeds of a study lie further apart than a day has draws. */
    private static final long SPACED = 1_000_000_007;

    private static final int ATTEMPTS = 25;
    private static final int FEWEST = 3;
    /** One false alarm in so many trays or pairs. */
    static final double ONE_IN_A_THOUSAND = 0.001;

    /** Where clean days are alike. */
    record Where(int soils, Options options, List<GivenSoil> given) {
        static Where of(Row row, int usual) {
            return new Where(
                    row.given().isEmpty()
                            ? (row.soils() == 0 ? usual : row.soils())
                            : row.given().size(),
                    row.options(),
                    row.given());
        }
    }

    /**
     * What became of a row.
     *
     * @param refused days on which the fault could not be planted and another was taken
     * @param atRate found at {@link #ONE_IN_A_THOUSAND}: the planted exchange's odds exceed what one in a thousand clean ones do
     * @param clean how many clean exchanges that rate rests on
     * @param plainAtRate the same of trays of twelve clients' soils alone
     * @param regressionAtRate the same of turned trays by {@link PlainRegression}, held against clean trays by the same
     */
    record Counted(
            Row row,
            List<List<Outcome>> repeats,
            int refused,
            Optional<Rate> atRate,
            int clean,
            Optional<Rate> plainAtRate,
            Optional<Rate> regressionAtRate) {
        List<Outcome> outcomes() {
            return repeats.stream().flatMap(List::stream).toList();
        }

        Rate found() {
            return rate(outcomes().stream().filter(Outcome::found).count());
        }

        Rate named() {
            return rate(outcomes().stream().filter(Outcome::named).count());
        }

        Rate told() {
            return rate(outcomes().stream().filter(Outcome::told).count());
        }

        Rate extent() {
            return rate(outcomes().stream().filter(Outcome::extent).count());
        }

        /** Days on which everything that was planted was named. */
        Rate allNamed() {
            return new Rate(
                    (int) repeats.stream()
                            .filter(day -> day.stream().allMatch(Outcome::named))
                            .count(),
                    repeats.size());
        }

        Optional<Rate> further() {
            List<Boolean> answers = outcomes().stream()
                    .flatMap(outcome -> outcome.further().stream())
                    .toList();
            return answers.isEmpty()
                    ? Optional.empty()
                    : Optional.of(
                            new Rate((int) answers.stream().filter(yes -> yes).count(), answers.size()));
        }

        double held() {
            return outcomes().stream()
                    .mapToDouble(Outcome::held)
                    .filter(Double::isFinite)
                    .average()
                    .orElse(Double.NaN);
        }

        /** Causes elsewhere that ask to make soils again, a day. */
        double redoBeside() {
            return outcomes().stream().mapToInt(Outcome::redoBeside).average().orElse(0);
        }

        private Rate rate(long count) {
            return new Rate((int) count, outcomes().size());
        }

        Rate measure(String measure) {
            return switch (measure) {
                case "found" -> found();
                case "named" -> named();
                case "told" -> told();
                case "extent" -> extent();
                case "further" -> further().orElse(new Rate(0, 0));
                case "byRegression" -> regressionAtRate.orElse(new Rate(0, 0));
                case "atRate" -> atRate.orElse(new Rate(0, 0));
                default -> throw new IllegalArgumentException("no measure " + measure);
            };
        }
    }

    int times(double share) {
        return Math.max(Math.min(FEWEST, repeats), (int) Math.round(share * repeats));
    }

    /** One row. Exchanges are held against clean days of the same laboratory. */
    Counted count(Row row, Map<Where, CleanDays> clean) {
        List<Planted> days = IntStream.range(0, times(row.share()))
                .parallel()
                .mapToObj(repeat -> plant(row, repeat))
                .toList();
        List<List<Outcome>> outcomes = days.stream().map(Planted::outcomes).toList();
        List<Outcome> all = outcomes.stream().flatMap(List::stream).toList();
        Optional<CleanDays> same = Optional.ofNullable(clean.get(Where.of(row, soils)));
        Optional<String> key = all.isEmpty() ? Optional.empty() : key(row, all.get(0));
        Optional<Rate> atRate = Optional.empty();
        Optional<Rate> plain = Optional.empty();
        Optional<Rate> regression = Optional.empty();
        int seen = 0;
        if (same.isPresent() && key.isPresent()) {
            double threshold = same.get().threshold(key.get(), ONE_IN_A_THOUSAND);
            seen = same.get().seen(key.get());
            atRate = Optional.of(exceeding(all, Outcome::log10Odds, threshold));
            plain = Optional.of(exceeding(all.stream().filter(Outcome::plain).toList(), Outcome::log10Odds, threshold));
            if (all.get(0).byRegression().isPresent()) {
                double its = same.get()
                        .threshold(
                                key.get().replace(CleanDays.TURNED, CleanDays.TURNED_BY_REGRESSION), ONE_IN_A_THOUSAND);
                regression = Optional.of(exceeding(all, Outcome::byRegression, its));
            }
        }
        return new Counted(
                row, outcomes, days.stream().mapToInt(Planted::refused).sum(), atRate, seen, plain, regression);
    }

    static Rate exceeding(List<Outcome> outcomes, Function<Outcome, OptionalDouble> of, double threshold) {
        double[] odds = outcomes.stream()
                .map(of)
                .filter(OptionalDouble::isPresent)
                .mapToDouble(OptionalDouble::getAsDouble)
                .toArray();
        return new Rate(
                (int) java.util.Arrays.stream(odds)
                        .filter(one -> one > threshold)
                        .count(),
                odds.length);
    }

    /** The clean exchanges that a row's outcomes are held against. */
    static Optional<String> key(Row row, Outcome outcome) {
        if (outcome.log10Odds().isEmpty()) {
            return Optional.empty();
        }
        String method = Objects.requireNonNull(
                row.faults().apply(new Random(1)).get(0).further().get("method"), "an exchange names its method");
        return switch (outcome.kind()) {
            case TRAY_TURNED -> Optional.of(CleanDays.key(CleanDays.TURNED, method));
            case TRAYS_EXCHANGED -> Optional.of(CleanDays.key(CleanDays.EXCHANGED, method));
            case NEIGHBOURS_EXCHANGED -> Optional.of(CleanDays.key(CleanDays.NEIGHBOURS, method));
            default -> Optional.empty();
        };
    }

    private record Planted(List<Outcome> outcomes, int refused) {}

    private Planted plant(Row row, int repeat) {
        for (int attempt = 0; attempt < ATTEMPTS; attempt++) {
            long day = seed + repeat * SPACED + attempt * APART;
            Random chance =
                    new Random(new SplittableRandom(day * 31 + row.name().hashCode()).nextLong());
            List<Fault> faults = row.faults().apply(chance);
            SimulatedDay simulated;
            try {
                simulated = simulate(Where.of(row, soils), day, faults);
            } catch (IllegalArgumentException cannotBePlanted) {
                // As when no soil of the run is read again diluted: another day is taken, and counted.
                continue;
            }
            return new Planted(
                    Outcome.of(
                            simulated,
                            DayJudge.judge(simulated.day(), METHODS),
                            METHODS,
                            row.further(),
                            its -> DayJudge.judge(its, METHODS)),
                    attempt);
        }
        return new Planted(List.of(), ATTEMPTS);
    }

    static SimulatedDay simulate(Where where, long day, List<Fault> faults) {
        Scenario scenario = new Scenario(day, where.soils(), faults, DATE, where.options());
        return where.given().isEmpty()
                ? Simulator.simulate(scenario)
                : Simulator.simulate(scenario, arriving(where.given(), day));
    }

    // Boxes arrive in another order every day, so that no two days have the same trays; soils of a box stay as they
    // are.
    private static List<GivenSoil> arriving(List<GivenSoil> given, long day) {
        Map<String, List<GivenSoil>> boxes = new LinkedHashMap<>();
        given.forEach(soil -> boxes.computeIfAbsent(soil.client(), client -> new ArrayList<>())
                .add(soil));
        List<List<GivenSoil>> order = new ArrayList<>(boxes.values());
        Collections.shuffle(order, new Random(new SplittableRandom(day).nextLong()));
        return order.stream().flatMap(List::stream).toList();
    }

    /** Days on which nothing went wrong. */
    CleanDays clean(Where where, int days) {
        return CleanDays.of(IntStream.range(0, days)
                .parallel()
                .mapToObj(i -> {
                    SimulatedDay simulated = simulate(where, seed + CLEAN + i * SPACED, List.of());
                    return CleanDays.One.of(simulated.day(), DayJudge.judge(simulated.day(), METHODS), METHODS, true);
                })
                .toList());
    }

    /** What is best with everything known; the instruments' noise is taken from some clean days. */
    Map<String, Limit.Known> limit(int days, int draws) {
        List<double[]> noise = new ArrayList<>();
        IntStream.range(0, days)
                .parallel()
                .mapToObj(i -> {
                    SimulatedDay simulated = simulate(
                            new Where(soils, Options.defaults(), List.of()), seed + CLEAN + i * SPACED, List.of());
                    return Limit.noise(simulated, DayJudge.judge(simulated.day(), METHODS));
                })
                .toList()
                .forEach(noise::addAll);
        return Limit.of(noise, draws, seed);
    }

    /** How often each thing was said instead, where a row's faults were not named. */
    static Map<String, Integer> instead(Counted counted) {
        Map<String, Integer> instead = new HashMap<>();
        counted.outcomes().stream()
                .filter(outcome -> !outcome.named())
                .forEach(outcome -> instead.merge(
                        counted.row().part().equals(Rows.TWO)
                                ? outcome.kind().word() + ": " + outcome.instead()
                                : outcome.instead(),
                        1,
                        Integer::sum));
        return instead;
    }

    /** Kinds a study speaks of by their plain words. */
    static String plain(String kind) {
        return CauseKind.of(kind).map(CauseKind::phrase).orElse(kind);
    }
}
