package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.reduction.Role;

/** The vessels of one run in the order they are to be read, and what was planted among them. */
final class RunSheet {
    private static final int DUPLICATE_EVERY = 40;

    final RunPlan plan;
    final List<Vessel> vessels = new ArrayList<>();
    final List<Planted> planted = new ArrayList<>();
    /** Last position that is read. */
    int lastRead = Integer.MAX_VALUE;

    RunSheet(RunPlan plan) {
        this.plan = plan;
    }

    /** Soils with about one in forty a second time, some places later. */
    static List<Vessel> soils(List<Specimen> specimens, Chance chance) {
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
    Vessel at(int position) {
        return vessels.get(position - 1);
    }

    int size() {
        return vessels.size();
    }

    /** Positions of the vessels that are so. */
    List<Integer> positions(Predicate<Vessel> wanted) {
        List<Integer> positions = new ArrayList<>();
        for (int p = 1; p <= vessels.size(); p++) {
            if (wanted.test(at(p))) {
                positions.add(p);
            }
        }
        return positions;
    }

    /** The position a fault asks for, or one at a share of the run. */
    int wish(Fault fault, double share) {
        int position = fault.position().orElse((int) Math.max(1, share * size()));
        if (position < 1 || position > size()) {
            throw cannot(fault, "the run has positions 1 to " + size() + ", found " + position);
        }
        return position;
    }

    /** The place in a list of positions that lies nearest to the one wished for, between two list places. */
    int nearest(Fault fault, double share, List<Integer> positions, int from, int to) {
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

    IllegalArgumentException cannot(Fault fault, String why) {
        return new IllegalArgumentException(
                "fault " + fault.kind().word() + " in run " + plan.run() + " cannot be planted: " + why);
    }

    /**
     * Notes what a fault touches: soils whose result comes from between two positions, both included. Duplicates give no
     * result of their own.
     *
     * @param channel probe or balance, 0 = all
     */
    void touched(CauseKind kind, List<String> analytes, int channel, int first, int last, double size, String story) {
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
    int firstPosition(String identity) {
        for (int p = 1; p <= size(); p++) {
            if (at(p).role == Role.SAMPLE && at(p).identity.equals(identity)) {
                return p;
            }
        }
        throw new IllegalArgumentException("run " + plan.run() + " holds no soil " + identity);
    }

    /** Stops the run after a position; everything since the last known solution is touched. */
    void stopAfter(int position, Predicate<Vessel> check, List<String> analytes, String story) {
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
