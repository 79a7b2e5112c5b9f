package org.tenmesh.core.methods;

import java.util.Map;
import java.util.TreeMap;

/**
 * A worked example of a method: it is shown to people and run as a test.
 *
 * @param given the numbers put in, by name: quantities, inputs, {@code extract_mg_per_l}, {@code blank_mg_per_l}, {@code dilution}, and
 *     for pH {@code potential}, {@code temperature}, {@code slope_mv_per_ph}, {@code offset_mv}, {@code calibration_temperature}
 * @param expected what the source gives, as reported, by the analyte's symbol
 * @param source where it was read
 */
public record Example(Map<String, Double> given, Map<String, String> expected, Source source) {
    public Example {
        given = java.util.Collections.unmodifiableMap(new TreeMap<>(given));
        expected = java.util.Collections.unmodifiableMap(new TreeMap<>(expected));
    }
}
