package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;

/**
 * What follows when nothing was read before the first soil for one of the gates a run must have been judged by: the gate is shut, and every
 * soil it guards is held. Missing quality control is no evidence that a result is fit. Which gates those are the method says. Of a run under
 * way they are not read yet: its soils wait for them.
 */
final class RequiredGates {
    private final RunTable table;
    private final Gates gates;
    private final StillToCome still;

    RequiredGates(RunTable table, Gates gates, StillToCome still) {
        this.table = table;
        this.gates = gates;
        this.still = still;
    }

    /** Shuts every required gate that something was not read for; a run that has no soil yet waits and holds nothing. */
    void judge(Set<Gate> required, Consumer<Draft> drafts) {
        if (table.lastSoil() < 0) {
            return;
        }
        for (Gate gate : required) {
            if (gate == Gate.CALIBRATION && meterCalibrates()) {
                continue;
            }
            List<Lane> missing = soilLanes().stream()
                    .filter(lane -> !gates.isJudged(gate, lane))
                    .toList();
            if (!missing.isEmpty() && table.run().underWay()) {
                still.gate(gate, missing, "the " + what(gate) + " before it");
            } else if (!missing.isEmpty()) {
                shut(gate, missing, drafts);
            }
            if (gate == Gate.CALIBRATION) {
                table.method().extract().ifPresent(extraction -> levels(extraction, drafts));
            }
        }
    }

    // A curve through too few standards fits whatever they hold.
    private void levels(Extraction extraction, Consumer<Draft> drafts) {
        boolean line = extraction.shape() == Extraction.Shape.LINE;
        int needed = extraction
                .acceptance()
                .leastLevels()
                .orElseGet(() -> line
                        ? table.policy().whole(Setting.CALIBRATION_LINE_LEVELS)
                        : table.policy().whole(Setting.CALIBRATION_QUADRATIC_LEVELS));
        Map<Integer, List<Lane>> few = new TreeMap<>();
        for (Lane lane : soilLanes()) {
            table.reduced().calibrations().stream()
                    .filter(one -> table.column(one.analyte()).orElse(-1) == lane.column()
                            && one.channel().equals(lane.channel()))
                    .findFirst()
                    .map(one -> (int) one.points().stream()
                            .mapToDouble(CalibrationOutcome.Point::value)
                            .distinct()
                            .count())
                    .filter(levels -> levels < needed)
                    .ifPresent(levels -> few.computeIfAbsent(levels, key -> new ArrayList<>())
                            .add(lane));
        }
        if (table.run().underWay()) {
            few.values().forEach(lanes -> still.gate(Gate.CALIBRATION, lanes, "the rest of the calibration"));
            return;
        }
        few.forEach((levels, lanes) -> {
            String said = names(lanes) + ": " + (line ? "a straight line" : "a quadratic curve")
                    + " through standards of " + levels + " different contents, " + needed + " needed";
            Draft draft = new Draft(
                            table,
                            CauseKind.CONTROL_MISSING,
                            Verdict.HOLD,
                            "levels " + levels,
                            "The calibration rests on too little: ",
                            "If more standards were read, take the complete file; if not, calibrate with more, then read these soils again.")
                    .says(said);
            lanes.forEach(lane -> draft.touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel()));
            drafts.accept(draft);
            gates.shut(Gate.CALIBRATION, said, Role.STANDARD);
        });
    }

    // A meter that gives pH itself keeps its calibration to itself; check solutions judge it.
    private boolean meterCalibrates() {
        return table.method()
                .rawSignal()
                .filter(quantity -> table.run().readings().quantityCode(quantity) < 0)
                .isPresent();
    }

    private void shut(Gate gate, List<Lane> missing, Consumer<Draft> drafts) {
        String said = "no " + what(gate) + " was read for " + names(missing);
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_MISSING,
                        Verdict.HOLD,
                        gate.word(),
                        "Before the first soil ",
                        "If it was read, take the complete file; if it was not, read it, then read these soils again.")
                .says(said);
        for (Lane lane : missing) {
            draft.touch(table.firstSoil(), table.lastSoil(), lane.column(), lane.channel());
        }
        drafts.accept(draft);
        gates.shut(gate, said, role(gate));
    }

    // Where soils were read that have a calibration; without one they wait for that already.
    private List<Lane> soilLanes() {
        List<Lane> lanes = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            Set<String> channels = new TreeSet<>();
            for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
                Role role = table.role(row);
                if ((role == Role.SAMPLE || role == Role.DUPLICATE)
                        && table.at(row, column).flaw() != Flaw.NO_CALIBRATION) {
                    channels.add(gates.channel(row, column));
                }
            }
            for (String channel : channels) {
                lanes.add(new Lane(column, channel));
            }
        }
        return lanes;
    }

    // "P, K" or "pH under 2, 3".
    private String names(List<Lane> lanes) {
        Map<String, Set<String>> bySymbol = new LinkedHashMap<>();
        for (Lane lane : lanes) {
            bySymbol.computeIfAbsent(table.analyte(lane.column()).symbol(), symbol -> new TreeSet<>())
                    .add(lane.channel());
        }
        List<String> names = new ArrayList<>();
        bySymbol.forEach((symbol, channels) -> {
            channels.remove("");
            names.add(symbol
                    + table.method()
                            .channel()
                            .map(channel -> channel.where(String.join(", ", channels)))
                            .orElse(""));
        });
        return String.join(", ", names);
    }

    private static String what(Gate gate) {
        return switch (gate) {
            case CALIBRATION -> "standard";
            case KNOWN_SOLUTIONS -> "check solution that can be judged";
            case BLANK -> "blank that can be judged";
            case BASELINE -> "baseline at two wash positions";
            case CARRY_OVER -> "low, high and low solution for the carry-over";
            case OWN_CONTROL -> "open control soil of known content";
        };
    }

    private static Role role(Gate gate) {
        return switch (gate) {
            case CALIBRATION -> Role.STANDARD;
            case KNOWN_SOLUTIONS, CARRY_OVER -> Role.VERIFICATION;
            case BLANK -> Role.BLANK;
            case BASELINE -> Role.WASH;
            case OWN_CONTROL -> Role.CONTROL;
        };
    }
}
