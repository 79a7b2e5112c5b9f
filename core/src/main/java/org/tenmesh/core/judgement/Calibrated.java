package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.NoCurveException;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.methods.StandardCurve;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;

/** One calibration with all that is known about it: its standards and the check solutions read before the first soil. */
final class Calibrated {
    /**
     * @param name of the flask
     * @param value what its label says
     * @param signal what was read
     * @param standard whether it made the calibration
     */
    record Point(String name, double value, double signal, boolean standard) {}

    final Lane lane;
    final CalibrationOutcome outcome;
    final List<Point> points;
    /** As the run was reduced with. */
    final Curve curve;

    private final Shape shape;
    private final Weighting weighting;

    private Calibrated(
            Lane lane, CalibrationOutcome outcome, List<Point> points, Curve curve, Shape shape, Weighting weighting) {
        this.lane = lane;
        this.outcome = outcome;
        this.points = List.copyOf(points);
        this.curve = curve;
        this.shape = shape;
        this.weighting = weighting;
    }

    /** Every calibration of a run that made a curve. */
    static List<Calibrated> of(RunTable table) {
        List<Calibrated> all = new ArrayList<>();
        for (CalibrationOutcome outcome : table.reduced().calibrations()) {
            table.column(outcome.analyte())
                    .ifPresent(column -> of(table, column, outcome).ifPresent(all::add));
        }
        return all;
    }

    private static Optional<Calibrated> of(RunTable table, int column, CalibrationOutcome outcome) {
        Optional<StandardCurve> standards = table.method().standardCurve();
        if (standards.isEmpty()) {
            return Optional.empty();
        }
        Shape shape = standards.get().shape();
        Weighting weighting = standards.get().weighting();
        List<Point> points = new ArrayList<>();
        for (CalibrationOutcome.Point p : outcome.points()) {
            points.add(new Point(p.standard(), p.value(), p.signal(), true));
        }
        Optional<Curve> curve = fit(points, shape, weighting);
        if (curve.isEmpty()) {
            return Optional.empty();
        }
        for (int row = 0; row < table.firstSoil() && row < table.rows(); row++) {
            Determination d = table.at(row, column);
            if (d.role() == Role.VERIFICATION
                    && d.flaw() == Flaw.NONE
                    && d.known() > 0
                    && d.channel().equals(outcome.channel())
                    && !isForCarryOver(table, d)) {
                points.add(new Point(
                        d.identity(), d.known(), curve.get().signalAt(d.amount().raw()), false));
            }
        }
        return Optional.of(
                new Calibrated(new Lane(column, outcome.channel()), outcome, points, curve.get(), shape, weighting));
    }

    /** The low solution after the high one holds what was carried over: it is known for nothing else. */
    static boolean isForCarryOver(RunTable table, Determination d) {
        return table.method().carryOverSolutions().contains(d.identity());
    }

    /** The curve through all points but those of one flask; empty when too few are left. */
    Optional<Curve> without(String flask) {
        return fit(points.stream().filter(p -> !p.name().equals(flask)).toList(), shape, weighting);
    }

    /** The curve that the standards alone would make without one of them; empty when too few are left. */
    Optional<Curve> recalibrated(String flask) {
        return fit(standardsWithout(flask), shape, weighting);
    }

    List<Point> standardsWithout(String flask) {
        return points.stream()
                .filter(p -> p.standard() && !p.name().equals(flask))
                .toList();
    }

    /** The curve through everything known. */
    Optional<Curve> throughAll() {
        return fit(points, shape, weighting);
    }

    /**
     * Whether some flask may be off by as much as is asked, seen cheaply: on a line the deviation of a point from the line through the
     * others is its own residual over one less its leverage.
     *
     * @param least how far a flask of this value may be off, mg/L or pH
     */
    boolean mayBeOff(DoubleUnaryOperator least, Policy policy) {
        if (shape != Shape.LINE) {
            return true;
        }
        double sw = 0;
        double sx = 0;
        double sy = 0;
        for (Point p : points) {
            double w = curve.weightAt(p.value());
            sw += w;
            sx += w * p.value();
            sy += w * p.signal();
        }
        double centre = sx / sw;
        double sxx = 0;
        double sxy = 0;
        for (Point p : points) {
            double w = curve.weightAt(p.value());
            sxx += w * (p.value() - centre) * (p.value() - centre);
            sxy += w * (p.value() - centre) * (p.signal() - sy / sw);
        }
        double slope = sxy / sxx;
        for (Point p : points) {
            double apart = p.value() - centre;
            double leverage = curve.weightAt(p.value()) * (1 / sw + apart * apart / sxx);
            double off = (p.signal() - sy / sw - slope * apart) / slope / Math.max(1e-6, 1 - leverage);
            if (!(Math.abs(off) < policy.number(Setting.STANDARD_CHEAP_MARGIN) * least.applyAsDouble(p.value()))) {
                return true;
            }
        }
        return false;
    }

    /** Parameters of the curve. */
    int parameters() {
        return shape == Shape.LINE ? 2 : 3;
    }

    static double[] values(List<Point> points) {
        double[] values = new double[points.size()];
        for (int i = 0; i < values.length; i++) {
            values[i] = points.get(i).value();
        }
        return values;
    }

    static double[] signals(List<Point> points) {
        double[] signals = new double[points.size()];
        for (int i = 0; i < signals.length; i++) {
            signals[i] = points.get(i).signal();
        }
        return signals;
    }

    private static Optional<Curve> fit(List<Point> points, Shape shape, Weighting weighting) {
        try {
            return Optional.of(CurveFit.fit(values(points), signals(points), shape, weighting));
        } catch (NoCurveException tooFew) {
            return Optional.empty();
        }
    }
}
