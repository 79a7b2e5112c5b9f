package org.tenmesh.core.charts;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.statistics.Spread;

/**
 * Within-laboratory reproducibility and bias from history, top down: what control soils did over days, people, calibrations, instruments
 * and lots is what an unknown soil of that level does too (Nordtest TR 537; ISO 11352; both from memory).
 */
public final class Reproducibility {
    private Reproducibility() {}

    /**
     * One control soil, all its lots and instruments.
     *
     * @param material the lot read last
     * @param mean of that lot, in the analyte's unit
     * @param sd u(Rw): standard deviation of single results between runs, same unit, pooled over lots
     * @param n results
     * @param days laboratory days
     * @param lots how many
     * @param degrees of freedom between runs, over all lots
     */
    public record Level(String material, double mean, double sd, int n, int runs, int days, int lots, int degrees) {}

    /**
     * Levels of every analyte of a method, those with too few runs or days for a {@link BasePeriod} left out, by their mean.
     *
     * @return by analyte
     */
    public static Map<String, List<Level>> levels(ControlHistory history, String method) {
        Map<String, Map<String, List<ChartValue>>> byAnalyte = new LinkedHashMap<>();
        for (ChartValue entry : history.entries()) {
            if (entry.key().method().equals(method) && !entry.failed()) {
                byAnalyte
                        .computeIfAbsent(entry.key().analyte(), name -> new LinkedHashMap<>())
                        .computeIfAbsent(entry.key().material(), name -> new ArrayList<>())
                        .add(entry);
            }
        }
        Map<String, List<Level>> levels = new LinkedHashMap<>();
        byAnalyte.forEach((analyte, byMaterial) -> levels.put(analyte, levels(byMaterial, history.follows())));
        return levels;
    }

    private static List<Level> levels(Map<String, List<ChartValue>> byMaterial, Map<String, String> follows) {
        Map<String, List<String>> lots = new LinkedHashMap<>();
        byMaterial.keySet().stream()
                .sorted()
                .forEach(name -> lots.computeIfAbsent(eldest(name, follows), first -> new ArrayList<>())
                        .add(name));
        List<Level> levels = new ArrayList<>();
        lots.values().forEach(names -> level(names, byMaterial).ifPresent(levels::add));
        levels.sort(Comparator.comparingDouble(Level::mean).thenComparing(Level::material));
        return levels;
    }

    private static String eldest(String material, Map<String, String> follows) {
        Set<String> seen = new HashSet<>();
        String lot = material;
        while (seen.add(lot)) {
            String before = follows.get(lot);
            if (before == null) {
                return lot;
            }
            lot = before;
        }
        return material;
    }

    private static Optional<Level> level(List<String> names, Map<String, List<ChartValue>> byMaterial) {
        List<Double> sds = new ArrayList<>();
        List<Integer> degrees = new ArrayList<>();
        Set<String> runs = new HashSet<>();
        Set<LocalDate> days = new HashSet<>();
        int n = 0;
        int lots = 0;
        String newest = "";
        Instant newestAt = Instant.MIN;
        double mean = Double.NaN;
        for (String name : names) {
            List<ChartValue> values = byMaterial.getOrDefault(name, List.of());
            double[][] groups = BasePeriod.byRun(values);
            if (groups.length < 2) {
                continue;
            }
            BasePeriod.Components spread = BasePeriod.Components.of(groups);
            sds.add(Math.hypot(spread.between(), spread.within()));
            degrees.add(spread.degrees());
            n += values.size();
            lots++;
            for (ChartValue value : values) {
                runs.add(value.dayAndRun());
                days.add(value.day());
                if (value.at().toInstant().isAfter(newestAt)) {
                    newestAt = value.at().toInstant();
                    newest = name;
                    mean = spread.mean();
                }
            }
        }
        if (runs.size() < BasePeriod.LEAST_RUNS || days.size() < BasePeriod.LEAST_DAYS) {
            return Optional.empty();
        }
        double sd = Spread.pooledSd(
                sds.stream().mapToDouble(Double::doubleValue).toArray(),
                degrees.stream().mapToInt(Integer::intValue).toArray());
        int between = degrees.stream().mapToInt(Integer::intValue).sum();
        return sd > 0
                ? Optional.of(new Level(newest, mean, sd, n, runs.size(), days.size(), lots, between))
                : Optional.empty();
    }

    /**
     * Relative standard uncertainty of the bias, as a share: {@code sqrt(RMSbias^2 + u(Cref)^2)} with
     * {@code RMSbias = sqrt(sum bias^2 / n)} and u(Cref) the mean of the assigned values' relative uncertainties; for a single reference
     * material {@code sqrt(bias^2 + s^2/n + u(Cref)^2)} (Nordtest TR 537, 4; from memory, its arithmetic reproduced).
     *
     * @return empty when there is no study
     */
    public static OptionalDouble relativeBiasU(List<BiasStudy> studies) {
        if (studies.isEmpty()) {
            return OptionalDouble.empty();
        }
        double squares = 0;
        double reference = 0;
        for (BiasStudy study : studies) {
            squares += study.relative() * study.relative();
            reference += study.assignedU() / Math.abs(study.assigned());
        }
        int n = studies.size();
        double single = n == 1
                ? studies.get(0).sd()
                        / Math.abs(studies.get(0).assigned())
                        / Math.sqrt(studies.get(0).n())
                : 0;
        return OptionalDouble.of(Math.hypot(Math.hypot(Math.sqrt(squares / n), reference / n), single));
    }
}
