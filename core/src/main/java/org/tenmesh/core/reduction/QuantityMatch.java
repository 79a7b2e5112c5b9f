package org.tenmesh.core.reduction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;

/**
 * Which quantities of a run a method uses, and under which of its own names. A name that differs only in case and blanks is the
 * method's. An emission line is matched by its element and the nearest wavelength within {@link #WINDOW_NM}: wavelength tables
 * differ in the last digit. Where the method's own line was read as well, or a nearer one, the other is not used.
 */
public final class QuantityMatch {
    /**
     * Largest distance of a line from the method's, nm (choice). Tables differ by a few thousandths of a nm; the closest two lines of
     * one element that laboratories use, B 208.889 and 208.957, lie 0.068 apart (wavelengths from memory).
     */
    public static final double WINDOW_NM = 0.02;

    // Wavelengths are compared as whole numbers of this many to the nm, so that equal distances are equal.
    private static final double PER_NM = 10_000;
    private static final Pattern LINE =
            Pattern.compile("([A-Za-z]{1,2})(?:\\s+I{1,3})?[\\s_:-]*([0-9]{2,4}(?:[.,][0-9]+)?)(?:\\s*nm)?");

    private final Readings readings;
    private final List<Renamed> renamed;
    private final List<Unused> unused;
    private final List<String> lacking;

    private QuantityMatch(Readings readings, List<Renamed> renamed, List<Unused> unused, List<String> lacking) {
        this.readings = readings;
        this.renamed = List.copyOf(renamed);
        this.unused = List.copyOf(unused);
        this.lacking = List.copyOf(lacking);
    }

    /**
     * A quantity that is the method's under another name.
     *
     * @param found as written in the readings
     * @param name the method's name
     * @param nmAway distance of the wavelengths, nm; 0 where only the spelling differs
     */
    public record Renamed(String found, String name, double nmAway) {}

    /**
     * A quantity that the method does not use.
     *
     * @param found as written in the readings
     * @param nearest the method's line of the same element with the nearest wavelength, else the name most like it; empty when there
     *     is none
     * @param nmAway distance of the wavelengths, nm; NaN when it is no line of an element of the method
     */
    public record Unused(String found, Optional<String> nearest, double nmAway) {}

    /** Matches the quantities of a run. */
    public static QuantityMatch of(Method method, Readings readings) {
        Map<String, Optional<Unit>> units = method.unitsRead();
        List<String> found = readings.quantities();
        Map<String, String> taken = new LinkedHashMap<>();
        for (String name : found) {
            bySpelling(name, units).ifPresent(own -> taken.put(name, own));
        }
        if (method.readsEmissionLines() && taken.size() < found.size()) {
            byWavelength(found, units, taken);
        }
        List<Renamed> renamed = new ArrayList<>();
        List<Unused> unused = new ArrayList<>();
        Map<String, String> names = new HashMap<>();
        for (String name : found) {
            String own = taken.get(name);
            if (own == null) {
                unused.add(unused(name, units));
            } else if (!own.equals(name)) {
                names.put(name, own);
                renamed.add(new Renamed(name, own, nmAway(name, own)));
            }
        }
        return new QuantityMatch(readings.renamed(names), renamed, unused, method.lacking(taken.values()));
    }

    /** The readings with the method's names; what it does not use keeps its own. */
    public Readings readings() {
        return readings;
    }

    /** What is used under another name than the one it was read by. */
    public List<Renamed> renamed() {
        return renamed;
    }

    /** What is not used. */
    public List<Unused> unused() {
        return unused;
    }

    /** Signals of an extraction method that were not read at all: preferred lines and the internal standard. */
    public List<String> lacking() {
        return lacking;
    }

    private static Optional<String> bySpelling(String found, Map<String, Optional<Unit>> units) {
        if (units.containsKey(found)) {
            return Optional.of(found);
        }
        String plain = plain(found);
        List<String> alike = units.keySet().stream()
                .filter(name -> plain(name).equals(plain))
                .toList();
        return alike.size() == 1 ? Optional.of(alike.get(0)) : Optional.empty();
    }

    private static String plain(String name) {
        return name.replaceAll("[\\s\\u00a0]+", "").toLowerCase(Locale.ROOT);
    }

    private static void byWavelength(List<String> found, Map<String, Optional<Unit>> units, Map<String, String> taken) {
        for (String name : units.keySet()) {
            long nearest = Math.round(WINDOW_NM * PER_NM) + 1;
            List<String> best = new ArrayList<>();
            boolean bothSides = false;
            for (String candidate : found) {
                long away = tenThousandths(candidate, name);
                boolean free = taken.getOrDefault(candidate, name).equals(name)
                        && units.keySet().stream()
                                .noneMatch(other -> Math.abs(tenThousandths(candidate, other)) < Math.abs(away));
                if (free && Math.abs(away) < Math.abs(nearest)) {
                    nearest = away;
                    best = new ArrayList<>(List.of(candidate));
                    bothSides = false;
                } else if (free && Math.abs(away) == Math.abs(nearest) && !best.isEmpty()) {
                    best.add(candidate);
                    bothSides |= away != nearest;
                }
            }
            // Two lines as near as each other: neither can be preferred.
            if (!bothSides) {
                best.forEach(one -> taken.put(one, name));
            }
        }
    }

    private static Unused unused(String found, Map<String, Optional<Unit>> units) {
        long nearest = Long.MAX_VALUE;
        Optional<String> line = Optional.empty();
        for (String name : units.keySet()) {
            long away = Math.abs(tenThousandths(found, name));
            if (away < nearest) {
                nearest = away;
                line = Optional.of(name);
            }
        }
        return line.isPresent()
                ? new Unused(found, line, nearest / PER_NM)
                : new Unused(found, mostAlike(found, units), Double.NaN);
    }

    // The name that shares the longest beginning with what was written.
    private static Optional<String> mostAlike(String found, Map<String, Optional<Unit>> units) {
        String written = plain(found);
        Optional<String> best = Optional.empty();
        int most = 0;
        for (String name : units.keySet()) {
            String own = plain(name);
            int alike = 0;
            while (alike < Math.min(own.length(), written.length()) && own.charAt(alike) == written.charAt(alike)) {
                alike++;
            }
            if (alike > most) {
                most = alike;
                best = Optional.of(name);
            }
        }
        return best;
    }

    private static double nmAway(String a, String b) {
        long away = tenThousandths(a, b);
        return away == Long.MAX_VALUE ? 0 : Math.abs(away) / PER_NM;
    }

    // How far the first line lies above the second; the largest number there is when they are not two lines of one
    // element.
    private static long tenThousandths(String a, String b) {
        Matcher one = LINE.matcher(a.strip());
        Matcher other = LINE.matcher(b.strip());
        return one.matches() && other.matches() && one.group(1).equalsIgnoreCase(other.group(1))
                ? wavelength(one) - wavelength(other)
                : Long.MAX_VALUE;
    }

    private static long wavelength(Matcher line) {
        return Math.round(Double.parseDouble(line.group(2).replace(',', '.')) * PER_NM);
    }
}
