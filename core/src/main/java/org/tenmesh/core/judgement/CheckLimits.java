package org.tenmesh.core.judgement;

import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.reduction.Determination;

/** What is allowed of a check solution: as the laboratory states of it, else as the method has it. */
final class CheckLimits {
    private final RunTable table;
    private final References references;

    CheckLimits(RunTable table, References references) {
        this.table = table;
        this.references = references;
    }

    /** Either way, in the unit of the analyte. */
    double tolerance(Determination d, Analyte analyte) {
        Optional<Standard> standard = references.standard(d.identity(), analyte.symbol());
        if (standard.isPresent() && standard.get().tolerance().isPresent()) {
            return standard.get().tolerance().getAsDouble();
        }
        if (standard.isPresent() && standard.get().tolerancePct().isPresent() && d.known() != 0) {
            return standard.get().tolerancePct().getAsDouble() / 100 * Math.abs(d.known());
        }
        OptionalDouble own = table.method().checkTolerance(d.known(), analyte);
        return own.isPresent()
                ? own.getAsDouble()
                : table.policy().number(Setting.CHECK_SDS_IN_TOLERANCE) * analyte.withinSd(d.known());
    }

    /** What one gave, as a share of what is known where extracts are read; otherwise as it is. */
    Measure measure(Determination d, double tolerance) {
        if (table.method().extract().isPresent() && d.known() != 0) {
            return Measure.around(
                    Measure.Kind.CHECK_SOLUTION,
                    d.analyte(),
                    named(d),
                    d.position(),
                    100 * d.amount().raw() / d.known(),
                    100,
                    100 * tolerance / Math.abs(d.known()),
                    "%");
        }
        return Measure.around(
                Measure.Kind.CHECK_SOLUTION,
                d.analyte(),
                named(d),
                d.position(),
                d.amount().raw(),
                d.known(),
                tolerance,
                d.amount().unit().spelling());
    }

    private String named(Determination d) {
        return d.identity() + under(d);
    }

    /** " under probe 2" where each is calibrated by itself. */
    String under(Determination d) {
        return table.method()
                .channel()
                .map(channel -> channel.where(d.channel()))
                .orElse("");
    }
}
