package org.tenmesh.core.custody;

import java.time.Duration;
import java.util.List;
import java.util.Set;

/**
 * A treatment that a permit allows, with its limits as the permit states them.
 *
 * @param name as the permit calls it
 * @param limits any one of them is enough: the hotter, the shorter
 * @param unbroken whether the time must pass in one stretch; otherwise stretches are added up
 * @param longestGap between two points of a sensor further apart than this nothing is known, and no time counts
 * @param fit kinds of portions it may be used for; none = all
 * @param confirm what the person at the device confirms for each charge, such as the depth of the trays or the pressure
 * @param source where the limits stand
 */
public record Treatment(
        String name,
        List<Limit> limits,
        boolean unbroken,
        Duration longestGap,
        Set<PortionKind> fit,
        List<String> confirm,
        String source) {
    /**
     * One pair of limits.
     *
     * @param leastC the coldest sensor must show at least this, °C
     * @param time for at least so long
     */
    public record Limit(double leastC, Duration time) {
        public Limit {
            if (!(leastC > 0 && leastC < 2000)) {
                throw new IllegalArgumentException("a temperature limit lies between 0 and 2000 °C, found " + leastC);
            }
            if (time.isNegative() || time.isZero()) {
                throw new IllegalArgumentException("a treatment lasts some time, found " + time);
            }
        }
    }

    public Treatment {
        limits = List.copyOf(limits);
        fit = Set.copyOf(fit);
        confirm = List.copyOf(confirm);
        if (name.isBlank() || source.isBlank()) {
            throw new IllegalArgumentException("a treatment has a name, and a place where its limits stand");
        }
        if (limits.isEmpty()) {
            throw new IllegalArgumentException("a treatment has at least one limit, found none for " + name);
        }
        if (longestGap.isNegative() || longestGap.isZero()) {
            throw new IllegalArgumentException(
                    "the longest gap of a record is longer than nothing, found " + longestGap);
        }
    }

    /** Whether it may be used for this kind of portion. */
    public boolean fits(PortionKind kind) {
        return fit.isEmpty() || fit.contains(kind);
    }
}
