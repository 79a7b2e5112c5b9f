package org.tenmesh.app.check;

import java.util.List;

/** Every check the program ships. */
public final class Checks {
    private Checks() {}

    /** Makes every check: the program's own code runs on the published input. Takes about a second. */
    public static List<Check> all() {
        Sheet sheet = new Sheet();
        RegressionChecks.onto(sheet);
        VarianceChecks.onto(sheet);
        OutlierChecks.onto(sheet);
        PrecisionChecks.onto(sheet);
        CalibrationChecks.onto(sheet);
        ElectrodeChecks.onto(sheet);
        IgnitionChecks.onto(sheet);
        ExtractionChecks.onto(sheet);
        IdentityChecks.onto(sheet);
        FactorChecks.onto(sheet);
        RunLengthChecks.onto(sheet);
        WorkedChecks.onto(sheet);
        TextureChecks.onto(sheet);
        TableChecks.onto(sheet);
        SettingsChecks.onto(sheet);
        ExampleChecks.onto(sheet);
        return sheet.checks();
    }

    /** Makes every check and sums them up. */
    public static CheckReport run() {
        return new CheckReport(all());
    }
}
