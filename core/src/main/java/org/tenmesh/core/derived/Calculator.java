package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.quantity.Amount;

/** One derived method, ready to calculate soil after soil. */
final class Calculator {
    private static final double COVERAGE = 2;
    private static final double WIDTH_OF_EVEN = Math.sqrt(12);

    private static final int MOST = 64;

    private final DerivedMethod method;
    /** Place of every name: inputs, then results, then constants. */
    private final Map<String, Integer> places = new HashMap<>();

    private final int constantsFrom;

    private Calculator(DerivedMethod method) {
        this.method = method;
        method.inputs().forEach(input -> places.put(input.name(), places.size()));
        method.results().forEach(result -> places.putIfAbsent(result.name(), places.size()));
        constantsFrom = places.size();
        if (constantsFrom > MOST) {
            throw new NoSenseException(method.id() + " has " + constantsFrom + " inputs and results, expected " + MOST
                    + " at most, each with a name of its own");
        }
        method.constants().forEach(constant -> places.put(constant.name(), places.size()));
    }

    static Calculator of(DerivedMethod method) {
        return new Calculator(method);
    }

    DerivedMethod method() {
        return method;
    }

    /** Whether every input that has no value of its own is there. */
    boolean ready(Inputs soil) {
        for (DerivedMethod.Input input : method.inputs()) {
            if (input.otherwise().isEmpty() && !isThere(input, soil)) {
                return false;
            }
        }
        return true;
    }

    /** Whether any input is there. */
    boolean begun(Inputs soil) {
        for (DerivedMethod.Input input : method.inputs()) {
            if (isThere(input, soil)) {
                return true;
            }
        }
        return false;
    }

    private static boolean isThere(DerivedMethod.Input input, Inputs soil) {
        for (DerivedMethod.From from : input.from()) {
            if (from.method().equals(DerivedMethod.From.SHEET)
                    ? soil.sheet(from.analyte()).isPresent()
                    : soil.of(from) != null) {
                return true;
            }
        }
        return false;
    }

    private static Entry enter(DerivedMethod.Input input, Inputs soil, Map<String, Double> given) {
        Double stated = given.get(input.name());
        if (stated != null) {
            return new Entry(input, null, null, stated, Inputs.Gradient.NONE, false, "");
        }
        List<DerivedMethod.From> ways = input.from();
        if (ways.size() > 1) {
            List<DerivedMethod.From> ordered = new ArrayList<>(ways);
            ordered.sort(Comparator.comparing((DerivedMethod.From from) -> !soil.prefers(from.method())));
            ways = ordered;
        }
        @Nullable Entry first = null;
        for (DerivedMethod.From from : ways) {
            if (from.method().equals(DerivedMethod.From.SHEET)) {
                OptionalDouble edge = soil.sheet(from.analyte());
                if (edge.isPresent()) {
                    return new Entry(input, from, null, edge.getAsDouble(), Inputs.Gradient.NONE, false, "");
                }
                continue;
            }
            Inputs.Known known = soil.of(from);
            if (known == null) {
                continue;
            }
            Entry entry = enter(input, from, known, soil);
            if (entry.problem().isEmpty()) {
                return entry;
            }
            first = first == null ? entry : first;
        }
        if (first != null) {
            return first;
        }
        if (input.otherwise().isPresent()) {
            return new Entry(input, null, null, input.otherwise().getAsDouble(), Inputs.Gradient.NONE, false, "");
        }
        return new Entry(input, null, null, Double.NaN, Inputs.Gradient.NONE, false, "not read yet: " + sources(input));
    }

    private static Entry enter(DerivedMethod.Input input, DerivedMethod.From from, Inputs.Known known, Inputs soil) {
        Result result = known.result();
        Amount amount = result.amount();
        String name = name(from);
        Inputs.Gradient gradient = known.gradient();
        if (amount instanceof Amount.Measured measured) {
            double sd = result.expandedUncertainty().orElse(0) / COVERAGE;
            return gradient == null
                    ? base(input, soil, from, result, measured.value(), sd, Double.NaN)
                    : new Entry(input, from, result, measured.value(), gradient, true, "");
        }
        if (amount instanceof Amount.Below below) {
            if (input.below() == DerivedMethod.Below.REFUSE) {
                return refused(input, from, result, name + " is below its limit, and the formula needs a number");
            }
            if (gradient != null) {
                return new Entry(input, from, result, below.raw(), gradient, true, "");
            }
            double limit = below.limit();
            return base(input, soil, from, result, limit / 2, limit / WIDTH_OF_EVEN, limit);
        }
        if (amount instanceof Amount.Above) {
            return refused(input, from, result, name + " is above its range");
        }
        if (amount instanceof Amount.Saturated) {
            return refused(input, from, result, name + " saturated the detector");
        }
        if (amount instanceof Amount.NotEnoughSoil) {
            return refused(input, from, result, "not enough soil for " + name);
        }
        if (amount instanceof Amount.Missing missing) {
            return refused(input, from, result, name + ": " + missing.reason());
        }
        return refused(input, from, result, name + " is a class, not a number");
    }

    private static Entry refused(DerivedMethod.Input input, DerivedMethod.From from, Result result, String problem) {
        return new Entry(input, from, result, Double.NaN, Inputs.Gradient.NONE, false, problem);
    }

    private static Entry base(
            DerivedMethod.Input input,
            Inputs soil,
            DerivedMethod.From from,
            Result result,
            double value,
            double sd,
            double limit) {
        int number = soil.base(from.method(), from.analyte(), value, sd, limit);
        return new Entry(
                input,
                from,
                result,
                soil.base(number).value(),
                new Inputs.Gradient(new int[] {number}, new double[] {1}),
                false,
                "");
    }

    static String name(DerivedMethod.From from) {
        return from.method().equals(DerivedMethod.From.SHEET)
                ? from.analyte() + " on the client's sheet"
                : from.analyte() + " (" + from.method() + ")";
    }

    private static String sources(DerivedMethod.Input input) {
        List<String> names = input.from().stream().map(Calculator::name).toList();
        return String.join(" or ", names.subList(0, Math.min(3, names.size())))
                + (names.size() > 3 ? " or others" : "");
    }

    /**
     * Calculates one soil.
     *
     * @param given numbers that stand for inputs, by name, before anything the soil has
     */
    Outcome calculate(Inputs soil, Map<String, Double> given) {
        List<DerivedMethod.Input> inputs = method.inputs();
        Entry[] entries = new Entry[inputs.size()];
        int[] bases = new int[0];
        for (int i = 0; i < entries.length; i++) {
            entries[i] = enter(inputs.get(i), soil, given);
            bases = union(bases, entries[i].gradient().bases());
        }
        int n = bases.length;
        Calculated[] values = new Calculated[places.size()];
        long[] uses = new long[constantsFrom];
        double[] still = new double[n];
        for (int i = 0; i < entries.length; i++) {
            Inputs.Gradient gradient = entries[i].gradient();
            double[] slopes = gradient.bases().length == 0 ? still : new double[n];
            for (int j = 0; j < gradient.bases().length; j++) {
                slopes[Inputs.Gradient.indexOf(bases, gradient.bases()[j])] = gradient.slopes()[j];
            }
            values[i] = new Calculated(entries[i].value(), slopes);
            uses[i] = 1L << i;
        }
        List<Constant> constants = method.constants();
        for (int i = 0; i < constants.size(); i++) {
            values[constantsFrom + i] = new Calculated(constants.get(i).value(), still);
        }
        double[] sd = new double[n];
        for (int i = 0; i < n; i++) {
            sd[i] = soil.base(bases[i]).sd();
        }
        Outcome outcome = new Outcome(method, places, soil, entries, bases, sd, values, uses);
        List<Computed> results = method.results();
        for (int i = 0; i < results.size(); i++) {
            outcome.calculate(results.get(i), inputs.size() + i);
        }
        return outcome;
    }

    private static int[] union(int[] a, int[] b) {
        int[] union = a;
        for (int one : b) {
            if (Inputs.Gradient.indexOf(union, one) < 0) {
                union = Arrays.copyOf(union, union.length + 1);
                union[union.length - 1] = one;
            }
        }
        return union;
    }
}
