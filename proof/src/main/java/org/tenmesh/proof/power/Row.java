package org.tenmesh.proof.power;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.Function;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.GivenSoil;

/**
 * One row of the study: what is planted, in which laboratory.
 *
 * @param part under which heading it stands
 * @param name what is planted, in plain words; unique within its part
 * @param curve which curve it is a point of; empty = none
 * @param size where on the curve
 * @param soils how many soils a day; 0 = as many as the study says
 * @param options how the laboratory works and what its clients send
 * @param given soils from elsewhere; empty = drawn
 * @param faults what is planted, from chance of the repeat's own; several are scored apart
 * @param further what else is asked
 * @param share of the study's repeats that this row gets
 * @param targets lowest rate asked for by measure: {@code found}, {@code named}, {@code told}, {@code extent}, {@code further},
 *     {@code atRate}
 */
record Row(
        String part,
        String name,
        String curve,
        double size,
        int soils,
        Options options,
        List<GivenSoil> given,
        Function<Random, List<Fault>> faults,
        Further further,
        double share,
        Map<String, Double> targets) {

    /** A question that only some rows ask. */
    enum Further {
        NONE(""),
        WITHIN_ONE("start placed within one soil"),
        BEFORE_THE_END("named when only nine tenths of the run were read"),
        INTERVAL("95 % interval of the difference holds the true one"),
        NOBODY_HELD("no client's soil held for it");

        private final String words;

        Further(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }

    /** A row of the main tables: all repeats, one fault. */
    static Row of(String part, String name, Function<Random, String> fault) {
        return new Row(
                part,
                name,
                "",
                0,
                0,
                Options.defaults(),
                List.of(),
                chance -> List.of(Fault.parse(fault.apply(chance))),
                Further.NONE,
                1,
                Map.of());
    }

    /** A point of a curve: a quarter of the repeats. */
    static Row point(String part, String curve, double size, Function<Random, String> fault) {
        return of(part, curve + ", " + plain(size), fault).on(curve, size).repeated(0.25);
    }

    static String plain(double size) {
        return size == Math.rint(size) ? Long.toString((long) size) : Double.toString(size);
    }

    Row on(String its, double at) {
        return new Row(part, name, its, at, soils, options, given, faults, further, share, targets);
    }

    Row repeated(double times) {
        return new Row(part, name, curve, size, soils, options, given, faults, further, times, targets);
    }

    Row asking(Further question) {
        return new Row(part, name, curve, size, soils, options, given, faults, question, share, targets);
    }

    Row in(Options laboratory) {
        return new Row(part, name, curve, size, soils, laboratory, given, faults, further, share, targets);
    }

    Row ofSoils(int count) {
        return new Row(part, name, curve, size, count, options, given, faults, further, share, targets);
    }

    Row of(List<GivenSoil> from) {
        return new Row(part, name, curve, size, from.size(), options, from, faults, further, share, targets);
    }

    Row under(String heading) {
        return new Row(heading, name, curve, size, soils, options, given, faults, further, share, targets);
    }

    Row atLeast(String measure, double rate) {
        Map<String, Double> more = new LinkedHashMap<>(targets);
        more.put(measure, rate);
        return new Row(part, name, curve, size, soils, options, given, faults, further, share, Map.copyOf(more));
    }
}
