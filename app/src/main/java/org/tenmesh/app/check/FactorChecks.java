package org.tenmesh.app.check;

import org.tenmesh.core.quantity.MolarMass;

/** Factors from atomic weights. */
final class FactorChecks {
    private static final String AREA = "Factors";
    private static final String REVISED = "atomic weights were revised since it was printed";

    private FactorChecks() {}

    static void onto(Sheet sheet) {
        for (String[] row : Rows.of("factors.csv").rows()) {
            boolean handbook = row[0].equals("RAYMENT_LYONS");
            sheet.read(
                            AREA,
                            Work.valueOf(row[0]),
                            handbook ? "appendix 5" : row[0].equals("VIRGINIA") ? "table 1a" : "")
                    .number(
                            "factor-" + row[0] + "-" + row[1] + "-" + row[2],
                            row[1] + " to " + row[2],
                            row[4],
                            handbook ? Tolerance.lastDigit(row[4]) : Tolerance.oneUnit(row[4], REVISED),
                            () -> MolarMass.factor(row[1], row[2], row[3]));
        }
        String[][] centimoles = {{"Ca", "2", "200.4"}, {"Mg", "2", "121.53"}, {"K", "1", "390.98"}, {"Na", "1", "229.9"}
        };
        Sheet.From handbook = sheet.read(AREA, Work.RAYMENT_LYONS, "method 15D3");
        for (String[] row : centimoles) {
            handbook.number(
                    "centimole-" + row[0],
                    "mg/kg of " + row[0] + " in 1 cmol/kg of charge",
                    row[2],
                    Tolerance.lastDigit(row[2]),
                    () -> MolarMass.mgPerKgOfOneCentimole(row[0], Integer.parseInt(row[1])));
        }
        sheet.read(AREA, Work.RAYMENT_LYONS, "method 4C1 (1 M KCl)")
                .number(
                        "kcl-1m",
                        "grams of KCl in a litre of 1 mol/L",
                        "74.55",
                        Tolerance.lastDigit("74.55"),
                        () -> MolarMass.of("KCl"));
        sheet.read(AREA, Work.RAYMENT_LYONS, "method 7C1 (2 M KCl)")
                .number(
                        "kcl-2m",
                        "grams of KCl in a litre of 2 mol/L",
                        "149.1",
                        Tolerance.lastDigit("149.1"),
                        () -> 2 * MolarMass.of("KCl"));
    }
}
