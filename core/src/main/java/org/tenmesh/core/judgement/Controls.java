package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.MistakenMaterial.Mistake;
import org.tenmesh.core.judgement.MistakenMaterial.Seen;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Role;

/** Control soils, open and hidden: a gate before the first soil, brackets after it. What is said of them names no hidden one. */
final class Controls {
    private final RunTable table;
    private final References references;
    private final Map<LabNumber, String> hidden;
    private final Set<LabNumber> disregarded;
    private final KnownEffects effects;
    private final Gates gates;
    private final Consumer<Draft> drafts;
    private final ControlLimits limits;
    private final List<ControlValue> values = new ArrayList<>();

    Controls(
            RunTable table,
            References references,
            Map<LabNumber, String> hidden,
            Set<LabNumber> disregarded,
            KnownEffects effects,
            Gates gates,
            Consumer<Draft> drafts) {
        this.table = table;
        this.references = references;
        this.hidden = hidden;
        this.disregarded = disregarded;
        this.effects = effects;
        this.gates = gates;
        this.drafts = drafts;
        this.limits = new ControlLimits(table);
    }

    // The measurements behind a column.
    private Set<String> measurements(int column) {
        return table.method().measurements(table.analyte(column).symbol());
    }

    List<ControlValue> judge() {
        Map<Integer, String> materials = materials();
        Map<Integer, Mistake> mistaken = mistaken(materials);
        materials.keySet().removeAll(mistaken.keySet());
        List<Check> atTheGate = new ArrayList<>();
        for (int column = 0; column < table.columns(); column++) {
            int at = column;
            List<Check> checks = new ArrayList<>();
            for (int row = 0; row < table.rows(); row++) {
                String material = materials.get(row);
                if (material != null) {
                    if (row < table.firstSoil() && isKnownToBeAboveRange(row, column, material)) {
                        judges(row, column);
                    }
                    int here = row;
                    value(row, column, material).ifPresent(value -> {
                        values.add(value);
                        // One probe's or balance's control does not speak for another's.
                        String known =
                                value.identity() + " " + table.at(here, at).channel();
                        checks.add(new Check(
                                here, known, value.z() / limitOf(value), () -> phrase(value), () -> measure(value)));
                    });
                }
            }
            List<Check> own = Check.atTheGate(checks, table.firstSoil());
            atTheGate.addAll(own);
            own.forEach(check -> judges(check.row(), at));
            own.stream()
                    .filter(check -> !check.passes() && !isAccountedFor(check, at))
                    .forEach(check -> shut(check, checks, at));
            for (String channel : channels()) {
                List<Check> under = checks.stream()
                        .filter(check -> channel.isEmpty()
                                || channel.equals(table.at(check.row(), at).channel()))
                        .toList();
                Check.brackets(under, table, (before, failing, first, last) -> {
                    List<Check> left = failing.stream()
                            .filter(check -> !isAccountedFor(check, at))
                            .toList();
                    if (left.isEmpty()) {
                        return;
                    }
                    if (left.stream().allMatch(check -> isDrift(check, at))) {
                        drifts(left, under, first, last, at, channel);
                    } else {
                        bracket(left, under, first, last, at, channel);
                    }
                });
            }
        }
        String within = "within " + widths() + " standard deviations";
        gates.decide(Gate.OWN_CONTROL, atTheGate, within, Role.CONTROL);
        mistaken.forEach((row, mistake) -> mistaken(row, mistake, anotherPassed(materials), within));
        values.sort(Comparator.comparingInt(ControlValue::position));
        return values;
    }

    // What follows from a measurement is judged with it; so is what follows from a part of its readings.
    private void judges(int row, int column) {
        for (int each = 0; each < table.columns(); each++) {
            if (measurements(column).containsAll(measurements(each))) {
                gates.judges(Gate.OWN_CONTROL, row, each);
            }
        }
    }

    // A control soil that holds more than the range gave what it must: it was read, though it has no number.
    private boolean isKnownToBeAboveRange(int row, int column, String material) {
        Determination d = table.at(row, column);
        return d.amount() instanceof Amount.Above above
                && references
                        .material(material, d.analyte())
                        .filter(known -> known.mean() > above.limit())
                        .isPresent();
    }

    // Whether it would have passed but for a cause that is already found: what is taken off goes over into standard
    // deviations.
    private boolean isAccountedFor(Check check, int column) {
        return passesWithout(
                check, column, table.at(check.row(), column).amount().raw() - effects.corrected(check.row(), column));
    }

    // A drift of the check solutions there, of the same sign and size.
    private boolean isDrift(Check check, int column) {
        double off = table.at(check.row(), column).amount().raw() - effects.withoutDrift(check.row(), column);
        return off * check.deviation() > 0 && passesWithout(check, column, off);
    }

    private boolean passesWithout(Check check, int column, double off) {
        return off != 0
                && references
                        .material(materialOf(check.row()), table.analyte(column).symbol())
                        .filter(material ->
                                Math.abs(check.deviation() - off / material.sd() / limits.of(material)) <= 1)
                        .isPresent();
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
        return table.method().channel().isPresent();
    }

    private String materialOf(int row) {
        Determination d = table.at(row, 0);
        return d.role() == Role.CONTROL ? d.identity() : hidden.getOrDefault(new LabNumber(d.identity()), "");
    }

    private Map<Integer, String> materials() {
        Map<Integer, String> materials = new HashMap<>();
        for (int row = 0; row < table.rows(); row++) {
            Determination d = table.at(row, 0);
            if (d.role() == Role.CONTROL) {
                materials.put(row, d.identity());
            } else if (d.role() == Role.SAMPLE) {
                LabNumber labNumber = new LabNumber(d.identity());
                String material = hidden.get(labNumber);
                if (material != null && !disregarded.contains(labNumber)) {
                    materials.put(row, material);
                }
            }
        }
        return materials;
    }

    // ---- another material in an open control's place

    // Of hidden control soils all methods know more together than one run does; open ones are asked here.
    private Map<Integer, Mistake> mistaken(Map<Integer, String> materials) {
        Map<Integer, Mistake> found = new TreeMap<>();
        materials.forEach((row, material) -> {
            if (table.role(row) == Role.CONTROL) {
                Map<Set<String>, Seen> seen = new LinkedHashMap<>();
                for (int column = 0; column < table.columns(); column++) {
                    Determination d = table.at(row, column);
                    Set<String> measured = measurements(column);
                    references
                            .material(material, d.analyte())
                            .filter(own -> usable(d, own))
                            .ifPresent(own -> seen.putIfAbsent(
                                    measured, new Seen(d.analyte(), d.amount().raw(), own)));
                }
                if (!seen.isEmpty()) {
                    MistakenMaterial.find(
                                    List.copyOf(seen.values()),
                                    references,
                                    limits.exact(),
                                    table.method().isLogarithm(),
                                    table.policy())
                            .ifPresent(mistake -> found.put(row, mistake));
                }
            }
        });
        return found;
    }

    /** Whether an open control soil that is what it is called passed in all analytes, anywhere in the run. */
    private boolean anotherPassed(Map<Integer, String> materials) {
        return materials.keySet().stream()
                .filter(row -> table.role(row) == Role.CONTROL)
                .anyMatch(row -> {
                    List<ControlValue> here = values.stream()
                            .filter(value -> value.position() == table.position(row))
                            .toList();
                    return !here.isEmpty()
                            && here.stream().allMatch(value -> value.rules().isEmpty());
                });
    }

    // The right soil was not read: the gate waits, unless another open control soil answers for the run.
    private void mistaken(int row, Mistake mistake, boolean anotherPassed, String within) {
        Determination d = table.at(row, 0);
        String said = "the open control " + d.identity() + " at position " + d.position() + " gave what "
                + mistake.material() + " gives, in "
                + (mistake.agrees() == 1 ? "its one analyte" : "all its " + mistake.agrees() + " analytes");
        boolean decided = gates.outcomes().stream().anyMatch(outcome -> outcome.gate() == Gate.OWN_CONTROL);
        boolean shut = row < table.firstSoil() && !anotherPassed;
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_MATERIAL_MISTAKEN,
                        Verdict.HOLD,
                        "position " + d.position(),
                        "",
                        shut
                                ? "Read " + d.identity() + " before these soils leave; look how the two were exchanged."
                                : "Look how the two were exchanged, and correct the list.")
                .says(said)
                .log10Odds(mistake.log10Odds())
                .runnerUp(CauseKind.CONTROL_FAILED, mistake.againstFailure());
        for (int column = 0; column < table.columns(); column++) {
            draft.stretch(row, row, column);
            if (shut) {
                draft.touch(table.firstSoil(), table.lastSoil(), column, "");
            }
        }
        drafts.accept(draft);
        if (row < table.firstSoil()) {
            // Another cause says what is wrong with it.
            for (int column = 0; column < table.columns(); column++) {
                gates.judges(Gate.OWN_CONTROL, row, column);
            }
        }
        if (row < table.firstSoil() && !decided) {
            gates.add(
                    Gate.OWN_CONTROL,
                    !shut,
                    said + (shut ? "" : "; another open control passed"),
                    within,
                    Role.CONTROL);
        }
    }

    private double limitOf(ControlValue value) {
        return references
                .material(value.material(), value.analyte())
                .map(limits::of)
                .orElse(limits.exact());
    }

    // "3.83", or "3.83 to 4.4" where the control soils are known from different numbers of results.
    private String widths() {
        double narrowest = limits.narrowest();
        double widest = limits.widest();
        return text(narrowest, 3) + (widest > narrowest ? " to " + text(widest, 3) : "");
    }

    private static boolean usable(Determination d, Material expected) {
        return d.flaw() == Flaw.NONE && !Double.isNaN(d.amount().raw()) && expected.sd() > 0;
    }

    private Optional<ControlValue> value(int row, int column, String material) {
        Determination d = table.at(row, column);
        Optional<Material> expected = references.material(material, d.analyte());
        if (expected.isEmpty() || !usable(d, expected.get())) {
            return Optional.empty();
        }
        if (limits.runsBehind(expected.get()) < table.policy().whole(Setting.CONTROL_LEAST_RESULTS)) {
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
                Math.abs(z) > limits.of(expected.get()) ? List.of("beyond-limit") : List.of()));
    }

    private String phrase(ControlValue value) {
        return value.analyte() + " " + (value.z() < 0 ? "−" : "+") + text(Math.abs(value.z()), 3)
                + " standard deviations (limit " + text(limitOf(value), 3) + ")";
    }

    // Where a hidden control lay is not told.
    private Measure measure(ControlValue value) {
        return Measure.around(
                Measure.Kind.CONTROL_SOIL,
                value.analyte(),
                value.hidden() ? "" : value.identity(),
                value.hidden() ? 0 : value.position(),
                value.z(),
                0,
                limitOf(value),
                "SD");
    }

    // What failed, and the open ones beside it; that a hidden one passed says where hidden ones are not.
    private void measures(Draft draft, List<Check> failing, List<Check> checks) {
        failing.forEach(check -> draft.measures(check.measure().get()));
        checks.stream()
                .filter(check -> table.role(check.row()) == Role.CONTROL)
                .forEach(check -> draft.measures(check.measure().get()));
    }

    private void shut(Check check, List<Check> checks, int column) {
        String channel = readByChannel() ? table.at(check.row(), column).channel() : "";
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_FAILED,
                        Verdict.HOLD,
                        channel,
                        "The open control before the first soil gave ",
                        "Read the open control again; if it still fails, look at scoop, extractant and calibration before any soil is read.")
                .says(check.evidence().get())
                .odds(check.deviation() * limits.exact());
        measures(draft, List.of(check), checks);
        touch(draft, table.firstSoil(), table.lastSoil(), column, channel);
    }

    private void bracket(List<Check> failing, List<Check> checks, int first, int last, int column, String channel) {
        Check worst = Check.worst(failing);
        Draft draft = new Draft(
                        table,
                        CauseKind.CONTROL_FAILED,
                        Verdict.REDO,
                        channel,
                        "A control soil gave ",
                        "Make these soils again from the tray, with a fresh portion.")
                .says(worst.evidence().get())
                .odds(worst.deviation() * limits.exact());
        measures(draft, failing, checks);
        touch(draft, first, last, column, channel);
    }

    // The control soils bear a drift out: one cause, and their soils from its beginning on are touched by it.
    private void drifts(List<Check> failing, List<Check> checks, int first, int last, int column, String channel) {
        int onset = effects.trend(new Lane(column, readByChannel() ? channel : ""))
                .map(Trend::onsetRow)
                .orElse(first);
        Check worst = Check.worst(failing);
        Draft draft = new Draft(table, CauseKind.DRIFT, Verdict.HOLD, channel, "", Trend.ACTION)
                .says("a control soil confirms it: " + worst.evidence().get())
                .touch(Math.max(first, onset + 1), last, column, channel);
        measures(draft, failing, checks);
        drafts.accept(draft);
    }

    private void touch(Draft draft, int first, int last, int column, String channel) {
        for (int each = 0; each < table.columns(); each++) {
            // What follows from a measurement that failed failed too.
            if (measurements(each).equals(measurements(column))) {
                draft.touch(first, last, each, channel);
            }
        }
        drafts.accept(draft);
    }
}
