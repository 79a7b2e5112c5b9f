package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.yaml.Section;

/** The keys of a method read by electrode. */
final class ElectrodeKeys {
    private ElectrodeKeys() {}

    static ElectrodeMethod read(Method.Head head, Section own) {
        if (head.analytes().size() > 1) {
            own.wrong("probes", head.analytes().size() + " analytes", "one analyte for a method read by electrode");
        }
        List<BufferTable> buffers = new ArrayList<>();
        for (Section section : own.sections("buffers")) {
            String name = section.text("name");
            List<Double> celsius = section.numbers("celsius");
            List<Double> ph = section.numbers("ph");
            Source source = Values.source(section.section("source"));
            section.nothingElse();
            try {
                buffers.add(new BufferTable(name, celsius, ph, source));
            } catch (IllegalArgumentException wrong) {
                section.wrong("celsius", String.valueOf(wrong.getMessage()), "rising temperatures and one pH for each");
            }
        }
        return new ElectrodeMethod(
                head,
                Values.positive(own, "soil_g"),
                own.number("liquid_ml"),
                own.whole("probes", 1, 64),
                buffers,
                own.number("slope_min_pct"),
                own.number("slope_max_pct"),
                Values.positive(own, "offset_limit_mv"),
                Values.positive(own, "verification_tolerance_ph"),
                own.number("lowest_ph"),
                own.number("highest_ph"),
                Values.positive(own, "duplicate_limit_ph"));
    }
}
