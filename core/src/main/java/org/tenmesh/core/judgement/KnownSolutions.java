package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import org.tenmesh.core.judgement.GateOutcome.Gate;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/** Known solutions that made no part of the calibration: a gate before the first soil, brackets after it. */
final class KnownSolutions {
    /** A step is called drift when the checks before it foretold at least this share of it. */
    private static final double FORETOLD_SHARE = 0.4;
    /** A tolerance is taken for three standard deviations of a check (common practice). */
    private static final double SD_IN_TOLERANCE = 3;

    private final RunTable table;
    private final References references;
    private final Accounted accounted;
    private final Gates gates;
    private final Consumer<Draft> drafts;

    KnownSolutions(RunTable table, References references, Accounted accounted, Gates gates, Consumer<Draft> drafts) {
        this.table = table;
        this.references = references;
        this.accounted = accounted;
        this.gates = gates;
        this.drafts = drafts;
    }

    void judge() {
        Map<Lane, List<Check>> lanes = new LinkedHashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            if (table.role(row) != Role.VERIFICATION) {
                continue;
            }
            for (int column = 0; column < table.columns(); column++) {
                Determination d = table.at(row, column);
                // A solution that never was known, or whose reading is flawed, says nothing.
                if (!Double.isNaN(d.known()) && d.flaw() == Flaw.NONE && !Calibrated.isForCarryOver(table, d)) {
                    double tolerance = tolerance(d, table.analyte(column));
                    lanes.computeIfAbsent(new Lane(column, d.channel()), lane -> new ArrayList<>())
                            .add(new Check(
                                    row,
                                    d.identity(),
                                    (d.amount().raw() - d.known()) / tolerance,
                                    () -> found(d, tolerance)));
                }
            }
        }
        List<Check> atTheGate = new ArrayList<>();
        lanes.forEach((lane, checks) -> {
            List<Check> own = Check.atTheGate(checks, table.firstSoil());
            atTheGate.addAll(own);
            own.stream()
                    .filter(check -> !check.passes() && !isAccountedFor(check, lane))
                    .forEach(check -> shut(check, lane));
            Check.brackets(checks, table, (before, failing, first, last) -> {
                List<Check> left = failing.stream()
                        .filter(check -> !isAccountedFor(check, lane))
                        .toList();
                if (!left.isEmpty()) {
                    bracket(before, left, first, last, lane);
                }
            });
        });
        gates.decide(Gate.KNOWN_SOLUTIONS, atTheGate, "each within its tolerance", Role.VERIFICATION);
    }

    // Whether it would have passed but for a cause that is already found.
    private boolean isAccountedFor(Check check, Lane lane) {
        Determination d = table.at(check.row(), lane.column());
        double left = accounted.corrected(check.row(), lane.column()) - d.known();
        return left != d.amount().raw() - d.known() && Math.abs(left) <= tolerance(d, table.analyte(lane.column()));
    }

    private void shut(Check check, Lane lane) {
        drafts.accept(new Draft(
                        table,
                        CauseKind.VERIFICATION_FAILED,
                        Verdict.HOLD,
                        lane.channel(),
                        "Before the first soil, ",
                        "Find out whether the standards or the known solution are wrong; calibrate, then read these soils again.")
                .says(check.evidence().get())
                .odds(check.deviation() * SD_IN_TOLERANCE)
                .touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel()));
    }

    private void bracket(List<Check> before, List<Check> failing, int first, int last, Lane lane) {
        Check worst = Check.worst(failing);
        boolean drift = foretold(before, failing.get(0));
        drafts.accept(new Draft(
                        table,
                        drift ? CauseKind.DRIFT : CauseKind.VERIFICATION_FAILED,
                        Verdict.REDO,
                        lane.channel(),
                        "",
                        drift
                                ? "Find what moves (gas, pump, torch, temperature), calibrate, then read these soils again."
                                : "Read the known solution again; if it still fails, calibrate, then read these soils again.")
                .says(worst.evidence().get() + (drift ? ", foretold by the checks before it" : ""))
                .odds(worst.deviation() * SD_IN_TOLERANCE)
                .touch(first, last, lane.column(), lane.channel()));
    }

    // Do the checks that still passed point, along a straight line, at the one that failed?
    private static boolean foretold(List<Check> before, Check failed) {
        int n = before.size();
        if (n < 3) {
            return false;
        }
        double meanRow = before.stream().mapToInt(Check::row).average().orElse(0);
        double mean = before.stream().mapToDouble(Check::deviation).average().orElse(0);
        double sxx = 0;
        double sxy = 0;
        for (Check check : before) {
            sxx += (check.row() - meanRow) * (check.row() - meanRow);
            sxy += (check.row() - meanRow) * (check.deviation() - mean);
        }
        if (sxx == 0) {
            return false;
        }
        double slope = sxy / sxx;
        double residual = 0;
        for (Check check : before) {
            double off = check.deviation() - mean - slope * (check.row() - meanRow);
            residual += off * off;
        }
        double expected = mean + slope * (failed.row() - meanRow);
        double slopeSd = Math.sqrt(residual / Math.max(1, n - 2) / sxx);
        return expected * failed.deviation() > 0
                && Math.abs(expected) >= FORETOLD_SHARE * Math.abs(failed.deviation())
                && Math.abs(slope) > 2 * slopeSd;
    }

    private double tolerance(Determination d, Analyte analyte) {
        Optional<Standard> standard = references.standard(d.identity(), analyte.symbol());
        if (standard.isPresent() && standard.get().tolerance().isPresent()) {
            return standard.get().tolerance().getAsDouble();
        }
        if (standard.isPresent() && standard.get().tolerancePct().isPresent() && d.known() != 0) {
            return standard.get().tolerancePct().getAsDouble() / 100 * Math.abs(d.known());
        }
        if (table.method() instanceof ElectrodeMethod electrode) {
            return electrode.verificationTolerancePh();
        }
        if (table.method() instanceof ExtractionMethod extraction) {
            return Math.max(
                    extraction.extraction().verificationTolerancePct() / 100 * Math.abs(d.known()),
                    reportingLimitInExtract(extraction, analyte));
        }
        if (table.method() instanceof ConductivityMethod conductivity) {
            return conductivity.verificationTolerancePct() / 100 * Math.abs(d.known());
        }
        return SD_IN_TOLERANCE * analyte.withinSd(d.known());
    }

    /** The reporting limit in mg/L of undiluted extract; 0 when the analyte has none. */
    static double reportingLimitInExtract(ExtractionMethod extraction, Analyte analyte) {
        return analyte.reportingLimit().orElse(0) / extraction.extraction().content(1, 0, 1);
    }

    private String found(Determination d, double tolerance) {
        String probe = "";
        if (!d.channel().isEmpty() && table.method() instanceof ElectrodeMethod) {
            probe = " under probe " + d.channel();
        } else if (!d.channel().isEmpty() && table.method() instanceof ConductivityMethod) {
            probe = " in cell " + d.channel();
        }
        String place = d.identity() + " at position " + d.position() + probe;
        if (table.method() instanceof ExtractionMethod && d.known() != 0) {
            return d.analyte() + " " + text(100 * d.amount().raw() / d.known(), 4) + " % of known solution " + place
                    + " (allowed " + text(100 * tolerance / Math.abs(d.known()), 3) + " % either way)";
        }
        String unit = d.amount().unit().spelling();
        return d.analyte() + " " + text(d.amount().raw(), 4) + " " + unit + (unit.isEmpty() ? "" : " ") + "for known "
                + text(d.known(), 4) + " of " + place + " (allowed " + text(tolerance, 3) + " either way)";
    }
}
