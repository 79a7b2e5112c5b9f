package org.tenmesh.app.check;

import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Basis;
import org.tenmesh.core.methods.Extraction.Diluent;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/** From the signal of a line to the content of the soil, and the limits and lines of the shipped method. */
final class ExtractionChecks {
    private static final String AREA = "Mehlich-3 and other extractions";
    private static final OffsetDateTime AT = OffsetDateTime.of(2026, 11, 25, 8, 0, 0, 0, ZoneOffset.UTC);
    private static final int STANDARDS = 6;

    private ExtractionChecks() {}

    static void onto(Sheet sheet) {
        Rows table = Rows.of("mehlich3.csv");
        soilEquivalents(sheet, table);
        linesAndLimits(sheet, table);
        otherRatios(sheet);
        blanks(sheet);
        scoops(sheet);
    }

    // A whole run: the published standards calibrate, then the same solutions come as extracts, read while the
    // instrument has
    // lost a tenth of its signal, which the internal standard puts right.
    private static void soilEquivalents(Sheet sheet, Rows table) {
        EmissionMethod method = Shipped.mehlich3();
        Map<String, Determination> got = new HashMap<>();
        for (Determination determination : run(method, table)) {
            got.put(determination.identity() + " " + determination.analyte(), determination);
        }
        for (String[] row : table.rows()) {
            Sheet.From from = sheet.read(AREA, Work.RAYMENT_LYONS, "method 18F1, table 18.3, " + row[0]);
            for (int i = 1; i < STANDARDS; i++) {
                String identity = "extract " + (i + 1);
                from.number(
                        "m3-" + row[0] + "-" + (i + 1),
                        row[0] + " " + row[3 + i] + " mg/L in the extract is mg/kg of soil",
                        row[9 + i],
                        Tolerance.exact(row[9 + i]),
                        () -> Optional.ofNullable(got.get(identity + " " + row[0]))
                                .orElseThrow(() -> new IllegalStateException("no result of " + row[0]))
                                .amount()
                                .raw());
            }
        }
    }

    private static Iterable<Determination> run(EmissionMethod method, Rows table) {
        Map<String, Double> known = new HashMap<>();
        Readings.Builder readings = Readings.builder();
        String internal = method.internalStandard().orElseThrow();
        for (int pass = 0; pass < 2; pass++) {
            Role role = pass == 0 ? Role.STANDARD : Role.SAMPLE;
            double sensitivity = pass == 0 ? 1 : 0.9;
            for (int i = 0; i < STANDARDS; i++) {
                String identity = (pass == 0 ? "WS" : "extract ") + (i + 1);
                int position = pass * STANDARDS + i + 1;
                readings.add(position, role, identity, "", internal, 100_000 * sensitivity, Unit.PER_SECOND, AT, 1);
                for (String[] row : table.rows()) {
                    double mgPerL = Double.parseDouble(row[3 + i]);
                    known.put(identity + " " + row[0], mgPerL);
                    double counts = (300 + 4000 * mgPerL) * sensitivity;
                    readings.add(
                            position, role, identity, "", quantity(method, row[0]), counts, Unit.PER_SECOND, AT, 1);
                }
            }
        }
        Run run = new Run("check", method.id(), "plasma", Optional.empty(), AT, readings.build());
        return Reduction.reduce(
                        run,
                        method,
                        (standard, analyte) -> known.getOrDefault(standard + " " + analyte, Double.NaN),
                        Trail.OFF)
                .determinations();
    }

    private static String quantity(EmissionMethod method, String element) {
        return method.lines().stream()
                .filter(line -> line.element().equals(element) && line.preferred())
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("the shipped method has no line of " + element))
                .quantity();
    }

    private static void linesAndLimits(Sheet sheet, Rows table) {
        EmissionMethod method = Shipped.mehlich3();
        Sheet.From lines = sheet.read(AREA, Work.RAYMENT_LYONS, "table 18.4, radial view");
        for (String[] row : table.rows()) {
            lines.word(
                    "line-" + row[0],
                    "line of " + row[0] + " in the shipped method, nm",
                    row[0] + " " + row[1],
                    () -> quantity(method, row[0]));
        }
        Sheet.From limits = sheet.read(AREA, Work.RAYMENT_LYONS, "appendix 2, lower end of the working range");
        for (String[] row : table.rows()) {
            limits.number(
                    "limit-" + row[0],
                    "reporting limit of " + row[0] + " in the shipped method, mg/kg",
                    row[2],
                    Tolerance.exact(row[2]),
                    () -> method.analyte(row[0])
                            .map(Analyte::reportingLimit)
                            .orElseThrow()
                            .orElseThrow());
        }
        sheet.read(AREA, Work.RAYMENT_LYONS, "method 18F1 (4.00 g to 40.0 mL)")
                .number(
                        "m3-ratio",
                        "millilitres of extractant for a gram of soil in the shipped method",
                        "10",
                        Tolerance.exact("10"),
                        () -> method.extraction().extractMl()
                                / method.extraction().soilG());
    }

    private static void otherRatios(Sheet sheet) {
        String[][] table = {
            {"12A1", "method 12A1, table 12.2, zinc by DTPA", "25", "50", "0.5", "1.0"},
            {"12A1", "method 12A1, table 12.3, zinc by DTPA", "25", "50", "9.6", "19.2"},
            {"12A1", "method 12A1, table 12.3, iron by DTPA", "25", "50", "240", "480"},
            {"12C2", "method 12C2, boron by hot calcium chloride", "10", "20", "0.8", "1.6"},
            {"12C2", "method 12C2, boron by hot calcium chloride", "10", "20", "2.0", "4.0"},
            {"9C2b", "method 9C2b, phosphorus by bicarbonate", "5", "100", "2.5", "50"},
            {"9E2", "method 9E2, phosphorus by fluoride, 1:7", "7.14", "50", "6", "42"}
        };
        for (String[] row : table) {
            sheet.read(AREA, Work.RAYMENT_LYONS, row[1])
                    .number(
                            "ratio-" + row[0] + "-" + row[4],
                            row[2] + " g to " + row[3] + " mL: " + row[4] + " mg/L is mg/kg",
                            row[5],
                            Tolerance.lastDigit(row[5]),
                            () -> of(
                                            Double.parseDouble(row[2]),
                                            Double.parseDouble(row[3]),
                                            Basis.MASS,
                                            Diluent.EXTRACTANT)
                                    .content(Double.parseDouble(row[4]), 0, 1));
        }
        Sheet.From clemson = sheet.read(AREA, Work.CLEMSON, "standards of 1 to 4 mg/L read as soil, 1:5");
        String[][] nitrate = {{"1", "5"}, {"2", "10"}, {"3", "15"}, {"4", "20"}};
        for (String[] row : nitrate) {
            clemson.number(
                    "nitrate-" + row[0],
                    "nitrate of " + row[0] + " mg/L at 1:5 is mg/kg",
                    row[1],
                    Tolerance.exact(row[1]),
                    () -> of(5, 25, Basis.MASS, Diluent.EXTRACTANT).content(Double.parseDouble(row[0]), 0, 1));
        }
    }

    private static void blanks(Sheet sheet) {
        Sheet.From from = sheet.from(AREA, Work.MASS_BALANCE, "which blank after a dilution", Standing.COMPUTED);
        from.number(
                "blank-plain",
                "3.00 mg/L, blank 0.05, 1:10",
                "29.5",
                Tolerance.exact("29.5"),
                () -> content(Diluent.EXTRACTANT, 3.00, 1));
        from.number(
                "blank-extractant",
                "diluted 1+4 with extractant, reads 0.64",
                "29.5",
                Tolerance.exact("29.5"),
                () -> content(Diluent.EXTRACTANT, 0.64, 5));
        from.number(
                "blank-water",
                "diluted 1+4 with water, reads 0.60",
                "29.5",
                Tolerance.exact("29.5"),
                () -> content(Diluent.WATER, 0.60, 5));
    }

    private static double content(Diluent diluent, double mgPerL, double dilution) {
        return of(1, 10, Basis.MASS, diluent).content(mgPerL, 0.05, dilution);
    }

    private static void scoops(Sheet sheet) {
        Sheet.From from = sheet.from(
                AREA,
                Work.RAYMENT_LYONS,
                "method 18F1, note 3, the printed formula on numbers of our own",
                Standing.COMPUTED);
        String[][] table = {{"60.0", "4.80", "50.0"}, {"45.0", "5.20", "34.6"}, {"100", "3.40", "117.6"}};
        for (String[] row : table) {
            from.number(
                    "scoop-" + row[0],
                    row[0] + " mg/dm3 from a 4.0 cm3 scoop that holds " + row[1] + " g is mg/kg",
                    row[2],
                    Tolerance.lastDigit(row[2]),
                    () -> {
                        // 4.0 cm3 to 40 mL: the extract holds a tenth of the volume result.
                        double extract = Double.parseDouble(row[0]) / 10;
                        return of(Double.parseDouble(row[1]), 40, Basis.MASS, Diluent.EXTRACTANT)
                                .content(extract, 0, 1);
                    });
            from.number(
                    "scoop-volume-" + row[0],
                    "the same extract on the volume basis, mg/dm3",
                    row[0],
                    Tolerance.exact(row[0]),
                    () -> of(Double.parseDouble(row[1]), 40, Basis.VOLUME, Diluent.EXTRACTANT)
                            .content(Double.parseDouble(row[0]) / 10, 0, 1));
        }
    }

    // The shipped extraction with another portion, extractant, basis and diluent.
    private static Extraction of(double soilG, double extractMl, Basis basis, Diluent diluent) {
        Extraction shipped = Shipped.mehlich3().extraction();
        return new Extraction(
                soilG,
                extractMl,
                basis,
                4.0,
                soilG,
                diluent,
                shipped.subtractBlank(),
                shipped.shape(),
                shipped.weighting(),
                shipped.acceptance(),
                shipped.verificationTolerancePct(),
                shipped.blankShareOfLimit(),
                shipped.duplicateLimitPct());
    }
}
