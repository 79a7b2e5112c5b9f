package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction.Basis;
import org.tenmesh.core.methods.Extraction.Diluent;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * A calibrated extraction read by plasma emission.
 *
 * <p>Signal: counts per second of the preferred line, times the internal standard's mean over the calibration, divided by its
 * signal at the position. Extract: {@code c} in mg/L by the inverse of the curve. Soil, diluted with extractant:
 * {@code w = (c - b) D V / m}; diluted with water: {@code w = (c D - b) V / m}, because then the diluent carries no blank.
 * {@code b} is the mean method blank, {@code V} mL of extractant, {@code m} g of soil (or mL on the volume basis), {@code D} the
 * dilution. Plain mass balance.
 */
public final class EmissionReduction {
    private final Run run;
    private final EmissionMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final List<Determination> out = new ArrayList<>();
    private final List<Reduced.CalibrationOutcome> outcomes = new ArrayList<>();

    EmissionReduction(Run run, EmissionMethod method, KnownValues known, Trail trail) {
        this.run = run;
        this.method = method;
        this.known = known;
        this.trail = trail;
    }

    private record Element(Analyte analyte, Line line, int column) {}

    private record Fitted(@Nullable Curve curve, double blankMgPerL, int blanks, double topMgPerL) {}

    Reduced reduce() {
        Readings readings = run.readings();
        Grid grid = Grid.of(readings);
        List<Element> elements = elements(readings);
        double[] factor = internalStandardFactor(readings, grid);
        List<Fitted> fitted = new ArrayList<>(elements.size());
        for (Element element : elements) {
            fitted.add(fit(grid, element, factor));
        }
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            boolean internalStandardLost = lost(factor[row]);
            for (int e = 0; e < elements.size(); e++) {
                position(grid, row, elements.get(e), fitted.get(e), factor[row], internalStandardLost);
            }
        }
        return new Reduced(run, method, out, outcomes);
    }

    // A line that the run never read was not asked for.
    private List<Element> elements(Readings readings) {
        List<Element> elements = new ArrayList<>();
        for (Analyte analyte : method.head().analytes()) {
            Line best = null;
            for (Line line : method.lines()) {
                if (line.element().equals(analyte.symbol())
                        && readings.quantityCode(line.quantity()) >= 0
                        && (best == null || line.preferred())) {
                    best = line;
                }
            }
            if (best != null) {
                elements.add(new Element(analyte, best, readings.quantityCode(best.quantity())));
            }
        }
        return elements;
    }

    // Mean over the calibration / signal at the position; 1 without internal standard, NaN where it was not read.
    private double[] internalStandardFactor(Readings readings, Grid grid) {
        double[] factor = new double[grid.rows];
        Arrays.fill(factor, 1);
        int column = method.internalStandard().map(readings::quantityCode).orElse(-1);
        if (column < 0) {
            return factor;
        }
        double sum = 0;
        int n = 0;
        for (int row = 0; row < grid.rows; row++) {
            double signal = grid.value(row, column);
            if (grid.role[row] == Role.STANDARD && signal > 0) {
                sum += signal;
                n++;
            }
        }
        if (n == 0) {
            return factor;
        }
        double mean = sum / n;
        for (int row = 0; row < grid.rows; row++) {
            double signal = grid.value(row, column);
            factor[row] = signal > 0 ? mean / signal : Double.NaN;
        }
        return factor;
    }

    private boolean lost(double factor) {
        double pct = 100 / factor;
        return Double.isNaN(factor) || pct < method.internalStandardMinPct() || pct > method.internalStandardMaxPct();
    }

    private Fitted fit(Grid grid, Element element, double[] factor) {
        double[] x = new double[grid.rows];
        double[] y = new double[grid.rows];
        int n = 0;
        double top = 0;
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] != Role.STANDARD) {
                continue;
            }
            double value = known.of(grid.identity[row], element.analyte().symbol());
            double signal = grid.value(row, element.column()) * factor[row];
            if (Double.isNaN(value) || Double.isNaN(signal)) {
                continue;
            }
            x[n] = value;
            y[n] = signal;
            top = Math.max(top, value);
            n++;
        }
        x = Arrays.copyOf(x, n);
        y = Arrays.copyOf(y, n);
        String symbol = element.analyte().symbol();
        Curve curve;
        try {
            curve = CurveFit.fit(
                    x, y, method.extraction().shape(), method.extraction().weighting());
        } catch (IllegalArgumentException unfit) {
            String reason = unfit.getMessage() == null ? "no curve" : unfit.getMessage();
            outcomes.add(new Reduced.CalibrationOutcome("", symbol, List.of(reason), reason, "a curve"));
            return new Fitted(null, 0, 0, top);
        }
        List<String> reasons = CalibrationJudgement.of(
                        curve, x, y, method.extraction().acceptance())
                .reasons();
        outcomes.add(new Reduced.CalibrationOutcome(
                "",
                symbol,
                reasons,
                reasons.isEmpty()
                        ? symbol + " r " + text(curve.correlation(), 5) + ", RSE "
                                + text(curve.relativeStandardErrorPct(), 3) + " %"
                        : symbol + ": " + reasons.get(0),
                "r > " + text(method.extraction().acceptance().leastR(), 4) + ", RSE < "
                        + text(method.extraction().acceptance().mostRsePct(), 3) + " %"));
        double sum = 0;
        int blanks = 0;
        for (int row = 0; row < grid.rows; row++) {
            double signal = grid.value(row, element.column()) * factor[row];
            if (grid.role[row] == Role.BLANK && !Double.isNaN(signal) && !lost(factor[row])) {
                sum += curve.concentration(signal);
                blanks++;
            }
        }
        return new Fitted(curve, method.extraction().subtractBlank() && blanks > 0 ? sum / blanks : 0, blanks, top);
    }

    private void position(
            Grid grid, int row, Element element, Fitted fitted, double factor, boolean internalStandardLost) {
        Analyte analyte = element.analyte();
        Role role = grid.role[row];
        boolean solution = role == Role.STANDARD || role == Role.VERIFICATION || role == Role.BLANK;
        Unit unit = solution ? Unit.MILLIGRAM_PER_LITRE : analyte.unit();
        double knownValue = solution ? known.of(grid.identity[row], analyte.symbol()) : Double.NaN;
        double counts = grid.value(row, element.column());
        if (Double.isNaN(counts)) {
            add(
                    grid,
                    row,
                    analyte,
                    new Amount.Missing("no reading of line " + element.line().quantity(), unit),
                    0,
                    knownValue,
                    Flaw.MISSING_READING);
            return;
        }
        if (fitted.curve() == null) {
            add(
                    grid,
                    row,
                    analyte,
                    new Amount.Missing("no calibration of " + analyte.name(), unit),
                    0,
                    knownValue,
                    Flaw.NO_CALIBRATION);
            return;
        }
        if (Double.isNaN(factor)) {
            add(
                    grid,
                    row,
                    analyte,
                    new Amount.Missing("no reading of the internal standard", unit),
                    0,
                    knownValue,
                    Flaw.INTERNAL_STANDARD_LOST);
            return;
        }
        Curve curve = fitted.curve();
        double signal = counts * factor;
        double extract = curve.concentration(signal);
        if (Double.isNaN(extract)) {
            add(
                    grid,
                    row,
                    analyte,
                    new Amount.Missing("the signal lies outside the curve", unit),
                    0,
                    knownValue,
                    Flaw.OVER_RANGE);
            return;
        }
        double se = curve.concentrationSe(signal, 1, curve.weightAt(extract));
        if (solution) {
            add(
                    grid,
                    row,
                    analyte,
                    new Amount.Measured(extract, unit),
                    se,
                    knownValue,
                    internalStandardLost ? Flaw.INTERNAL_STANDARD_LOST : Flaw.NONE);
            return;
        }
        double dilution = grid.dilution[row];
        double value = method.extraction().content(extract, fitted.blankMgPerL(), dilution);
        boolean over = extract > fitted.topMgPerL();
        if (trail.wants(grid.identity[row], analyte.symbol())) {
            explain(grid, row, element, fitted, factor, counts, signal, extract, value, over);
        }
        Amount amount = over
                ? new Amount.Above(
                        method.extraction().content(fitted.topMgPerL(), fitted.blankMgPerL(), dilution),
                        value,
                        analyte.unit())
                : Limits.amount(value, analyte, dilution);
        double perExtract = Math.abs(method.extraction().content(1, 0, dilution));
        add(
                grid,
                row,
                analyte,
                amount,
                se * perExtract,
                Double.NaN,
                internalStandardLost ? Flaw.INTERNAL_STANDARD_LOST : over ? Flaw.OVER_RANGE : Flaw.NONE);
    }

    private void explain(
            Grid grid,
            int row,
            Element element,
            Fitted fitted,
            double factor,
            double counts,
            double signal,
            double extract,
            double value,
            boolean over) {
        Curve curve = fitted.curve();
        if (curve == null) {
            return;
        }
        Analyte analyte = element.analyte();
        trail.step(
                "Read, line " + element.line().quantity() + ", position " + grid.position[row],
                "",
                counts,
                Unit.PER_SECOND);
        if (method.internalStandard().isPresent()) {
            trail.step(
                    "Internal standard " + method.internalStandard().get() + " at " + text(100 / factor, 4)
                            + " % of its mean over the calibration",
                    text(counts, 8) + " × " + text(factor, 7),
                    signal,
                    Unit.PER_SECOND);
        }
        String weighting = switch (method.extraction().weighting()) {
            case NONE -> "unweighted";
            case ONE_OVER_X -> "weighted 1/x";
            case ONE_OVER_X_SQUARED -> "weighted 1/x²";
        };
        String inverse = curve.c() == 0
                ? "(" + text(signal, 8) + " − " + text(curve.a(), 7) + ") / " + text(curve.b(), 8)
                : "root of " + text(curve.a(), 7) + " + " + text(curve.b(), 7) + " x + " + text(curve.c(), 6) + " x² = "
                        + text(signal, 8);
        trail.step(
                "Calibration from " + curve.n() + " standards, " + weighting + ", r " + text(curve.correlation(), 6),
                inverse,
                extract,
                Unit.MILLIGRAM_PER_LITRE);
        String soil = method.extraction().basis() == Basis.MASS
                ? text(method.extraction().measuredScoopG(), 5) + " g"
                : text(method.extraction().scoopMl(), 5) + " mL";
        String amountOfSoil = soil.substring(0, soil.indexOf(' '));
        String blank = text(fitted.blankMgPerL(), 6);
        if (method.extraction().subtractBlank()) {
            trail.step("Method blank, mean of " + fitted.blanks(), "", fitted.blankMgPerL(), Unit.MILLIGRAM_PER_LITRE);
        }
        double dilution = grid.dilution[row];
        String net = method.extraction().diluent() == Diluent.EXTRACTANT
                ? "(" + text(extract, 8) + " − " + blank + ")" + (dilution == 1 ? "" : " × " + text(dilution, 6))
                : "(" + text(extract, 8) + (dilution == 1 ? "" : " × " + text(dilution, 6)) + " − " + blank + ")";
        trail.step(
                "Soil, " + soil + " in " + text(method.extraction().extractMl(), 5) + " mL, "
                        + (dilution == 1
                                ? "not diluted"
                                : "diluted " + text(dilution, 6) + "-fold with "
                                        + (method.extraction().diluent() == Diluent.EXTRACTANT
                                                ? "extractant"
                                                : "water")),
                net + " × " + text(method.extraction().extractMl(), 5) + " / " + amountOfSoil,
                value,
                analyte.unit());
        if (over) {
            trail.step(
                    "Above the highest standard, " + text(fitted.topMgPerL(), 5) + " mg/L: the extract must be diluted",
                    "",
                    extract,
                    Unit.MILLIGRAM_PER_LITRE);
        }
    }

    private void add(Grid grid, int row, Analyte analyte, Amount amount, double se, double knownValue, Flaw flaw) {
        out.add(new Determination(
                grid.position[row],
                grid.role[row],
                grid.identity[row],
                grid.channel[row],
                analyte.symbol(),
                amount,
                se,
                knownValue,
                grid.dilution[row],
                flaw));
    }
}
