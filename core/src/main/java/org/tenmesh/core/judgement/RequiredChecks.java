package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/**
 * What follows when check solutions are too few along a run: soils that no check guards wait. A check is one that could be judged, whether it
 * passed or not; what failing ones do is decided elsewhere.
 */
final class RequiredChecks {
    private final RunTable table;
    private final Gates gates;
    private final Map<Lane, List<Check>> checks;
    private final Consumer<Draft> drafts;

    RequiredChecks(RunTable table, Gates gates, Map<Lane, List<Check>> checks, Consumer<Draft> drafts) {
        this.table = table;
        this.gates = gates;
        this.checks = new LinkedHashMap<>();
        this.drafts = drafts;
        checks.forEach((lane, own) -> own.forEach(check -> this.checks
                .computeIfAbsent(
                        new Lane(lane.column(), gates.channel(check.row(), lane.column())), key -> new ArrayList<>())
                .add(check)));
    }

    void judge() {
        for (int column = 0; column < table.columns(); column++) {
            for (String channel : channels(column)) {
                Lane lane = new Lane(column, channel);
                List<Check> own = checks.getOrDefault(lane, List.of());
                if (own.stream().anyMatch(check -> check.row() < table.firstSoil())) {
                    interval(lane, own);
                }
            }
            if (table.policy().whole(Setting.LOW_LEVEL_CHECK) > 0) {
                int here = column;
                table.method().extract().ifPresent(extraction -> lowLevel(here, extraction));
            }
        }
    }

    private TreeSet<String> channels(int column) {
        TreeSet<String> channels = new TreeSet<>();
        for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
            if (table.role(row) == Role.SAMPLE && table.at(row, column).flaw() != Flaw.NO_CALIBRATION) {
                channels.add(gates.channel(row, column));
            }
        }
        return channels;
    }

    private boolean isSoilOf(Lane lane, int row) {
        return table.role(row) == Role.SAMPLE
                && gates.channel(row, lane.column()).equals(lane.channel());
    }

    // ---- more soils between two checks than allowed

    private void interval(Lane lane, List<Check> own) {
        int allowed = table.policy().whole(Setting.CHECK_INTERVAL_SOILS);
        if (allowed == 0) {
            return;
        }
        Draft draft = draft("check interval", "Read a check solution at least every " + allowed + " soils.");
        int most = 0;
        int since = 0;
        int next = 0;
        for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
            while (next < own.size() && own.get(next).row() <= row) {
                since = 0;
                next++;
            }
            if (isSoilOf(lane, row)) {
                since++;
                most = Math.max(most, since);
                if (since > allowed) {
                    draft.touch(row, lane.column());
                }
            }
        }
        if (most > allowed) {
            drafts.accept(draft.says(most + " soils of " + name(lane)
                    + " without a check solution between them (allowed " + allowed + ")"));
        }
    }

    // ---- numbers below everything known that was read

    private void lowLevel(int column, Extraction extraction) {
        double lowest = Double.POSITIVE_INFINITY;
        for (int row = 0; row < table.firstSoil() && row < table.rows(); row++) {
            Determination d = table.at(row, column);
            if (d.role() == Role.STANDARD && d.known() > 0) {
                lowest = Math.min(lowest, d.known());
            }
        }
        for (Map.Entry<Lane, List<Check>> one : checks.entrySet()) {
            if (one.getKey().column() == column) {
                for (Check check : Check.atTheGate(one.getValue(), table.firstSoil())) {
                    double known = table.at(check.row(), column).known();
                    lowest = check.passes() && known > 0 ? Math.min(lowest, known) : lowest;
                }
            }
        }
        if (table.run().underWay() && lowest == Double.POSITIVE_INFINITY) {
            return;
        }
        double guarded = extraction.content(lowest, 0, 1);
        Draft draft = draft(
                "low level",
                "Read a check solution at or below these soils and within its tolerance, then read them again.");
        boolean any = false;
        for (int row = Math.max(0, table.firstSoil()); row <= table.lastSoil(); row++) {
            Determination d = table.at(row, column);
            if (table.role(row) == Role.SAMPLE
                    && d.flaw() == Flaw.NONE
                    && d.amount() instanceof Amount.Measured
                    && d.amount().raw() < guarded) {
                draft.touch(row, column);
                any = true;
            }
        }
        if (any) {
            drafts.accept(draft.says(
                    "no standard or check solution of " + table.analyte(column).symbol() + " below "
                            + text(lowest, 3) + " mg/L was read before them (" + text(guarded, 3) + " "
                            + table.analyte(column).unit().spelling() + " of soil)"));
        }
    }

    private Draft draft(String group, String action) {
        return new Draft(
                table,
                CauseKind.CONTROL_MISSING,
                Verdict.HOLD,
                group,
                "",
                action
                        + " If one was read, take the complete file; if none was, read these soils again between check solutions.");
    }

    private String name(Lane lane) {
        return table.analyte(lane.column()).symbol()
                + table.method().channel().map(one -> one.where(lane.channel())).orElse("");
    }
}
