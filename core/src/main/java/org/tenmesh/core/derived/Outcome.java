package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Uncertainty;

/** What one soil's inputs came to in one derived method: numbers or words, what is possible for them, and how uncertain they are. */
final class Outcome implements Recalculated {
    private static final double COVERAGE = 2;
    /** In place of nothing at all, so that a quotient by it shows how it grows: this share of the limit. */
    private static final double NEXT_TO_NOTHING = 1e-12;
    /** A number that moves by more than this factor between the ends of what is possible has no end there. */
    private static final double ENDLESS = 1e4;
    /** Inputs below their limits of which every combination of ends is looked at. */
    private static final int MOST_BELOW = 10;

    private final DerivedMethod method;
    private final Map<String, Integer> places;
    private final int constantsFrom;
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

    Outcome(
            DerivedMethod method,
            Map<String, Integer> places,
            Inputs soil,
            Entry[] entries,
            int[] bases,
            double[] sd,
            Calculated[] values,
            long[] uses) {
        this.method = method;
        this.places = places;
        this.constantsFrom = uses.length;
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

    void calculate(Computed computed, int place) {
        used = 0;
        Evaluated its = evaluate(computed, this::named, bases.length);
        words[place] = its.word();
        refusals[place] = refusal(computed, its.value().value());
        values[place] = refusals[place].isEmpty() ? its.value() : Calculated.constant(Double.NaN, bases.length);
        uses[place] = used | 1L << place;
    }

    @Override
    public Values in(Moved moved) {
        Calculated[] other = new Calculated[places.size()];
        for (int i = 0; i < entries.length; i++) {
            other[i] = Calculated.constant(entry(entries[i], moved), 0);
        }
        for (int i = constantsFrom; i < other.length; i++) {
            other[i] = Calculated.constant(values[i].value(), 0);
        }
        String[] otherWords = new String[constantsFrom];
        Arrays.fill(otherWords, "");
        for (int place = entries.length; place < constantsFrom; place++) {
            Computed computed = method.results().get(place - entries.length);
            Evaluated its = evaluate(computed, name -> other[places.getOrDefault(name, 0)], 0);
            double value = its.value().value();
            value = Math.max(value, computed.lowest().orElse(Double.NEGATIVE_INFINITY));
            value = Math.min(value, computed.highest().orElse(Double.POSITIVE_INFINITY));
            other[place] = Calculated.constant(value, 0);
            otherWords[place] = its.word();
        }
        return new Values(other, otherWords);
    }

    private double entry(Entry entry, Moved moved) {
        DerivedMethod.From from = entry.from();
        if (from == null || entry.gradient().bases().length == 0 || Double.isNaN(entry.value())) {
            return entry.value();
        }
        return entry.derived()
                ? moved.of(from.method()).of(soil.outcome(from.method()).place(from.analyte()))
                : moved.base(entry.gradient().bases()[0]);
    }

    @Override
    public int place(String name) {
        Integer place = places.get(name);
        if (place == null) {
            throw new IllegalStateException(method.id() + " has no result " + name);
        }
        return place;
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

    double[] parts(String name) {
        return parts(place(name));
    }

    /** Inputs below their limits that a result rests on, for a sentence; empty text when there are none. */
    String belowOf(String name) {
        return names(below(place(name)));
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
        OptionalDouble expanded = amount instanceof Amount.Measured ? expanded(analyte, place) : OptionalDouble.empty();
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
                Stated.of(amount, analyte.rounding(), expanded).text(),
                expanded,
                verdict,
                List.copyOf(causes));
    }

    private OptionalDouble expanded(Analyte analyte, int place) {
        double[] parts = parts(place);
        double sum = 0;
        boolean uncertain = false;
        for (int i = 0; i < parts.length; i++) {
            sum += parts[i] * parts[i];
            uncertain |= sd[i] > 0;
        }
        return uncertain
                ? OptionalDouble.of(Uncertainty.calculated(Math.sqrt(sum), analyte.rounding()))
                : OptionalDouble.empty();
    }

    /**
     * What each base brings to the expanded uncertainty of a result, in the result's unit; the squares add. Where the slope says
     * nothing, because a number is limited or another branch begins nearby, it is how far the result moves with the base at the ends
     * of its own expanded uncertainty.
     */
    double[] parts(int place) {
        double[] parts = new double[bases.length];
        long on = restsOn(place);
        double value = values[place].value();
        for (int i = 0; i < parts.length; i++) {
            double slope = values[place].slopes()[i];
            double part = COVERAGE * Math.abs(slope * sd[i]);
            parts[i] = part;
            if ((on & 1L << i) != 0 && sd[i] > 0 && !(part > Uncertainty.NOISE * Math.abs(value))) {
                Inputs.Base base = soil.base(bases[i]);
                double low = base.isBelow() ? NEXT_TO_NOTHING * base.limit() : base.value() - COVERAGE * sd[i];
                double high = base.isBelow() ? base.limit() : base.value() + COVERAGE * sd[i];
                parts[i] = Math.max(apart(value, place, bases[i], low), apart(value, place, bases[i], high));
            }
        }
        return parts;
    }

    private double apart(double value, int place, int base, double at) {
        double there = soil.with(base, at).of(method.id()).of(place);
        return Double.isFinite(there) ? Math.abs(there - value) : 0;
    }

    // The bases of the inputs it rests on, as bits of their places in this outcome.
    private long restsOn(int place) {
        long on = 0;
        for (int i = 0; i < entries.length; i++) {
            if ((uses[place] & 1L << i) != 0) {
                for (int base : entries[i].gradient().bases()) {
                    on |= 1L << Inputs.Gradient.indexOf(bases, base);
                }
            }
        }
        return on;
    }

    private int[] below(int place) {
        long on = restsOn(place);
        return IntStream.range(0, bases.length)
                .filter(i -> (on & 1L << i) != 0 && soil.base(bases[i]).isBelow())
                .map(i -> bases[i])
                .toArray();
    }

    /** What a result is at every combination of the ends of what is possible for the inputs below their limits. */
    private List<Values> ends(int[] below) {
        List<Values> ends = new ArrayList<>();
        for (int corner = 0; corner < 1 << below.length; corner++) {
            double[] to = new double[below.length];
            for (int i = 0; i < to.length; i++) {
                double limit = soil.base(below[i]).limit();
                to[i] = (corner & 1 << i) != 0 ? limit : NEXT_TO_NOTHING * limit;
            }
            ends.add(soil.with(below, to).of(method.id()));
        }
        return ends;
    }

    private Amount amount(Analyte analyte, int place) {
        int[] below = below(place);
        if (below.length > MOST_BELOW) {
            return new Amount.Missing(
                    below.length + " of its inputs are below their limits, too many to say what is possible",
                    analyte.unit());
        }
        boolean word = !words[place].isEmpty();
        double value = values[place].value();
        if (below.length > 0 && (word || Double.isFinite(value))) {
            List<Values> ends = ends(below);
            Set<String> possible = new LinkedHashSet<>();
            ends.forEach(end -> possible.add(end.word(place)));
            possible.remove("");
            if (!possible.isEmpty()) {
                // In the order of the method's classes.
                String words = method.results().get(place - entries.length).classes().stream()
                        .map(Computed.Class::word)
                        .filter(possible::contains)
                        .distinct()
                        .collect(Collectors.joining(" or "));
                return new Amount.Classed(words, analyte.unit());
            }
            Amount limited = limited(analyte, place, ends, below);
            if (limited != null) {
                return limited;
            }
        }
        if (word) {
            return new Amount.Classed(words[place], analyte.unit());
        }
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

    // A number that may be anything down to nothing is a limit, and so is one without an upper end.
    private @Nullable Amount limited(Analyte analyte, int place, List<Values> ends, int[] below) {
        double value = values[place].value();
        double low = ends.stream().mapToDouble(end -> end.of(place)).min().orElse(value);
        double high = ends.stream().mapToDouble(end -> end.of(place)).max().orElse(value);
        if (Double.isNaN(low) || !(high > low) || low < 0) {
            return null;
        }
        boolean nothing = low <= value / ENDLESS;
        boolean endless = value > 0 && high >= value * ENDLESS;
        if (nothing && endless) {
            return new Amount.Missing("with " + names(below) + " below the limit it can be anything", analyte.unit());
        }
        if (nothing) {
            double limit = analyte.rounding().up(high);
            return new Amount.Below(Math.max(limit, analyte.reportingLimit().orElse(limit)), value, analyte.unit());
        }
        return endless ? new Amount.Above(analyte.rounding().down(low), value, analyte.unit()) : null;
    }

    private String names(int[] below) {
        return Arrays.stream(below)
                .mapToObj(base ->
                        soil.base(base).analyte() + " (" + soil.base(base).method() + ")")
                .collect(Collectors.joining(" and "));
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

    private record Evaluated(Calculated value, String word) {}

    /** A word where one holds, else the number of the formula, if there is one. */
    private static Evaluated evaluate(Computed computed, Function<String, Calculated> of, int inputs) {
        for (Computed.Class one : computed.classes()) {
            double holds = one.when().value(of, inputs).value();
            if (Double.isNaN(holds)) {
                return new Evaluated(Calculated.constant(Double.NaN, inputs), "");
            }
            if (holds != 0) {
                return new Evaluated(Calculated.constant(Double.NaN, inputs), one.word());
            }
        }
        return new Evaluated(
                computed.formula()
                        .map(formula -> formula.value(of, inputs))
                        .orElseGet(() -> Calculated.constant(Double.NaN, inputs)),
                "");
    }
}
