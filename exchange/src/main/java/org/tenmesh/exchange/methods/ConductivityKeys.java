package org.tenmesh.exchange.methods;

import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.yaml.Section;

/** The keys of an electrical conductivity. */
final class ConductivityKeys {
    private ConductivityKeys() {}

    static ConductivityMethod read(Method.Head head, Section own) {
        Section compensation = own.section("compensation");
        ConductivityMethod.Compensation factor = new ConductivityMethod.Compensation(
                compensation.number("constant"),
                compensation.number("height"),
                Values.positive(compensation, "decay_celsius"),
                compensation.number("lowest_celsius"),
                compensation.number("highest_celsius"),
                Values.source(compensation.section("source")));
        compensation.nothingElse();
        if (factor.highestCelsius() <= factor.lowestCelsius()) {
            compensation.wrong("highest_celsius", "a temperature not above lowest_celsius", "a higher one");
        }
        if (head.analytes().size() != 1) {
            own.wrong("cell_min", head.analytes().size() + " analytes", "one analyte for a conductivity");
        }
        return new ConductivityMethod(
                head,
                own.number("soil_g"),
                own.number("liquid_ml"),
                factor,
                Values.positive(own, "cell_min"),
                Values.positive(own, "cell_max"),
                Values.positive(own, "verification_tolerance_pct"),
                Values.positive(own, "highest_ds_per_m"),
                Values.positive(own, "duplicate_limit_pct"));
    }
}
