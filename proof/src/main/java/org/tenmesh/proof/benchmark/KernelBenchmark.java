package org.tenmesh.proof.benchmark;

import java.time.LocalDate;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.openjdk.jmh.infra.Blackhole;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;

/** Reduction and judgement of a simulated day of 4,000 soils, already in memory. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 4, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class KernelBenchmark {
    static final int SOILS = 4_000;

    private final MethodBook methods = MethodFiles.shipped();
    private final Day day = simulated();
    private final Map<String, References> references = methods.ids().stream()
            .collect(Collectors.toMap(
                    Function.identity(), method -> References.of(method, day.standards(), day.materials())));

    static Day simulated() {
        return Simulator.simulate(Scenario.of(7, SOILS, LocalDate.of(2026, 11, 25)))
                .day();
    }

    /** Reduction of every run of the day and the check of its controls, known solutions, blanks and duplicates. */
    @Benchmark
    public void reduceAndCheck(Blackhole into) {
        for (Run run : day.runs()) {
            Method method = methods.of(run.method(), day.dateOf(run));
            References known = Objects.requireNonNull(references.get(run.method()));
            Reduced reduced = Reduction.reduce(run, method, known.values(), Trail.OFF);
            into.consume(RunJudge.judge(
                    reduced, known, day.controls(), day.laboratory().policy()));
        }
    }

    /** The whole day with causes and verdicts. */
    @Benchmark
    public JudgedDay wholeDay() {
        return DayJudge.judge(day, methods);
    }
}
