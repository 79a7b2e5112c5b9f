package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
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
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * A calibrated extraction: signals of plasma emission or flow analysis through a curve to mg/L of extract, less what other elements
 * add, less the mean method blank, to content of soil by {@link Extraction#content}.
 *
 * <p>What an element {@code j} adds to the line of {@code i}: {@code c_i = a_i - sum_j k_ij c_j}, {@code a} the apparent and {@code c} the
 * true concentrations of one solution (form as in US EPA method 200.7, from memory); solved for all elements at once. The standards' own
 * overlaps are counted the other way, so that the curve is one of apparent concentrations. The preferred line alone gives the result;
 * where it is over range the extract is diluted, because a second line would need its own calibration, blanks and controls to be judged.
 */
final class ExtractionReduction {
    /** A correction for other elements larger than this share of what was read is not trusted (choice). */
    private static final double LARGE_SHARE = 0.2;
    /** Nor is one larger than so many reporting limits (choice). */
    private static final double LARGE_LIMITS = 10;

    private final Run run;
    private final ExtractionMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final Grid grid;
    private final Signals signals;
    private final double saturation;
    private final List<Element> elements;
    private final List<Share> shares;
    private final int[] columns;
    private final @Nullable Curve[] curves;
    private final double[] topMgPerL;
    // Of the row in work, by element: signal, apparent and true concentration in mg/L.
    private final double[] signal;
    private final double[] apparent;
    private final double[] extract;
    private final List<Determination> out = new ArrayList<>();
    private final List<Reduced.CalibrationOutcome> outcomes = new ArrayList<>();
    private final List<Reduced.Overlap> overlaps = new ArrayList<>();

    private ExtractionReduction(
            Run run,
            ExtractionMethod method,
            KnownValues known,
            Trail trail,
            Grid grid,
            Signals signals,
            List<EmissionMethod.Overlap> overlapping) {
        this.run = run;
        this.method = method;
        this.known = known;
        this.trail = trail;
        this.grid = grid;
        this.signals = signals;
        saturation = method.saturation().orElse(Double.POSITIVE_INFINITY);
        elements = elements();
        shares = shares(overlapping);
        columns = elements.stream().mapToInt(Element::column).toArray();
        curves = new Curve[columns.length];
        topMgPerL = new double[columns.length];
        signal = new double[columns.length];
        apparent = new double[columns.length];
        extract = shares.isEmpty() ? apparent : new double[columns.length];
    }

    /** Read by plasma emission. */
    static final class Emission extends Worked<EmissionMethod> {
        @Override
        public Set<Role> roles() {
            return EnumSet.complementOf(EnumSet.of(Role.WASH));
        }

        @Override
        public Reduced reduce(Run run, EmissionMethod method, KnownValues known, Trail trail) {
            Grid grid = Grid.of(run.readings());
            Signals signals = Signals.ofCounts(method, run.readings(), grid);
            return new ExtractionReduction(run, method, known, trail, grid, signals, method.overlaps()).reduce();
        }
    }

    /** Read by flow analysis. */
    static final class Flow extends Worked<FlowMethod> {
        @Override
        public Set<Role> roles() {
            return EnumSet.allOf(Role.class);
        }

        @Override
        public Reduced reduce(Run run, FlowMethod method, KnownValues known, Trail trail) {
            Grid grid = Grid.of(run.readings());
            Signals signals = Signals.ofPeaks(run.readings(), grid);
            return new ExtractionReduction(run, method, known, trail, grid, signals, List.of()).reduce();
        }
    }

    private abstract static class Worked<M extends ExtractionMethod> extends WorkedByResult<M> {
        @Override
        double value(M method, String symbol, Given given) {
            return method.extraction()
                    .content(
                            given.needed("extract_mg_per_l"),
                            given.orElse("blank_mg_per_l", 0),
                            given.orElse("dilution", 1));
        }

        @Override
        void lines(M method, String symbol, double value, Given given, List<WorkedLine> lines) {
            Extraction extraction = method.extraction();
            String read = given.text("extract_mg_per_l");
            String blank = WorkedLine.number(given.orElse("blank_mg_per_l", 0));
            String times = WorkedLine.times(given.orElse("dilution", 1));
            String net = extraction.diluent() == Diluent.EXTRACTANT
                    ? "(" + read + " − " + blank + ")" + times
                    : "(" + read + times + " − " + blank + ")";
            double per =
                    extraction.basis() == Extraction.Basis.MASS ? extraction.measuredScoopG() : extraction.scoopMl();
            String content = extraction.basis() == Extraction.Basis.EXTRACT
                    ? net
                    : net + " × " + WorkedLine.number(extraction.extractMl()) + " / " + WorkedLine.number(per);
            lines.add(new WorkedLine(symbol, content, value));
        }
    }

    private record Element(Analyte analyte, Line line, int column) {}

    /**
     * What one element adds to the line of another.
     *
     * @param on whose line
     * @param from who adds; -1 when it was not read
     * @param interferent its symbol
     * @param perMgPerL apparent mg/L of the first for each mg/L of the second
     */
    record Share(int on, int from, String interferent, double perMgPerL) {}

    private record Blank(double mgPerL, int n) {}

    Reduced reduce() {
        for (int e = 0; e < elements.size(); e++) {
            curves[e] = fit(e);
        }
        List<Reduced.Wash> washes = new ArrayList<>();
        for (Element element : elements) {
            washes.addAll(signals.washes(element.column(), element.analyte().symbol()));
        }
        Blank[] blanks = blanks();
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            look(row);
            boolean lost = signals.lost(row);
            for (int e = 0; e < blanks.length; e++) {
                position(row, e, blanks[e], lost);
            }
        }
        return new Reduced(run, method, out, outcomes, washes, overlaps);
    }

    private void look(int row) {
        for (int e = 0; e < apparent.length; e++) {
            Curve curve = curves[e];
            double raw = grid.value(row, columns[e]);
            double corrected = raw >= saturation ? Double.NaN : signals.at(row, columns[e], raw);
            signal[e] = corrected;
            double read = curve == null || Double.isNaN(corrected) ? Double.NaN : curve.concentration(corrected);
            // A curve without a slope gives no concentration.
            apparent[e] = Double.isInfinite(read) ? Double.NaN : read;
        }
        if (!shares.isEmpty()) {
            System.arraycopy(withoutOverlaps(apparent, shares), 0, extract, 0, extract.length);
        }
    }

    private List<Share> shares(List<EmissionMethod.Overlap> overlapping) {
        List<Share> found = new ArrayList<>();
        for (EmissionMethod.Overlap overlap : overlapping) {
            for (int on = 0; on < elements.size(); on++) {
                if (elements.get(on).line().quantity().equals(overlap.quantity())) {
                    found.add(new Share(on, indexOf(overlap.interferent()), overlap.interferent(), overlap.share()));
                }
            }
        }
        return found;
    }

    private int indexOf(String symbol) {
        for (int e = 0; e < elements.size(); e++) {
            if (elements.get(e).analyte().symbol().equals(symbol)) {
                return e;
            }
        }
        return -1;
    }

    /**
     * True concentrations of one solution from apparent ones.
     *
     * @param apparent mg/L, by element; NaN counts as nothing that adds
     * @return mg/L, by element; NaN where the shares are so large that no solution is found
     */
    static double[] withoutOverlaps(double[] apparent, List<Share> shares) {
        double[] now = apparent.clone();
        // Shares are small, so substitution closes in a few rounds; 50 are far more than it needs.
        for (int round = 0; round < 50; round++) {
            double[] next = apparent.clone();
            for (Share share : shares) {
                if (share.from() >= 0 && !Double.isNaN(now[share.from()])) {
                    next[share.on()] -= share.perMgPerL() * now[share.from()];
                }
            }
            boolean closed = true;
            for (int e = 0; e < next.length; e++) {
                closed &= !(Math.abs(next[e] - now[e]) > 1e-12 * Math.abs(next[e]));
            }
            if (closed) {
                return next;
            }
            now = next;
        }
        Arrays.fill(now, Double.NaN);
        return now;
    }

    // A line that the run never read was not asked for.
    private List<Element> elements() {
        Readings readings = run.readings();
        List<Element> found = new ArrayList<>();
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
                found.add(new Element(analyte, best, readings.quantityCode(best.quantity())));
            }
        }
        return found;
    }

    private @Nullable Curve fit(int e) {
        Element element = elements.get(e);
        double[] x = new double[grid.rows];
        double[] y = new double[grid.rows];
        List<Reduced.CalibrationOutcome.Point> points = new ArrayList<>();
        int n = 0;
        for (int row = 0; row < grid.rows; row++) {
            double raw = grid.value(row, element.column());
            if (grid.role[row] != Role.STANDARD || raw >= saturation) {
                continue;
            }
            double value = known.of(grid.identity[row], element.analyte().symbol());
            double corrected = signals.at(row, element.column(), raw);
            if (Double.isNaN(value) || Double.isNaN(corrected)) {
                continue;
            }
            topMgPerL[e] = Math.max(topMgPerL[e], value);
            x[n] = value;
            for (Share share : shares) {
                double other = share.on() == e ? known.of(grid.identity[row], share.interferent()) : Double.NaN;
                x[n] += Double.isNaN(other) ? 0 : share.perMgPerL() * other;
            }
            y[n] = corrected;
            points.add(new Reduced.CalibrationOutcome.Point(grid.position[row], grid.identity[row], x[n], y[n]));
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
            outcomes.add(
                    new Reduced.CalibrationOutcome("", symbol, List.of(reason), reason, "a curve", points, List.of()));
            return null;
        }
        CalibrationJudgement judged =
                CalibrationJudgement.of(curve, x, y, method.extraction().acceptance());
        List<String> reasons = judged.reasons();
        outcomes.add(new Reduced.CalibrationOutcome(
                "",
                symbol,
                reasons,
                reasons.isEmpty()
                        ? symbol + " r " + text(curve.correlation(), 5) + ", RSE "
                                + text(curve.relativeStandardErrorPct(), 3) + " %"
                        : symbol + ": " + reasons.get(0),
                "r > " + text(method.extraction().acceptance().leastR(), 4) + ", RSE < "
                        + text(method.extraction().acceptance().mostRsePct(), 3) + " %",
                points,
                judged.broken()));
        return curve;
    }

    private Blank[] blanks() {
        double[] sum = new double[columns.length];
        int[] n = new int[columns.length];
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.BLANK && !signals.lost(row)) {
                look(row);
                for (int e = 0; e < sum.length; e++) {
                    if (!Double.isNaN(extract[e])) {
                        sum[e] += extract[e];
                        n[e]++;
                    }
                }
            }
        }
        Blank[] means = new Blank[sum.length];
        for (int e = 0; e < sum.length; e++) {
            means[e] = new Blank(method.extraction().subtractBlank() && n[e] > 0 ? sum[e] / n[e] : 0, n[e]);
        }
        return means;
    }

    private void position(int row, int e, Blank blank, boolean lost) {
        Element element = elements.get(e);
        Analyte analyte = element.analyte();
        Role role = grid.role[row];
        boolean solution = role == Role.STANDARD || role == Role.VERIFICATION || role == Role.BLANK;
        Unit unit = solution ? Unit.MILLIGRAM_PER_LITRE : analyte.unit();
        double knownValue = solution ? known.of(grid.identity[row], analyte.symbol()) : Double.NaN;
        Curve curve = curves[e];
        if (curve == null || Double.isNaN(extract[e])) {
            without(row, element, curve, apparent[e], unit, knownValue);
            return;
        }
        Flaw flaw = lost ? Flaw.INTERNAL_STANDARD_LOST : Flaw.NONE;
        double se = curve.concentrationSe(signal[e], 1, curve.weightAt(apparent[e]));
        if (solution) {
            add(row, analyte, new Amount.Measured(extract[e], unit), se, knownValue, flaw);
        } else {
            soil(row, e, blank, curve, se, flaw);
        }
    }

    // Why a line has no concentration here.
    private void without(int row, Element element, @Nullable Curve curve, double read, Unit unit, double knownValue) {
        Analyte analyte = element.analyte();
        double raw = grid.value(row, element.column());
        String lack = signals.lack(row);
        if (Double.isNaN(raw)) {
            missing(row, analyte, "no reading of " + named(element), unit, knownValue, Flaw.MISSING_READING);
        } else if (raw >= saturation) {
            if (trail.wants(grid.identity[row], analyte.symbol())) {
                trail.step(
                        "Read, " + named(element) + ", position " + grid.position[row]
                                + ": the largest signal the detector gives",
                        "",
                        raw,
                        signals.unit());
            }
            add(row, analyte, new Amount.Saturated(unit), 0, knownValue, Flaw.OVER_RANGE);
        } else if (curve == null) {
            missing(row, analyte, "no calibration of " + analyte.name(), unit, knownValue, Flaw.NO_CALIBRATION);
        } else if (lack != null) {
            missing(row, analyte, lack, unit, knownValue, Flaw.INTERNAL_STANDARD_LOST);
        } else if (Double.isNaN(read)) {
            outsideTheCurve(row, element, curve, unit, knownValue);
        } else {
            missing(
                    row,
                    analyte,
                    "the overlaps of the lines have no solution, their shares are too large",
                    unit,
                    knownValue,
                    Flaw.NO_CALIBRATION);
        }
    }

    // Only a quadratic has an end: beyond its turning point there is too much, or the signal lies below all of it.
    private void outsideTheCurve(int row, Element element, Curve curve, Unit unit, double knownValue) {
        double read = signals.at(row, element.column(), grid.value(row, element.column()));
        double middle = curve.signalAt((curve.lowest() + curve.highest()) / 2);
        boolean above = (read - middle) * (curve.signalAt(curve.highest()) - middle) > 0;
        missing(
                row,
                element.analyte(),
                above ? "the signal lies above the curve" : "the signal lies below the curve",
                unit,
                knownValue,
                above ? Flaw.OVER_RANGE : Flaw.MISSING_READING);
    }

    private void soil(int row, int e, Blank blank, Curve curve, double se, Flaw lost) {
        Analyte analyte = elements.get(e).analyte();
        Extraction extraction = method.extraction();
        double dilution = grid.dilution[row];
        double value = extraction.content(extract[e], blank.mgPerL(), dilution);
        boolean over = apparent[e] > curve.highest();
        if (trail.wants(grid.identity[row], analyte.symbol())) {
            explain(row, e, blank, curve, value, over);
        }
        Amount amount = over
                ? new Amount.Above(extraction.content(topMgPerL[e], blank.mgPerL(), dilution), value, analyte.unit())
                : Limits.amount(
                        value,
                        analyte,
                        dilution,
                        apparent[e] < curve.lowestAboveZero()
                                ? extraction.content(curve.lowestAboveZero(), blank.mgPerL(), dilution)
                                : Double.NEGATIVE_INFINITY);
        boolean overlapped = !shares.isEmpty() && overlapped(row, e);
        Flaw flaw = lost != Flaw.NONE ? lost : over ? Flaw.OVER_RANGE : overlapped ? Flaw.OVERLAPPED : Flaw.NONE;
        add(row, analyte, amount, se * Math.abs(extraction.content(1, 0, dilution)), Double.NaN, flaw);
    }

    // Whether what other elements add is too much, or not known, for a number that would be stated at all.
    private boolean overlapped(int row, int e) {
        Element element = elements.get(e);
        double limitMgPerL = element.analyte().reportingLimit().orElse(0)
                / Math.abs(method.extraction().content(1, 0, 1));
        double read = apparent[e];
        double added = read - extract[e];
        List<String> from = new ArrayList<>();
        List<String> unknown = new ArrayList<>();
        for (Share share : shares) {
            if (share.on() == e && share.perMgPerL() != 0) {
                boolean gone = share.from() < 0 || Double.isNaN(extract[share.from()]);
                (gone ? unknown : from).add(share.interferent());
            }
        }
        boolean large = Math.abs(added) > LARGE_SHARE * Math.abs(read) && Math.abs(read) >= limitMgPerL
                || limitMgPerL > 0 && Math.abs(added) > LARGE_LIMITS * limitMgPerL;
        if (unknown.isEmpty() && !large) {
            return false;
        }
        overlaps.add(new Reduced.Overlap(
                grid.position[row],
                element.analyte().symbol(),
                element.line().quantity(),
                String.join(", ", unknown.isEmpty() ? from : unknown),
                read,
                unknown.isEmpty() ? added : Double.NaN));
        return true;
    }

    private String named(Element element) {
        return (method.readsEmissionLines() ? "line " : "") + element.line().quantity();
    }

    private void explain(int row, int e, Blank blank, Curve curve, double value, boolean over) {
        Element element = elements.get(e);
        Analyte analyte = element.analyte();
        Extraction extraction = method.extraction();
        double found = extract[e];
        signals.explain(trail, row, element.column(), element.line().quantity());
        String weighting = switch (extraction.weighting()) {
            case NONE -> "unweighted";
            case ONE_OVER_X -> "weighted 1/x";
            case ONE_OVER_X_SQUARED -> "weighted 1/x²";
        };
        String inverse = curve.c() == 0
                ? "(" + text(signal[e], 8) + " − " + text(curve.a(), 7) + ") / " + text(curve.b(), 8)
                : "root of " + text(curve.a(), 7) + " + " + text(curve.b(), 7) + " x + " + text(curve.c(), 6) + " x² = "
                        + text(signal[e], 8);
        trail.step(
                "Calibration from " + curve.n() + " standards, " + weighting + ", r " + text(curve.correlation(), 6),
                inverse,
                apparent[e],
                Unit.MILLIGRAM_PER_LITRE);
        StringBuilder less = new StringBuilder(text(apparent[e], 8));
        List<String> adding = new ArrayList<>();
        for (Share share : shares) {
            if (share.on() == e && share.from() >= 0 && !Double.isNaN(extract[share.from()])) {
                adding.add(share.interferent());
                less.append(" − ")
                        .append(text(share.perMgPerL(), 6))
                        .append(" × ")
                        .append(text(extract[share.from()], 8));
            }
        }
        if (!adding.isEmpty()) {
            trail.step(
                    "Less what " + String.join(", ", adding) + (adding.size() == 1 ? " adds" : " add")
                            + " to this line",
                    less.toString(),
                    found,
                    Unit.MILLIGRAM_PER_LITRE);
        }
        if (extraction.subtractBlank()) {
            trail.step("Method blank, mean of " + blank.n(), "", blank.mgPerL(), Unit.MILLIGRAM_PER_LITRE);
        }
        String off = text(blank.mgPerL(), 6);
        double dilution = grid.dilution[row];
        String net = extraction.diluent() == Diluent.EXTRACTANT
                ? "(" + text(found, 8) + " − " + off + ")" + (dilution == 1 ? "" : " × " + text(dilution, 6))
                : "(" + text(found, 8) + (dilution == 1 ? "" : " × " + text(dilution, 6)) + " − " + off + ")";
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
                    "Above the highest standard, " + text(topMgPerL[e], 5) + " mg/L: the extract must be diluted",
                    "",
                    found,
                    Unit.MILLIGRAM_PER_LITRE);
        }
    }

    private void missing(int row, Analyte analyte, String reason, Unit unit, double knownValue, Flaw flaw) {
        add(row, analyte, new Amount.Missing(reason, unit), 0, knownValue, flaw);
    }

    private void add(int row, Analyte analyte, Amount amount, double se, double knownValue, Flaw flaw) {
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
