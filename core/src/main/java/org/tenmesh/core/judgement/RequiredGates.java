package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/**
 * Which gates a run of each kind of method must have been judged by before its first soil, and what follows when nothing was read for one
 * of them: the gate is shut, and every soil it guards is held. Missing quality control is no evidence that a result is fit.
 *
 * <p>The table and its sources. Calibration every day, a check solution that made no part of it, and a blank: US EPA SW-846 method 6010D,
 * July 2018, sections 10.7, 10.8.1, 10.8.4 and 9.7.1 for plasma; the same for flow analysis, electrodes and conductivity cells by common
 * practice, without a blank for the last two, which subtract none. A baseline and the carry-over, because a flow method names a limit for
 * each (common practice). An open control soil in every run (common practice). A formula that needs a blank or a standard has no result
 * without one, so that none is asked for here.
 */
final class RequiredGates {
    private final RunTable table;
    private final Gates gates;

    RequiredGates(RunTable table, Gates gates) {
        this.table = table;
        this.gates = gates;
    }

    /** The gates that a run of a method must have been judged by. */
    static Set<Gate> of(Method method) {
        if (method instanceof EmissionMethod) {
            return EnumSet.of(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.BLANK, Gate.OWN_CONTROL);
        }
        if (method instanceof FlowMethod) {
            return EnumSet.allOf(Gate.class);
        }
        if (method instanceof ElectrodeMethod || method instanceof ConductivityMethod) {
            return EnumSet.of(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.OWN_CONTROL);
        }
        if (method instanceof IgnitionMethod || method instanceof FormulaMethod) {
            return EnumSet.of(Gate.OWN_CONTROL);
        }
        if (method instanceof DerivedMethod) {
            return EnumSet.noneOf(Gate.class);
        }
        throw new IllegalArgumentException("no gates are stated for methods such as " + method.id());
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
            if (!missing.isEmpty()) {
                shut(gate, missing, drafts);
            }
        }
    }

    // A meter that gives pH itself keeps its calibration to itself; check solutions judge it.
    private boolean meterCalibrates() {
        return table.method() instanceof ElectrodeMethod
                && table.run().readings().quantityCode("potential") < 0;
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
            String under = table.method() instanceof ConductivityMethod ? " in cell " : " under probe ";
            names.add(symbol + (channels.isEmpty() ? "" : under + String.join(", ", channels)));
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
