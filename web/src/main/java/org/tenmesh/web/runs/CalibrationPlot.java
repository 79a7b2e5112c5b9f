package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.NoCurveException;
import org.tenmesh.core.desk.ReadRun;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.StandardCurve;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * One calibration: its standards with their signals, and how far each reads back from its label.
 *
 * @param picture SVG; empty text where one standard alone makes the calibration, or no curve could be fitted
 * @param said what it was worth
 */
public record CalibrationPlot(String title, String picture, String said, boolean accepted) {
    private static final double WIDTH = 340;
    private static final double CURVE = 120;
    private static final double RESIDUALS = 80;

    static List<CalibrationPlot> of(ReadRun read, Analyte analyte) {
        List<CalibrationPlot> plots = new ArrayList<>();
        for (CalibrationOutcome outcome : read.reduced().calibrations()) {
            if (outcome.analyte().equals(analyte.symbol())) {
                plots.add(of(read, analyte, outcome));
            }
        }
        return plots;
    }

    private static CalibrationPlot of(ReadRun read, Analyte analyte, CalibrationOutcome outcome) {
        String title = Words.sentence(
                outcome.channel().isEmpty()
                        ? analyte.name()
                        : read.reduced()
                                        .method()
                                        .channel()
                                        .map(channel -> channel.noun())
                                        .orElse("channel") + " " + outcome.channel());
        String said = (outcome.accepted() ? outcome.summary() : String.join("; ", outcome.reasons())) + " (expected "
                + outcome.limits() + ")";
        return new CalibrationPlot(
                title,
                read.reduced()
                        .method()
                        .standardCurve()
                        .flatMap(curve -> picture(read, outcome, curve, title))
                        .orElse(""),
                Words.sentence(said),
                outcome.accepted());
    }

    private static Optional<String> picture(ReadRun read, CalibrationOutcome outcome, StandardCurve by, String title) {
        List<CalibrationOutcome.Point> points = outcome.points();
        Curve curve;
        try {
            curve = CurveFit.fit(
                    points.stream().mapToDouble(CalibrationOutcome.Point::value).toArray(),
                    points.stream()
                            .mapToDouble(CalibrationOutcome.Point::signal)
                            .toArray(),
                    by.shape(),
                    by.weighting());
        } catch (NoCurveException tooFew) {
            return Optional.empty();
        }
        boolean shifts = by.scatter() == StandardCurve.Scatter.CONSTANT;
        OptionalDouble limit = read.reduced()
                .method()
                .extract()
                .map(extraction -> OptionalDouble.of(extraction.acceptance().readbackPct()))
                .orElse(OptionalDouble.empty());
        List<Mark> signals = new ArrayList<>();
        List<Mark> residuals = new ArrayList<>();
        for (CalibrationOutcome.Point point : points) {
            String what = "standard " + point.standard() + ", position " + point.position() + ", "
                    + Significant.text(point.value(), 4) + " " + by.labelUnit();
            signals.add(new Mark(
                    point.value(),
                    point.signal(),
                    Mark.Shape.STANDARD,
                    Verdict.FIT,
                    what + ": " + Svg.figure(point.signal(), 5)));
            double off = curve.concentration(point.signal()) - point.value();
            double residual = shifts ? off : 100 * off / point.value();
            if (Double.isFinite(residual)) {
                // The lowest standard has a limit of its own.
                boolean lowest = point.value() == curve.lowestAboveZero();
                double allowed = limit.isEmpty()
                        ? Double.POSITIVE_INFINITY
                        : lowest
                                ? read.reduced()
                                        .method()
                                        .extract()
                                        .map(extraction ->
                                                extraction.acceptance().lowReadbackPct())
                                        .orElse(Double.POSITIVE_INFINITY)
                                : limit.getAsDouble();
                boolean outside = Math.abs(residual) > allowed;
                residuals.add(new Mark(
                        point.value(),
                        residual,
                        Mark.Shape.STANDARD,
                        outside ? Verdict.HOLD : Verdict.FIT,
                        what + " reads back " + (residual < 0 ? "−" : "+") + Significant.text(Math.abs(residual), 2)
                                + (shifts ? " " + by.labelUnit() : " %") + (outside ? ", outside" : "")));
            }
        }
        if (residuals.isEmpty()) {
            return Optional.empty();
        }
        double reach = Math.max(
                limit.orElse(0),
                residuals.stream().mapToDouble(mark -> Math.abs(mark.y())).max().orElse(0));
        Along.Band band = limit.isPresent()
                ? new Along.Band(OptionalDouble.of(-limit.getAsDouble()), limit)
                : new Along.Band(OptionalDouble.empty(), OptionalDouble.empty());
        return Optional.of(new Along(
                        "Calibration, " + title,
                        Words.of(points.size(), "standard")
                                + ": signal against label, and how far each reads back from it.",
                        WIDTH,
                        Scale.over(signals.stream().map(Mark::x).toList(), by.labelUnit(), 5),
                        List.of(
                                new Along.Panel(
                                        "Signal",
                                        CURVE,
                                        Scale.over(signals.stream().map(Mark::y).toList(), "", 4),
                                        Optional.empty(),
                                        signals,
                                        true),
                                new Along.Panel(
                                        shifts ? "Read back less label, " + by.labelUnit() : "Read back less label, %",
                                        RESIDUALS,
                                        Scale.over(List.of(-reach * 1.1 - 1e-9, reach * 1.1 + 1e-9), "", 3),
                                        limit.isPresent() ? Optional.of(band) : Optional.empty(),
                                        residuals,
                                        false)),
                        List.of(),
                        List.of())
                .svg());
    }
}
