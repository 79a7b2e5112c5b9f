package org.tenmesh.proof.benchmark;

import java.util.Locale;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;
import org.openjdk.jmh.runner.options.VerboseMode;

/** Runs {@link KernelBenchmark} on one and two threads and prints readings a second. */
public final class KernelSpeed {
    private KernelSpeed() {}

    public static void main(String[] arguments) throws RunnerException {
        long readings = KernelBenchmark.simulated().runs().stream()
                .mapToLong(run -> run.readings().size())
                .sum();
        for (int threads = 1; threads <= 2; threads++) {
            for (RunResult result : new Runner(new OptionsBuilder()
                            .include(KernelBenchmark.class.getName() + ".reduceAndCheck")
                            .threads(threads)
                            .verbosity(VerboseMode.SILENT)
                            .build())
                    .run()) {
                print("reduction and checks", threads, readings, result);
            }
        }
        // The whole day uses every core by itself.
        for (RunResult result : new Runner(new OptionsBuilder()
                        .include(KernelBenchmark.class.getName() + ".wholeDay")
                        .verbosity(VerboseMode.SILENT)
                        .build())
                .run()) {
            print("whole day with causes", 1, readings, result);
        }
    }

    private static void print(String what, int threads, long readings, RunResult result) {
        double daysPerSecond = result.getPrimaryResult().getScore();
        System.out.printf(
                Locale.ROOT,
                "warm kernel, %s, %d caller%s: %.2f million readings/s, %.0f ms a day of %,d soils and %,d readings%n",
                what,
                threads,
                threads == 1 ? "" : "s",
                daysPerSecond * readings / 1e6,
                1000 * threads / daysPerSecond,
                KernelBenchmark.SOILS,
                readings);
    }
}
