package org.tenmesh.core.layout;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.tenmesh.core.intake.LabNumber;

/**
 * Gives soils their lab numbers and wells, with hidden controls among them that cannot be predicted.
 *
 * <p>The distance from one control to the next is drawn as evenly as its mean and its bound allow ({@link #distances});
 * so whoever knows every earlier control still has no next place to name that is likelier than the others. A constant
 * chance for each number would be as hard to learn but for the bound: of the default rules, one control in five would
 * then stand at the bound itself. A fixed step would be learnt, and in trays of twelve it would visit a few wells only.
 *
 * <p>Every tray has one empty key well, drawn anew for each: a tray turned end for end then shows it in another place
 * (well k of 12 comes to lie at 13 - k, which is never k). A laboratory may do without key wells; its trays then hold twelve
 * soils, and only their results can show that one was turned.
 *
 * <p>Pure: the same arguments give the same plan.
 */
public final class Layout {
    private Layout() {}

    /**
     * How often controls come. No published figure was found for one in fifty; it is common practice.
     *
     * @param controlEvery mean distance between controls, in lab numbers, 2 or more
     * @param longestGap largest distance between controls and from the first number to the first control; more than
     *     {@code controlEvery}, less than ten times it. About twice {@code controlEvery} makes all distances equally
     *     likely; the nearer it comes to {@code controlEvery}, the better the bound itself can be guessed
     * @param load lab numbers an instrument takes in one load; each holds at least one control
     * @param keyWell whether every tray keeps one well empty that breaks its symmetry
     */
    public record Rules(int controlEvery, int longestGap, int load, boolean keyWell) {
        /** With a key well in every tray. */
        public Rules(int controlEvery, int longestGap, int load) {
            this(controlEvery, longestGap, load, true);
        }

        public Rules {
            if (controlEvery < 2 || longestGap <= controlEvery || longestGap >= 10 * controlEvery || load < 1) {
                throw new IllegalArgumentException("a control every " + controlEvery + ", longest gap " + longestGap
                        + ", load " + load + ": expected 2 or more, a gap above that and below ten times it, and a load"
                        + " of 1 or more");
            }
        }

        /** One in fifty, never more than a hundred apart, one at least in 240. */
        public static Rules defaults() {
            return new Rules(50, 100, 240);
        }

        /** These rules with or without key wells. */
        public Rules withKeyWell(boolean kept) {
            return new Rules(controlEvery, longestGap, load, kept);
        }
    }

    /**
     * Where numbering goes on.
     *
     * @param day the laboratory day, part of every number
     * @param serial first serial to give, from 1
     * @param tray first tray to fill, from 1
     */
    public record Start(LocalDate day, int serial, int tray) {}

    /**
     * What goes where.
     *
     * @param trays filled in order, each with its key well where the rules keep one
     * @param soils the lab number of each soil, in the order the soils were given
     * @param controls sealed: the hidden controls and their materials, by lab number in order
     * @param next where numbering goes on after this plan
     */
    public record Plan(List<Tray> trays, List<LabNumber> soils, Map<LabNumber, String> controls, Start next) {
        public Plan {
            trays = List.copyOf(trays);
            soils = List.copyOf(soils);
            controls = Collections.unmodifiableMap(new LinkedHashMap<>(controls));
        }
    }

    /**
     * Lays soils out in the order they came.
     *
     * @param soils how many, 0 or more
     * @param materials control soils to choose from, each equally likely; at least one
     * @param seed whoever knows it knows the controls
     */
    public static Plan plan(int soils, List<String> materials, Start start, Rules rules, long seed) {
        if (soils < 0 || materials.isEmpty()) {
            throw new IllegalArgumentException(soils + " soils and " + materials.size()
                    + " control materials: expected none or more soils and at least one material");
        }
        SplittableRandom random = new SplittableRandom(seed);
        List<Boolean> isControl = new ArrayList<>();
        double[] chance = chanceAt(distances(rules));
        int placed = 0;
        int sinceControl = 0;
        while (placed < soils) {
            int loadStart = isControl.size();
            boolean any = false;
            while (placed < soils && isControl.size() < loadStart + rules.load()) {
                sinceControl = Math.min(sinceControl + 1, rules.longestGap());
                boolean control = random.nextDouble() < chance[sinceControl];
                isControl.add(control);
                if (control) {
                    sinceControl = 0;
                    any = true;
                } else {
                    placed++;
                }
            }
            if (!any) {
                sinceControl = force(isControl, loadStart, placed == soils, rules.load(), random);
                placed = soilsIn(isControl);
            }
        }
        return fill(isControl, materials, start, rules.keyWell(), random);
    }

    /** Makes one place of a load without control a control; returns how many numbers follow it. */
    private static int force(List<Boolean> isControl, int loadStart, boolean last, int load, SplittableRandom random) {
        int size = isControl.size() - loadStart;
        if (last && size < load) {
            // The last load is not full: the control is put in, no soil has to give way.
            int at = loadStart + random.nextInt(size + 1);
            isControl.add(at, true);
            return isControl.size() - 1 - at;
        }
        int at = loadStart + random.nextInt(size);
        isControl.set(at, true);
        return isControl.size() - 1 - at;
    }

    private static int soilsIn(List<Boolean> isControl) {
        int soils = 0;
        for (boolean control : isControl) {
            soils += control ? 0 : 1;
        }
        return soils;
    }

    private static Plan fill(
            List<Boolean> isControl, List<String> materials, Start start, boolean keyWell, SplittableRandom random) {
        List<Tray> trays = new ArrayList<>();
        List<LabNumber> soils = new ArrayList<>();
        Map<LabNumber, String> controls = new LinkedHashMap<>();
        int perTray = keyWell ? Well.PER_TRAY - 1 : Well.PER_TRAY;
        int serial = start.serial();
        int tray = start.tray();
        for (int from = 0; from < isControl.size(); from += perTray) {
            int count = Math.min(perTray, isControl.size() - from);
            int key = keyWell ? keyWell(count, random) : Well.PER_TRAY;
            List<Tray.Place> wells = new ArrayList<>();
            int next = from;
            for (int index = 0; index < Well.PER_TRAY; index++) {
                Well well = new Well(index);
                if (index == key) {
                    wells.add(new Tray.Place(well, Optional.empty(), Tray.Purpose.KEY));
                } else if (next < from + count) {
                    LabNumber number = LabNumber.of(start.day(), serial++);
                    if (isControl.get(next++)) {
                        controls.put(number, materials.get(random.nextInt(materials.size())));
                    } else {
                        soils.add(number);
                    }
                    wells.add(new Tray.Place(well, Optional.of(number), Tray.Purpose.SOIL));
                }
            }
            trays.add(new Tray(String.format("T%04d", tray++), wells));
        }
        return new Plan(trays, soils, controls, new Start(start.day(), serial, tray));
    }

    /** A key well that leaves the tray asymmetric even when its last wells stay empty. */
    private static int keyWell(int count, SplittableRandom random) {
        while (true) {
            int key = random.nextInt(Well.PER_TRAY);
            int filled = 0;
            int left = count;
            for (int index = 0; index < Well.PER_TRAY && left > 0; index++) {
                if (index != key) {
                    filled |= 1 << index;
                    left--;
                }
            }
            int turned = 0;
            for (int index = 0; index < Well.PER_TRAY; index++) {
                if ((filled & 1 << index) != 0) {
                    turned |= 1 << new Well(index).turned().index();
                }
            }
            if (filled != turned) {
                return key;
            }
        }
    }

    /**
     * How likely each distance from one control to the next is: among all distributions on 1 to the longest gap with the
     * wanted mean, the one of largest entropy, {@code P(g) = c exp(t g)} (Jaynes 1957, Physical Review 106:620; from memory).
     *
     * @return the chance of a distance of g numbers at index g; index 0 is 0
     */
    public static double[] distances(Rules rules) {
        double low = -8;
        double high = 8;
        for (int i = 0; i < 80; i++) {
            double t = (low + high) / 2;
            if (mean(weights(rules, t)) < rules.controlEvery()) {
                low = t;
            } else {
                high = t;
            }
        }
        return weights(rules, (low + high) / 2);
    }

    private static double[] weights(Rules rules, double t) {
        double[] weight = new double[rules.longestGap() + 1];
        double sum = 0;
        for (int g = 1; g < weight.length; g++) {
            // Counted from the heavier end, so that nothing overflows. StrictMath: a plan is the same everywhere.
            weight[g] = StrictMath.exp(t > 0 ? t * (g - weight.length + 1) : t * (g - 1));
            sum += weight[g];
        }
        for (int g = 1; g < weight.length; g++) {
            weight[g] /= sum;
        }
        return weight;
    }

    private static double mean(double[] chances) {
        double mean = 0;
        for (int g = 1; g < chances.length; g++) {
            mean += g * chances[g];
        }
        return mean;
    }

    /** The chance that the distance is g once it is known to be no less. */
    private static double[] chanceAt(double[] distances) {
        double[] chance = new double[distances.length];
        double left = 0;
        for (int g = distances.length - 1; g > 0; g--) {
            left += distances[g];
            // At the bound the two are the same number, so the chance there is 1.
            chance[g] = distances[g] / left;
        }
        return chance;
    }
}
