package org.tenmesh.proof.coverage;

import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.proof.arguments.Arguments;
import org.tenmesh.proof.arguments.Watched;
import org.tenmesh.simulator.ControlsKnown;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;

/**
 * Judges days of every method on which nothing goes wrong, each of another laboratory that knows its control soils from 10, 20 or 60 earlier
 * runs, and counts false causes and how often the stated uncertainty covers the truth: {@code ./tenmesh coverage}.
 */
public final class CleanDayStudy {
    private static final Set<String> KEYS = Set.of("days", "soils", "known", "seed", "beyond", "progress");
    private static final String USAGE =
            "tenmesh coverage [--days 20] [--soils 2000] [--known 10,20,60] [--seed 1] [--beyond all]";
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private CleanDayStudy() {}

    /** Ends with 0, with 1 when a day could not be judged, with 2 for wrong arguments. */
    public static void main(String[] arguments) {
        Optional<Map<String, String>> read = Arguments.of(arguments, KEYS);
        if (read.isEmpty()) {
            System.err.println("usage: " + USAGE);
            System.exit(2);
            return;
        }
        Map<String, String> given = read.get();
        int days = Integer.parseInt(given.getOrDefault("days", "20"));
        int soils = Integer.parseInt(given.getOrDefault("soils", "2000"));
        long seed = Long.parseLong(given.getOrDefault("seed", "1"));
        List<Integer> known = List.of(given.getOrDefault("known", "10,20,60").split(",", -1)).stream()
                .map(Integer::parseInt)
                .toList();
        boolean progress = given.getOrDefault("progress", "no").equals("yes");
        String beyond = given.get("beyond");
        if (beyond != null) {
            System.exit(BeyondTheModel.print(beyond, days, soils, seed, progress) ? 0 : 1);
        }
        System.out.printf(
                Locale.ROOT,
                "# Clean days%n%nWritten by `tenmesh coverage --days %d --soils %d --known %s --seed %d`: days of every method on which"
                        + " nothing goes wrong, each of another laboratory.%n",
                days,
                soils,
                given.getOrDefault("known", "10,20,60"),
                seed);
        boolean good = true;
        for (int runs : known) {
            CleanTally tally = study(days, soils, seed, runs, progress);
            System.out.print(tally.text());
            good &= tally.crashes() == 0;
        }
        System.exit(good ? 0 : 1);
    }

    /** Judges so many clean days of laboratories that know their control soils from so many runs. */
    static CleanTally study(int days, int soils, long firstSeed, int runs, boolean progress) {
        MethodBook methods = MethodFiles.shipped();
        CleanTally tally = new CleanTally(runs);
        Options usual = Options.defaults();
        Watched watched = new Watched(progress);
        for (long seed = firstSeed; seed < firstSeed + days; seed++) {
            watched.doing("control soils known from " + runs + " runs: day " + (seed - firstSeed + 1) + " of " + days);
            Options options = new Options(
                            usual.metersGivePh(), usual.inProgress(), usual.balanceDecimals(), usual.zone(), true)
                    .knowing(new ControlsKnown(runs, seed));
            SimulatedDay simulated = Simulator.simulate(new Scenario(seed, soils, List.of(), DATE, options));
            try {
                tally.add(simulated, DayJudge.judge(simulated.day(), methods));
            } catch (RuntimeException failed) {
                System.err.println("seed " + seed + ": " + failed);
                tally.crashed();
            }
        }
        watched.done();
        return tally;
    }
}
