package org.tenmesh.app.check;

import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.DetectionLimits;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction.Acceptance;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.Quantiles;

/** Curves, reading back with its error, detection limits, and the rules that accept a curve. */
final class CalibrationChecks {
    private static final String AREA = "Calibration";
    private static final double ANYTHING = 1e9;

    private CalibrationChecks() {}

    static void onto(Sheet sheet) {
        Rows sets = Rows.of("calibrations.csv");
        din(sheet, sets);
        massart(sheet, sets);
        norris(sheet);
        toluene(sheet, sets);
        fluorescein(sheet, sets);
        acceptance(sheet);
        quadraticSlope(sheet);
        shippedLimits(sheet);
    }

    private static Curve line(Rows sets, String set, Weighting weighting) {
        return CurveFit.fit(sets.column(set, "x"), sets.column(set, "y"), Shape.LINE, weighting);
    }

    private static void din(Sheet sheet, Rows sets) {
        Curve curve = line(sets, "din32645", Weighting.NONE);
        DetectionLimits limits = DetectionLimits.of(curve, 0.01, 3, 1);
        Sheet.From from = sheet.read(AREA, Work.DIN_32645, "");
        from.number(
                "din-half-width",
                "half-width at a signal of 3500, 99 %",
                "0.07434",
                Tolerance.lastDigit("0.07434"),
                () -> Quantiles.t(0.995, curve.residualDegrees()) * curve.concentrationSe(3500, 1, 1));
        from.number("din-critical", "critical value, 1 %", "0.0698", Tolerance.lastDigit("0.0698"), limits::critical);
        from.number(
                "din-detection", "smallest detectable value", "0.14", Tolerance.lastDigit("0.14"), limits::detection);
        from.number(
                "din-quantification",
                "limit of quantification, k = 3",
                "0.212",
                Tolerance.lastDigit("0.212"),
                limits::quantification);
    }

    private static void massart(Sheet sheet, Rows sets) {
        Curve curve = line(sets, "massart_ex1", Weighting.NONE);
        double t = Quantiles.t(0.975, curve.residualDegrees());
        String[][] table = {{"15", "1", "6.1", "4.9"}, {"90", "1", "43.9", "4.9"}, {"90", "5", "43.9", "3.2"}};
        Sheet.From from = sheet.read(AREA, Work.MASSART, "example 7");
        for (String[] row : table) {
            double signal = Double.parseDouble(row[0]);
            int readings = Integer.parseInt(row[1]);
            String what = "signal " + row[0] + ", mean of " + row[1];
            from.number(
                    "massart-x-" + row[0] + "-" + row[1],
                    "x at " + what,
                    row[2],
                    Tolerance.lastDigit(row[2]),
                    () -> curve.concentration(signal));
            from.number(
                    "massart-ci-" + row[0] + "-" + row[1],
                    "95 % half-width at " + what,
                    row[3],
                    Tolerance.lastDigit(row[3]),
                    () -> t * curve.concentrationSe(signal, readings, 1));
        }
    }

    private static void norris(Sheet sheet) {
        Rows data = Rows.of("nist-linear-data.csv");
        double[] x = data.column("Norris", "x1");
        double[] y = data.column("Norris", "y");
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.NONE);
        String why = "certified to 15";
        Sheet.From from = sheet.read(AREA, Work.NIST_LINEAR, "set Norris, as a calibration line");
        from.number(
                "norris-line-a",
                "signal at x = 0",
                "-0.262323073774029",
                Tolerance.digits("-0.262323073774029", 11, why),
                curve::a);
        from.number(
                "norris-line-b", "slope", "1.00211681802045", Tolerance.digits("1.00211681802045", 12, why), curve::b);
        from.number(
                "norris-line-sea",
                "standard error at x = 0",
                "0.232818234301152",
                Tolerance.digits("0.232818234301152", 12, why),
                curve::seOfA);
        from.number(
                "norris-line-seb",
                "standard error of the slope",
                "0.429796848199937E-03",
                Tolerance.digits("0.429796848199937E-03", 12, why),
                curve::seOfB);
        from.number(
                "norris-line-s",
                "residual standard deviation",
                "0.884796396144373",
                Tolerance.digits("0.884796396144373", 12, why),
                curve::residualSd);
        String[][] weighted = {
            {"ONE_OVER_X", "-0.079611501", "1.0016809", "0.18208158"},
            {"ONE_OVER_X_SQUARED", "-0.033313672", "0.97829702", "0.25874745"}
        };
        for (String[] row : weighted) {
            Curve by = CurveFit.fit(x, y, Shape.LINE, Weighting.valueOf(row[0]));
            Sheet.From computed = sheet.from(
                    AREA, Work.NIST_LINEAR, "set Norris with weights, own 80-digit arithmetic", Standing.COMPUTED);
            String name = row[0].equals("ONE_OVER_X") ? "1/x" : "1/x^2";
            computed.number(
                    "norris-" + name + "-a",
                    "signal at x = 0, weights " + name,
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    by::a);
            computed.number(
                    "norris-" + name + "-b", "slope, weights " + name, row[2], Tolerance.lastDigit(row[2]), by::b);
            computed.number(
                    "norris-" + name + "-s",
                    "residual standard deviation, weights " + name,
                    row[3],
                    Tolerance.lastDigit(row[3]),
                    by::residualSd);
        }
    }

    private static void toluene(Sheet sheet, Rows sets) {
        String[][] table = {{"NONE", "97.98"}, {"ONE_OVER_X", "35.22"}, {"ONE_OVER_X_SQUARED", "35.89"}};
        Sheet.From from = sheet.from(
                AREA, Work.ROCKE_LORENZATO, "table 4, toluene; the book prints the data only", Standing.COMPUTED);
        for (String[] row : table) {
            from.number(
                    "toluene-" + row[0],
                    "relative standard error in %, weighting " + row[0],
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    () -> line(sets, "toluene", Weighting.valueOf(row[0])).relativeStandardErrorPct());
        }
    }

    private static void fluorescein(Sheet sheet, Rows sets) {
        Curve curve = line(sets, "fluorescein", Weighting.NONE);
        Sheet.From from =
                sheet.from(AREA, Work.MILLER, "fluorescein example; data and answers recalled", Standing.FROM_MEMORY);
        String[][] table = {{"2.9", "0.72", "0.26"}, {"13.5", "6.21", "0.24"}, {"23.0", "11.13", "0.26"}};
        for (String[] row : table) {
            double signal = Double.parseDouble(row[0]);
            from.number(
                    "fluorescein-x-" + row[0],
                    "x at signal " + row[0],
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    () -> curve.concentration(signal));
            from.number(
                    "fluorescein-se-" + row[0],
                    "standard error at signal " + row[0],
                    row[2],
                    Tolerance.lastDigit(row[2]),
                    () -> curve.concentrationSe(signal, 1, 1));
        }
    }

    // One rule at a time: the shipped limit of that rule, the others out of the way.
    private static void acceptance(Sheet sheet) {
        Acceptance shipped = Shipped.mehlich3().extraction().acceptance();
        Acceptance onlyR = new Acceptance(shipped.leastR(), ANYTHING, ANYTHING, ANYTHING);
        Sheet.From from = sheet.read(AREA, Work.EPA_6010D, "section 10.7 (r above 0.995)");
        from.word("epa-r-above", "a curve of r 0.9963", "accepted", () -> zigzag(0.30, onlyR));
        from.word("epa-r-below", "a curve of r 0.9933", "rejected", () -> zigzag(0.40, onlyR));

        Acceptance onlyRse = new Acceptance(-1, shipped.mostRsePct(), ANYTHING, ANYTHING);
        Sheet.From rse = sheet.read(AREA, Work.EPA_6010D, "section 10.7 (relative standard error below 20 %)");
        rse.word(
                "epa-rse-below",
                "a curve of relative standard error 19.1 %",
                "accepted",
                () -> relative(0.19, onlyRse));
        rse.word(
                "epa-rse-above",
                "a curve of relative standard error 21.1 %",
                "rejected",
                () -> relative(0.21, onlyRse));

        Acceptance readback = new Acceptance(-1, ANYTHING, shipped.lowReadbackPct(), shipped.readbackPct());
        Sheet.From low = sheet.read(AREA, Work.EPA_6010D, "section 10.8.2 (low standard reads back as 80-120 %)");
        Sheet.From mid = sheet.read(AREA, Work.EPA_6010D, "section 10.8.3 (mid standard reads back as 90-110 %)");
        low.word("epa-low-119", "lowest standard reads back as 119 %", "accepted", () -> readback(1, 1.19, readback));
        low.word("epa-low-121", "lowest standard reads back as 121 %", "rejected", () -> readback(1, 1.21, readback));
        low.word("epa-low-81", "lowest standard reads back as 81 %", "accepted", () -> readback(1, 0.81, readback));
        low.word("epa-low-79", "lowest standard reads back as 79 %", "rejected", () -> readback(1, 0.79, readback));
        mid.word("epa-mid-109", "mid standard reads back as 109 %", "accepted", () -> readback(3, 1.09, readback));
        mid.word("epa-mid-111", "mid standard reads back as 111 %", "rejected", () -> readback(3, 1.11, readback));
        mid.word("epa-mid-91", "mid standard reads back as 91 %", "accepted", () -> readback(3, 0.91, readback));
        mid.word("epa-mid-89", "mid standard reads back as 89 %", "rejected", () -> readback(3, 0.89, readback));
    }

    private static String zigzag(double amplitude, Acceptance acceptance) {
        double[] x = {0, 2, 4, 6, 8, 10};
        double[] y = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = x[i] + (i % 2 == 0 ? amplitude : -amplitude);
        }
        return judged(x, y, acceptance);
    }

    // Six standards a decade apart, weighted 1/x^2, the middle ones off by the same share in turn.
    private static String relative(double share, Acceptance acceptance) {
        double[] x = {1, 10, 100, 1000, 10_000, 100_000};
        double[] pattern = {0, 1, -1, 1, -1, 0};
        double[] y = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = x[i] * (1 + share * pattern[i]);
        }
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.ONE_OVER_X_SQUARED);
        return word(CalibrationJudgement.of(curve, x, y, acceptance));
    }

    private static String readback(int standard, double share, Acceptance acceptance) {
        double[] x = {0, 1, 2, 5, 10, 20};
        double[] y = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = 40 + 1000 * x[i];
        }
        Curve curve = CurveFit.fit(x, y, Shape.LINE, Weighting.NONE);
        y[standard] = 40 + 1000 * x[standard] * share;
        return word(CalibrationJudgement.of(curve, x, y, acceptance));
    }

    private static String judged(double[] x, double[] y, Acceptance acceptance) {
        return word(CalibrationJudgement.of(CurveFit.fit(x, y, Shape.LINE, Weighting.NONE), x, y, acceptance));
    }

    private static String word(CalibrationJudgement judgement) {
        return judgement.accepted() ? "accepted" : "rejected";
    }

    private static void quadraticSlope(Sheet sheet) {
        Acceptance slopeOnly = new Acceptance(-1, ANYTHING, ANYTHING, ANYTHING);
        Sheet.From from = sheet.read(AREA, Work.EPA_8000D, "section 11.5.3.2 (slope of one sign over the range)");
        from.word(
                "epa-quadratic-turns",
                "a quadratic that turns inside its range",
                "rejected",
                () -> quadratic(-12, slopeOnly));
        from.word("epa-quadratic-bends", "a quadratic that only bends", "accepted", () -> quadratic(-8, slopeOnly));
    }

    // 100 x + c x^2 over 0 to 5 turns at x = -50 / c.
    private static String quadratic(double c, Acceptance acceptance) {
        double[] x = {0, 1, 2, 3, 4, 5};
        double[] y = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            y[i] = x[i] * (100 + c * x[i]);
        }
        return word(CalibrationJudgement.of(CurveFit.fit(x, y, Shape.QUADRATIC, Weighting.NONE), x, y, acceptance));
    }

    private static void shippedLimits(Sheet sheet) {
        EmissionMethod method = Shipped.mehlich3();
        sheet.read(AREA, Work.EPA_6010D, "sections 10.8.1 and 10.8.5 (90-110 %)")
                .number(
                        "epa-verification",
                        "allowed difference of a known solution in the shipped method, %",
                        "10",
                        Tolerance.exact("10"),
                        method.extraction()::verificationTolerancePct);
        sheet.read(AREA, Work.EPA_6010D, "sections 9.7.1 and 10.8.4 (half the lower limit)")
                .number(
                        "epa-blank",
                        "largest blank in the shipped method, share of the reporting limit",
                        "0.5",
                        Tolerance.exact("0.5"),
                        method.extraction()::blankShareOfLimit);
        sheet.read(AREA, Work.EPA_6010D, "section 9.7.2 (relative difference of 20 %)")
                .number(
                        "epa-duplicate",
                        "largest difference of two portions in the shipped method, %",
                        "20",
                        Tolerance.exact("20"),
                        method.extraction()::duplicateLimitPct);
    }
}
