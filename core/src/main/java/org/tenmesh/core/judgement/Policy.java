package org.tenmesh.core.judgement;

/**
 * The laboratory's limits and rules, versioned; every default is stated here with its source.
 *
 * @param version name of this version
 * @param controlFalseAlarm chance that one control soil with nothing wrong is called failed, over all its analytes
 *     together; 0.0027 is the classical three-standard-deviation chart (Shewhart)
 * @param driftLeastChecks fewest checks in a row, all moving one way, before failing checks are called drift
 * @param checkEveryPositions most positions between two known solutions in a plasma run before the run is held
 * @param retentionDays how long soils stay on the shelf after release, days (common practice: four weeks)
 */
public record Policy(
        String version, double controlFalseAlarm, int driftLeastChecks, int checkEveryPositions, int retentionDays) {
    /** The defaults this program ships with. */
    public static Policy defaults() {
        return new Policy("2026-11-01", 0.0027, 3, 60, 28);
    }
}
