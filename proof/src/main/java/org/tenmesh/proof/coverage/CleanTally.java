package org.tenmesh.proof.coverage;

import java.util.EnumMap;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.simulator.SimulatedDay;

/** What was counted on clean days of laboratories that know their control soils from so many earlier runs. Not for several threads. */
final class CleanTally {
    /** Causes that say of soils that they stand in the wrong place or contradict themselves. */
    static final Set<CauseKind> IDENTITY_AND_PLAUSIBILITY = EnumSet.of(
            CauseKind.TRAY_TURNED,
            CauseKind.RUN_SHIFTED,
            CauseKind.TRAYS_EXCHANGED,
            CauseKind.NEIGHBOURS_EXCHANGED,
            CauseKind.PORTION_WRONG,
            CauseKind.DILUTION_MISMATCH,
            CauseKind.IMPLAUSIBLE_TOGETHER);

    private static final Set<CauseKind> OF_CONTROL_SOILS =
            EnumSet.of(CauseKind.CONTROL_FAILED, CauseKind.CONTROL_TREND, CauseKind.CONTROL_MATERIAL_MISTAKEN);

    private final int runsKnown;
    private final Map<CauseKind, int[]> causes = new EnumMap<>(CauseKind.class);
    private final Map<String, int[]> covered = new TreeMap<>();
    private final Map<String, double[]> controls = new TreeMap<>();
    private int days;
    private int crashes;
    private long soils;
    private long determinations;
    private long notFit;
    private int notes;

    CleanTally(int runsKnown) {
        this.runsKnown = runsKnown;
    }

    void crashed() {
        crashes++;
    }

    void add(SimulatedDay simulated, JudgedDay judged) {
        days++;
        soils += simulated.day().soils().size();
        for (Cause cause : judged.causes()) {
            if (!cause.touchesResults()) {
                notes++;
                continue;
            }
            int[] count = causes.computeIfAbsent(cause.kind(), kind -> new int[2]);
            count[0]++;
            count[1] += cause.verdict() == Verdict.REDO ? 1 : 0;
        }
        for (ControlValue value : judged.controlValues()) {
            double[] sum = controls.computeIfAbsent(value.method() + " " + value.analyte(), key -> new double[2]);
            sum[0]++;
            sum[1] += value.z() * value.z();
        }
        for (Result result : judged.results()) {
            determinations++;
            notFit += result.verdict() == Verdict.FIT ? 0 : 1;
            if (result.verdict() == Verdict.FIT
                    && result.amount() instanceof Amount.Measured measured
                    && result.expandedUncertainty().isPresent()) {
                simulated
                        .truth()
                        .value(result.labNumber(), result.method(), result.analyte())
                        .ifPresent(truth -> {
                            int[] count = covered.computeIfAbsent(
                                    result.method() + " " + result.analyte(), key -> new int[2]);
                            count[0]++;
                            count[1] += Math.abs(measured.value() - truth)
                                            <= result.expandedUncertainty().getAsDouble()
                                    ? 1
                                    : 0;
                        });
            }
        }
    }

    int crashes() {
        return crashes;
    }

    /** The rows of the tables, as Markdown. */
    String text() {
        StringBuilder text = new StringBuilder();
        text.append(String.format(
                Locale.ROOT,
                "%n## Control soils known from %d earlier runs%n%n%d days, %,d lab numbers, %,d determinations; days that could not be judged: %d; determinations not fit: %.3f %%; notes that touch no result: %d%n%n",
                runsKnown,
                days,
                soils,
                determinations,
                crashes,
                100.0 * notFit / Math.max(1, determinations),
                notes));
        text.append(
                "| false causes | number | a day | for 1,000 soils | that redo |\n| --- | ---: | ---: | ---: | ---: |\n");
        row(text, "identity and plausibility, all", IDENTITY_AND_PLAUSIBILITY);
        row(text, "control soils, all", OF_CONTROL_SOILS);
        for (CauseKind kind : causes.keySet()) {
            row(text, kind.word(), EnumSet.of(kind));
        }
        int outside = 0;
        long all = 0;
        long inside = 0;
        StringBuilder those = new StringBuilder();
        for (Map.Entry<String, int[]> one : covered.entrySet()) {
            int n = one.getValue()[0];
            double share = 100.0 * one.getValue()[1] / n;
            all += n;
            inside += one.getValue()[1];
            if (n >= 100 && (share < 94 || share > 97)) {
                outside++;
                those.append(String.format(
                        Locale.ROOT, "| %s | %,d | %.1f | %s |%n", one.getKey(), n, share, scatter(one.getKey())));
            }
        }
        text.append(String.format(
                Locale.ROOT,
                "%nExpanded uncertainty covers the true value of %.1f %% of %,d fit results; of %d quantities %d lie outside 94 to 97 %%:%n%n| quantity | results | covered, %% | control soils: scatter found, of that stated |%n| --- | ---: | ---: | ---: |%n%s",
                100.0 * inside / Math.max(1, all),
                all,
                covered.size(),
                outside,
                those));
        return text.toString();
    }

    /**
     * One where control soils scatter as the laboratory was told, less where they scatter less; with a 95 % interval of about 1.4/sqrt(n) either way. A
     * standard deviation from n runs makes z wider by itself, by sqrt((1 + 1/n)(n - 1)/(n - 3)), the standard deviation of Student's t: that is taken out.
     */
    private String scatter(String quantity) {
        double[] sum = controls.get(quantity);
        if (sum == null || sum[0] < 20) {
            return "";
        }
        double n = runsKnown;
        double wider = Math.sqrt((1 + 1 / n) * (n - 1) / (n - 3));
        return String.format(Locale.ROOT, "%.2f ± %.2f", Math.sqrt(sum[1] / sum[0]) / wider, 1.4 / Math.sqrt(sum[0]));
    }

    private void row(StringBuilder text, String name, Set<CauseKind> kinds) {
        int number = 0;
        int redo = 0;
        for (CauseKind kind : kinds) {
            int[] count = causes.getOrDefault(kind, new int[2]);
            number += count[0];
            redo += count[1];
        }
        text.append(String.format(
                Locale.ROOT,
                "| %s | %d | %.2f | %.2f | %d |%n",
                name,
                number,
                (double) number / Math.max(1, days),
                1000.0 * number / Math.max(1, soils),
                redo));
    }
}
