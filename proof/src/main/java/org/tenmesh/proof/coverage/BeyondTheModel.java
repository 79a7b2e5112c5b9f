package org.tenmesh.proof.coverage;

import java.time.LocalDate;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.proof.arguments.Watched;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.Mixture;

/**
 * Judges clean days of every method whose noise and soils are not those that the judge's model describes, and counts false cards of
 * identity and plausibility: {@code ./tenmesh coverage --beyond all}.
 */
final class BeyondTheModel {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);

    private static final Set<CauseKind> OF_ONE_SOIL =
            EnumSet.of(CauseKind.PORTION_WRONG, CauseKind.DILUTION_MISMATCH, CauseKind.IMPLAUSIBLE_TOGETHER);
    /** From so many times its stated uncertainty (k = 2) on a result is truly off: never by chance where errors are normal. */
    private static final double TRULY_OFF = 2.5;

    private BeyondTheModel() {}

    /** What is other than usual, by its name. */
    static Map<String, Options> settings() {
        Options usual = Options.defaults();
        Options all = new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true);
        Map<String, Options> settings = new LinkedHashMap<>();
        settings.put("usual", all);
        settings.put("tails: Student t, 3 degrees of freedom", all.with(new Noise(3, 0, 0, 0)));
        settings.put("tails: Student t, 5 degrees of freedom", all.with(new Noise(5, 0, 0, 0)));
        settings.put("other ground: 2 % of the soils", all.with(new Mixture(0.02, 0)));
        settings.put("other ground: 10 % of the soils", all.with(new Mixture(0.1, 0)));
        settings.put("shared errors: run 1, rack 1, probe 1 SD", all.with(new Noise(0, 1, 1, 1)));
        settings.put("single soils: half of the clients", all.with(new Mixture(0, 0.5)));
        settings.put("single soils: every client", all.with(new Mixture(0, 1)));
        settings.put(
                "all at once: t 5, other ground 5 %, shared 0.5, single 0.3",
                all.with(new Noise(5, 0.5, 0.5, 0.5)).with(new Mixture(0.05, 0.3)));
        return settings;
    }

    /** Prints the table; false when a day could not be judged. */
    static boolean print(String only, int days, int soils, long firstSeed, boolean progress) {
        MethodBook methods = MethodFiles.shipped();
        System.out.printf(
                Locale.ROOT,
                "%d days of %,d clients' soils each, seeds %d to %d%n%n"
                        + "| other than usual | lab numbers | cards | of them right | false for 1,000 soils | false that redo | what the false ones say | crashes |%n"
                        + "| --- | ---: | ---: | ---: | ---: | ---: | --- | ---: |%n",
                days,
                soils,
                firstSeed,
                firstSeed + days - 1);
        int crashes = 0;
        Watched watched = new Watched(progress);
        for (Map.Entry<String, Options> setting : settings().entrySet()) {
            if (only.equals("all") || setting.getKey().contains(only)) {
                watched.doing(setting.getKey());
                crashes += row(setting.getKey(), setting.getValue(), days, soils, firstSeed, methods);
            }
        }
        return crashes == 0;
    }

    private static int row(String name, Options options, int days, int soils, long firstSeed, MethodBook methods) {
        int crashes = 0;
        int numbers = 0;
        int cards = 0;
        int right = 0;
        int falseOnes = 0;
        int redo = 0;
        Map<String, Integer> kinds = new TreeMap<>();
        for (long seed = firstSeed; seed < firstSeed + days; seed++) {
            SimulatedDay day = Simulator.simulate(new Scenario(seed, soils, List.of(), DATE, options));
            numbers += day.day().soils().size();
            try {
                JudgedDay judged = DayJudge.judge(day.day(), methods);
                for (Cause cause : judged.causes()) {
                    if (CleanTally.IDENTITY_AND_PLAUSIBILITY.contains(cause.kind()) && cause.touchesResults()) {
                        cards++;
                        if (isTrulyOff(cause, judged, day)) {
                            right++;
                            continue;
                        }
                        System.err.printf(
                                Locale.ROOT,
                                "seed %d, %s: %s %s: %s%n",
                                seed,
                                name,
                                cause.kind().word(),
                                cause.verdict().word(),
                                cause.stretches().get(0).evidence());
                        falseOnes++;
                        redo += cause.verdict() == Verdict.REDO ? 1 : 0;
                        kinds.merge(cause.kind().word() + " " + cause.method(), 1, Integer::sum);
                    }
                }
            } catch (RuntimeException failed) {
                System.err.println("seed " + seed + ", " + name + ": " + failed);
                crashes++;
            }
        }
        System.out.printf(
                Locale.ROOT,
                "| %s | %,d | %d | %d | %.2f | %d | %s | %d |%n",
                name,
                numbers,
                cards,
                right,
                1000.0 * falseOnes / numbers,
                redo,
                kinds.entrySet().stream()
                        .map(one -> one.getKey() + " x" + one.getValue())
                        .collect(Collectors.joining(", ")),
                crashes);
        System.out.flush();
        return crashes;
    }

    // Errors with heavy tails now and then make a portion truly wrong: who says so says nothing false.
    private static boolean isTrulyOff(Cause cause, JudgedDay judged, SimulatedDay day) {
        Set<ResultKey> touched = cause.stretches().stream()
                .flatMap(stretch -> stretch.touched().stream())
                .collect(Collectors.toSet());
        return OF_ONE_SOIL.contains(cause.kind())
                && judged.results().stream()
                        .filter(result -> touched.contains(ResultKey.of(result)))
                        .anyMatch(result -> result.amount() instanceof Amount.Measured measured
                                && result.expandedUncertainty().isPresent()
                                && day.truth().value(result.labNumber(), result.method(), result.analyte()).stream()
                                        .anyMatch(truth -> Math.abs(measured.value() - truth)
                                                > TRULY_OFF
                                                        * result.expandedUncertainty()
                                                                .getAsDouble()));
    }
}
