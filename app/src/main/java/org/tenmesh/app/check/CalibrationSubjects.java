package org.tenmesh.app.check;

import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.DetectionLimits;
import org.tenmesh.core.calibration.ProbeCalibration;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Extraction.Acceptance;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.statistics.Quantiles;

/** Curves, reading back with its error, the rules that accept a curve, electrodes. */
final class CalibrationSubjects {
    private static final double ANYTHING = 1e9;
    private static final double ALPHA = 0.01;
    private static final double QUANTIFICATION_K = 3;
    private static final double FARADAY_C_PER_MOL = 96485.33212331001;
    private static final double GAS_J_PER_MOL_K = 8.31446261815324;

    private CalibrationSubjects() {}

    static void onto(Subjects subjects) {
        subjects.number("calibration line", given -> curve(given, Shape.LINE));
        subjects.number("calibration quadratic", given -> curve(given, Shape.QUADRATIC));
        subjects.number(
                "limits of blanks",
                given -> limit(
                        DetectionLimits.ofBlanks(given.number("sd"), given.whole("blanks"), given.number("chance")),
                        given.word("quantity")));
        subjects.any("acceptance", CalibrationSubjects::acceptance);
        subjects.number("theoretical slope", CalibrationSubjects::theoretical);
        subjects.number("buffer", CalibrationSubjects::buffer);
        subjects.number("probe", CalibrationSubjects::probe);
    }

    private static double curve(Given given, Shape shape) {
        Curve curve = fit(given, shape);
        String quantity = given.word("quantity");
        return switch (quantity) {
            case "a" -> curve.a();
            case "b" -> curve.b();
            case "c" -> curve.c();
            case "se-a" -> curve.seOfA();
            case "se-b" -> curve.seOfB();
            case "se-c" -> curve.seOfC();
            case "s" -> curve.residualSd();
            case "r" -> curve.correlation();
            case "r2" -> curve.correlation() * curve.correlation();
            case "rse-pct" -> curve.relativeStandardErrorPct();
            case "x" -> curve.concentration(given.number("signal"));
            case "se" -> readBack(curve, given);
            case "half-width" -> Quantiles.t(given.number("below"), curve.residualDegrees()) * readBack(curve, given);
            case "gain" -> curve.gainOf(fit(given, Shape.QUADRATIC));
            default -> limit(DetectionLimits.of(curve, ALPHA, QUANTIFICATION_K, 1), quantity);
        };
    }

    private static double readBack(Curve curve, Given given) {
        return curve.concentrationSe(given.number("signal"), given.whole("readings"), 1);
    }

    private static double limit(DetectionLimits limits, String quantity) {
        return switch (quantity) {
            case "critical" -> limits.critical();
            case "detection" -> limits.detection();
            case "quantification" -> limits.quantification();
            default -> throw Subjects.unknown(quantity);
        };
    }

    private static Curve fit(Given given, Shape shape) {
        String set = given.word("set");
        boolean nist = set.equals("Norris") || set.equals("Pontius");
        PublishedSet data = PublishedSet.of(nist ? "nist-linear.csv" : "calibration.csv", set);
        Weighting weighting = Weighting.valueOf(given.word("weighting", "NONE"));
        return CurveFit.fit(data.column(nist ? "x1" : "x"), data.column("y"), shape, weighting);
    }

    // One rule of the shipped method at a time, the others out of the way.
    private static String acceptance(Given given) {
        if (given.method() instanceof ElectrodeMethod electrode) {
            double slope = given.number("slope_pct") / 100 * ProbeCalibration.theoreticalSlopeMvPerPh(25);
            ProbeCalibration probe =
                    ProbeCalibration.of(new double[] {3 * slope, 0, -3 * slope}, new double[] {4, 7, 10}, 25);
            return accepted(CalibrationJudgement.of(probe, electrode));
        }
        Acceptance shipped = ((ExtractionMethod) given.method()).extraction().acceptance();
        String rule = given.word("rule");
        Acceptance only = switch (rule) {
            case "r" -> new Acceptance(shipped.leastR(), ANYTHING, ANYTHING, ANYTHING);
            case "rse" -> new Acceptance(-1, shipped.mostRsePct(), ANYTHING, ANYTHING);
            case "readback" -> new Acceptance(-1, ANYTHING, shipped.lowReadbackPct(), shipped.readbackPct());
            case "slope" -> new Acceptance(-1, ANYTHING, ANYTHING, ANYTHING);
            default -> throw Subjects.unknown(rule);
        };
        double[] x = given.numbers("x");
        Curve curve = CurveFit.fit(
                x,
                given.numbers("y"),
                Shape.valueOf(given.word("shape", "LINE")),
                Weighting.valueOf(given.word("weighting", "NONE")));
        return accepted(CalibrationJudgement.of(
                curve, x, given.optional("read").isPresent() ? given.numbers("read") : given.numbers("y"), only));
    }

    private static String accepted(CalibrationJudgement judgement) {
        return judgement.accepted() ? "accepted" : "rejected";
    }

    private static double theoretical(Given given) {
        double atZero = ProbeCalibration.theoreticalSlopeMvPerPh(0);
        double ofOneKelvin = ProbeCalibration.theoreticalSlopeMvPerPh(1) - atZero;
        return switch (given.word("of", "")) {
            case "kelvin" -> ofOneKelvin * FARADAY_C_PER_MOL / (GAS_J_PER_MOL_K * Math.log(10));
            case "zero" -> -atZero / ofOneKelvin;
            default -> ProbeCalibration.theoreticalSlopeMvPerPh(given.number("celsius"));
        };
    }

    private static double buffer(Given given) {
        return ((ElectrodeMethod) given.method())
                .buffers().stream()
                        .filter(table -> table.name().equals(given.word("name")))
                        .findFirst()
                        .map((BufferTable table) -> table.phAt(given.number("celsius")))
                        .orElseThrow(() -> Subjects.unknown("buffer " + given.word("name")));
    }

    private static double probe(Given given) {
        ProbeCalibration probe = ProbeCalibration.of(given.numbers("mv"), given.numbers("ph"), given.number("celsius"));
        String quantity = given.word("quantity");
        return switch (quantity) {
            case "slope" -> probe.slopeMvPerPh();
            case "slope-pct" -> probe.slopePct();
            case "offset" -> probe.offsetMv();
            case "ph" -> probe.phAt(given.number("at"), given.number("at_celsius"));
            default -> throw Subjects.unknown(quantity);
        };
    }
}
