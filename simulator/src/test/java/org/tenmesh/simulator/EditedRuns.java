package org.tenmesh.simulator;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.soils.Element;

/** Runs of invented clean days, in whose readings a test changes something, and what the judge says of them. */
final class EditedRuns {
    static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    static final MethodBook METHODS = MethodFiles.shipped();

    private EditedRuns() {}

    /** What becomes of one reading. */
    interface Edit {
        double of(int position, Role role, String identity, String channel, String quantity, double value);
    }

    static Day day(long seed, int soils) {
        return Simulator.simulate(Scenario.of(seed, soils, DATE)).day();
    }

    /**
     * A seed for the {@code i}-th day of a study. Days of seeds that follow each other draw the same chances one step apart, so they are no
     * independent days; these lie far from one another.
     */
    static long seed(long i) {
        return new SplittableRandom(i).nextLong();
    }

    /** A day on which all methods are read. */
    static Day everyMethod(long seed, int soils) {
        Options usual = Options.defaults();
        return Simulator.simulate(new Scenario(
                        seed,
                        soils,
                        List.of(),
                        DATE,
                        new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true)))
                .day();
    }

    static List<Run> runs(Day day, String method) {
        return day.runs().stream().filter(run -> run.method().equals(method)).toList();
    }

    static RunJudgement judge(Day day, Run run) {
        Method method = METHODS.of(run.method(), day.dateOf(run));
        References references = References.of(run.method(), day.standards(), day.materials());
        return RunJudge.judge(
                Reduction.reduce(run, method, references.values(), Trail.OFF),
                references,
                day.controls(),
                day.laboratory().policy());
    }

    static Run edited(Run run, Edit edit) {
        return edited(run, edit, Integer.MAX_VALUE);
    }

    /** The run with its readings changed, up to a position. */
    static Run edited(Run run, Edit edit, int lastPosition) {
        Readings from = run.readings();
        Readings.Builder to = Readings.builder();
        for (int i = 0; i < from.size(); i++) {
            if (from.position(i) <= lastPosition) {
                to.add(
                        from.position(i),
                        from.role(i),
                        from.identity(i),
                        from.channel(i),
                        from.quantity(i),
                        edit.of(
                                from.position(i),
                                from.role(i),
                                from.identity(i),
                                from.channel(i),
                                from.quantity(i),
                                from.value(i)),
                        from.unit(i),
                        from.atMillis(i),
                        from.offsetSeconds(i),
                        from.dilution(i));
            }
        }
        return MadeRun.like(run).readings(to.build()).run();
    }

    static int lastPosition(Run run) {
        return run.readings().position(run.readings().size() - 1);
    }

    /** The lines of a plasma run, without the internal standard. */
    static List<String> lines(Run run) {
        List<String> lines = new ArrayList<>(run.readings().quantities());
        lines.remove(Element.INTERNAL_STANDARD);
        return lines;
    }

    /** What a line reads of the blank standard, per count of the internal standard. */
    static double background(Run run, String line) {
        double own = Double.NaN;
        double internal = Double.NaN;
        Readings readings = run.readings();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.identity(i).equals("WS1")) {
                own = readings.quantity(i).equals(line) ? readings.value(i) : own;
                internal = readings.quantity(i).equals(Element.INTERNAL_STANDARD) ? readings.value(i) : internal;
            }
        }
        return own / internal;
    }
}
