package org.tenmesh.core.derived;

/** One soil with some of what was measured at other values: an end of what is possible for it. */
interface Moved {
    /** What a base amounts to here. */
    double base(int number);

    /** What a method gives here. */
    Values of(String method);
}
