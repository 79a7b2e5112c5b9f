package org.tenmesh.core.judgement;

/**
 * The laboratory's limits and rules, versioned; every default is stated here with its reason.
 *
 * @param version name of this version
 * @param controlFalseAlarm chance that one control soil with nothing wrong is called failed, over all its analytes together.
 *     The default, 0.0005, is 0.2 false alarms in a day of 400 control soils (the laboratory's own choice; three standard
 *     deviations, 0.0027, would give one every day)
 * @param retentionDays how long soils stay on the shelf after release, days (common practice: four weeks)
 */
public record Policy(String version, double controlFalseAlarm, int retentionDays) {
    public Policy {
        if (!(controlFalseAlarm > 0 && controlFalseAlarm < 0.5)) {
            throw new IllegalArgumentException(
                    "the chance of a false alarm must lie between 0 and 0.5, found " + controlFalseAlarm);
        }
        if (retentionDays < 0) {
            throw new IllegalArgumentException("retention is 0 days or more, found " + retentionDays);
        }
    }

    /** The defaults this program ships with. */
    public static Policy defaults() {
        return new Policy("2026-11-01", 0.0005, 28);
    }
}
