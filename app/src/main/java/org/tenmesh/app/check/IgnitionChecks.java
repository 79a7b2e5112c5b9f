package org.tenmesh.app.check;

import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Optional;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/** Loss on ignition, from three weighings through the whole reduction of the shipped method. */
final class IgnitionChecks {
    private static final String AREA = "Organic matter";
    private static final OffsetDateTime AT = OffsetDateTime.of(2026, 11, 25, 8, 0, 0, 0, ZoneOffset.UTC);

    private IgnitionChecks() {}

    static void onto(Sheet sheet) {
        Sheet.From formula = sheet.from(
                AREA, Work.RAYMENT_LYONS, "method 6G1, the printed formula on weighings of our own", Standing.COMPUTED);
        formula.number(
                "loi-1",
                "tare 20.1532, dry 25.1417, ash 24.9826 g: loss, %",
                "3.1893",
                Tolerance.lastDigit("3.1893"),
                () -> amount("LOI", 20.1532, 25.1417, 24.9826).raw());
        formula.number(
                "loi-2",
                "tare 18.2041, dry 23.0110, ash 22.5307 g: loss, %",
                "9.9919",
                Tolerance.lastDigit("9.9919"),
                () -> amount("LOI", 18.2041, 23.0110, 22.5307).raw());
        formula.number(
                "loi-3",
                "tare 20.0000, dry 24.9105, ash 24.9098 g: loss, %",
                "0.0143",
                Tolerance.lastDigit("0.0143"),
                () -> amount("LOI", 20.0000, 24.9105, 24.9098).raw());
        formula.word(
                "loi-4", "tare 20.1532, dry 24.9826, ash 25.1417 g (ash heavier than dry soil)", "no number", () -> {
                    Amount amount = amount("LOI", 20.1532, 24.9826, 25.1417);
                    return amount instanceof Amount.Missing ? "no number" : "a number: " + amount.raw();
                });
        sheet.read(AREA, Work.RAYMENT_LYONS, "appendix 1 (loss on ignition to one decimal)")
                .word(
                        "loi-rounding",
                        "tare 20.1532, dry 25.1417, ash 24.9826 g: reported",
                        "3.2",
                        () -> reported("LOI", 20.1532, 25.1417, 24.9826));
        sheet.read(AREA, Work.DAVIS, "detection limit 0.05 %")
                .word(
                        "loi-limit",
                        "tare 20.0000, dry 24.9105, ash 24.9098 g: reported",
                        "< 0.05",
                        () -> reported("LOI", 20.0000, 24.9105, 24.9098));
        sheet.read(AREA, Work.MINNESOTA, "organic matter is the loss as % of the dry soil")
                .number(
                        "om-is-loss",
                        "organic matter less loss on ignition for a loss of 3.1893 %",
                        "0",
                        new Tolerance(1e-12, "the same number"),
                        () -> amount("OM", 20.1532, 25.1417, 24.9826).raw()
                                - amount("LOI", 20.1532, 25.1417, 24.9826).raw());
    }

    private static String reported(String symbol, double tareG, double dryG, double ashG) {
        Analyte analyte = Shipped.ignition().analyte(symbol).orElseThrow();
        return analyte.rounding().text(amount(symbol, tareG, dryG, ashG));
    }

    private static Amount amount(String symbol, double tareG, double dryG, double ashG) {
        IgnitionMethod method = Shipped.ignition();
        Readings.Builder readings = Readings.builder();
        String[] names = {"tare", "dry", "ash"};
        double[] masses = {tareG, dryG, ashG};
        for (int i = 0; i < names.length; i++) {
            readings.add(1, Role.SAMPLE, "soil", "1", names[i], masses[i], Unit.GRAM, AT, 1);
        }
        Run run = new Run("check", method.id(), "balance", Optional.empty(), AT, readings.build());
        return Reduction.reduce(run, method, (standard, analyte) -> Double.NaN, Trail.OFF).determinations().stream()
                .filter(determination -> determination.analyte().equals(symbol))
                .findFirst()
                .orElseThrow()
                .amount();
    }
}
