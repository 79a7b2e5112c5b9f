package org.tenmesh.core.reduction;

/** What a reduction itself finds wrong with one determination, before any control is looked at. */
public enum Flaw {
    NONE,
    /** A raw value that the formula needs is not there, or is no possible value. */
    MISSING_READING,
    /** No curve or probe calibration could be made from the run's standards. */
    NO_CALIBRATION,
    /** Tare, dry and ash mass contradict each other or the method's window. */
    WEIGHING_IMPOSSIBLE,
    /** Above the highest standard. */
    OVER_RANGE,
    /** Other elements make up too much of what was read. */
    OVERLAPPED,
    /** The internal standard's signal is outside its window. */
    INTERNAL_STANDARD_LOST
}
