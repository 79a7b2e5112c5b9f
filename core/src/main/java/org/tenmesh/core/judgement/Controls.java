package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.GateOutcome.Gate;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.statistics.FalseAlarm;

/** Control soils, open and hidden: a gate before the first soil, brackets after it. What is said of them names no hidden one. */
final class Controls {
    private final RunTable table;
    private final References references;
    private final Map<LabNumber, String> hidden;
    private final Gates gates;
    private final Consumer<Draft> drafts;
    private final double limit;
    private final List<ControlValue> values = new ArrayList<>();

    Controls(
            RunTable table,
            References references,
            Map<LabNumber, String> hidden,
            Policy policy,
            Gates gates,
            Consumer<Draft> drafts) {
        this.table = table;
        this.references = references;
        this.hidden = hidden;
        this.gates = gates;
        this.drafts = drafts;
        int together = (int) IntStream.range(0, table.columns())
                .mapToObj(this::measurement)
                .distinct()
                .count();
        limit = FalseAlarm.limit(FalseAlarm.ofEach(policy.controlFalseAlarm(), together));
    }

    // What names the measurement behind a column. Organic matter follows from the loss: the two are one. Results of a
    // formula that rest
    // on the same readings of a position are one; sand and clay from two readings of one suspension are two.
    private String measurement(int column) {
        String symbol = table.analyte(column).symbol();
        if (table.method() instanceof IgnitionMethod) {
            return "";
        }
        return table.method() instanceof FormulaMethod formula
                ? String.join(" ", formula.quantitiesOf(symbol))
                : symbol;
    }

    List<ControlValue> judge() {
        Map<Integer, String> materials = materials();
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            List<Check> checks = new ArrayList<>();
            for (int row = 0; row < table.rows(); row++) {
                String material = materials.get(row);
                if (material != null) {
                    int here = row;
                    value(row, column, material).ifPresent(value -> {
                        values.add(value);
                        // One probe's or balance's control does not speak for another's.
                        String known =
                                value.identity() + " " + table.at(here, at).channel();
                        checks.add(new Check(here, known, value.z() / limit, () -> phrase(value)));
                    });
                }
            }
            List<Check> own = Check.atTheGate(checks, table.firstSoil());
            atTheGate.addAll(own);
            own.stream().filter(check -> !check.passes()).forEach(check -> shut(check, at));
            for (String channel : channels()) {
                List<Check> under = checks.stream()
                        .filter(check -> channel.isEmpty()
                                || channel.equals(table.at(check.row(), at).channel()))
                        .toList();
                Check.brackets(
                        under, table, (before, failing, first, last) -> bracket(failing, first, last, at, channel));
            }
        }
        gates.decide(Gate.OWN_CONTROL, atTheGate, "within " + text(limit, 3) + " standard deviations", Role.CONTROL);
        values.sort(Comparator.comparingInt(ControlValue::position));
        return values;
    }

    // Each probe is judged by the control soils under it: those under the other three would end its bracket.
    private List<String> channels() {
        return readByChannel()
                ? IntStream.range(0, table.rows())
                        .mapToObj(row -> table.at(row, 0).channel())
                        .distinct()
                        .toList()
                : List.of("");
    }

    private boolean readByChannel() {
        return table.method() instanceof ElectrodeMethod || table.method() instanceof ConductivityMethod;
    }

    private Map<Integer, String> materials() {
        Map<Integer, String> materials = new HashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            Determination d = table.at(row, 0);
            if (d.role() == Role.CONTROL) {
                materials.put(row, d.identity());
            } else if (d.role() == Role.SAMPLE) {
                String material = hidden.get(new LabNumber(d.identity()));
                if (material != null) {
                    materials.put(row, material);
                }
            }
        }
        return materials;
    }

    private Optional<ControlValue> value(int row, int column, String material) {
        Determination d = table.at(row, column);
        Optional<Material> expected = references.material(material, d.analyte());
        if (d.flaw() != Flaw.NONE
                || Double.isNaN(d.amount().raw())
                || expected.isEmpty()
                || !(expected.get().sd() > 0)) {
            return Optional.empty();
        }
        double z = (d.amount().raw() - expected.get().mean()) / expected.get().sd();
        return Optional.of(new ControlValue(
                table.run().run(),
                table.method().id(),
                d.position(),
                d.identity(),
                d.role() == Role.SAMPLE,
                material,
                d.analyte(),
                d.amount().raw(),
                z,
                Math.abs(z) > limit ? List.of("beyond-limit") : List.of()));
    }

    private String phrase(ControlValue value) {
        return value.analyte() + " " + (value.z() < 0 ? "−" : "+") + text(Math.abs(value.z()), 2)
                + " standard deviations (limit " + text(limit, 3) + ")";
    }

    private void shut(Check check, int column) {
        String channel = readByChannel() ? table.at(check.row(), column).channel() : "";
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_FAILED,
                        Verdict.HOLD,
                        channel,
                        "The open control before the first soil gave ",
                        "Read the open control again; if it still fails, look at scoop, extractant and calibration before any soil is read.")
                .says(check.evidence().get())
                .odds(check.deviation() * limit);
        touch(draft, table.firstSoil(), table.lastSoil(), column, channel);
    }

    private void bracket(List<Check> failing, int first, int last, int column, String channel) {
        Check worst = Check.worst(failing);
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_FAILED,
                        Verdict.REDO,
                        channel,
                        "A control soil gave ",
                        "Make these soils again from the tray, with a fresh portion.")
                .says(worst.evidence().get())
                .odds(worst.deviation() * limit);
        touch(draft, first, last, column, channel);
    }

    private void touch(Draft draft, int first, int last, int column, String channel) {
        for (int each = 0; each < table.columns(); each++) {
            // What follows from a measurement that failed failed too.
            if (measurement(each).equals(measurement(column))) {
                draft.touch(first, last, each, channel);
            }
        }
        drafts.accept(draft);
    }
}
