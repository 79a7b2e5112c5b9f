package org.tenmesh.app.check;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.tenmesh.core.charts.Rule;
import org.tenmesh.core.charts.RuleSet;
import org.tenmesh.core.charts.RunLength;
import org.tenmesh.core.statistics.ChartConstants;
import org.tenmesh.core.statistics.Cochran;
import org.tenmesh.core.statistics.Coverage;
import org.tenmesh.core.statistics.Dixon;
import org.tenmesh.core.statistics.Grubbs;
import org.tenmesh.core.statistics.Horwitz;
import org.tenmesh.core.statistics.LeastSquares;
import org.tenmesh.core.statistics.MethodDetectionLimit;
import org.tenmesh.core.statistics.NormalRange;
import org.tenmesh.core.statistics.OneWay;
import org.tenmesh.core.statistics.Precision;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.Robust;
import org.tenmesh.core.statistics.Scores;
import org.tenmesh.core.statistics.Spread;
import org.tenmesh.core.statistics.Suspect;

/** Statistics, outliers, precision, control charts. */
final class StatisticsSubjects {
    private StatisticsSubjects() {}

    static void onto(Subjects subjects) {
        subjects.number("least squares", given -> fitted(fit(given, false), given));
        subjects.number("least squares of raw powers", given -> fitted(fit(given, true), given));
        subjects.number("spread", StatisticsSubjects::spread);
        subjects.number("analysis of variance", StatisticsSubjects::variance);
        subjects.number("student t", given -> Quantiles.t(given.number("below"), given.number("degrees")));
        subjects.number("coverage factor", given -> Coverage.factor(given.number("degrees")));
        subjects.number("normal quantile", given -> Quantiles.normal(given.number("below")));
        subjects.number(
                "fisher f",
                given -> Quantiles.f(given.number("below"), given.number("numerator"), given.number("denominator")));
        outliers(subjects);
        precision(subjects);
        charts(subjects);
    }

    private static void outliers(Subjects subjects) {
        subjects.number(
                "grubbs critical", given -> Grubbs.critical(given.whole("n"), given.number("chance"), suspect(given)));
        subjects.number("grubbs highest", given -> Grubbs.highest(given.numbers("values")));
        subjects.number(
                "cochran critical",
                given -> Cochran.critical(given.whole("groups"), given.whole("each"), given.number("chance")));
        subjects.number(
                "dixon critical",
                given -> Dixon.Ratio.customary(given.whole("n"))
                        .critical(given.whole("n"), given.number("chance"), suspect(given)));
        subjects.number(
                "dixon highest",
                given -> Dixon.Ratio.valueOf(given.word("ratio")).highest(given.numbers("values")));
    }

    private static Suspect suspect(Given given) {
        return Suspect.valueOf(given.word("suspect").toUpperCase(Locale.ROOT).replace(' ', '_'));
    }

    private static LeastSquares fit(Given given, boolean raw) {
        String set = given.word("set");
        PublishedSet data = PublishedSet.of("nist-linear.csv", set);
        double[] y = data.column("y");
        double[] x = data.column("x1");
        int degree = switch (set) {
            case "Norris", "NoInt1", "NoInt2" -> 1;
            case "Pontius" -> 2;
            case "Filip" -> 10;
            case "Longley" -> 6;
            default -> 5;
        };
        boolean constant = !set.startsWith("NoInt");
        if (!raw && constant && !set.equals("Longley")) {
            return LeastSquares.polynomial(x, y, degree);
        }
        double[][] rows = new double[y.length][degree + (constant ? 1 : 0)];
        for (int i = 0; i < rows.length; i++) {
            for (int j = 0; j < rows[i].length; j++) {
                int power = constant ? j : 1;
                rows[i][j] =
                        set.equals("Longley") && j > 0 ? data.rows().get(i).number("x" + j) : Math.pow(x[i], power);
            }
        }
        return LeastSquares.fit(rows, y, constant);
    }

    private static double fitted(LeastSquares fit, Given given) {
        String quantity = given.word("quantity");
        int first = given.word("set").startsWith("NoInt") ? 1 : 0;
        if (quantity.startsWith("B")) {
            return fit.coefficient(Integer.parseInt(quantity.substring(1)) - first);
        }
        if (quantity.startsWith("SD(B")) {
            return fit.standardError(Integer.parseInt(quantity.substring(4, quantity.length() - 1)) - first);
        }
        return switch (quantity) {
            case "residual_SD" -> fit.residualSd();
            case "R2" -> fit.rSquared();
            case "SS_regression" -> fit.regressionSumOfSquares();
            case "SS_residual" -> fit.residualSumOfSquares();
            case "F" -> fit.fStatistic();
            default -> throw Subjects.unknown(quantity);
        };
    }

    private static double spread(Given given) {
        String set = given.word("set", "");
        boolean robust = List.of("chem", "abbey", "creosote").contains(set);
        double[] values = given.values(robust ? "robust.csv" : "nist-univariate.csv", robust ? "value" : "y");
        String quantity = given.word("quantity");
        return switch (quantity) {
            case "mean" -> Spread.of(values).mean();
            case "sd" -> Spread.of(values).sd();
            case "lag1" -> Spread.of(values).lag1();
            case "median" -> Robust.median(values);
            case "mad" -> Robust.scaledMad(values);
            case "iqr" -> Robust.normalisedIqr(values);
            default -> throw Subjects.unknown(quantity);
        };
    }

    private static double variance(Given given) {
        String set = given.word("set");
        boolean large = set.endsWith("03") || set.endsWith("06") || set.endsWith("09");
        OneWay found = OneWay.of(PublishedSet.of(large ? "nist-anova-large.csv.gz" : "nist-anova.csv", set)
                .groups("treatment", "y"));
        String quantity = given.word("quantity");
        return switch (quantity) {
            case "between" -> found.betweenSumOfSquares();
            case "between-mean" -> found.betweenMeanSquare();
            case "within" -> found.withinSumOfSquares();
            case "within-mean" -> found.withinMeanSquare();
            case "f" -> found.f();
            case "r2" -> found.rSquared();
            case "sd" -> found.residualSd();
            default -> throw Subjects.unknown(quantity);
        };
    }

    private static void precision(Subjects subjects) {
        subjects.number("precision", StatisticsSubjects::laboratories);
        subjects.number("precision limit", given -> {
            double within = given.number("within");
            double all = given.number("all");
            Precision precision = new Precision(1, within, Math.sqrt(all * all - within * within), 18, 36);
            return given.word("quantity").equals("repeatability")
                    ? precision.repeatabilityLimit()
                    : precision.reproducibilityLimit();
        });
        subjects.number("range quantile", given -> NormalRange.quantile(given.number("below"), given.whole("n")));
        subjects.number("algorithm a", given -> {
            Robust.Estimate estimate = Robust.algorithmA(
                    given.values("robust.csv", "value"),
                    Robust.Factors.valueOf(given.word("factors")),
                    Robust.Stop.SETTLED);
            return given.word("quantity").equals("mean") ? estimate.mean() : estimate.sd();
        });
        subjects.number(
                "algorithm a factor",
                given -> given.word("of").equals("start") ? Robust.Factors.EXACT.start() : Robust.Factors.EXACT.sd());
        subjects.number("horwitz rsd", given -> Horwitz.predictedRsdPct(given.number("fraction")));
        // What is left of the function when its power of the fraction is divided out.
        subjects.number(
                "horwitz modified",
                given -> Horwitz.modifiedSd(given.number("fraction"))
                        / Math.pow(given.number("fraction"), given.number("power")));
        subjects.number("detection limit", given -> MethodDetectionLimit.ofReplicates(given.numbers("spikes")));
        subjects.number(
                "detection limit of blanks",
                given -> MethodDetectionLimit.of(
                                given.numbers("spikes"), given.numbers("blanks"), given.whole("silent"))
                        .fromBlanks());
        subjects.number("score z", given -> Scores.z(x(given), assigned(given), given.number("sigma")));
        subjects.number(
                "score z'",
                given -> Scores.zPrime(x(given), assigned(given), given.number("sigma"), given.number("u")));
        subjects.number(
                "score zeta", given -> Scores.zeta(x(given), given.number("ux"), assigned(given), given.number("u")));
        subjects.number(
                "score En", given -> Scores.en(x(given), given.number("ux"), assigned(given), given.number("u")));
    }

    private static double x(Given given) {
        return given.number("x");
    }

    private static double assigned(Given given) {
        return given.number("assigned");
    }

    private static double laboratories(Given given) {
        double[][] results = given.optional("groups")
                .map(groups ->
                        Arrays.stream(groups.split("/")).map(Given::numbersOf).toArray(double[][]::new))
                .orElseGet(
                        () -> PublishedSet.of("glucose.csv", given.word("set")).groups("laboratory", "value"));
        String quantity = given.word("quantity");
        return switch (quantity) {
            case "mean" -> Precision.of(results).mean();
            case "repeatability" -> Precision.of(results).repeatabilitySd();
            case "reproducibility" -> Precision.of(results).reproducibilitySd();
            case "mandel-h" -> Precision.mandelH(results)[given.whole("laboratory") - 1];
            case "mandel-k" -> Precision.mandelK(results)[given.whole("laboratory") - 1];
            default -> throw Subjects.unknown(quantity);
        };
    }

    private static void charts(Subjects subjects) {
        subjects.number("chart factor", given -> {
            ChartConstants constants = ChartConstants.of(given.whole("n"));
            String factor = given.word("factor");
            return switch (factor) {
                case "A2" -> constants.a2();
                case "A3" -> constants.a3();
                case "c4" -> constants.c4();
                case "B3" -> constants.b3();
                case "B4" -> constants.b4();
                case "B5" -> constants.b5();
                case "B6" -> constants.b6();
                case "d2" -> constants.d2();
                case "d3" -> constants.d3();
                case "D3" -> constants.lowerRange();
                case "D4" -> constants.upperRange();
                default -> throw Subjects.unknown(factor);
            };
        });
        subjects.number("rules run length", given -> RunLength.of(rules(given.word("rules")), given.number("shift")));
        subjects.number(
                "ewma run length",
                given -> RunLength.ewma(given.number("lambda"), given.number("limit"), given.number("shift")));
        subjects.number(
                "cusum run length",
                given -> RunLength.cusum(given.number("k"), given.number("h"), given.number("shift"), 0));
        subjects.number(
                "cusum two-sided run length",
                given -> RunLength.cusumTwoSided(
                        given.number("k"), given.number("h"), given.number("shift"), given.number("start", 0)));
    }

    // "2/3/1.5" is two of three beyond 1.5 standard deviations on one side.
    private static List<Rule> rules(String text) {
        if (text.equals("western electric")) {
            return RuleSet.westernElectric().rules();
        }
        if (text.equals("multirule")) {
            return RuleSet.multirule().rules();
        }
        List<Rule> rules = new ArrayList<>();
        for (String rule : text.split(" ")) {
            String[] parts = rule.split("/");
            rules.addAll(RuleSet.beyond(
                    Integer.parseInt(parts[0]), Integer.parseInt(parts[1]), Double.parseDouble(parts[2])));
        }
        return rules;
    }
}
