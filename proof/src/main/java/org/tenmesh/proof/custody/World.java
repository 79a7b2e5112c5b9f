package org.tenmesh.proof.custody;

import static java.util.Objects.requireNonNull;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/** Where everything really is, whatever was written of it. Not for use by several threads. */
final class World {
    /** A thing that can be picked up. */
    static final class Thing {
        final String code;
        long massMg;
        final int pieces;
        String place;

        Thing(String code, long massMg, int pieces, String place) {
            this.code = code;
            this.massMg = massMg;
            this.pieces = pieces;
            this.place = place;
        }
    }

    private final Map<String, Thing> things = new TreeMap<>();

    void put(String code, long massMg, int pieces, String place) {
        if (things.put(code, new Thing(code, massMg, pieces, place)) != null) {
            throw new IllegalStateException("two things of one name: " + code);
        }
    }

    Thing thing(String code) {
        return requireNonNull(things.get(code), code);
    }

    boolean has(String code) {
        return things.containsKey(code);
    }

    void gone(String code) {
        things.remove(code);
    }

    Set<String> at(String place) {
        Set<String> codes = new HashSet<>();
        things.values().stream().filter(one -> one.place.equals(place)).forEach(one -> codes.add(one.code));
        return codes;
    }

    List<String> places() {
        return things.values().stream()
                .map(one -> one.place)
                .distinct()
                .sorted()
                .toList();
    }

    long massMg() {
        return things.values().stream().mapToLong(one -> one.massMg).sum();
    }

    long pieces() {
        return things.values().stream().mapToLong(one -> one.pieces).sum();
    }
}
