package org.tenmesh.capture.runs;

import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.reduction.Readings;

/** Parts of readings. */
final class Rows {
    private Rows() {}

    /** Where what was read before is not how the new readings begin; empty when it is. */
    static Optional<String> differs(Readings before, Readings now) {
        for (int i = 0; i < before.size(); i++) {
            if (i >= now.size()) {
                return Optional.of(
                        "it has " + now.size() + " readings; " + before.size() + " of this run were stored before");
            }
            boolean same = before.position(i) == now.position(i)
                    && before.role(i) == now.role(i)
                    && before.identity(i).equals(now.identity(i))
                    && before.channel(i).equals(now.channel(i))
                    && before.quantity(i).equals(now.quantity(i))
                    && before.unit(i) == now.unit(i)
                    && before.atMillis(i) == now.atMillis(i)
                    && before.dilution(i) == now.dilution(i)
                    && Double.compare(before.value(i), now.value(i)) == 0;
            if (!same) {
                return Optional.of(
                        "reading " + (i + 1) + " was stored as " + said(before, i) + " and is now " + said(now, i));
            }
        }
        return Optional.empty();
    }

    private static String said(Readings readings, int i) {
        return String.format(
                Locale.ROOT,
                "position %d, %s %s, %s %s %s at %s",
                readings.position(i),
                readings.role(i).word(),
                readings.identity(i),
                readings.quantity(i),
                readings.value(i),
                readings.unit(i).ucum(),
                readings.at(i));
    }

    /** Every position that occurs. */
    static Set<Integer> positions(Readings readings) {
        Set<Integer> positions = new TreeSet<>();
        for (int i = 0; i < readings.size(); i++) {
            positions.add(readings.position(i));
        }
        return positions;
    }
}
