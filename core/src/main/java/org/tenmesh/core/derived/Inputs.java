package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.methods.DerivedMethod;

/** What is known of one soil: its results, those derived so far with how they move with the measured ones. */
final class Inputs {
    /**
     * A result that was measured.
     *
     * @param value what enters for it, in its unit
     * @param sd standard uncertainty of that
     * @param limit the limit it is below: it lies anywhere between nothing and this; not a number where it is no such result
     */
    record Base(String method, String analyte, double value, double sd, double limit) {
        boolean isBelow() {
            return !Double.isNaN(limit);
        }
    }

    /** How a derived number moves with the bases: their numbers and the slopes. */
    record Gradient(int[] bases, double[] slopes) {
        static final Gradient NONE = new Gradient(new int[0], new double[0]);

        /** The place of a base among others; below 0 when it is not there. */
        static int indexOf(int[] bases, int base) {
            for (int i = 0; i < bases.length; i++) {
                if (bases[i] == base) {
                    return i;
                }
            }
            return -1;
        }
    }

    /** A result, and its gradient when it was derived. */
    record Known(Result result, @Nullable Gradient gradient) {}

    private record Key(String method, String analyte) {}

    private final LabNumber labNumber;
    private final Optional<Soil> soil;
    private final Set<String> asked;
    private final Map<Key, Known> known = new HashMap<>();
    private final Map<String, Recalculated> outcomes = new HashMap<>();
    private final Map<List<Double>, Scenario> scenarios = new HashMap<>();
    private Base[] bases = new Base[8];
    private int count;

    Inputs(LabNumber labNumber, Optional<Soil> soil, Set<String> asked) {
        this.asked = asked;
        this.labNumber = labNumber;
        this.soil = soil;
    }

    LabNumber labNumber() {
        return labNumber;
    }

    /** Whether the soil's package asks for this method, which then goes before others that give the same. */
    boolean prefers(String method) {
        return asked.contains(method);
    }

    void take(Result result) {
        known.put(new Key(result.method(), result.analyte()), new Known(result, null));
    }

    void take(Result result, Gradient gradient) {
        known.put(new Key(result.method(), result.analyte()), new Known(result, gradient));
    }

    void take(String method, Recalculated outcome) {
        outcomes.put(method, outcome);
    }

    /** How the derived results of a method, calculated before, were calculated. */
    Recalculated outcome(String method) {
        Recalculated outcome = outcomes.get(method);
        if (outcome == null) {
            throw new IllegalStateException("nothing was calculated by " + method);
        }
        return outcome;
    }

    /** The soil with one base at another value. */
    Moved with(int base, double value) {
        return with(new int[] {base}, new double[] {value});
    }

    /** The soil with some bases at other values. */
    Moved with(int[] moved, double[] to) {
        List<Double> key = new ArrayList<>();
        for (int i = 0; i < moved.length; i++) {
            key.add((double) moved[i]);
            key.add(to[i]);
        }
        return scenarios.computeIfAbsent(key, its -> new Scenario(moved, to));
    }

    @Nullable
    Known of(DerivedMethod.From from) {
        return known.get(new Key(from.method(), from.analyte()));
    }

    /** Of the client's sheet: an edge of the layer, cm. */
    OptionalDouble sheet(String edge) {
        return soil.map(its -> edge.equals("top_cm") ? its.topCm() : its.bottomCm())
                .orElse(OptionalDouble.empty());
    }

    /** The number of this base, which is made when it is not there yet. */
    int base(String method, String analyte, double value, double sd, double limit) {
        for (int i = 0; i < count; i++) {
            if (bases[i].method().equals(method) && bases[i].analyte().equals(analyte)) {
                return i;
            }
        }
        if (count == bases.length) {
            bases = Arrays.copyOf(bases, 2 * count);
        }
        bases[count] = new Base(method, analyte, value, sd, limit);
        return count++;
    }

    Base base(int number) {
        return bases[number];
    }

    /** The soil's derived results once more, with some of what was measured at other values: an end of what is possible for them. */
    private final class Scenario implements Moved {
        private final int[] moved;
        private final double[] to;
        private final Map<String, Values> known = new HashMap<>();

        Scenario(int[] moved, double[] to) {
            this.moved = moved.clone();
            this.to = to.clone();
        }

        @Override
        public double base(int number) {
            for (int i = 0; i < moved.length; i++) {
                if (moved[i] == number) {
                    return to[i];
                }
            }
            return Inputs.this.base(number).value();
        }

        @Override
        public Values of(String method) {
            Values before = known.get(method);
            if (before != null) {
                return before;
            }
            Values values = outcome(method).in(this);
            known.put(method, values);
            return values;
        }
    }
}
