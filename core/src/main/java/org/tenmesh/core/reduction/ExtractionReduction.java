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
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Diluent;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * A calibrated extraction: signals of plasma emission or flow analysis through a curve to mg/L of extract, less what other elements
 * add, less the mean method blank, to content of soil by {@link Extraction#content}.
 *
 * <p>What an element {@code j} adds to the line of {@code i}: {@code c_i = a_i - sum_j k_ij c_j}, {@code a} the apparent and {@code c} the
 * true concentrations of one solution; solved for all elements at once. The standards' own overlaps are counted the other way, so that
 * the curve is one of apparent concentrations. The preferred line alone gives the result; where it is over range the extract is diluted.
 */
final class ExtractionReduction {
    /** A correction for other elements larger than this share of what was read is not trusted (choice). */
    private static final double LARGE_OVERLAP = 0.2;

    private final Run run;
    private final ExtractionMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final List<Determination> out = new ArrayList<>();
    private final List<Reduced.CalibrationOutcome> outcomes = new ArrayList<>();

    ExtractionReduction(Run run, ExtractionMethod method, KnownValues known, Trail trail) {
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
        Signals signals = Signals.of(method, readings, grid);
        List<Element> elements = elements(readings);
        double[][] share = overlaps(elements);
        boolean overlapping =
                Arrays.stream(share).flatMapToDouble(Arrays::stream).anyMatch(k -> k != 0);
        List<@Nullable Curve> curves = new ArrayList<>(elements.size());
        double[] top = new double[elements.size()];
        for (int e = 0; e < elements.size(); e++) {
            curves.add(fit(grid, elements, e, share[e], signals, top));
        }
        double[][] apparent = new double[elements.size()][grid.rows];
        for (int e = 0; e < elements.size(); e++) {
            Curve curve = curves.get(e);
            for (int row = 0; row < grid.rows; row++) {
                double signal = signals.at(row, elements.get(e).column());
                apparent[e][row] = curve == null || Double.isNaN(signal) ? Double.NaN : curve.concentration(signal);
            }
        }
        double[][] extract = overlapping ? withoutOverlaps(apparent, share) : apparent;
        List<Fitted> fitted = new ArrayList<>(elements.size());
        List<Reduced.Wash> washes = new ArrayList<>();
        for (int e = 0; e < elements.size(); e++) {
            fitted.add(withBlank(grid, signals, curves.get(e), extract[e], top[e]));
            washes.addAll(signals.washes(
                    elements.get(e).column(), elements.get(e).analyte().symbol()));
        }
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            for (int e = 0; e < elements.size(); e++) {
                position(grid, row, elements.get(e), fitted.get(e), signals, apparent[e][row], extract[e][row]);
            }
        }
        return new Reduced(run, method, out, outcomes, washes);
    }

    // share[i][j]: apparent mg/L of element i for each mg/L of element j.
    private double[][] overlaps(List<Element> elements) {
        double[][] share = new double[elements.size()][elements.size()];
        if (method instanceof EmissionMethod emission) {
            for (EmissionMethod.Overlap overlap : emission.overlaps()) {
                for (int i = 0; i < share.length; i++) {
                    for (int j = 0; j < share.length; j++) {
                        if (elements.get(i).line().quantity().equals(overlap.quantity())
                                && elements.get(j).analyte().symbol().equals(overlap.interferent())) {
                            share[i][j] += overlap.share();
                        }
                    }
                }
            }
        }
        return share;
    }

    /**
     * True concentrations from apparent ones.
     *
     * @param apparent mg/L, by element and row; NaN counts as nothing that adds
     * @param share apparent mg/L of the first for each mg/L of the second
     */
    static double[][] withoutOverlaps(double[][] apparent, double[][] share) {
        int n = apparent.length;
        int rows = n == 0 ? 0 : apparent[0].length;
        double[][] found = new double[n][rows];
        for (int row = 0; row < rows; row++) {
            double[] now = new double[n];
            for (int e = 0; e < n; e++) {
                now[e] = apparent[e][row];
            }
            // Shares are small, so substitution closes fast; 50 rounds are far more than it needs.
            for (int round = 0; round < 50; round++) {
                double change = 0;
                for (int i = 0; i < n; i++) {
                    double added = 0;
                    for (int j = 0; j < n; j++) {
                        added += share[i][j] == 0 || Double.isNaN(now[j]) ? 0 : share[i][j] * now[j];
                    }
                    double next = apparent[i][row] - added;
                    change = Math.max(change, Double.isNaN(next) ? 0 : Math.abs(next - now[i]));
                    now[i] = next;
                }
                if (change < 1e-13) {
                    break;
                }
            }
            for (int e = 0; e < n; e++) {
                found[e][row] = now[e];
            }
        }
        return found;
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

    private @Nullable Curve fit(
            Grid grid, List<Element> elements, int at, double[] share, Signals signals, double[] top) {
        Element element = elements.get(at);
        double[] x = new double[grid.rows];
        double[] y = new double[grid.rows];
        int n = 0;
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] != Role.STANDARD) {
                continue;
            }
            double value = known.of(grid.identity[row], element.analyte().symbol());
            double signal = signals.at(row, element.column());
            if (Double.isNaN(value) || Double.isNaN(signal)) {
                continue;
            }
            top[at] = Math.max(top[at], value);
            x[n] = value;
            for (int j = 0; j < share.length; j++) {
                double other = share[j] == 0
                        ? 0
                        : known.of(grid.identity[row], elements.get(j).analyte().symbol());
                x[n] += Double.isNaN(other) ? 0 : share[j] * other;
            }
            y[n] = signal;
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
            return null;
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
        return curve;
    }

    private Fitted withBlank(Grid grid, Signals signals, @Nullable Curve curve, double[] extract, double top) {
        double sum = 0;
        int blanks = 0;
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.BLANK && !Double.isNaN(extract[row]) && !signals.lost(row)) {
                sum += extract[row];
                blanks++;
            }
        }
        return new Fitted(curve, method.extraction().subtractBlank() && blanks > 0 ? sum / blanks : 0, blanks, top);
    }

    private void position(
            Grid grid, int row, Element element, Fitted fitted, Signals signals, double apparent, double extract) {
        Analyte analyte = element.analyte();
        Role role = grid.role[row];
        boolean solution = role == Role.STANDARD || role == Role.VERIFICATION || role == Role.BLANK;
        Unit unit = solution ? Unit.MILLIGRAM_PER_LITRE : analyte.unit();
        double knownValue = solution ? known.of(grid.identity[row], analyte.symbol()) : Double.NaN;
        double raw = grid.value(row, element.column());
        Curve curve = fitted.curve();
        String lack = signals.lack(row);
        if (Double.isNaN(raw)) {
            missing(grid, row, analyte, "no reading of " + named(element), unit, knownValue, Flaw.MISSING_READING);
        } else if (raw >= method.saturation().orElse(Double.POSITIVE_INFINITY)) {
            if (trail.wants(grid.identity[row], analyte.symbol())) {
                trail.step(
                        "Read, " + named(element) + ", position " + grid.position[row]
                                + ": the largest signal the detector gives",
                        "",
                        raw,
                        signals.unit());
            }
            add(grid, row, analyte, new Amount.Saturated(unit), 0, knownValue, Flaw.OVER_RANGE);
        } else if (curve == null) {
            missing(grid, row, analyte, "no calibration of " + analyte.name(), unit, knownValue, Flaw.NO_CALIBRATION);
        } else if (lack != null) {
            missing(grid, row, analyte, lack, unit, knownValue, Flaw.INTERNAL_STANDARD_LOST);
        } else if (Double.isNaN(extract)) {
            missing(grid, row, analyte, "the signal lies outside the curve", unit, knownValue, Flaw.OVER_RANGE);
        } else {
            Flaw flaw = signals.lost(row) ? Flaw.INTERNAL_STANDARD_LOST : Flaw.NONE;
            double se = curve.concentrationSe(signals.at(row, element.column()), 1, curve.weightAt(apparent));
            if (solution) {
                add(grid, row, analyte, new Amount.Measured(extract, unit), se, knownValue, flaw);
            } else {
                soil(grid, row, element, fitted, curve, signals, apparent, extract, se, flaw);
            }
        }
    }

    private void soil(
            Grid grid,
            int row,
            Element element,
            Fitted fitted,
            Curve curve,
            Signals signals,
            double apparent,
            double extract,
            double se,
            Flaw lost) {
        Analyte analyte = element.analyte();
        Extraction extraction = method.extraction();
        double dilution = grid.dilution[row];
        double value = extraction.content(extract, fitted.blankMgPerL(), dilution);
        boolean over = apparent > fitted.topMgPerL();
        if (trail.wants(grid.identity[row], analyte.symbol())) {
            explain(grid, row, element, fitted, curve, signals, apparent, extract, value, over);
        }
        Amount amount = over
                ? new Amount.Above(
                        extraction.content(fitted.topMgPerL(), fitted.blankMgPerL(), dilution), value, analyte.unit())
                : Limits.amount(value, analyte, dilution);
        double perExtract = Math.abs(extraction.content(1, 0, dilution));
        boolean overlapped = Math.abs(apparent - extract) > LARGE_OVERLAP * Math.abs(apparent)
                && Math.abs(apparent - extract) * perExtract
                        > analyte.reportingLimit().orElse(0);
        Flaw flaw = lost != Flaw.NONE ? lost : over ? Flaw.OVER_RANGE : overlapped ? Flaw.OVERLAPPED : Flaw.NONE;
        add(grid, row, analyte, amount, se * perExtract, Double.NaN, flaw);
    }

    private String named(Element element) {
        return (method instanceof EmissionMethod ? "line " : "")
                + element.line().quantity();
    }

    private void explain(
            Grid grid,
            int row,
            Element element,
            Fitted fitted,
            Curve curve,
            Signals signals,
            double apparent,
            double extract,
            double value,
            boolean over) {
        Analyte analyte = element.analyte();
        Extraction extraction = method.extraction();
        signals.explain(trail, row, element.column(), element.line().quantity());
        double signal = signals.at(row, element.column());
        String weighting = switch (extraction.weighting()) {
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
                apparent,
                Unit.MILLIGRAM_PER_LITRE);
        if (apparent != extract) {
            trail.step(
                    "Less what other elements add to this line",
                    text(apparent, 8) + " − " + text(apparent - extract, 6),
                    extract,
                    Unit.MILLIGRAM_PER_LITRE);
        }
        String blank = text(fitted.blankMgPerL(), 6);
        if (extraction.subtractBlank()) {
            trail.step("Method blank, mean of " + fitted.blanks(), "", fitted.blankMgPerL(), Unit.MILLIGRAM_PER_LITRE);
        }
        double dilution = grid.dilution[row];
        String net = extraction.diluent() == Diluent.EXTRACTANT
                ? "(" + text(extract, 8) + " − " + blank + ")" + (dilution == 1 ? "" : " × " + text(dilution, 6))
                : "(" + text(extract, 8) + (dilution == 1 ? "" : " × " + text(dilution, 6)) + " − " + blank + ")";
        String diluted = dilution == 1
                ? "not diluted"
                : "diluted " + text(dilution, 6) + "-fold with "
                        + (extraction.diluent() == Diluent.EXTRACTANT ? "extractant" : "water");
        switch (extraction.basis()) {
            case EXTRACT -> trail.step("Extract, " + diluted, net, value, analyte.unit());
            case MASS, VOLUME -> {
                boolean mass = extraction.basis() == Extraction.Basis.MASS;
                String soil = text(mass ? extraction.measuredScoopG() : extraction.scoopMl(), 5);
                trail.step(
                        "Soil, " + soil + (mass ? " g" : " mL") + " in " + text(extraction.extractMl(), 5) + " mL, "
                                + diluted,
                        net + " × " + text(extraction.extractMl(), 5) + " / " + soil,
                        value,
                        analyte.unit());
            }
        }
        if (over) {
            trail.step(
                    "Above the highest standard, " + text(fitted.topMgPerL(), 5) + " mg/L: the extract must be diluted",
                    "",
                    extract,
                    Unit.MILLIGRAM_PER_LITRE);
        }
    }

    private void missing(Grid grid, int row, Analyte analyte, String reason, Unit unit, double knownValue, Flaw flaw) {
        add(grid, row, analyte, new Amount.Missing(reason, unit), 0, knownValue, flaw);
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
