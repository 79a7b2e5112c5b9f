package org.tenmesh.app.check;

import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.Method;

/** Ratios, limits, precision and lines of the shipped methods, one row of {@code settings.csv} each. */
final class SettingsChecks {
    private static final String AREA = "Settings of methods";
    private static final String LIMIT_OVER = "limit_over_";

    private SettingsChecks() {}

    static void onto(Sheet sheet) {
        for (String[] row : Rows.of("settings.csv").rows()) {
            Sheet.From from = sheet.read(AREA, Work.valueOf(row[0]), row[6].replace(';', ','));
            String id = "set-" + row[1] + "-" + row[2] + "-" + row[3];
            String question = (row[3] + (row[2].isEmpty() ? "" : " of " + row[2]) + " in " + row[1]).replace('_', ' ');
            if (row[3].equals("line")) {
                from.word(
                        id,
                        question,
                        row[2].equals("SO4-S") ? "S " + row[4] : row[2] + " " + row[4],
                        () -> line(Shipped.method(row[1]), row[2]));
            } else {
                from.number(
                        id,
                        question,
                        row[4],
                        WorkedChecks.tolerance(row[5], row[4]),
                        () -> setting(Shipped.method(row[1]), row[2], row[3]));
            }
        }
    }

    private static String line(Method method, String symbol) {
        return ((ExtractionMethod) method)
                .lines().stream()
                        .filter(line -> line.preferred() && line.element().equals(symbol))
                        .findFirst()
                        .orElseThrow()
                        .quantity();
    }

    private static double setting(Method method, String symbol, String key) {
        if (key.startsWith(LIMIT_OVER)) {
            return limit(method, symbol) / Double.parseDouble(key.substring(LIMIT_OVER.length()));
        }
        return switch (key) {
            case "reporting_limit" -> limit(method, symbol);
            case "two_sd" -> 2 * analyte(method, symbol).withinRsdPct();
            case "decimals" -> analyte(method, symbol).rounding().decimals();
            case "ml_per_g" -> mlPerG(method);
            case "portion_g" -> method.head().portion().orElseThrow().soilG();
            case "offset_mv" -> ((ElectrodeMethod) method).offsetLimitMv();
            default -> throw new IllegalStateException("no setting is called " + key);
        };
    }

    private static double mlPerG(Method method) {
        if (method instanceof ExtractionMethod extraction) {
            return switch (extraction.extraction().basis()) {
                case VOLUME ->
                    extraction.extraction().extractMl()
                            / extraction.extraction().scoopMl();
                default ->
                    extraction.extraction().extractMl()
                            / extraction.extraction().soilG();
            };
        }
        if (method instanceof ConductivityMethod conductivity) {
            return conductivity.liquidMl() / conductivity.soilG();
        }
        ElectrodeMethod electrode = (ElectrodeMethod) method;
        return electrode.liquidMl() / electrode.soilG();
    }

    private static double limit(Method method, String symbol) {
        return analyte(method, symbol).reportingLimit().orElseThrow();
    }

    private static Analyte analyte(Method method, String symbol) {
        return method.analyte(symbol).orElseThrow();
    }
}
