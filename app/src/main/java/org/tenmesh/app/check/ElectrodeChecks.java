package org.tenmesh.app.check;

import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.ProbeCalibration;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;

/** Theoretical slope, buffers against temperature, and a probe's calibration. */
final class ElectrodeChecks {
    private static final String AREA = "pH";

    private ElectrodeChecks() {}

    static void onto(Sheet sheet) {
        slope(sheet);
        buffers(sheet);
        probes(sheet);
        limits(sheet);
    }

    private static void slope(Sheet sheet) {
        Sheet.From codata = sheet.read(AREA, Work.CODATA, "R 8.31446261815324 J/(mol K), F 96485.3321233100184 C/mol");
        codata.number(
                "nernst-kelvin",
                "theoretical slope for one kelvin times F/(R ln 10), mV to V",
                "1000",
                new Tolerance(1e-9, "the constants are exact"),
                () -> (ProbeCalibration.theoreticalSlopeMvPerPh(1) - ProbeCalibration.theoreticalSlopeMvPerPh(0))
                        * 96485.33212331001
                        / (8.31446261815324 * Math.log(10)));
        codata.number(
                "nernst-zero",
                "temperature at which the theoretical slope vanishes, °C",
                "-273.15",
                new Tolerance(1e-9, "the kelvin's zero is exact"),
                () -> -ProbeCalibration.theoreticalSlopeMvPerPh(0)
                        / (ProbeCalibration.theoreticalSlopeMvPerPh(1) - ProbeCalibration.theoreticalSlopeMvPerPh(0)));
        Sheet.From chapter = sheet.read(AREA, Work.PHARMACOPOEIA, "");
        String[][] table = {
            {"5", "55.20"}, {"15", "57.18"}, {"20", "58.17"}, {"25", "59.16"}, {"30", "60.15"}, {"40", "62.13"}
        };
        for (String[] row : table) {
            double celsius = Double.parseDouble(row[0]);
            Tolerance tolerance = new Tolerance(
                    0.005 + 0.0005 * Math.abs(celsius - 25), "half a unit of the last digit of both coefficients");
            chapter.number(
                    "slope-" + row[0],
                    "theoretical slope at " + row[0] + " °C, mV/pH",
                    row[1],
                    tolerance,
                    () -> ProbeCalibration.theoreticalSlopeMvPerPh(celsius));
        }
        sheet.read(AREA, Work.BLOOD_GAS, "")
                .number(
                        "slope-37",
                        "theoretical slope at 37 °C, mV/pH",
                        "61.5",
                        Tolerance.lastDigit("61.5"),
                        () -> ProbeCalibration.theoreticalSlopeMvPerPh(37));
    }

    private static void buffers(Sheet sheet) {
        Rows rows = Rows.of("buffers.csv");
        for (String[] row : rows.rows()) {
            boolean hj = row[0].equals("HJ");
            Sheet.From from = hj
                    ? sheet.read(AREA, Work.HJ_1147, "buffer " + row[1])
                    : sheet.read(AREA, Work.BUFFER_LIBRARY, "buffer " + row[1]);
            for (int i = 2; i < row.length; i++) {
                double celsius = Double.parseDouble(rows.header().get(i));
                from.number(
                        "buffer-" + row[1] + "-" + rows.header().get(i),
                        "buffer " + row[1] + " at " + rows.header().get(i) + " °C in the shipped method",
                        row[i],
                        Tolerance.exact(row[i]),
                        () -> buffer(row[1]).phAt(celsius));
            }
        }
        Sheet.From between = sheet.from(AREA, Work.HJ_1147, "straight line between 20 and 25 °C", Standing.COMPUTED);
        String[][] at22 = {{"4.00", "4.000"}, {"6.86", "6.873"}, {"9.18", "9.208"}};
        for (String[] row : at22) {
            between.number(
                    "buffer-" + row[0] + "-22",
                    "buffer " + row[0] + " at 22 °C",
                    row[1],
                    Tolerance.lastDigit(row[1]),
                    () -> buffer(row[0]).phAt(22));
        }
    }

    private static BufferTable buffer(String name) {
        return Shipped.ph().buffers().stream()
                .filter(table -> table.name().equals(name))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("the shipped method has no buffer " + name));
    }

    private static void probes(Sheet sheet) {
        Sheet.From from = sheet.from(
                AREA, Work.CODATA, "probe calibrations worked by hand with the theoretical slope", Standing.COMPUTED);
        ProbeCalibration good = ProbeCalibration.of(new double[] {174.2, -1.8}, new double[] {4.01, 7.00}, 25);
        from.number(
                "probe-slope",
                "174.2 mV in 4.01 and -1.8 mV in 7.00 at 25 °C: slope, mV/pH",
                "58.863",
                Tolerance.lastDigit("58.863"),
                good::slopeMvPerPh);
        from.number(
                "probe-slope-pct",
                "the same, % of the theoretical slope",
                "99.50",
                Tolerance.lastDigit("99.50"),
                good::slopePct);
        from.number(
                "probe-offset", "the same, potential at pH 7, mV", "-1.8", Tolerance.lastDigit("-1.8"), good::offsetMv);
        from.number(
                "probe-25",
                "a soil of 64.0 mV at 25 °C",
                "5.882",
                Tolerance.lastDigit("5.882"),
                () -> good.phAt(64.0, 25));
        from.number(
                "probe-20",
                "a soil of 64.0 mV at 20 °C",
                "5.863",
                Tolerance.lastDigit("5.863"),
                () -> good.phAt(64.0, 20));
        from.number(
                "probe-check",
                "buffer 10.01 at -177.9 mV",
                "9.992",
                Tolerance.lastDigit("9.992"),
                () -> good.phAt(-177.9, 25));
        ProbeCalibration cool = ProbeCalibration.of(new double[] {171.5, 3.4}, new double[] {4.004, 7.012}, 22);
        from.number(
                "probe-cool-slope",
                "171.5 mV in 4.004 and 3.4 mV in 7.012 at 22 °C: % of the theoretical slope",
                "95.42",
                Tolerance.lastDigit("95.42"),
                cool::slopePct);
        from.number(
                "probe-cool-offset",
                "the same, potential at pH 7, mV",
                "4.07",
                Tolerance.lastDigit("4.07"),
                cool::offsetMv);
        ProbeCalibration tired = ProbeCalibration.of(new double[] {160.0, -4.0}, new double[] {4.01, 7.00}, 25);
        from.number(
                "probe-tired",
                "160.0 mV in 4.01 and -4.0 mV in 7.00 at 25 °C: % of the theoretical slope",
                "92.72",
                Tolerance.oneUnit("92.72", "more digits are 92.715"),
                tired::slopePct);
    }

    private static void limits(Sheet sheet) {
        ElectrodeMethod method = Shipped.ph();
        Sheet.From from = sheet.read(AREA, Work.LTER, "electrode efficiency 0.95 to 1.05");
        String[][] table = {{"94.9", "rejected"}, {"95.1", "accepted"}, {"104.9", "accepted"}, {"105.1", "rejected"}};
        for (String[] row : table) {
            from.word(
                    "slope-limit-" + row[0],
                    "a probe of slope " + row[0] + " % under the shipped method",
                    row[1],
                    () -> {
                        double slope = Double.parseDouble(row[0]) / 100 * ProbeCalibration.theoreticalSlopeMvPerPh(25);
                        ProbeCalibration probe = ProbeCalibration.of(
                                new double[] {3 * slope, 0, -3 * slope}, new double[] {4, 7, 10}, 25);
                        return CalibrationJudgement.of(probe, method).accepted() ? "accepted" : "rejected";
                    });
        }
        sheet.read(AREA, Work.WASTEWATER, "unused check buffer within 0.1 pH")
                .number(
                        "check-buffer",
                        "allowed difference of a check buffer in the shipped method, pH",
                        "0.1",
                        Tolerance.exact("0.1"),
                        method::verificationTolerancePh);
        sheet.read(AREA, Work.RAYMENT_LYONS, "table 4.1 (lowest class starts at pH 1.8)")
                .number(
                        "lowest-ph",
                        "lowest pH of a soil in the shipped method",
                        "1.8",
                        Tolerance.exact("1.8"),
                        method::lowestPh);
    }
}
