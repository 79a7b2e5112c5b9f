package org.tenmesh.core.statistics;

/** What was open before the values were looked at; it decides the critical value of an outlier test. */
public enum Suspect {
    /** One end was named beforehand: the largest, or the smallest. */
    NAMED_END,
    /** Whichever end turns out to lie farther off. Half the chance of error goes to each. */
    EITHER_END;

    /** The chance of error left to one end. */
    double share(double alpha) {
        if (!(alpha > 0 && alpha < 1)) {
            throw new IllegalArgumentException("a chance of error lies between 0 and 1, found " + alpha);
        }
        return this == NAMED_END ? alpha : alpha / 2;
    }
}
