package org.tenmesh.core.derived;

import java.util.HashMap;
import java.util.Map;

/** One soil's derived results once more, with some of what was measured at other values: an end of what is possible for them. */
final class Scenario {
    private final Inputs soil;
    private final int[] moved;
    private final double[] to;
    private final Map<String, Outcome.Values> known = new HashMap<>();

    Scenario(Inputs soil, int[] moved, double[] to) {
        this.soil = soil;
        this.moved = moved.clone();
        this.to = to.clone();
    }

    /** What a base amounts to here. */
    double base(int number) {
        for (int i = 0; i < moved.length; i++) {
            if (moved[i] == number) {
                return to[i];
            }
        }
        return soil.base(number).value();
    }

    /** What a method gives here. */
    Outcome.Values of(String method) {
        Outcome.Values before = known.get(method);
        if (before != null) {
            return before;
        }
        Outcome.Values values = soil.outcome(method).in(this);
        known.put(method, values);
        return values;
    }
}
