package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** The keys of a calibrated extraction read by plasma emission. */
final class EmissionKeys {
    private EmissionKeys() {}

    static EmissionMethod read(Method.Head head, Section own) {
        List<Extraction.Line> lines = ExtractionKeys.lines(head, own);
        List<EmissionMethod.Overlap> overlaps = new ArrayList<>();
        if (own.has("overlaps")) {
            for (Section section : own.sections("overlaps")) {
                EmissionMethod.Overlap overlap = new EmissionMethod.Overlap(
                        section.text("quantity"), section.text("interferent"), section.number("share"));
                section.nothingElse();
                if (lines.stream().noneMatch(line -> line.quantity().equals(overlap.quantity()))) {
                    section.wrong("quantity", Problem.quoted(overlap.quantity()), "one of the method's lines");
                }
                if (head.analytes().stream()
                        .noneMatch(analyte -> analyte.symbol().equals(overlap.interferent()))) {
                    section.wrong(
                            "interferent",
                            Problem.quoted(overlap.interferent()),
                            "the symbol of one of the method's analytes");
                }
                overlaps.add(overlap);
            }
        }
        return new EmissionMethod(
                head,
                ExtractionKeys.extraction(own),
                lines,
                own.optionalText("internal_standard"),
                own.number("internal_standard_min_pct", 70),
                own.number("internal_standard_max_pct", 130),
                overlaps,
                own.optionalNumber("saturation"));
    }
}
