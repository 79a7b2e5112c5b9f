package org.tenmesh.app.check;

import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/** Texture classes: every whole-percent point, points on the lines, and a published set. */
final class TextureChecks {
    private static final String AREA = "Texture";

    private TextureChecks() {}

    static void onto(Sheet sheet) {
        published(sheet);
        boundaries(sheet);
        everyPoint(sheet);
        readings(sheet);
    }

    private static void published(Sheet sheet) {
        String[][] set = {
            {"90", "5", "sand"},
            {"32", "60", "clay"},
            {"70", "15", "sandy loam"},
            {"70", "5", "sandy loam"},
            {"20", "25", "silt loam"},
            {"10", "5", "silt"},
            {"10", "25", "silt loam"},
            {"10", "45", "silty clay"},
            {"20", "65", "clay"},
            {"10", "75", "clay"},
            {"70", "13", "sandy loam"},
            {"10", "47", "silty clay"}
        };
        points(sheet.read(AREA, Work.HYDRO_TOOLS, "example of soil_class"), "texture-set-", set);
    }

    private static void boundaries(Sheet sheet) {
        String[][] set = {
            {"86", "0", "sand"},
            {"85", "10", "loamy sand"},
            {"85", "5", "loamy sand"},
            {"90", "10", "loamy sand"},
            {"80", "10", "sandy loam"},
            {"52", "20", "loam"},
            {"53", "19", "sandy loam"},
            {"45", "35", "clay loam"},
            {"46", "34", "sandy clay loam"},
            {"45", "40", "clay"},
            {"20", "40", "silty clay"},
            {"20", "27", "silty clay loam"},
            {"21", "27", "clay loam"},
            {"8", "12", "silt loam"},
            {"8", "11", "silt"},
            {"43", "7", "silt loam"},
            {"50", "0", "silt loam"},
            {"33", "33", "clay loam"},
            {"60", "27", "sandy clay loam"},
            {"55", "35", "sandy clay"}
        };
        points(sheet.from(AREA, Work.TEXTURE_RULES, "points on the lines", Standing.COMPUTED), "texture-line-", set);
    }

    private static void points(Sheet.From from, String id, String[][] set) {
        for (String[] row : set) {
            from.word(
                    id + row[0] + "-" + row[1],
                    "class of " + row[0] + " % sand and " + row[1] + " % clay",
                    row[2],
                    () -> texture(Double.parseDouble(row[0]), Double.parseDouble(row[1])));
        }
    }

    private static void everyPoint(Sheet sheet) {
        Sheet.From from = sheet.from(
                AREA, Work.TEXTURE_RULES, "counts of the 5,151 whole-percent points of each class", Standing.COMPUTED);
        Map<String, Integer> counts = new TreeMap<>();
        for (int sand = 0; sand <= 100; sand++) {
            for (int clay = 0; sand + clay <= 100; clay++) {
                counts.merge(texture(sand, clay), 1, Integer::sum);
            }
        }
        String[][] expected = {
            {"clay", "1540"},
            {"silt loam", "840"},
            {"sandy loam", "565"},
            {"sandy clay loam", "392"},
            {"loam", "349"},
            {"clay loam", "325"},
            {"silty clay loam", "273"},
            {"silty clay", "231"},
            {"sandy clay", "210"},
            {"silt", "186"},
            {"loamy sand", "155"},
            {"sand", "85"}
        };
        for (String[] row : expected) {
            from.number(
                    "texture-count-" + row[0].replace(' ', '-'),
                    "whole-percent points of " + row[0],
                    row[1],
                    Tolerance.exact(row[1]),
                    () -> counts.getOrDefault(row[0], 0));
        }
        from.number(
                "texture-count-all",
                "points that have one of the twelve classes",
                "5151",
                Tolerance.exact("5151"),
                () -> java.util.Arrays.stream(expected)
                        .mapToInt(row -> counts.getOrDefault(row[0], 0))
                        .sum());
    }

    // From the two readings of the hydrometer to the shares.
    private static void readings(Sheet sheet) {
        Sheet.From from = sheet.from(
                AREA, Work.WESTERN, "method S-14.10, two readings against a blank cylinder", Standing.COMPUTED);
        Map<String, Double> heavy = suspension(50, 28, 16, 3, 0);
        from.number(
                "hydrometer-1-sand",
                "50 g, 28 and 16 g/L, blanks 3: sand, %",
                "50.0",
                Tolerance.exact("50.0"),
                () -> share("sand", heavy));
        from.number(
                "hydrometer-1-silt", "the same: silt, %", "24.0", Tolerance.exact("24.0"), () -> share("silt", heavy));
        from.number(
                "hydrometer-1-clay", "the same: clay, %", "26.0", Tolerance.exact("26.0"), () -> share("clay", heavy));
        Map<String, Double> moist = suspension(40, 26, 12.5, 4, 3.1);
        from.number(
                "hydrometer-2-sand",
                "40 g at 3.1 % moisture, 26 and 12.5 g/L, blanks 4: sand, %",
                "43.3",
                Tolerance.lastDigit("43.3"),
                () -> share("sand", moist));
        from.number(
                "hydrometer-2-silt",
                "the same: silt, %",
                "34.8",
                Tolerance.lastDigit("34.8"),
                () -> share("silt", moist));
        from.number(
                "hydrometer-2-clay",
                "the same: clay, %",
                "21.9",
                Tolerance.lastDigit("21.9"),
                () -> share("clay", moist));
    }

    private static Map<String, Double> suspension(
            double soilG, double early, double late, double blank, double moisturePct) {
        Method hydrometer = Shipped.method("texture-hydrometer");
        Map<String, Double> read =
                Map.of("soil", soilG, "early", early, "late", late, "blank_early", blank, "blank_late", blank);
        return Map.of(
                "early",
                WorkedChecks.amount(hydrometer, "S40", read).raw(),
                "late",
                WorkedChecks.amount(hydrometer, "S2h", read).raw(),
                "moisture",
                moisturePct);
    }

    private static double share(String symbol, Map<String, Double> suspension) {
        return WorkedChecks.amount(Shipped.method("particle-size"), symbol, suspension)
                .raw();
    }

    private static String texture(double sand, double clay) {
        Amount amount = WorkedChecks.amount(
                Shipped.method("particle-size"), "texture", Map.of("early", 100 - sand, "late", clay, "moisture", 0.0));
        return amount instanceof Amount.Classed classed ? classed.word() : "no class: " + amount;
    }
}
