package org.tenmesh.store.days;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.store.rows.Json;

/**
 * A policy as a JSON object of texts, and back: every setting by its name, so that a day is judged by the numbers it was taken with whatever
 * a later program ships with. A day taken before a setting existed reads with that setting's default; 0.1 wrote its settings as
 * {@code controlFalseAlarm} and {@code retentionDays}.
 */
final class Policies {
    private static final String VERSION = "version";

    private Policies() {}

    static String json(Policy policy) {
        List<Object> namesAndValues = new ArrayList<>(List.of(VERSION, policy.version()));
        policy.values().forEach((setting, numbers) -> {
            namesAndValues.add(setting.key());
            namesAndValues.add(numbers.stream().map(String::valueOf).collect(Collectors.joining(" ")));
        });
        return Json.object(namesAndValues.toArray());
    }

    /**
     * @param names in the order of {@code values}; a setting that is no longer there is passed over
     * @throws IllegalArgumentException when a number is out of its range
     */
    static Policy of(List<String> names, List<String> values) {
        String version = Policy.SHIPPED;
        Map<Setting, List<Double>> kept = new EnumMap<>(Setting.class);
        for (int i = 0; i < names.size(); i++) {
            String text = values.get(i);
            if (names.get(i).equals(VERSION)) {
                version = text;
            }
            Setting.named(key(names.get(i)))
                    .ifPresent(setting -> kept.put(
                            setting,
                            Arrays.stream(text.split(" ")).map(Double::valueOf).toList()));
        }
        return new Policy(version, kept);
    }

    private static String key(String name) {
        return name.replaceAll("([A-Z])", "_$1").toLowerCase(Locale.ROOT);
    }
}
