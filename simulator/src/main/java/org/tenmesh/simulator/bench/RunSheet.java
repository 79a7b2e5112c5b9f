package org.tenmesh.simulator.bench;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.Specimen;

/** The vessels of one run in the order they are to be read, and what was planted among them. */
public final class RunSheet {
    private static final int DUPLICATE_EVERY = 40;

    public final RunPlan plan;
    public final List<Vessel> vessels = new ArrayList<>();
    final List<Planted> planted = new ArrayList<>();
    /** Last position that is read. */
    public int lastRead = Integer.MAX_VALUE;

    private final Map<String, Set<Integer>> claimed = new HashMap<>();

    public RunSheet(RunPlan plan) {
        this.plan = plan;
    }

    /** Soils with about one in forty a second time, some places later. */
    public static List<Vessel> soils(List<Specimen> specimens, Chance chance) {
        List<Vessel> soils = new ArrayList<>();
        for (Specimen specimen : specimens) {
            soils.add(new Vessel(Role.SAMPLE, specimen.number().text(), Optional.of(specimen)));
        }
        int duplicates = specimens.size() < 8 ? 0 : Math.max(1, Math.round((float) specimens.size() / DUPLICATE_EVERY));
        Set<Specimen> chosen = new LinkedHashSet<>();
        while (chosen.size() < duplicates) {
            chosen.add(specimens.get(chance.between(0, specimens.size() - 1)));
        }
        for (Specimen specimen : chosen) {
            int first = 0;
            while (!soils.get(first).identity.equals(specimen.number().text())) {
                first++;
            }
            int at = Math.min(soils.size(), first + chance.between(3, 15));
            soils.add(at, new Vessel(Role.DUPLICATE, specimen.number().text(), Optional.of(specimen)));
        }
        return soils;
    }

    /** The vessel at a position, from 1. */
    public Vessel at(int position) {
        return vessels.get(position - 1);
    }

    public int size() {
        return vessels.size();
    }

    /** Positions of the vessels that are so. */
    public List<Integer> positions(Predicate<Vessel> wanted) {
        List<Integer> positions = new ArrayList<>();
        for (int p = 1; p <= vessels.size(); p++) {
            if (wanted.test(at(p))) {
                positions.add(p);
            }
        }
        return positions;
    }

    /** The position a fault asks for, or one at a share of the run. */
    public int wish(Fault fault, double share) {
        int position = fault.position().orElse((int) Math.max(1, share * size()));
        if (position < 1 || position > size()) {
            throw cannot(fault, "the run has positions 1 to " + size() + ", found " + position);
        }
        return position;
    }

    /** The place in a list of positions that lies nearest to the one wished for, between two list places. */
    public int nearest(Fault fault, double share, List<Integer> positions, int from, int to) {
        if (from > to || positions.isEmpty()) {
            throw cannot(fault, "the run is too short for it");
        }
        int wish = wish(fault, share);
        int best = from;
        for (int i = from; i <= to; i++) {
            if (Math.abs(positions.get(i) - wish) < Math.abs(positions.get(best) - wish)) {
                best = i;
            }
        }
        return best;
    }

    public IllegalArgumentException cannot(Fault fault, String why) {
        return new IllegalArgumentException(
                "fault " + fault.kind().word() + " in run " + plan.run() + " cannot be planted: " + why);
    }

    /** Whether no fault of a sort has taken a place yet. */
    public boolean isFree(String sort, int place) {
        return !claimed.getOrDefault(sort, Set.of()).contains(place);
    }

    /**
     * Takes places for a fault.
     *
     * @param sort faults of one sort cannot share a place
     * @param places positions, or channels, or whatever the sort counts
     */
    public void claim(Fault fault, String sort, List<Integer> places) {
        Set<Integer> taken = claimed.computeIfAbsent(sort, key -> new HashSet<>());
        for (int place : places) {
            if (!taken.add(place)) {
                throw cannot(fault, "an earlier fault already took its " + sort + " " + place);
            }
        }
    }

    /** Picks and takes the position a fault asks for, or one that is still free near a share of the run. */
    public int take(Fault fault, double share, List<Integer> candidates, String sort) {
        List<Integer> open = fault.position().isPresent()
                ? candidates
                : candidates.stream().filter(p -> isFree(sort, p)).toList();
        int position = open.get(nearest(fault, share, open, 0, open.size() - 1));
        claim(fault, sort, List.of(position));
        return position;
    }

    /** Takes the analytes of a fault, or one channel, for the whole run. */
    public void claimAll(Fault fault, String sort, List<String> analytes, int channel) {
        for (String analyte : analytes) {
            List<Integer> channels = channel == 0 ? List.of(1, 2, 3, 4) : List.of(channel);
            claim(fault, sort + " of " + analyte + ", channel", channels);
        }
    }

    /** Positions of soils that clients sent, read once each under a lab number of their own. */
    public List<Integer> ordinarySoils() {
        return positions(v -> v.role == Role.SAMPLE
                && v.standsFor.isEmpty()
                && v.holds.isPresent()
                && v.specimen.orElseThrow().material().isEmpty());
    }

    /**
     * How far what creeps in has come at each position, 0 to 1: from the first soil to the end of the run, or of the day where the fault
     * names no run. The place at index 0 is not used.
     */
    public double[] progress(boolean allDay) {
        int first = positions(Vessel::isSoil).stream().findFirst().orElse(1);
        double[] progress = new double[size() + 1];
        for (int p = first; p <= size(); p++) {
            double inside = size() == first ? 1 : (p - first) / (double) (size() - first);
            progress[p] = allDay ? (plan.turn() + inside) / plan.turns() : inside;
        }
        if (allDay) {
            for (int p = 1; p < first; p++) {
                progress[p] = plan.turn() / (double) plan.turns();
            }
        }
        return progress;
    }

    /** Notes a fault that creeps in, from where it has come half its way; nothing where it has not. */
    public void noteLateHalf(
            Fault fault, List<String> analytes, int channel, double[] progress, double size, String story) {
        List<Integer> late = positions(v -> v.gives(analytes) && (channel == 0 || v.channel == channel)).stream()
                .filter(p -> progress[p] > 0.5)
                .toList();
        if (!late.isEmpty()) {
            note(fault.kind(), analytes, channel == 0 ? "" : Integer.toString(channel), late, size, story);
        }
    }

    /** Notes what a fault touches: the soils whose results come from these positions. */
    public void note(
            CauseKind kind, List<String> analytes, String channel, List<Integer> positions, double size, String story) {
        List<Integer> giving =
                positions.stream().filter(p -> at(p).gives(analytes)).toList();
        List<Integer> ends = giving.isEmpty() ? positions : giving;
        planted.add(new Planted(
                kind,
                plan.run(),
                plan.method(),
                analytes,
                channel,
                ends.stream().min(Integer::compare).orElse(0),
                ends.stream().max(Integer::compare).orElse(0),
                giving.stream()
                        .map(p -> at(p).specimen.orElseThrow().number())
                        .distinct()
                        .toList(),
                size,
                story));
    }

    /** The faults, when every one of them lies where the run was read. */
    public List<Planted> truth() {
        for (Planted fault : planted) {
            if (fault.firstPosition() > lastRead && fault.kind() != CauseKind.TRUNCATED_RUN) {
                throw new IllegalArgumentException("fault " + fault.kind().word() + " in run " + plan.run()
                        + " cannot be planted: the run ends at position " + lastRead + ", before "
                        + fault.firstPosition());
            }
        }
        return List.copyOf(planted);
    }

    /**
     * Notes what a fault touches: soils whose result comes from between two positions, both included. Duplicates give no
     * result of their own.
     *
     * @param channel probe or balance, 0 = all
     */
    public void touched(
            CauseKind kind, List<String> analytes, int channel, int first, int last, double size, String story) {
        Set<LabNumber> numbers = new LinkedHashSet<>();
        int firstSoil = 0;
        int lastSoil = 0;
        for (int p = Math.max(1, first); p <= Math.min(last, size()); p++) {
            Vessel vessel = at(p);
            if (vessel.gives(analytes) && (channel == 0 || vessel.channel == channel)) {
                numbers.add(vessel.specimen.orElseThrow().number());
                firstSoil = firstSoil == 0 ? p : firstSoil;
                lastSoil = p;
            }
        }
        planted.add(new Planted(
                kind,
                plan.run(),
                plan.method(),
                analytes,
                channel == 0 ? "" : Integer.toString(channel),
                firstSoil,
                lastSoil,
                List.copyOf(numbers),
                size,
                story));
    }

    /** The sample vessel with a number, at its first reading. */
    public int firstPosition(String identity) {
        for (int p = 1; p <= size(); p++) {
            if (at(p).role == Role.SAMPLE && at(p).identity.equals(identity)) {
                return p;
            }
        }
        throw new IllegalArgumentException("run " + plan.run() + " holds no soil " + identity);
    }

    /** Stops the run after a position; everything since the last known solution is touched. */
    public void stopAfter(int position, Predicate<Vessel> check, List<String> analytes, String story) {
        lastRead = position;
        int first = 1;
        for (int p = 1; p <= position; p++) {
            if (check.test(at(p))) {
                first = p + 1;
            }
        }
        touched(CauseKind.TRUNCATED_RUN, analytes, 0, first, size(), (double) position / size(), story);
    }
}
