package org.tenmesh.core.controldesign;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.function.IntUnaryOperator;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.layout.Layout;

/** What the formulas say of each way of placing, against days in which controls are placed and a shift begins. */
class PlacementPropertyTest {
    private static final int M = 50;
    private static final int TRIALS = 60_000;

    /** Places of controls, drawn number by number, apart from the formulas. */
    private static int[] places(String way, SplittableRandom random, int controls) {
        int[] places = new int[controls];
        IntUnaryOperator next = switch (way) {
            case "every" -> k -> M * (k + 1);
            case "moved" -> k -> M * (k + 1) + random.nextInt(-6, 7);
            case "blocks" -> k -> M * k + 1 + random.nextInt(M);
            case "constant" ->
                k -> {
                    // p from the equation of the mean gap, (1 - (1 - p)^100) / p = 50, solved by hand to 1e-7.
                    int gap = 1;
                    while (gap < 100 && random.nextDouble() >= CONSTANT) {
                        gap++;
                    }
                    return (k == 0 ? 0 : places[k - 1]) + gap;
                };
            case "laid out" ->
                k -> {
                    double left = random.nextDouble();
                    int gap = 0;
                    while (left >= 0) {
                        left -= DISTANCES[++gap];
                    }
                    return (k == 0 ? 0 : places[k - 1]) + gap;
                };
            default -> throw new IllegalArgumentException(way);
        };
        for (int k = 0; k < controls; k++) {
            places[k] = next.applyAsInt(k);
        }
        return places;
    }

    private static final double CONSTANT = 0.0160235;
    private static final double[] DISTANCES = Layout.distances(ControlDesign.rules(M));

    private static final Map<String, Placement> PLACEMENTS = Map.of(
            "every", Placement.every(M),
            "moved", Placement.moved(M, 6),
            "blocks", Placement.inBlocks(M),
            "constant", Placement.constantChance(M, 100),
            "laid out", Placement.of(ControlDesign.rules(M)));

    static Stream<String> ways() {
        return PLACEMENTS.keySet().stream().sorted();
    }

    @ParameterizedTest
    @MethodSource("ways")
    void gapsAndDoubtAreWhatIsSaid(String way) {
        int[] places = places(way, new SplittableRandom(17), 200_000);
        Placement said = Objects.requireNonNull(PLACEMENTS.get(way));
        double sum = 0;
        double squares = 0;
        int most = 0;
        for (int i = 1; i < places.length - 1; i++) {
            int gap = places[i] - places[i - 1];
            sum += gap;
            squares += (double) gap * gap;
            most = Math.max(most, places[i + 1] - places[i - 1] - 2);
        }
        assertThat(sum / (places.length - 2)).as(way).isCloseTo(said.interval(), within(0.4));
        assertThat(squares / sum / 2).as(way).isCloseTo(said.meanWait(), within(0.4));
        assertThat(said.doubt()).isCloseTo(98, within(1e-6));
        // The two widest gaps together are met once in 10,000 at the least likely.
        assertThat(most).as(way).isBetween(said.longestDoubt() - 3, said.longestDoubt());
    }

    static Stream<Arguments> watches() {
        List<Arguments> all = new ArrayList<>();
        for (String way : ways().toList()) {
            all.add(Arguments.of(way, new Watch.Single(2.5), 1.8));
            all.add(Arguments.of(way, new Watch.Single(3), 4.0));
            all.add(Arguments.of(way, new Watch.MeanOf(4, 2.8), 1.2));
            all.add(Arguments.of(way, new Watch.MeanOf(3, 3), 2.5));
            all.add(Arguments.of(way, new Watch.MovingAverage(0.1, 2.814), 1.0));
            all.add(Arguments.of(way, new Watch.MovingAverage(0.3, 3), 3.0));
        }
        return all.stream();
    }

    /** Four standard errors either way: a right formula fails once in 16,000 choices of seed. */
    @ParameterizedTest
    @MethodSource("watches")
    void soilsRunAndReleasedAreWhatIsSaid(String way, Watch watch, double shift) {
        SplittableRandom random =
                new SplittableRandom(way.hashCode() * 31L + watch.name().hashCode());
        double[] all = new double[TRIALS];
        double[] released = new double[TRIALS];
        int[] places = new int[0];
        int from = 0;
        for (int trial = 0; trial < TRIALS; trial++) {
            // A day is used for many faults, one after the other, as far as it reaches.
            if (trial % 480 == 0) {
                places = places(way, random, 100_000);
                from = 10;
            }
            // Any moment between two controls far apart, so that wide gaps are met as often as they are wide.
            int span = places[from + 200] - places[from];
            double onset = places[from] + random.nextDouble() * span;
            int first = from;
            while (places[first] < onset) {
                first++;
            }
            int last = signal(watch, first, shift, random);
            int group = watch instanceof Watch.MeanOf mean ? mean.n() : 1;
            int passed = last - group;
            all[trial] = places[last] - onset;
            released[trial] = passed < first ? 0 : places[passed] - onset;
            from += 201;
        }
        Watch.Touched said = watch.touched(Objects.requireNonNull(PLACEMENTS.get(way)), shift);
        assertMean(all, said.all(), way + ", " + watch.name() + ", all");
        assertMean(released, said.released(), way + ", " + watch.name() + ", released");
    }

    private static void assertMean(double[] values, double expected, String what) {
        double sum = 0;
        double squares = 0;
        for (double value : values) {
            sum += value;
            squares += value * value;
        }
        double mean = sum / values.length;
        double error = Math.sqrt((squares / values.length - mean * mean) / values.length);
        assertThat(mean).as(what).isCloseTo(expected, within(4 * error));
    }

    /** The control that signals; groups of a mean end at any control with equal chance. */
    private static int signal(Watch watch, int first, double shift, SplittableRandom random) {
        if (watch instanceof Watch.Single single) {
            for (int k = first; ; k++) {
                if (Math.abs(normal(random) + shift) > single.limit()) {
                    return k;
                }
            }
        }
        if (watch instanceof Watch.MeanOf mean) {
            int before = random.nextInt(mean.n());
            int end = first + mean.n() - 1 - before;
            for (int shifted = mean.n() - before; ; shifted = mean.n(), end += mean.n()) {
                double sum = shifted * shift;
                for (int i = 0; i < mean.n(); i++) {
                    sum += normal(random);
                }
                if (Math.abs(sum) / Math.sqrt(mean.n()) > mean.limit()) {
                    return end;
                }
            }
        }
        Watch.MovingAverage average = (Watch.MovingAverage) watch;
        double h = average.limit() * Math.sqrt(average.lambda() / (2 - average.lambda()));
        double at = 0;
        for (int k = first; ; k++) {
            at = average.lambda() * (normal(random) + shift) + (1 - average.lambda()) * at;
            if (Math.abs(at) > h) {
                return k;
            }
        }
    }

    private static double normal(SplittableRandom random) {
        return Math.sqrt(-2 * Math.log(1 - random.nextDouble())) * Math.cos(2 * Math.PI * random.nextDouble());
    }
}
