package org.tenmesh.core.desk;

/** Where soils stand, from dock to shelf. Scans at stations are not kept yet, so some stations stay untold. */
public enum Station {
    DOCK("Dock", true),
    RACKS("Racks", false),
    GRINDING("Grinding", false),
    LAYOUT("Layout", true),
    SCOOPING("Scooping", false),
    EXTRACTION("Extraction", false),
    READING("Reading", true),
    JUDGING("Judging", true),
    RELEASE("Release", true),
    SHELF("Shelf", true);

    private final String word;
    private final boolean told;

    Station(String word, boolean told) {
        this.word = word;
        this.told = told;
    }

    public String word() {
        return word;
    }

    /** Whether the day's facts say what stands here. */
    public boolean told() {
        return told;
    }
}
