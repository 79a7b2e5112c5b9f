package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Uncertainty;

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

    /**
     * What stands for an input.
     *
     * @param from where it was found; null when it is nowhere
     * @param result what was found there; null for the client's sheet and for what stands otherwise
     * @param value in the input's unit, NaN when there is no number
     * @param problem why there is no number; empty text when there is one
     */
    record Entry(
            DerivedMethod.Input input,
            DerivedMethod.@Nullable From from,
            @Nullable Result result,
            double value,
            Inputs.Gradient gradient,
            String problem) {
        boolean isNotEnoughSoil() {
            return result != null && result.amount() instanceof Amount.NotEnoughSoil;
        }

        boolean isBelow() {
            return result != null && result.amount() instanceof Amount.Below;
        }
    }

    private static Entry enter(DerivedMethod.Input input, Inputs soil, Map<String, Double> given) {
        Double stated = given.get(input.name());
        if (stated != null) {
            return new Entry(input, null, null, stated, Inputs.Gradient.NONE, "");
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
                    return new Entry(input, from, null, edge.getAsDouble(), Inputs.Gradient.NONE, "");
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
            return new Entry(input, null, null, input.otherwise().getAsDouble(), Inputs.Gradient.NONE, "");
        }
        return new Entry(input, null, null, Double.NaN, Inputs.Gradient.NONE, "not read yet: " + sources(input));
    }

    private static Entry enter(DerivedMethod.Input input, DerivedMethod.From from, Inputs.Known known, Inputs soil) {
        Result result = known.result();
        Amount amount = result.amount();
        String name = name(from);
        if (amount instanceof Amount.Measured measured) {
            Inputs.Gradient gradient = known.gradient();
            if (gradient == null) {
                double sd = result.expandedUncertainty().orElse(0) / COVERAGE;
                gradient = base(soil, from, sd);
            }
            return new Entry(input, from, result, measured.value(), gradient, "");
        }
        if (amount instanceof Amount.Below below) {
            double value = switch (input.below()) {
                case HALF -> below.limit() / 2;
                case ZERO -> 0;
                case LIMIT -> below.limit();
                case REFUSE -> Double.NaN;
            };
            return Double.isNaN(value)
                    ? refused(input, from, result, name + " is below its limit, and the formula needs a number")
                    : new Entry(input, from, result, value, base(soil, from, below.limit() / WIDTH_OF_EVEN), "");
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
        return new Entry(input, from, result, Double.NaN, Inputs.Gradient.NONE, problem);
    }

    private static Inputs.Gradient base(Inputs soil, DerivedMethod.From from, double sd) {
        return new Inputs.Gradient(new int[] {soil.base(from.method(), from.analyte(), sd)}, new double[] {1});
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
                slopes[indexOf(bases, gradient.bases()[j])] = gradient.slopes()[j];
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
        Outcome outcome = new Outcome(soil, entries, bases, sd, values, uses);
        List<Computed> results = method.results();
        for (int i = 0; i < results.size(); i++) {
            outcome.calculate(results.get(i), inputs.size() + i);
        }
        return outcome;
    }

    private static int[] union(int[] a, int[] b) {
        int[] union = a;
        for (int one : b) {
            if (indexOf(union, one) < 0) {
                union = Arrays.copyOf(union, union.length + 1);
                union[union.length - 1] = one;
            }
        }
        return union;
    }

    private static int indexOf(int[] bases, int base) {
        for (int i = 0; i < bases.length; i++) {
            if (bases[i] == base) {
                return i;
            }
        }
        return -1;
    }

    /** What one soil's inputs came to. */
    final class Outcome {
        private final Inputs soil;
        private final Entry[] entries;
        private final int[] bases;
        private final double[] sd;
        private final Calculated[] values;
        /** For each input and result the inputs and results it rests on, as bits of their places. */
        private final long[] uses;

        private final String[] words;
        private final String[] refusals;
        private long used;

        Outcome(Inputs soil, Entry[] entries, int[] bases, double[] sd, Calculated[] values, long[] uses) {
            this.soil = soil;
            this.entries = entries;
            this.bases = bases;
            this.sd = sd;
            this.values = values;
            this.uses = uses;
            this.words = new String[uses.length];
            this.refusals = new String[uses.length];
            Arrays.fill(words, "");
            Arrays.fill(refusals, "");
        }

        private Calculated named(String name) {
            Integer place = places.get(name);
            if (place == null) {
                throw new NoSenseException(method.id() + ": nothing is named " + name);
            }
            Calculated value = values[place];
            if (value == null) {
                throw new NoSenseException(method.id() + ": " + name + " is used before it is calculated");
            }
            if (place < constantsFrom) {
                used |= uses[place];
            }
            return value;
        }

        private Calculated value(Formula formula) {
            return formula.value(this::named, bases.length);
        }

        void calculate(Computed computed, int place) {
            used = 0;
            if (computed.formula().isPresent()) {
                Calculated value = value(computed.formula().get());
                String refusal = refusal(computed, value.value());
                values[place] = refusal.isEmpty() ? value : Calculated.constant(Double.NaN, bases.length);
                refusals[place] = refusal;
            } else {
                values[place] = Calculated.constant(Double.NaN, bases.length);
                for (Computed.Class one : computed.classes()) {
                    double holds = value(one.when()).value();
                    if (Double.isNaN(holds)) {
                        break;
                    }
                    if (holds != 0) {
                        words[place] = one.word();
                        break;
                    }
                }
            }
            uses[place] = used | 1L << place;
        }

        private String refusal(Computed computed, double value) {
            if (computed.lowest().isPresent() && value < computed.lowest().getAsDouble()) {
                return computed.name() + " comes to " + Significant.text(value, 4) + ", and nothing below "
                        + Significant.text(computed.lowest().getAsDouble(), 6) + " is possible";
            }
            if (computed.highest().isPresent() && value > computed.highest().getAsDouble()) {
                return computed.name() + " comes to " + Significant.text(value, 4) + ", and nothing above "
                        + Significant.text(computed.highest().getAsDouble(), 6) + " is possible";
            }
            return "";
        }

        Entry[] entries() {
            return entries.clone();
        }

        Inputs.Base base(int number) {
            return soil.base(bases[number]);
        }

        double[] sd() {
            return sd.clone();
        }

        Calculated value(String name) {
            Integer place = places.get(name);
            return place == null ? Calculated.constant(Double.NaN, bases.length) : values[place];
        }

        String word(String name) {
            Integer place = places.get(name);
            return place == null || place >= words.length ? "" : words[place];
        }

        /** Whether the result rests on the input or result of that name. */
        boolean rests(String result, String on) {
            return (uses[places.getOrDefault(result, 0)] & 1L << places.getOrDefault(on, 0)) != 0;
        }

        Inputs.Gradient gradient(String symbol) {
            return new Inputs.Gradient(bases, value(symbol).slopes());
        }

        /** The results that are reported, by symbol in the order of the method. */
        Map<String, Result> results(DerivedMethod reported) {
            Map<String, Result> results = new LinkedHashMap<>();
            for (Analyte analyte : reported.head().analytes()) {
                Integer place = places.get(analyte.symbol());
                if (place != null && place >= entries.length && place < constantsFrom) {
                    results.put(analyte.symbol(), result(analyte, place));
                }
            }
            return results;
        }

        private Result result(Analyte analyte, int place) {
            Amount amount = amount(analyte, place);
            OptionalDouble expanded = amount instanceof Amount.Measured
                    ? Uncertainty.propagated(COVERAGE * Math.sqrt(values[place].variance(sd)), analyte.rounding())
                    : OptionalDouble.empty();
            Verdict verdict = amount instanceof Amount.Missing ? Verdict.HOLD : Verdict.FIT;
            Set<String> causes = Set.of();
            Set<String> accepted = Set.of();
            for (int i = 0; i < entries.length; i++) {
                Result input = entries[i].result();
                if ((uses[place] & 1L << i) != 0 && input != null && input.verdict() != Verdict.FIT) {
                    verdict = Verdict.HOLD;
                    causes = causes.isEmpty() ? new LinkedHashSet<>() : causes;
                    causes.addAll(input.causes());
                } else if ((uses[place] & 1L << i) != 0 && input != null && input.isAccepted()) {
                    accepted = accepted.isEmpty() ? new LinkedHashSet<>() : accepted;
                    accepted.addAll(input.causes());
                }
            }
            if (verdict == Verdict.FIT) {
                // What rests on an accepted result is itself fit only because that was accepted.
                causes = accepted;
            }
            return new Result(
                    soil.labNumber(),
                    method.id(),
                    method.head().version(),
                    analyte.symbol(),
                    "",
                    0,
                    "",
                    amount,
                    analyte.rounding().text(amount),
                    expanded,
                    verdict,
                    List.copyOf(causes));
        }

        private Amount amount(Analyte analyte, int place) {
            if (!words[place].isEmpty()) {
                return new Amount.Classed(words[place], analyte.unit());
            }
            double value = values[place].value();
            if (!Double.isFinite(value)) {
                return none(analyte, place);
            }
            if (analyte.reportingLimit().isPresent()
                    && value < analyte.reportingLimit().getAsDouble()) {
                return new Amount.Below(analyte.reportingLimit().getAsDouble(), value, analyte.unit());
            }
            if (analyte.upperLimit().isPresent() && value > analyte.upperLimit().getAsDouble()) {
                return new Amount.Above(analyte.upperLimit().getAsDouble(), value, analyte.unit());
            }
            return new Amount.Measured(value, analyte.unit());
        }

        private Amount none(Analyte analyte, int place) {
            List<String> reasons = new ArrayList<>();
            for (int i = 0; i < entries.length; i++) {
                if ((uses[place] & 1L << i) != 0 && !entries[i].problem().isEmpty()) {
                    if (entries[i].isNotEnoughSoil()) {
                        return new Amount.NotEnoughSoil(analyte.unit());
                    }
                    reasons.add(entries[i].problem());
                }
            }
            for (int i = entries.length; i <= place && reasons.isEmpty(); i++) {
                if ((uses[place] & 1L << i) != 0 && !refusals[i].isEmpty()) {
                    reasons.add(refusals[i]);
                }
            }
            if (reasons.isEmpty()) {
                boolean classes =
                        method.results().get(place - entries.length).formula().isEmpty();
                reasons.add(
                        classes
                                ? "none of the classes fits"
                                : "the formula has no value for these inputs: a table ends, or something is divided by zero");
            }
            return new Amount.Missing(String.join("; ", reasons), analyte.unit());
        }
    }
}
