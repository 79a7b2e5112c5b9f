package org.tenmesh.core.controldesign;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.statistics.FalseAlarm;
import org.tenmesh.core.statistics.Quantiles;

/**
 * What each interval between hidden controls costs and what it spares: controls, false alarms, and wrong results that leave before a
 * shift is seen.
 *
 * @param question what was asked
 * @param rows one for each interval, shortest first
 */
public record ControlDesign(Question question, List<Row> rows) {
    private static final int[] INTERVALS = {10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200};
    private static final int LOAD = Layout.Rules.defaults().load();
    private static final int TOGETHER = 4;
    private static final double WEIGHT = 0.1;

    public ControlDesign {
        rows = List.copyOf(rows);
    }

    /**
     * What is asked.
     *
     * @param soils clients' soils in a day, 1 or more
     * @param shift that is to be seen, standard deviations of one control value, above 0
     * @param allowed how far a result may lie off, in the same standard deviations; empty when every result that carries the shift
     *     counts as wrong
     * @param falseAlarm chance that a control without a fault fails, over all its results together
     * @param results of one control that are judged together, 1 or more
     */
    public record Question(int soils, double shift, OptionalDouble allowed, double falseAlarm, int results) {
        public Question {
            if (soils < 1 || !(shift > 0) || results < 1 || !(falseAlarm > 0 && falseAlarm < 0.5)) {
                throw new IllegalArgumentException(soils + " soils, a shift of " + shift + ", " + results
                        + " results, a chance of false alarm of " + falseAlarm
                        + ": expected 1 or more soils, a shift above 0, 1 or more results, a chance between 0 and 0.5");
            }
        }
    }

    /**
     * One interval.
     *
     * @param interval lab numbers for each control
     * @param controls of a day, mean number
     * @param falseAlarms of a day, mean number, the same for every way of watching
     * @param single wrong results when each control is judged by itself
     * @param mean when the mean of every four is
     * @param average when a moving average over the day is
     */
    public record Row(
            int interval,
            double controls,
            double falseAlarms,
            Watch.Touched single,
            Watch.Touched mean,
            Watch.Touched average) {
        /** Wrong results by one way of watching. */
        public Watch.Touched by(Way way) {
            return switch (way) {
                case SINGLE -> single;
                case MEAN -> mean;
                case AVERAGE -> average;
            };
        }
    }

    /** The three ways of watching that are compared, all with as many false alarms. */
    public enum Way {
        SINGLE,
        MEAN,
        AVERAGE
    }

    /** The rules of layout for an interval: gaps to twice as long, one control at least in a load. */
    public static Layout.Rules rules(int interval) {
        return new Layout.Rules(interval, 2 * interval, LOAD);
    }

    /** Works the table out. */
    public static ControlDesign of(Question question) {
        double each = FalseAlarm.ofEach(question.falseAlarm(), question.results());
        double wrong = question.allowed().isPresent()
                ? addedChance(question.shift(), question.allowed().getAsDouble())
                : 1;
        Watch single = Watch.Single.ofFalseAlarm(each);
        Watch mean = Watch.MeanOf.ofFalseAlarm(TOGETHER, each);
        Watch average = Watch.MovingAverage.ofFalseAlarm(WEIGHT, each);
        List<Row> rows = IntStream.of(INTERVALS)
                .mapToObj(interval -> {
                    Placement placement = Placement.of(rules(interval));
                    double controls = question.soils() / (interval - 1.0);
                    return new Row(
                            interval,
                            controls,
                            controls * question.falseAlarm(),
                            single.touched(placement, question.shift()).times(wrong),
                            mean.touched(placement, question.shift()).times(wrong),
                            average.touched(placement, question.shift()).times(wrong));
                })
                .toList();
        return new ControlDesign(question, rows);
    }

    /** The longest interval that releases no more wrong results than accepted, or empty when none does. */
    public Optional<Row> longest(Way way, double accepted) {
        return rows.stream().filter(row -> row.by(way).released() <= accepted).reduce((shorter, longer) -> longer);
    }

    /**
     * How much likelier a shift makes a result that lies farther off than allowed: {@code Phi(k - T) + Phi(-k - T) - 2 Phi(-T)} (our own
     * derivation from Parvin's definitions).
     *
     * @param shift k, standard deviations
     * @param allowed T, same, above 0
     */
    public static double addedChance(double shift, double allowed) {
        return Quantiles.normalBelow(shift - allowed)
                + Quantiles.normalBelow(-shift - allowed)
                - 2 * Quantiles.normalBelow(-allowed);
    }

    /**
     * The chance that blunders, each in a well of its own taken at random, touch a control: {@code 1 - C(N - c, m) / C(N, m)}.
     *
     * @param wells N, all that hold something
     * @param controls c, 0 to N
     * @param blunders m, 0 to N
     */
    public static double blundersTouchControl(int wells, int controls, int blunders) {
        if (controls < 0 || controls > wells || blunders < 0 || blunders > wells) {
            throw new IllegalArgumentException(controls + " controls and " + blunders + " blunders in " + wells
                    + " wells: expected neither below 0 nor more than there are wells");
        }
        double log = 0;
        for (int i = 0; i < blunders; i++) {
            int left = wells - controls - i;
            if (left <= 0) {
                return 1;
            }
            log += Math.log1p(-(double) controls / (wells - i));
        }
        return -Math.expm1(log);
    }
}
