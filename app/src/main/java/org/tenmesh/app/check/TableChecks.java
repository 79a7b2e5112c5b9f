package org.tenmesh.app.check;

import java.util.Map;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.Method;

/** Whole printed tables against the shipped methods: lime of Oregon and Pennsylvania, calcium beside bicarbonate, pH buffers. */
final class TableChecks {
    private static final String LIME = "Lime";
    private static final String SALTS = "Salts of the paste";
    private static final String ELECTRODE = "pH";
    private static final double THOUSAND_SQUARE_FEET_PER_ACRE = 43.56;

    private TableChecks() {}

    static void onto(Sheet sheet) {
        oregon(sheet);
        pennsylvania(sheet);
        calcium(sheet);
        buffers(sheet);
    }

    private static void oregon(Sheet sheet) {
        Rows table = Rows.of("oregon.csv");
        Method method = Shipped.method("lime-oregon");
        Sheet.From from = sheet.read(LIME, Work.OREGON, "table 1");
        for (String[] row : table.rows()) {
            for (int i = 1; i < row.length; i++) {
                String symbol = table.header().get(i);
                String printed = row[i];
                from.number(
                        "oregon-" + row[0] + "-" + symbol,
                        symbol + " at buffer pH " + row[0] + ", tons per acre",
                        printed,
                        Tolerance.exact(printed),
                        () -> WorkedChecks.amount(method, symbol, Map.of("buffer_ph", Double.parseDouble(row[0])))
                                .raw());
            }
        }
    }

    // The table rounds twice: to 1000 lb an acre, then to 10 lb on 1000 square feet.
    private static void pennsylvania(Sheet sheet) {
        Method method = Shipped.method("lime-pennsylvania");
        Sheet.From from = sheet.read(LIME, Work.PENN_STATE_TURF, "table 1, to pH 7.0");
        for (String[] row : Rows.of("pennsylvania.csv").rows()) {
            from.number(
                    "pennsylvania-" + row[0],
                    "acidity of " + row[0] + " meq/100 g, lb on 1000 square feet",
                    row[1],
                    new Tolerance(1e-9, "rounded as the table is"),
                    () -> {
                        double pounds = WorkedChecks.amount(
                                        method, "lime7", Map.of("ph", 5.0, "acidity", Double.parseDouble(row[0])))
                                .raw();
                        double thousands = Math.floor(pounds / 1000 + 0.5) * 1000;
                        return Math.floor(thousands / THOUSAND_SQUARE_FEET_PER_ACRE / 10 + 0.5) * 10;
                    });
        }
    }

    // Without magnesium and with one meq of sodium the ratio tells the calcium: 2 / SAR².
    private static void calcium(Sheet sheet) {
        Rows table = Rows.of("cax.csv");
        Method method = Shipped.method("adjusted-sar");
        Sheet.From from = sheet.read(SALTS, Work.FAO_29, "table 11");
        for (String[] row : table.rows()) {
            for (int i = 1; i < row.length; i++) {
                String conductivity = table.header().get(i);
                String printed = row[i];
                boolean odd = (row[0].equals("1.00") && conductivity.equals("1.0"))
                        || (row[0].equals("3.00") && conductivity.equals("0.1"));
                Tolerance tolerance = odd
                        ? new Tolerance(0.03, "this cell of the table stands off the law of all others")
                        : Tolerance.oneUnit(printed, "the law rests on a first row that is rounded itself");
                from.number(
                        "cax-" + row[0] + "-" + conductivity,
                        "calcium kept at HCO3/Ca " + row[0] + " and " + conductivity + " dS/m, meq/L",
                        printed,
                        tolerance,
                        () -> {
                            double calcium = 10_000;
                            double sar = WorkedChecks.amount(
                                            method,
                                            "SARa",
                                            Map.of(
                                                    "na",
                                                    1.0,
                                                    "ca",
                                                    calcium,
                                                    "mg",
                                                    0.0,
                                                    "hco3",
                                                    calcium * Double.parseDouble(row[0]),
                                                    "ec",
                                                    Double.parseDouble(conductivity)))
                                    .raw();
                            return 2 / (sar * sar);
                        });
            }
        }
    }

    private static void buffers(Sheet sheet) {
        Rows table = Rows.of("buffers-more.csv");
        for (String[] row : table.rows()) {
            boolean bench = row[0].equals("BENCH_BUFFERS");
            Sheet.From from = sheet.read(ELECTRODE, Work.valueOf(row[0]), "buffer " + row[1]);
            BufferTable buffer = Shipped.ph().buffers().stream()
                    .filter(one -> one.name().equals(row[1]))
                    .findFirst()
                    .orElseThrow();
            for (int i = 2; i < row.length; i++) {
                String celsius = table.header().get(i);
                String printed = row[i];
                from.number(
                        "buffer-" + row[0] + "-" + row[1] + "-" + celsius,
                        "buffer " + row[1] + " at " + celsius + " °C in the shipped method",
                        printed,
                        bench
                                ? Tolerance.exact(printed)
                                : new Tolerance(0.0125, "two standards to a hundredth, the other to a thousandth"),
                        () -> buffer.phAt(Double.parseDouble(celsius)));
            }
        }
    }
}
