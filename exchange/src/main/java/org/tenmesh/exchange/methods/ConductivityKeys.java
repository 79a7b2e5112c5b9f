package org.tenmesh.exchange.methods;

import java.util.List;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.yaml.Section;

/** The keys of an electrical conductivity. */
final class ConductivityKeys {
    private ConductivityKeys() {}

    static ConductivityMethod read(Method.Head head, Section own) {
        Section compensation = own.section("compensation");
        Source source = Values.source(compensation.section("source"));
        List<Double> celsius = compensation.numbers("celsius");
        List<Double> factor = compensation.numbers("factor");
        compensation.nothingElse();
        boolean rising = celsius.size() >= 2 && celsius.size() == factor.size();
        for (int i = 1; i < celsius.size(); i++) {
            rising &= celsius.get(i) > celsius.get(i - 1);
        }
        if (!rising) {
            compensation.wrong(
                    "celsius",
                    celsius.size() + " temperatures and " + factor.size() + " factors",
                    "two or more rising temperatures and one factor for each");
        }
        if (head.analytes().size() != 1) {
            own.wrong("cell_min", head.analytes().size() + " analytes", "one analyte for a conductivity");
        }
        return new ConductivityMethod(
                head,
                own.number("soil_g"),
                own.number("liquid_ml"),
                celsius,
                factor,
                source,
                Values.positive(own, "cell_min"),
                Values.positive(own, "cell_max"),
                Values.positive(own, "verification_tolerance_pct"),
                Values.positive(own, "highest_ds_per_m"),
                Values.positive(own, "duplicate_limit_pct"));
    }
}
