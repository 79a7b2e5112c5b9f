package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.yaml.Section;

/** The keys of every calibrated extraction, whatever reads it. */
final class ExtractionKeys {
    private static final Map<String, Extraction.Basis> BASES = Values.lower(Extraction.Basis.values());
    private static final Map<String, Extraction.Diluent> DILUENTS = Values.lower(Extraction.Diluent.values());
    private static final Map<String, Extraction.Shape> SHAPES = Values.lower(Extraction.Shape.values());
    private static final Map<String, Extraction.Weighting> WEIGHTINGS = Values.lower(Extraction.Weighting.values());

    private ExtractionKeys() {}

    /** The signals, one preferred for each analyte. */
    static List<Extraction.Line> lines(Method.Head head, Section own) {
        List<Extraction.Line> lines = new ArrayList<>();
        for (Section section : own.sections("lines")) {
            lines.add(new Extraction.Line(
                    section.text("quantity"), section.text("element"), section.truth("preferred", true)));
            section.nothingElse();
        }
        for (Analyte analyte : head.analytes()) {
            long preferred = lines.stream()
                    .filter(line -> line.preferred() && line.element().equals(analyte.symbol()))
                    .count();
            if (preferred != 1) {
                own.wrong(
                        "lines",
                        preferred + " preferred lines of " + analyte.symbol(),
                        "one preferred line of each analyte");
            }
        }
        return lines;
    }

    /** Ratio, calibration and limits. */
    static Extraction extraction(Section own) {
        Section accept = own.section("acceptance");
        Extraction.Acceptance acceptance = new Extraction.Acceptance(
                accept.number("least_r"),
                accept.number("most_rse_pct"),
                accept.number("low_readback_pct"),
                accept.number("readback_pct"),
                accept.optionalText("least_levels").isPresent()
                        ? OptionalInt.of(accept.whole("least_levels", 2, 100))
                        : OptionalInt.empty());
        accept.nothingElse();
        Extraction.Basis basis = own.choice("basis", BASES);
        boolean soil = basis != Extraction.Basis.EXTRACT;
        return new Extraction(
                soil ? Values.positive(own, "soil_g") : own.number("soil_g", 0),
                soil ? Values.positive(own, "extract_ml") : own.number("extract_ml", 0),
                basis,
                soil ? Values.positive(own, "scoop_ml") : own.number("scoop_ml", 0),
                soil ? Values.positive(own, "measured_scoop_g") : own.number("measured_scoop_g", 0),
                own.choice("diluent", DILUENTS),
                own.truth("subtract_blank", true),
                own.choice("shape", SHAPES),
                own.choice("weighting", WEIGHTINGS),
                acceptance,
                Values.positive(own, "verification_tolerance_pct"),
                Values.positive(own, "blank_share_of_limit"),
                Values.positive(own, "duplicate_limit_pct"));
    }
}
