package org.tenmesh.core.judgement;

import java.util.Arrays;
import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The laboratory's limits and rules under the name of a version: a value for every {@link Setting}.
 *
 * @param version name of this version
 * @param values for each setting its number or numbers; what is not given has its default
 */
public record Policy(String version, Map<Setting, List<Double>> values) {
    /** The name of the defaults this program ships with. */
    public static final String SHIPPED = "2026-11-01";

    /**
     * @throws IllegalArgumentException naming the setting that is out of its range, and the range
     */
    public Policy {
        EnumMap<Setting, List<Double>> all = new EnumMap<>(Setting.class);
        for (Setting setting : Setting.values()) {
            List<Double> numbers = List.copyOf(values.getOrDefault(setting, setting.byDefault()));
            if (!setting.allows(numbers)) {
                throw new IllegalArgumentException("policy " + version + ", " + setting.key() + ": found " + numbers
                        + ", expected " + setting.allowed());
            }
            all.put(setting, numbers);
        }
        values = Collections.unmodifiableMap(all);
        disagreement(values).ifPresent(what -> {
            throw new IllegalArgumentException("policy " + version + ", "
                    + what.setting().key() + ": found " + what.found() + ", expected " + what.expected());
        });
    }

    /** A setting that does not agree with another one. */
    public record Disagreement(Setting setting, String found, String expected) {}

    /** What is wrong with settings that belong together, each in its own range; empty when nothing is. */
    public static Optional<Disagreement> disagreement(Map<Setting, List<Double>> values) {
        double leastWet = first(values, Setting.NOT_DRY_LEAST_SOILS);
        double mostWet = first(values, Setting.NOT_DRY_MOST_SOILS);
        if (mostWet < leastWet) {
            return Optional.of(new Disagreement(
                    Setting.NOT_DRY_MOST_SOILS,
                    Setting.shortest(mostWet),
                    Setting.NOT_DRY_LEAST_SOILS.key() + ", " + Setting.shortest(leastWet) + ", or more"));
        }
        List<Double> dilutions = values.getOrDefault(Setting.SOIL_DILUTIONS, Setting.SOIL_DILUTIONS.byDefault());
        List<Double> shares =
                values.getOrDefault(Setting.SOIL_DILUTION_SHARES, Setting.SOIL_DILUTION_SHARES.byDefault());
        double sum = shares.stream().mapToDouble(Double::doubleValue).sum();
        if (dilutions.size() != shares.size() || Math.abs(sum - 1) > 1e-6) {
            return Optional.of(new Disagreement(
                    Setting.SOIL_DILUTION_SHARES,
                    shares.size() + " shares that add up to " + Setting.shortest(sum),
                    "one for each of " + dilutions.size() + " " + Setting.SOIL_DILUTIONS.key() + ", together 1"));
        }
        for (Setting setting : Setting.values()) {
            List<Double> ends = values.getOrDefault(setting, setting.byDefault());
            if (setting.group() == Setting.Group.POSSIBLE
                    && setting.kind() == Setting.Kind.LIST
                    && (ends.size() != 2 || ends.get(0) >= ends.get(1))) {
                return Optional.of(
                        new Disagreement(setting, ends.size() + " numbers", "two numbers, the smaller one first"));
            }
        }
        return Optional.empty();
    }

    private static double first(Map<Setting, List<Double>> values, Setting setting) {
        return values.getOrDefault(setting, setting.byDefault()).get(0);
    }

    /** The defaults this program ships with. */
    public static Policy defaults() {
        return new Policy(SHIPPED, Map.of());
    }

    /** The same under another name. */
    public Policy named(String other) {
        return new Policy(other, values);
    }

    /** The same with one setting changed, under the same name. */
    public Policy with(Setting setting, double... numbers) {
        EnumMap<Setting, List<Double>> changed = new EnumMap<>(values);
        changed.put(setting, Arrays.stream(numbers).boxed().toList());
        return new Policy(version, changed);
    }

    /** The number of a setting that has one. */
    public double number(Setting setting) {
        return of(setting).get(0);
    }

    /** The number of a setting of whole numbers. */
    public int whole(Setting setting) {
        return (int) number(setting);
    }

    /** The numbers of a setting that has several. */
    public double[] list(Setting setting) {
        return of(setting).stream().mapToDouble(Double::doubleValue).toArray();
    }

    private List<Double> of(Setting setting) {
        return values.getOrDefault(setting, setting.byDefault());
    }

    /** The settings that differ from the defaults, in their order. */
    public Map<Setting, List<Double>> changes() {
        EnumMap<Setting, List<Double>> changed = new EnumMap<>(Setting.class);
        values.forEach((setting, numbers) -> {
            if (!numbers.equals(setting.byDefault())) {
                changed.put(setting, numbers);
            }
        });
        return Collections.unmodifiableMap(changed);
    }
}
