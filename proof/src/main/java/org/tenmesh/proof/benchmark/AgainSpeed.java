package org.tenmesh.proof.benchmark;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;

/**
 * What one new reading costs on the open day of 4,000 soils and every method, against judging that day from nothing in the same process; and
 * one run judged again. Medians after warming up.
 */
public final class AgainSpeed {
    private static final int SOILS = 4_000;
    private static final int WARM = 6;
    private static final int TIMES = 7;
    /** One that few soils are asked for, one that some are, and the two that all others are compared with. */
    private static final List<String> METHODS = List.of("kcl-nitrogen", "dtpa", "ph-water-1-1", "mehlich3-icp");

    private AgainSpeed() {}

    public static void main(String[] arguments) {
        Options usual = Options.defaults();
        Day day = Simulator.simulate(Scenario.of(7, SOILS, LocalDate.of(2026, 11, 25))
                        .with(new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true)))
                .day();
        MethodBook methods = MethodFiles.shipped();
        double whole = median(() -> DayJudge.judge(day, methods));
        print("the whole day from nothing", whole, whole);
        print("the key of the day", median(() -> DayJudge.key(day, methods, EarlierSoils.NONE)), whole);
        for (String method : METHODS) {
            Day before = withoutLastReading(day, method);
            DayStage without = DayJudge.judge(before, methods, EarlierSoils.NONE, Stages.NONE);
            if (!DayJudge.judge(day, methods, EarlierSoils.NONE, without.stages())
                    .judged()
                    .equals(DayJudge.judge(day, methods))) {
                throw new IllegalStateException(method + ": judged by and by, the day is another");
            }
            print(
                    "one new reading of " + method,
                    median(() -> DayJudge.judge(day, methods, EarlierSoils.NONE, without.stages())),
                    whole);
            Run run = lastRun(day, method);
            print(
                    "its run alone, " + run.readings().size() + " readings",
                    median(() -> alone(day, run, methods)),
                    whole);
        }
    }

    private static Object alone(Day day, Run run, MethodBook methods) {
        Method method = methods.of(run.method(), day.dateOf(run));
        References known = References.of(run.method(), day.standards(), day.materials());
        return RunJudge.judge(
                Reduction.reduce(run, method, known.values(), Trail.OFF),
                known,
                day.controls(),
                day.laboratory().policy());
    }

    private static Run lastRun(Day day, String method) {
        return day.runs().stream()
                .filter(run -> run.method().equals(method))
                .reduce((one, next) -> next)
                .orElseThrow();
    }

    private static Day withoutLastReading(Day day, String method) {
        Run cut = lastRun(day, method);
        Readings all = cut.readings();
        Readings.Builder some = Readings.builder();
        for (int i = 0; i < all.size() - 1; i++) {
            some.add(
                    all.position(i),
                    all.role(i),
                    all.identity(i),
                    all.channel(i),
                    all.quantity(i),
                    all.value(i),
                    all.unit(i),
                    all.atMillis(i),
                    all.offsetSeconds(i),
                    all.dilution(i));
        }
        List<Run> runs = new ArrayList<>(day.runs());
        runs.set(
                runs.indexOf(cut),
                new Run(cut.run(), cut.method(), cut.instrument(), cut.operator(), cut.startedAt(), some.build()));
        return new Day(
                day.laboratory(),
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                runs,
                day.packages(),
                day.shortages(),
                day.history());
    }

    private interface Work {
        Object done();
    }

    /** What was made last, so that nothing may be left unmade. */
    private static volatile Object last = "";

    private static double median(Work work) {
        double[] millis = new double[TIMES];
        for (int i = -WARM; i < TIMES; i++) {
            long began = System.nanoTime();
            last = work.done();
            if (i >= 0) {
                millis[i] = (System.nanoTime() - began) / 1e6;
            }
        }
        Arrays.sort(millis);
        return millis[TIMES / 2];
    }

    private static void print(String what, double millis, double whole) {
        System.out.printf(
                Locale.ROOT, "%-45s %8.1f ms, %5.1f %% of the whole day%n", what, millis, 100 * millis / whole);
    }
}
