package org.tenmesh.app.check;

import java.time.LocalDate;
import java.util.Locale;
import org.tenmesh.core.intake.CheckCharacter;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.quantity.Unit;

/** Lab numbers with their check character and date, and unit codes. */
final class IdentityChecks {
    private static final String AREA = "Numbers and units";

    private IdentityChecks() {}

    static void onto(Sheet sheet) {
        for (String[] row : Rows.of("check-characters.csv").rows()) {
            sheet.read(AREA, Work.valueOf(row[0]), "")
                    .word(
                            "check-" + row[1],
                            "check character of " + row[1],
                            row[2],
                            () -> Character.toString(CheckCharacter.of(row[1])));
        }
        sheet.read(AREA, Work.ORDINAL_DATE, "2 August 1953 is 1953-214")
                .word(
                        "ordinal-date",
                        "first five digits of the lab numbers of 2 August 1953",
                        "53214",
                        () -> LabNumber.of(LocalDate.of(1953, 8, 2), 1).text().substring(0, 5));
        String[][] units = {
            {"mg/kg", "MILLIGRAM_PER_KILOGRAM"},
            {"mg/L", "MILLIGRAM_PER_LITRE"},
            {"%", "PERCENT"},
            {"[pH]", "PH"},
            {"Cel", "CELSIUS"},
            {"dS/m", "DECISIEMENS_PER_METRE"},
            {"mS/cm", "MILLISIEMENS_PER_CENTIMETRE"},
            {"cmol/kg", "CENTIMOLE_PER_KILOGRAM"}
        };
        Sheet.From ucum = sheet.read(AREA, Work.UCUM, "");
        for (String[] row : units) {
            ucum.word(
                    "ucum-" + row[1],
                    "code of " + row[1].toLowerCase(Locale.ROOT).replace('_', ' '),
                    row[0],
                    () -> Unit.valueOf(row[1]).ucum());
        }
    }
}
