package org.tenmesh.app.check;

import java.util.List;
import java.util.function.ToDoubleFunction;
import org.tenmesh.core.calibration.Curve;
import org.tenmesh.core.calibration.CurveFit;
import org.tenmesh.core.calibration.DetectionLimits;
import org.tenmesh.core.methods.Extraction.Shape;
import org.tenmesh.core.methods.Extraction.Weighting;
import org.tenmesh.core.statistics.ChartConstants;
import org.tenmesh.core.statistics.Horwitz;
import org.tenmesh.core.statistics.MethodDetectionLimit;
import org.tenmesh.core.statistics.NormalRange;
import org.tenmesh.core.statistics.Precision;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.Scores;

/** Repeatability and reproducibility, chart constants, robust statistics, detection limits of replicates, scores. */
final class PrecisionChecks {
    private static final String AREA = "Precision";
    private static final String ROBUST = "Robust statistics";
    private static final String LIMITS = "Detection limits";
    private static final List<Integer> CHARTED = List.of(2, 3, 4, 5, 6, 7, 8, 10, 15, 20);

    private PrecisionChecks() {}

    static void onto(Sheet sheet) {
        collaborative(sheet);
        charts(sheet);
        robust(sheet);
        horwitz(sheet);
        limits(sheet);
        scores(sheet);
    }

    private static void collaborative(Sheet sheet) {
        Rows data = Rows.of("glucose.csv");
        String[][] table = {
            {"A", "41.5183", "1.0632", "1.0632"},
            {"D", "194.7171", "2.6251", "3.3657"},
            {"E", "294.4921", "3.9350", "4.1923"}
        };
        for (String[] row : table) {
            Precision precision = Precision.of(VarianceChecks.groups(data, row[0]));
            Sheet.From from = sheet.from(AREA, Work.GLUCOSE, "material " + row[0], Standing.COMPUTED);
            String id = "glucose-" + row[0].toLowerCase(java.util.Locale.ROOT);
            from.number(id + "-mean", "mean", row[1], Tolerance.lastDigit(row[1]), precision::mean);
            from.number(
                    id + "-repeatability",
                    "repeatability standard deviation",
                    row[2],
                    Tolerance.lastDigit(row[2]),
                    precision::repeatabilitySd);
            from.number(
                    id + "-reproducibility",
                    "reproducibility standard deviation",
                    row[3],
                    Tolerance.lastDigit(row[3]),
                    precision::reproducibilitySd);
        }
        String[][] sulfur = {
            {"0.021", "0.057", "0.059", "0.160"},
            {"0.042", "0.137", "0.118", "0.383"},
            {"0.047", "0.102", "0.131", "0.284"}
        };
        for (int i = 0; i < sulfur.length; i++) {
            double within = Double.parseDouble(sulfur[i][0]);
            double all = Double.parseDouble(sulfur[i][1]);
            Precision precision = new Precision(1, within, Math.sqrt(all * all - within * within), 18, 36);
            Sheet.From from = sheet.read(AREA, Work.BRE, "total sulfur, Table 1, level " + (i + 1));
            Tolerance half = new Tolerance(
                    0.0018, "the standard deviation is printed with three decimals, and 2.8 stands for 2.77");
            Tolerance whole = new Tolerance(
                    0.0045, "the standard deviation is printed with three decimals, and 2.8 stands for 2.77");
            from.number(
                    "sulfur-r-" + (i + 1), "repeatability limit", sulfur[i][2], half, precision::repeatabilityLimit);
            from.number(
                    "sulfur-R-" + (i + 1),
                    "reproducibility limit",
                    sulfur[i][3],
                    whole,
                    precision::reproducibilityLimit);
        }
        sheet.read(AREA, Work.BRE, "Formulae, critical range of three determinations")
                .number(
                        "bre-range-3",
                        "factor of the critical range, n = 3",
                        "3.3",
                        Tolerance.lastDigit("3.3"),
                        () -> NormalRange.quantile(0.95, 3));
        String[] factors = {"2.77", "3.31", "3.63", "3.86"};
        Sheet.From from = sheet.read(AREA, Work.CRITICAL_RANGE, "");
        for (int i = 0; i < factors.length; i++) {
            int n = i + 2;
            from.number(
                    "critical-range-" + n,
                    "factor of the critical range, n = " + n,
                    factors[i],
                    Tolerance.lastDigit(factors[i]),
                    () -> NormalRange.quantile(0.95, n));
        }
    }

    private static void charts(Sheet sheet) {
        Rows table = Rows.of("chart-constants.csv");
        Sheet.From from = sheet.read("Control charts", Work.CHART_TABLE, "");
        for (String[] row : table.rows()) {
            int n = Integer.parseInt(row[0]);
            if (CHARTED.contains(n)) {
                ChartConstants constants = ChartConstants.of(n);
                chart(from, table, row, "A2", constants, ChartConstants::a2);
                chart(from, table, row, "A3", constants, ChartConstants::a3);
                chart(from, table, row, "c4", constants, ChartConstants::c4);
                chart(from, table, row, "B4", constants, ChartConstants::b4);
                chart(from, table, row, "d2", constants, ChartConstants::d2);
                chart(from, table, row, "d3", constants, ChartConstants::d3);
                chart(from, table, row, "D4", constants, ChartConstants::upperRange);
            }
        }
    }

    private static void chart(
            Sheet.From from,
            Rows table,
            String[] row,
            String name,
            ChartConstants constants,
            ToDoubleFunction<ChartConstants> value) {
        String printed = row[table.header().indexOf(name)];
        from.number(
                "chart-" + (name.equals("d3") ? "sd-of-range" : name) + "-" + row[0],
                "factor " + name + " for groups of " + row[0],
                printed,
                name.equals("D4") || name.equals("d3")
                        ? Tolerance.oneUnit(printed, "the table cuts some of these off where it should round")
                        : Tolerance.lastDigit(printed),
                () -> value.applyAsDouble(constants));
    }

    private static void robust(Sheet sheet) {
        Rows sets = Rows.of("copper.csv");
        double[] copper = sets.column("chem", "value");
        double[] nickel = sets.column("abbey", "value");
        double[] creosote = sets.column("creosote", "value");
        Robust.Estimate exact = Robust.algorithmA(copper, Robust.Factors.EXACT, Robust.Stop.SETTLED);
        Sheet.From from = sheet.read(ROBUST, Work.AMC_COPPER, "exact factors, settled");
        from.number(
                "copper-robust-mean",
                "robust mean of copper",
                "3.20549",
                new Tolerance(1e-5, "the print cuts off where it should round"),
                exact::mean);
        from.number(
                "copper-robust-sd",
                "robust standard deviation of copper",
                "0.67365",
                Tolerance.lastDigit("0.67365"),
                exact::sd);
        from.number(
                "copper-iqr",
                "normalised interquartile range of copper",
                "0.68570",
                Tolerance.lastDigit("0.68570"),
                () -> Robust.normalisedIqr(copper));
        Sheet.From factors = sheet.read(ROBUST, Work.ISO_13528, "factors 1,483 and 1,134");
        factors.number(
                "algorithm-a-start",
                "factor of the median absolute deviation",
                "1.483",
                Tolerance.lastDigit("1.483"),
                Robust.Factors.EXACT::start);
        factors.number(
                "algorithm-a-sd",
                "factor of the standard deviation",
                "1.134",
                Tolerance.oneUnit("1.134", "the standard rounds 1.1334 up"),
                Robust.Factors.EXACT::sd);

        Sheet.From computed =
                sheet.from(ROBUST, Work.ISO_13528, "printed factors, settled, on copper and nickel", Standing.COMPUTED);
        Robust.Estimate printed = Robust.algorithmA(copper, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        computed.number(
                "copper-iso-mean", "robust mean of copper", "3.205566", Tolerance.lastDigit("3.205566"), printed::mean);
        computed.number(
                "copper-iso-sd",
                "robust standard deviation of copper",
                "0.674150",
                Tolerance.lastDigit("0.674150"),
                printed::sd);
        Robust.Estimate iso = Robust.algorithmA(nickel, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        computed.number(
                "nickel-iso-mean", "robust mean of nickel", "11.732641", Tolerance.lastDigit("11.732641"), iso::mean);
        computed.number(
                "nickel-iso-sd",
                "robust standard deviation of nickel",
                "5.263550",
                Tolerance.lastDigit("5.263550"),
                iso::sd);
        Sheet.From tar = sheet.from(ROBUST, Work.CREOSOTE, "printed factors, settled", Standing.COMPUTED);
        Robust.Estimate cells = Robust.algorithmA(creosote, Robust.Factors.AS_PRINTED, Robust.Stop.SETTLED);
        tar.number("creosote-mean", "robust mean", "20.412143", Tolerance.lastDigit("20.412143"), cells::mean);
        tar.number("creosote-sd", "robust standard deviation", "1.069840", Tolerance.lastDigit("1.069840"), cells::sd);
    }

    private static void horwitz(Sheet sheet) {
        String[][] table = {
            {"1", "2"}, {"0.01", "4"}, {"0.0001", "8"}, {"0.000001", "16"}, {"0.00000001", "32"}, {"0.000000001", "45"}
        };
        Sheet.From from = sheet.read(AREA, Work.AOAC_HORRAT, "");
        for (String[] row : table) {
            double fraction = Double.parseDouble(row[0]);
            from.number(
                    "horwitz-" + row[0],
                    "usual relative standard deviation between laboratories at a mass fraction of " + row[0] + ", %",
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    () -> Horwitz.predictedRsdPct(fraction));
        }
        Sheet.From thompson = sheet.read(AREA, Work.THOMPSON, "the three pieces of the function");
        thompson.number(
                "thompson-trace",
                "relative standard deviation at a mass fraction of 1e-9",
                "0.22",
                Tolerance.exact("0.22"),
                () -> Horwitz.modifiedSd(1e-9) / 1e-9);
        thompson.number(
                "thompson-middle",
                "standard deviation at 1e-4 over 1e-4^0.8495",
                "0.02",
                Tolerance.exact("0.02"),
                () -> Horwitz.modifiedSd(1e-4) / Math.pow(1e-4, 0.8495));
        thompson.number(
                "thompson-major",
                "standard deviation at a mass fraction of 0.25",
                "0.005",
                Tolerance.exact("0.005"),
                () -> Horwitz.modifiedSd(0.25));
    }

    private static void limits(Sheet sheet) {
        double[] readings = {0.009, 0.010, 0.009, 0.010, 0.008, 0.011, 0.010, 0.009};
        sheet.read(LIMITS, Work.REPLICATES, "t(0.99, 7) = 2.998 times a standard deviation of 0.0009")
                .number(
                        "mdl-eight",
                        "detection limit of the eight readings",
                        "0.003",
                        Tolerance.lastDigit("0.003"),
                        () -> MethodDetectionLimit.ofReplicates(readings));
        sheet.read(LIMITS, Work.WISCONSIN, "14 replicates: t = 2.681 of 12 degrees of freedom")
                .number(
                        "mdl-t-12",
                        "Student's t for two pooled sets of seven",
                        "2.681",
                        Tolerance.lastDigit("2.681"),
                        () -> Quantiles.t(0.99, 12));
        Sheet.From rule = sheet.from(LIMITS, Work.MDL, "section II (2) to (4)", Standing.FROM_MEMORY);
        double[] blanks = {0.001, 0.002, 0.001, 0.004, 0.002, 0.001};
        rule.number(
                "mdl-blanks-none",
                "part of the blanks when none gives a number",
                "0",
                Tolerance.exact("0"),
                () -> MethodDetectionLimit.of(readings, new double[0], 7).fromBlanks());
        rule.number(
                "mdl-blanks-some",
                "part of the blanks when some give a number: the highest",
                "0.004",
                Tolerance.exact("0.004"),
                () -> MethodDetectionLimit.of(readings, blanks, 1).fromBlanks());
        Sheet.From currie = sheet.from(LIMITS, Work.CURRIE, "", Standing.FROM_MEMORY);
        currie.number(
                "currie-critical",
                "critical level with a blank for each sample, standard deviations",
                "2.33",
                Tolerance.lastDigit("2.33"),
                () -> DetectionLimits.ofBlanks(1, 1, 0.05).critical());
        currie.number(
                "currie-detection",
                "detection limit with a blank for each sample, standard deviations",
                "4.65",
                Tolerance.lastDigit("4.65"),
                () -> DetectionLimits.ofBlanks(1, 1, 0.05).detection());
        currie.number(
                "currie-quantification",
                "determination limit with a blank for each sample, standard deviations",
                "14.1",
                Tolerance.lastDigit("14.1"),
                () -> DetectionLimits.ofBlanks(1, 1, 0.05).quantification());

        Rows sets = Rows.of("calibrations.csv");
        double[] x = sets.column("din32645", "x");
        double[] y = sets.column("din32645", "y");
        Curve line = CurveFit.fit(x, y, Shape.LINE, Weighting.NONE);
        Curve quadratic = CurveFit.fit(x, y, Shape.QUADRATIC, Weighting.NONE);
        Sheet.From linearity = sheet.from(LIMITS, Work.ISO_8466, "on the data of DIN 32645", Standing.COMPUTED);
        linearity.number(
                "din-gain",
                "what a quadratic gains over the line",
                "0.07681",
                Tolerance.lastDigit("0.07681"),
                () -> line.gainOf(quadratic));
        linearity.number(
                "din-gain-critical",
                "F(0.99; 1, 7)",
                "12.246",
                Tolerance.lastDigit("12.246"),
                () -> Quantiles.f(0.99, 1, 7));
    }

    private static void scores(Sheet sheet) {
        Sheet.From from = sheet.from(AREA, Work.ISO_SCORES, "result 10.5, assigned 10", Standing.FROM_MEMORY);
        from.number(
                "score-z", "z, sigma 0.25", "2.0000", Tolerance.lastDigit("2.0000"), () -> Scores.z(10.5, 10, 0.25));
        from.number(
                "score-z-prime",
                "z', sigma 0.25, u(X) 0.1",
                "1.85695",
                Tolerance.lastDigit("1.85695"),
                () -> Scores.zPrime(10.5, 10, 0.25, 0.1));
        from.number(
                "score-zeta",
                "zeta, u(x) 0.2, u(X) 0.1",
                "2.23607",
                Tolerance.lastDigit("2.23607"),
                () -> Scores.zeta(10.5, 0.2, 10, 0.1));
        from.number(
                "score-en",
                "En, U(x) 0.4, U(X) 0.2",
                "1.11803",
                Tolerance.lastDigit("1.11803"),
                () -> Scores.en(10.5, 0.4, 10, 0.2));
    }
}
