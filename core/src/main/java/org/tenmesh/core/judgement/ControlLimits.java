package org.tenmesh.core.judgement;

import java.util.Map;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.tenmesh.core.statistics.FalseAlarm;
import org.tenmesh.core.statistics.Quantiles;

/** How many standard deviations from its mean a control soil may lie in one run. */
final class ControlLimits {
    private final RunTable table;
    private final double chance;
    private final double exact;
    private final Map<Integer, Double> byRunsBehind = new TreeMap<>();

    ControlLimits(RunTable table) {
        this.table = table;
        int together = (int) IntStream.range(0, table.columns())
                .mapToObj(column ->
                        table.method().measurements(table.analyte(column).symbol()))
                .distinct()
                .count();
        chance = FalseAlarm.ofEach(table.policy().number(Setting.CONTROL_FALSE_ALARM), together);
        exact = FalseAlarm.limit(chance);
    }

    /** With mean and standard deviation known exactly. */
    double exact() {
        return exact;
    }

    // A further result of n normal ones lies within mean +- t(n - 1) s sqrt(1 + 1/n) (prediction limits; from memory,
    // in any textbook of statistics): the fewer results are known, the wider.
    double of(Material material) {
        return byRunsBehind.computeIfAbsent(
                runsBehind(material), n -> -Quantiles.t(chance / 2, n - 1) * Math.sqrt(1 + 1.0 / n));
    }

    int runsBehind(Material material) {
        return material.n().orElse(table.policy().whole(Setting.CONTROL_TREND_ASSIGNED_RUNS));
    }

    /** Of those asked for. */
    double narrowest() {
        return byRunsBehind.values().stream().min(Double::compare).orElse(exact);
    }

    /** Of those asked for. */
    double widest() {
        return byRunsBehind.values().stream().max(Double::compare).orElse(exact);
    }
}
