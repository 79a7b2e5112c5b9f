package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Supplier;
import org.hipparchus.special.Erf;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.GateOutcome.Gate;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.EmissionReduction;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;

/**
 * Judges one run by what it carries itself: its calibration, known solutions, blanks, control soils and duplicates.
 *
 * <p>Before the first soil stand the gates; a gate that stays shut holds the whole run for the probe or element it concerns. After
 * the first soil a failing check touches its bracket: everything after the last check of its kind that passed and before the next
 * one (US EPA SW-846 method 6010D, July 2018, section 10.8.5: samples after the last good check are run again).
 */
public final class RunJudge {
    /** A blank matters only where it is more than a tenth of the soil (6010D, section 9.7.1). */
    private static final double BLANK_MATTERS_BELOW = 10;
    /** A step is called drift when the checks before it foretold at least this share of it. */
    private static final double FORETOLD_SHARE = 0.4;
    /** Numbers named in one sentence of evidence; the rest is counted. */
    private static final int NAMED = 5;

    private static final double LOG10_E = 1 / Math.log(10);

    private final Reduced reduced;
    private final Method method;
    private final References references;
    private final List<Determination> all;
    private final List<Analyte> analytes;
    private final int columns;
    private final int rows;
    private final int firstSoil;
    private final int lastSoil;
    private final double controlLimit;
    private final int[] stands;
    private final @Nullable String[] materialOf;
    private final List<Draft> drafts = new ArrayList<>();
    private final List<GateOutcome> gates = new ArrayList<>();
    private final List<ControlValue> controlValues = new ArrayList<>();

    private RunJudge(Reduced reduced, References references, Map<LabNumber, String> hidden, Policy policy) {
        this.reduced = reduced;
        this.method = reduced.method();
        this.references = references;
        this.all = reduced.determinations();
        this.analytes = analytesRead();
        this.columns = Math.max(1, analytes.size());
        this.rows = all.size() / columns;
        int first = rows;
        int last = -1;
        for (int row = 0; row < rows; row++) {
            Role role = at(row, 0).role();
            if (role == Role.SAMPLE || role == Role.DUPLICATE) {
                first = Math.min(first, row);
                last = row;
            }
        }
        firstSoil = first;
        lastSoil = last;
        controlLimit = twoSidedLimit(policy.controlFalseAlarm(), judgedTogether());
        stands = standing();
        materialOf = new String[rows];
        for (int row = 0; row < rows; row++) {
            Determination d = at(row, 0);
            materialOf[row] = d.role() == Role.CONTROL
                    ? d.identity()
                    : d.role() == Role.SAMPLE ? hidden.get(new LabNumber(d.identity())) : null;
        }
    }

    /**
     * Judges a reduced run.
     *
     * @param hidden the sealed key: which lab numbers are control soils, and of which material
     */
    public static RunJudgement judge(
            Reduced reduced, References references, Map<LabNumber, String> hidden, Policy policy) {
        return new RunJudge(reduced, references, hidden, policy).judge();
    }

    /**
     * The limit in standard deviations that {@code n} independent values together exceed with a given chance:
     * {@code 1 - (1 - p)^(1/n)} for each (Sidak 1967, J. Am. Stat. Assoc. 62:626), two-sided.
     */
    static double twoSidedLimit(double falseAlarm, int n) {
        double each = -Math.expm1(Math.log1p(-falseAlarm) / n);
        return Math.sqrt(2) * Erf.erfcInv(each);
    }

    private RunJudgement judge() {
        if (rows > 0) {
            calibration();
            knownSolutions();
            blanks();
            controls();
            duplicates();
            flaws();
            closing();
        }
        return assemble();
    }

    private List<Analyte> analytesRead() {
        List<Analyte> found = new ArrayList<>();
        for (int i = 0; i < all.size() && all.get(i).position() == all.get(0).position(); i++) {
            found.add(method.analyte(all.get(i).analyte()).orElseThrow());
        }
        return found;
    }

    // Organic matter follows from the loss: the two are one measurement.
    private int judgedTogether() {
        return method instanceof IgnitionMethod ? 1 : columns;
    }

    private Determination at(int row, int column) {
        return all.get(row * columns + column);
    }

    private int positionOf(int row) {
        return at(row, 0).position();
    }

    // ---- calibration
    // -------------------------------------------------------------------------------------------------

    private void calibration() {
        if (reduced.calibrations().isEmpty()) {
            return;
        }
        List<CalibrationOutcome> rejected =
                reduced.calibrations().stream().filter(c -> !c.accepted()).toList();
        for (CalibrationOutcome outcome : rejected) {
            Draft draft = new Draft(CauseKind.CALIBRATION_REJECTED, Verdict.HOLD, outcome.channel());
            draft.action = outcome.channel().isEmpty()
                    ? "Prepare the standards again, calibrate, then read these soils again."
                    : "Clean or replace probe " + outcome.channel() + ", calibrate it, then read its soils again.";
            draft.evidence.add(outcome.reasons().get(0));
            column(outcome.analyte()).ifPresent(column -> touch(draft, firstSoil, lastSoil, column, outcome.channel()));
            drafts.add(draft);
        }
        boolean open = rejected.isEmpty();
        CalibrationOutcome shown = open ? reduced.calibrations().get(0) : rejected.get(0);
        String more = open && reduced.calibrations().size() > 1
                ? ", and " + (reduced.calibrations().size() - 1) + " more"
                : "";
        gate(
                Gate.CALIBRATION,
                open,
                open ? shown.summary() + more : shown.reasons().get(0),
                shown.limits(),
                lastRowOf(Role.STANDARD));
    }

    private Optional<Integer> column(String symbol) {
        for (int column = 0; column < columns; column++) {
            if (analytes.get(column).symbol().equals(symbol)) {
                return Optional.of(column);
            }
        }
        return Optional.empty();
    }

    private int lastRowOf(Role role) {
        int last = 0;
        for (int row = 0; row < firstSoil && row < rows; row++) {
            if (at(row, 0).role() == role) {
                last = row;
            }
        }
        return last;
    }

    // ---- known solutions
    // ---------------------------------------------------------------------------------------------

    /**
     * One check of one analyte.
     *
     * @param deviation signed, in units of the tolerance
     */
    private record Check(int row, String identity, double deviation, Supplier<String> evidence) {
        String found() {
            return evidence.get();
        }

        boolean passes() {
            return Math.abs(deviation) <= 1;
        }
    }

    private void knownSolutions() {
        Map<String, List<Check>> byLane = new LinkedHashMap<>();
        for (int row = 0; row < rows; row++) {
            for (int column = 0; column < columns; column++) {
                Determination d = at(row, column);
                // A solution that never was known, or whose reading is flawed, says nothing.
                if (d.role() != Role.VERIFICATION || Double.isNaN(d.known()) || d.flaw() != Flaw.NONE) {
                    continue;
                }
                double tolerance = tolerance(d, analytes.get(column));
                double deviation = (d.amount().raw() - d.known()) / tolerance;
                byLane.computeIfAbsent(column + "|" + d.channel(), lane -> new ArrayList<>())
                        .add(new Check(row, d.identity(), deviation, () -> found(d, tolerance)));
            }
        }
        List<Check> shut = new ArrayList<>();
        double worst = -1;
        Supplier<String> worstText = () -> "";
        for (Map.Entry<String, List<Check>> lane : byLane.entrySet()) {
            int column =
                    Integer.parseInt(lane.getKey().substring(0, lane.getKey().indexOf('|')));
            String channel = lane.getKey().substring(lane.getKey().indexOf('|') + 1);
            for (Check check : atTheGate(lane.getValue())) {
                if (Math.abs(check.deviation()) >= worst) {
                    worst = Math.abs(check.deviation());
                    worstText = check.evidence();
                }
                if (!check.passes()) {
                    shut.add(check);
                    Draft draft = new Draft(CauseKind.VERIFICATION_FAILED, Verdict.HOLD, channel);
                    draft.evidence.add("before the first soil, " + check.found());
                    draft.action =
                            "Find out whether the standards or the known solution are wrong; calibrate, then read these soils again.";
                    draft.odds(odds(check.deviation() * 3));
                    touch(draft, firstSoil, lastSoil, column, channel);
                    drafts.add(draft);
                }
            }
            brackets(lane.getValue(), column, channel);
        }
        if (worst >= 0) {
            gate(
                    Gate.KNOWN_SOLUTIONS,
                    shut.isEmpty(),
                    shut.isEmpty() ? "worst: " + worstText.get() : shut.get(0).found(),
                    "each within its tolerance",
                    lastRowOf(Role.VERIFICATION));
        }
    }

    // Before the first soil a known solution may be read again: its last reading counts.
    private List<Check> atTheGate(List<Check> checks) {
        Map<String, Check> last = new LinkedHashMap<>();
        for (Check check : checks) {
            if (check.row() < firstSoil) {
                last.put(check.identity(), check);
            }
        }
        return List.copyOf(last.values());
    }

    private void brackets(List<Check> checks, int column, String channel) {
        int lastPass = firstSoil - 1;
        List<Check> failing = new ArrayList<>();
        List<Check> before = new ArrayList<>();
        for (int i = 0; i <= checks.size(); i++) {
            boolean end = i == checks.size();
            Check check = end ? null : checks.get(i);
            if (check != null && check.row() < firstSoil) {
                before.add(check);
                continue;
            }
            if (check == null || check.passes()) {
                if (!failing.isEmpty()) {
                    bracket(before, failing, lastPass + 1, check == null ? lastSoil : check.row() - 1, column, channel);
                    failing = new ArrayList<>();
                }
                if (check != null) {
                    lastPass = check.row();
                    before.add(check);
                }
            } else {
                failing.add(check);
            }
        }
    }

    private void bracket(List<Check> before, List<Check> failing, int first, int last, int column, String channel) {
        Check worst = failing.stream()
                .max(Comparator.comparingDouble(c -> Math.abs(c.deviation())))
                .orElseThrow();
        boolean drift = foretold(before, failing.get(0));
        Draft draft = new Draft(drift ? CauseKind.DRIFT : CauseKind.VERIFICATION_FAILED, Verdict.REDO, channel);
        draft.evidence.add(worst.found() + (drift ? ", foretold by the checks before it" : ""));
        draft.action = drift
                ? "Find what moves (gas, pump, torch, temperature), calibrate, then read these soils again."
                : "Read the known solution again; if it still fails, calibrate, then read these soils again.";
        draft.odds(odds(worst.deviation() * 3));
        touch(draft, first, last, column, channel);
        drafts.add(draft);
    }

    // Do the checks that still passed point, along a straight line, at the one that failed?
    private static boolean foretold(List<Check> before, Check failed) {
        int n = before.size();
        if (n < 3) {
            return false;
        }
        double meanRow = before.stream().mapToInt(Check::row).average().orElse(0);
        double meanDeviation =
                before.stream().mapToDouble(Check::deviation).average().orElse(0);
        double sxx = 0;
        double sxy = 0;
        for (Check check : before) {
            sxx += (check.row() - meanRow) * (check.row() - meanRow);
            sxy += (check.row() - meanRow) * (check.deviation() - meanDeviation);
        }
        if (sxx == 0) {
            return false;
        }
        double slope = sxy / sxx;
        double residual = 0;
        for (Check check : before) {
            double off = check.deviation() - meanDeviation - slope * (check.row() - meanRow);
            residual += off * off;
        }
        double expected = meanDeviation + slope * (failed.row() - meanRow);
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
        if (method instanceof ElectrodeMethod electrode) {
            return electrode.verificationTolerancePh();
        }
        if (method instanceof EmissionMethod emission) {
            return Math.max(
                    emission.verificationTolerancePct() / 100 * Math.abs(d.known()),
                    reportingLimitInExtract(emission, analyte));
        }
        return analyte.withinSd(d.known()) * 3;
    }

    private static double reportingLimitInExtract(EmissionMethod emission, Analyte analyte) {
        double perExtract = EmissionReduction.soilContent(emission, 1, 0, 1);
        return analyte.reportingLimit().orElse(0) / perExtract;
    }

    private String found(Determination d, double tolerance) {
        String unit = d.amount().unit().spelling();
        String probe =
                d.channel().isEmpty() || !(method instanceof ElectrodeMethod) ? "" : " under probe " + d.channel();
        String place = d.identity() + " at position " + d.position() + probe;
        if (method instanceof EmissionMethod && d.known() != 0) {
            return d.analyte() + " " + text(100 * d.amount().raw() / d.known(), 4) + " % of known solution " + place
                    + " (allowed " + text(100 * tolerance / Math.abs(d.known()), 3) + " % either way)";
        }
        return d.analyte() + " " + text(d.amount().raw(), 4) + " " + unit + (unit.isEmpty() ? "" : " ") + "for known "
                + text(d.known(), 4) + " of " + place + " (allowed " + text(tolerance, 3) + " either way)";
    }

    // ---- blanks
    // ------------------------------------------------------------------------------------------------------

    private void blanks() {
        if (!(method instanceof EmissionMethod emission)) {
            return;
        }
        double worst = -1;
        Supplier<String> worstText = () -> "";
        boolean open = true;
        for (int column = 0; column < columns; column++) {
            Analyte analyte = analytes.get(column);
            double limit = emission.blankShareOfLimit() * reportingLimitInExtract(emission, analyte);
            if (limit <= 0) {
                continue;
            }
            List<Check> checks = new ArrayList<>();
            for (int row = 0; row < rows; row++) {
                Determination d = at(row, column);
                if (d.role() == Role.BLANK && d.flaw() == Flaw.NONE) {
                    checks.add(new Check(
                            row,
                            d.identity() + d.position(),
                            d.amount().raw() / limit,
                            () -> analyte.symbol() + " " + text(d.amount().raw(), 3)
                                    + " mg/L in the blank at position " + d.position() + " (allowed " + text(limit, 3)
                                    + ")"));
                }
            }
            int lastPass = firstSoil - 1;
            List<Check> failing = new ArrayList<>();
            for (int i = 0; i <= checks.size(); i++) {
                Check check = i == checks.size() ? null : checks.get(i);
                if (check != null && check.row() < firstSoil) {
                    if (Math.abs(check.deviation()) >= worst) {
                        worst = Math.abs(check.deviation());
                        worstText = check.evidence();
                    }
                    if (!check.passes()) {
                        open = false;
                        blank(emission, List.of(check), firstSoil, lastSoil, column, Verdict.HOLD);
                    }
                } else if (check == null || check.passes()) {
                    if (!failing.isEmpty()) {
                        blank(
                                emission,
                                failing,
                                lastPass + 1,
                                check == null ? lastSoil : check.row() - 1,
                                column,
                                Verdict.REDO);
                        failing = new ArrayList<>();
                    }
                    lastPass = check == null ? lastPass : check.row();
                } else {
                    failing.add(check);
                }
            }
        }
        if (worst >= 0) {
            gate(Gate.BLANK, open, "worst: " + worstText.get(), "half the reporting limit", lastRowOf(Role.BLANK));
        }
    }

    private void blank(EmissionMethod emission, List<Check> failing, int first, int last, int column, Verdict verdict) {
        Check worst = failing.stream()
                .max(Comparator.comparingDouble(c -> Math.abs(c.deviation())))
                .orElseThrow();
        Draft draft = new Draft(CauseKind.BLANK_HIGH, verdict, "");
        draft.evidence.add(worst.found());
        draft.action =
                "Look for the source (extractant, ware, carry-over); extract again the soils that hold less than ten times the blank.";
        double blankInSoil = Math.abs(EmissionReduction.soilContent(
                emission, at(worst.row(), column).amount().raw(), 0, 1));
        for (int row = first; row <= last; row++) {
            if (at(row, column).amount().raw() < BLANK_MATTERS_BELOW * blankInSoil) {
                touch(draft, row, row, column, "");
            }
        }
        draft.first = Math.min(draft.first, first);
        draft.last = Math.max(draft.last, last);
        draft.analytes.set(column);
        drafts.add(draft);
    }

    // ---- control soils
    // -----------------------------------------------------------------------------------------------

    private void controls() {
        boolean open = true;
        double worst = -1;
        Supplier<String> worstText = () -> "";
        for (int column = 0; column < columns; column++) {
            Analyte analyte = analytes.get(column);
            int lastPass = firstSoil - 1;
            List<ControlValue> failing = new ArrayList<>();
            for (int row = 0; row <= rows; row++) {
                ControlValue value = row == rows ? null : controlAt(row, column, analyte);
                if (row < rows && value == null) {
                    continue;
                }
                if (value != null) {
                    controlValues.add(value);
                }
                if (value != null && row < firstSoil) {
                    if (Math.abs(value.z()) >= worst) {
                        worst = Math.abs(value.z());
                        worstText = () -> analyte.symbol() + " " + signed(value.z()) + " SD";
                    }
                    if (!value.rules().isEmpty()) {
                        open = false;
                        String channel = method instanceof ElectrodeMethod
                                ? at(row, column).channel()
                                : "";
                        control(List.of(value), firstSoil, lastSoil, column, channel, Verdict.HOLD);
                    }
                } else if (value == null || value.rules().isEmpty()) {
                    if (!failing.isEmpty()) {
                        control(failing, lastPass + 1, value == null ? lastSoil : row - 1, column, "", Verdict.REDO);
                        failing = new ArrayList<>();
                    }
                    lastPass = value == null ? lastPass : row;
                } else {
                    failing.add(value);
                }
            }
        }
        controlValues.sort(Comparator.comparingInt(ControlValue::position));
        if (worst >= 0) {
            gate(
                    Gate.OWN_CONTROL,
                    open,
                    "worst: " + worstText.get(),
                    "within " + text(controlLimit, 3) + " SD",
                    lastRowOf(Role.CONTROL));
        }
    }

    private @Nullable ControlValue controlAt(int row, int column, Analyte analyte) {
        String material = materialOf[row];
        if (material == null) {
            return null;
        }
        Determination d = at(row, column);
        if (d.flaw() != Flaw.NONE) {
            return null;
        }
        Optional<Material> expected = references.material(material, analyte.symbol());
        if (expected.isEmpty() || !(expected.get().sd() > 0)) {
            return null;
        }
        double z = (d.amount().raw() - expected.get().mean()) / expected.get().sd();
        List<String> rules = Math.abs(z) > controlLimit ? List.of("beyond-limit") : List.of();
        return new ControlValue(
                reduced.run().run(),
                method.id(),
                d.position(),
                d.identity(),
                d.role() == Role.SAMPLE,
                material,
                analyte.symbol(),
                d.amount().raw(),
                z,
                rules);
    }

    private void control(List<ControlValue> failing, int first, int last, int column, String channel, Verdict verdict) {
        ControlValue worst = failing.stream()
                .max(Comparator.comparingDouble(v -> Math.abs(v.z())))
                .orElseThrow();
        Draft draft = new Draft(CauseKind.CONTROL_FAILED, verdict, channel);
        draft.evidence.add(analytes.get(column).symbol() + " " + signed(worst.z()) + " standard deviations (limit "
                + text(controlLimit, 3) + ")");
        draft.lead =
                (verdict == Verdict.HOLD ? "The open control before the first soil gave " : "A control soil gave ");
        draft.action = verdict == Verdict.HOLD
                ? "Read the open control again; if it still fails, look at scoop, extractant and calibration before any soil is read."
                : "Make these soils again from the tray, with a fresh portion.";
        draft.odds(odds(worst.z()));
        touch(draft, first, last, column, channel);
        drafts.add(draft);
    }

    private static String signed(double z) {
        return (z < 0 ? "−" : "+") + text(Math.abs(z), 2);
    }

    // ---- duplicates
    // --------------------------------------------------------------------------------------------------

    private void duplicates() {
        Map<String, Integer> firstOf = new HashMap<>();
        for (int row = 0; row < rows; row++) {
            if (at(row, 0).role() == Role.SAMPLE) {
                firstOf.putIfAbsent(at(row, 0).identity(), row);
            }
        }
        for (int row = 0; row < rows; row++) {
            Integer first = firstOf.get(at(row, 0).identity());
            if (at(row, 0).role() != Role.DUPLICATE || first == null) {
                continue;
            }
            Draft draft = new Draft(
                    CauseKind.DUPLICATES_DISAGREE, Verdict.REDO, at(row, 0).identity());
            for (int column = 0; column < columns; column++) {
                Determination one = at(first, column);
                Determination two = at(row, column);
                if (one.flaw() != Flaw.NONE || two.flaw() != Flaw.NONE) {
                    continue;
                }
                double difference = Math.abs(one.amount().raw() - two.amount().raw());
                double limit = duplicateLimit(
                        analytes.get(column), (one.amount().raw() + two.amount().raw()) / 2);
                if (difference > limit) {
                    String unit = analytes.get(column).unit().spelling();
                    draft.evidence.add(analytes.get(column).symbol() + " "
                            + text(one.amount().raw(), 4) + " and "
                            + text(two.amount().raw(), 4) + (unit.isEmpty() ? "" : " " + unit) + " (allowed difference "
                            + text(limit, 3) + ")");
                    touch(draft, first, first, column, "");
                }
            }
            if (!draft.evidence.isEmpty()) {
                draft.lead = "Two portions of " + at(row, 0).identity() + " gave ";
                draft.action = "Take a third portion of " + at(row, 0).identity() + " from the tray and read it again.";
                drafts.add(draft);
            }
        }
    }

    private double duplicateLimit(Analyte analyte, double mean) {
        // Four standard deviations of a difference near zero, where a share of the mean says nothing.
        double floor = 4 * Math.sqrt(2) * analyte.withinFloor();
        if (method instanceof ElectrodeMethod electrode) {
            return electrode.duplicateLimitPh();
        }
        if (method instanceof IgnitionMethod ignition) {
            return Math.max(ignition.duplicateFloorPct(), ignition.duplicateLimitPct() / 100 * mean);
        }
        return Math.max(floor, ((EmissionMethod) method).duplicateLimitPct() / 100 * mean);
    }

    // ---- flaws of single determinations
    // ------------------------------------------------------------------------------

    private void flaws() {
        List<Draft> over = new ArrayList<>();
        for (int column = 0; column < columns; column++) {
            over.add(new Draft(CauseKind.OVER_RANGE, Verdict.REDO, "over " + column));
        }
        Draft lost = null;
        Draft missing = null;
        for (int row = 0; row < rows; row++) {
            boolean lostHere = false;
            boolean missingHere = false;
            for (int column = 0; column < columns; column++) {
                Determination d = at(row, column);
                boolean soil = d.role() == Role.SAMPLE && stands[row * columns + column] == row;
                if (d.flaw() == Flaw.NONE || (d.role() == Role.SAMPLE && !soil)) {
                    continue;
                }
                switch (d.flaw()) {
                    case OVER_RANGE -> {
                        if (soil) {
                            over(over.get(column), d, row, column);
                        }
                    }
                    case INTERNAL_STANDARD_LOST -> {
                        if (lost == null) {
                            lost = new Draft(CauseKind.INTERNAL_STANDARD_LOST, Verdict.REDO, "lost " + row);
                            lost.evidence.add("the internal standard left its window from position " + d.position());
                            lost.action =
                                    "Look at the nebuliser, the pump tubing and the internal standard's supply, then read these soils again.";
                            drafts.add(lost);
                        }
                        touch(lost, row, row, column, "");
                        lostHere = true;
                    }
                    case MISSING_READING -> {
                        if (missing == null) {
                            missing = new Draft(CauseKind.MISSING_READING, Verdict.HOLD, "missing " + row);
                            missing.evidence.add("position " + d.position() + ": " + reason(d));
                            missing.action =
                                    "Look into the file and at the instrument; read the soil again from the tray.";
                            drafts.add(missing);
                        }
                        touch(missing, row, row, column, "");
                        missingHere = true;
                    }
                    case WEIGHING_IMPOSSIBLE -> {
                        if (column == 0) {
                            weighing(d, row);
                        }
                    }
                    case NONE, NO_CALIBRATION -> {}
                }
            }
            lost = lostHere ? lost : null;
            missing = missingHere ? missing : null;
        }
        over.stream().filter(draft -> !draft.evidence.isEmpty()).forEach(drafts::add);
    }

    private static void over(Draft draft, Determination d, int row, int column) {
        if (d.amount() instanceof Amount.Above above) {
            draft.evidence.add(d.identity() + " " + d.analyte() + " about " + text(above.raw(), 3) + " "
                    + above.unit().spelling() + ", range ends at " + text(above.limit(), 4));
        } else {
            draft.evidence.add(d.identity() + " " + d.analyte() + " outside the curve");
        }
        draft.action = "Dilute these extracts with extractant and read them again in this run.";
        draft.first = Math.min(draft.first, row);
        draft.last = Math.max(draft.last, row);
        draft.analytes.set(column);
        draft.touched.add(new int[] {row, column});
    }

    private void weighing(Determination d, int row) {
        Draft draft = new Draft(CauseKind.WEIGHING_IMPOSSIBLE, Verdict.REDO, "weighing " + row);
        String balance = d.channel().isEmpty() ? "" : " on balance " + d.channel();
        draft.evidence.add("position " + d.position() + balance + ", " + reason(d));
        draft.action = "Look whether two crucibles were exchanged or one was spilt; weigh a fresh portion.";
        for (int column = 0; column < columns; column++) {
            touch(draft, row, row, column, "");
        }
        drafts.add(draft);
    }

    private static String reason(Determination d) {
        return d.amount() instanceof Amount.Missing missing ? missing.reason() : "no number";
    }

    // For every lab number the first position without a flaw; the first of all when every one is flawed.
    private int[] standing() {
        int[] chosen = new int[rows * columns];
        Arrays.fill(chosen, -1);
        Map<String, List<Integer>> rowsOf = new HashMap<>();
        for (int row = 0; row < rows; row++) {
            if (at(row, 0).role() == Role.SAMPLE) {
                rowsOf.computeIfAbsent(at(row, 0).identity(), identity -> new ArrayList<>(1))
                        .add(row);
            }
        }
        for (List<Integer> same : rowsOf.values()) {
            for (int column = 0; column < columns; column++) {
                int best = same.get(0);
                for (int row : same) {
                    if (at(row, column).flaw() == Flaw.NONE) {
                        best = row;
                        break;
                    }
                }
                chosen[best * columns + column] = best;
            }
        }
        return chosen;
    }

    // ---- the end of the run
    // ------------------------------------------------------------------------------------------

    private void closing() {
        int lastCheck = -1;
        for (int row = 0; row < rows; row++) {
            if (at(row, 0).role() == Role.VERIFICATION) {
                lastCheck = row;
            }
        }
        if (lastCheck < 0 || lastSoil < 0 || lastCheck > lastSoil) {
            return;
        }
        int from = Math.max(lastCheck + 1, firstSoil);
        Draft draft = new Draft(CauseKind.TRUNCATED_RUN, Verdict.HOLD, "closing");
        draft.evidence.add("no known solution was read after position " + positionOf(lastCheck)
                + "; the run's last soil is at " + positionOf(lastSoil));
        draft.action = "Read the closing known solution; if the run was cut short, read the rest.";
        for (int column = 0; column < columns; column++) {
            touch(draft, from, lastSoil, column, "");
        }
        drafts.add(draft);
    }

    // ---- putting together
    // --------------------------------------------------------------------------------------------

    private void gate(Gate gate, boolean open, String observed, String limit, int row) {
        gates.add(new GateOutcome(
                reduced.run().instrument(), reduced.run().run(), gate, open, observed, limit, timeOf(positionOf(row))));
    }

    private OffsetDateTime timeOf(int position) {
        Readings readings = reduced.run().readings();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.position(i) == position) {
                return readings.at(i);
            }
        }
        return reduced.run().startedAt();
    }

    private static double odds(double z) {
        return 0.5 * z * z * LOG10_E;
    }

    private void touch(Draft draft, int first, int last, int column, String channel) {
        draft.analytes.set(column);
        if (first > last) {
            return;
        }
        draft.first = Math.min(draft.first, first);
        draft.last = Math.max(draft.last, last);
        for (int row = first; row <= last; row++) {
            if (channel.isEmpty() || at(row, column).channel().equals(channel)) {
                draft.touched.add(new int[] {row, column});
            }
        }
    }

    private static final class Draft {
        final CauseKind kind;
        final Verdict verdict;
        final String group;
        final BitSet analytes = new BitSet();
        final List<int[]> touched = new ArrayList<>();
        final Set<String> evidence = new LinkedHashSet<>();
        String lead = "";
        String action = "";
        double odds = Double.NaN;
        int first = Integer.MAX_VALUE;
        int last = -1;

        Draft(CauseKind kind, Verdict verdict, String group) {
            this.kind = kind;
            this.verdict = verdict;
            this.group = group;
        }

        void odds(double value) {
            odds = Double.isNaN(odds) ? value : Math.max(odds, value);
        }

        boolean sameThing(Draft other) {
            return kind == other.kind
                    && verdict == other.verdict
                    && group.equals(other.group)
                    && first <= other.last
                    && other.first <= last;
        }

        void take(Draft other) {
            analytes.or(other.analytes);
            touched.addAll(other.touched);
            evidence.addAll(other.evidence);
            first = Math.min(first, other.first);
            last = Math.max(last, other.last);
            if (!Double.isNaN(other.odds)) {
                odds(other.odds);
            }
        }

        String sentence() {
            List<String> pieces = List.copyOf(evidence);
            String named = String.join("; ", pieces.subList(0, Math.min(NAMED, pieces.size())));
            String more = pieces.size() > NAMED ? "; and " + (pieces.size() - NAMED) + " more" : "";
            String whole = lead + named + more + ".";
            return Character.toUpperCase(whole.charAt(0)) + whole.substring(1);
        }
    }

    private RunJudgement assemble() {
        List<Draft> merged = new ArrayList<>();
        for (Draft draft : drafts) {
            Optional<Draft> home =
                    merged.stream().filter(m -> m.sameThing(draft)).findFirst();
            if (home.isPresent()) {
                home.get().take(draft);
            } else {
                merged.add(draft);
            }
        }
        merged.sort(Comparator.comparingInt((Draft d) -> d.first)
                .thenComparing(d -> d.kind)
                .thenComparing(d -> d.group));
        BitSet[] touching = new BitSet[all.size()];
        List<Finding> findings = new ArrayList<>();
        for (Draft draft : merged) {
            int index = findings.size();
            for (int[] cell : draft.touched) {
                int i = cell[0] * columns + cell[1];
                if (touching[i] == null) {
                    touching[i] = new BitSet();
                }
                touching[i].set(index);
            }
            boolean anywhere = draft.last >= 0 && draft.first < rows;
            findings.add(new Finding(
                    draft.kind,
                    draft.verdict,
                    draft.analytes.stream()
                            .mapToObj(c -> analytes.get(c).symbol())
                            .toList(),
                    anywhere ? positionOf(draft.first) : 0,
                    anywhere ? positionOf(draft.last) : 0,
                    draft.sentence(),
                    draft.action,
                    Double.isNaN(draft.odds) ? OptionalDouble.empty() : OptionalDouble.of(draft.odds)));
        }
        return new RunJudgement(reduced, findings, judged(findings, touching), gates, controlValues);
    }

    private List<RunJudgement.Judged> judged(List<Finding> findings, BitSet[] touching) {
        List<RunJudgement.Judged> judged = new ArrayList<>(all.size());
        for (int i = 0; i < all.size(); i++) {
            if (stands[i] < 0) {
                continue;
            }
            Determination d = all.get(i);
            Verdict verdict = d.flaw() == Flaw.NO_CALIBRATION ? Verdict.HOLD : Verdict.FIT;
            List<Integer> indices = List.of();
            if (touching[i] != null) {
                indices = touching[i].stream().boxed().toList();
                for (int index : indices) {
                    verdict = verdict.or(findings.get(index).verdict());
                }
            }
            judged.add(new RunJudgement.Judged(d, verdict, indices));
        }
        return judged;
    }
}
