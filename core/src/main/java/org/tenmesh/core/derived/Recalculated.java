package org.tenmesh.core.derived;

/** What a method gave for a soil, to be calculated again with what was measured at other values. */
interface Recalculated {
    /** What the method gives there; impossible numbers count as the end of what is possible. */
    Values in(Moved moved);

    /** The place of a result among the method's values. */
    int place(String name);
}
