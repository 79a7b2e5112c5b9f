package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;

/** What every check solution, blank and open control soil of a run gave, beside what is allowed of it; not what it is worth. */
public final class RunMeasures {
    private RunMeasures() {}

    /**
     * In the order of positions, then of analytes. What has a flaw, or was never known, is left out; hidden control soils are soils here.
     */
    public static List<Measure> of(Reduced reduced, References references, Policy policy) {
        RunTable table = new RunTable(reduced, policy);
        if (table.rows() == 0) {
            return List.of();
        }
        CheckLimits checks = new CheckLimits(table, references);
        ControlLimits controls = new ControlLimits(table);
        List<Measure> measures = new ArrayList<>();
        for (int row = 0; row < table.rows(); row++) {
            for (int column = 0; column < table.columns(); column++) {
                Determination d = table.at(row, column);
                Analyte analyte = table.analyte(column);
                if (d.flaw() != Flaw.NONE || !Double.isFinite(d.amount().raw())) {
                    continue;
                }
                if (d.role() == Role.VERIFICATION && !Double.isNaN(d.known()) && !Calibrated.isForCarryOver(table, d)) {
                    measures.add(checks.measure(d, checks.tolerance(d, analyte)));
                } else if (d.role() == Role.BLANK) {
                    table.method()
                            .extract()
                            .ifPresent(extraction -> measures.add(blank(d, analyte, extraction, policy)));
                } else if (d.role() == Role.CONTROL) {
                    control(d, references, controls).ifPresent(measures::add);
                }
            }
        }
        return measures;
    }

    /** What is allowed of a blank: so much below zero and so much above, mg/L in the extract. */
    static Measure blank(Determination d, Analyte analyte, Extraction extraction, Policy policy) {
        double limit = extraction.reportingLimitMgPerL(analyte);
        double above = extraction.blankShareOfLimit() * limit;
        double below = policy.number(Setting.BLANK_BELOW_ZERO) * limit;
        return new Measure(
                Measure.Kind.BLANK,
                analyte.symbol(),
                "",
                d.position(),
                d.amount().raw(),
                above > 0 ? OptionalDouble.of(-below) : OptionalDouble.empty(),
                above > 0 ? OptionalDouble.of(above) : OptionalDouble.empty(),
                "mg/L");
    }

    private static Optional<Measure> control(Determination d, References references, ControlLimits controls) {
        return references
                .material(d.identity(), d.analyte())
                .filter(material -> material.sd() > 0)
                .map(material -> Measure.around(
                        Measure.Kind.CONTROL_SOIL,
                        d.analyte(),
                        d.identity(),
                        d.position(),
                        (d.amount().raw() - material.mean()) / material.sd(),
                        0,
                        controls.of(material),
                        "SD"));
    }
}
