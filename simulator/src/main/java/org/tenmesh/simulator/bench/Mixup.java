package org.tenmesh.simulator.bench;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.function.Supplier;
import java.util.function.ToDoubleBiFunction;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;

/**
 * The right reading under the wrong lab number: what is in a vessel is another soil's, or nothing. The bench goes on recording what it
 * intended. Known solutions, blanks and open control soils stand where they always do.
 *
 * @param analytes what the run reports
 * @param portion a new portion of a soil as this run takes it
 * @param nothing what is read of a vessel into which no soil came
 * @param unlike how unlike two soils are to this method, 0 or more
 */
public record Mixup(
        RunSheet sheet,
        List<String> analytes,
        Function<Specimen, double[]> portion,
        Supplier<double[]> nothing,
        ToDoubleBiFunction<SoilContent, SoilContent> unlike) {
    private static final int SHORTEST_SHIFT = 10;
    private static final String PLACE = "place";

    public static boolean is(CauseKind kind) {
        return switch (kind) {
            case TRAY_TURNED, TRAYS_EXCHANGED, RUN_SHIFTED, NEIGHBOURS_EXCHANGED, IMPLAUSIBLE_TOGETHER -> true;
            default -> false;
        };
    }

    /** Plants what of these faults is a mixup, in their order. */
    public void plant(List<Fault> faults) {
        for (Fault fault : faults) {
            switch (fault.kind()) {
                case TRAY_TURNED -> turn(fault);
                case TRAYS_EXCHANGED -> exchangeTrays(fault);
                case RUN_SHIFTED -> shift(fault);
                case NEIGHBOURS_EXCHANGED -> exchangeNeighbours(fault);
                case IMPLAUSIBLE_TOGETHER -> takeAnother(fault);
                default -> {
                    // Planted elsewhere.
                }
            }
        }
    }

    private void turn(Fault fault) {
        List<Tray> trays = sheet.plan.places().trays().stream()
                .filter(tray -> !places(tray).isEmpty())
                .filter(tray -> fault.position().isPresent() || isFull(tray) && areFree(places(tray)))
                .toList();
        Tray tray = nearest(fault, 0.3, trays);
        List<Integer> touched = places(tray);
        Map<Well, LabNumber> inside = Places.inside(tray);
        sheet.claim(fault, PLACE, touched);
        inside.forEach((well, number) -> fill(number, Optional.ofNullable(inside.get(well.turned()))));
        sheet.note(
                fault.kind(),
                analytes,
                "",
                touched,
                1,
                "tray " + tray.tray() + " was read end for end: under each lab number is the soil of the turned well");
    }

    private void exchangeTrays(Fault fault) {
        double size = fault.size().orElse(1);
        List<Tray> all = sheet.plan.places().trays();
        int apart = (int) size;
        if (apart < 1 || apart != size) {
            throw sheet.cannot(fault, "size is how many trays apart, a whole number of 1 or more, found " + size);
        }
        List<Tray> first = new ArrayList<>();
        for (int i = 0; i + apart < all.size(); i++) {
            Tray one = all.get(i);
            Tray other = all.get(i + apart);
            if (!places(one).isEmpty()
                    && !places(other).isEmpty()
                    && (fault.position().isPresent()
                            || isFull(one) && isFull(other) && areFree(places(one)) && areFree(places(other)))) {
                first.add(one);
            }
        }
        Tray one = nearest(fault, 0.45, first);
        Tray other = all.get(all.indexOf(one) + apart);
        List<Integer> touched = new ArrayList<>(places(one));
        touched.addAll(places(other));
        sheet.claim(fault, PLACE, touched);
        Map<Well, LabNumber> here = Places.inside(one);
        Map<Well, LabNumber> there = Places.inside(other);
        here.forEach((well, number) -> fill(number, Optional.ofNullable(there.get(well))));
        there.forEach((well, number) -> fill(number, Optional.ofNullable(here.get(well))));
        sheet.note(
                fault.kind(),
                analytes,
                "",
                touched,
                size,
                "trays " + one.tray() + " and " + other.tray() + " were exchanged");
    }

    private void shift(Fault fault) {
        double size = fault.size().orElse(1);
        if (Math.abs(size) != 1) {
            throw sheet.cannot(
                    fault, "size is 1 (each vessel holds the next soil) or -1 (the one before), found " + size);
        }
        List<Integer> samples = sheet.positions(v -> v.role == Role.SAMPLE);
        int least = Math.min(SHORTEST_SHIFT, fault.length().orElse(SHORTEST_SHIFT));
        int earliest = size < 0 ? 1 : 0;
        int from = sheet.nearest(fault, 0.7, samples, earliest, samples.size() - least);
        int to = Math.min(samples.size(), from + fault.length().orElse(samples.size()));
        List<Integer> touched = List.copyOf(samples.subList(from, to));
        sheet.claim(fault, PLACE, touched);
        String story;
        if (size > 0) {
            for (int i = from; i < to - 1; i++) {
                sheet.at(samples.get(i)).takes(sheet.at(samples.get(i + 1)));
            }
            empty(sheet.at(samples.get(to - 1)));
            story = "one soil was passed over: from position " + touched.get(0)
                    + " every vessel holds the next soil, the last holds none";
        } else {
            for (int i = to - 1; i > from; i--) {
                sheet.at(samples.get(i)).takes(sheet.at(samples.get(i - 1)));
            }
            Vessel again = sheet.at(samples.get(from));
            fill(again, sheet.at(samples.get(from - 1)).holds);
            story = "one soil was taken twice: from position " + touched.get(0) + " every vessel holds the soil before";
        }
        sheet.note(fault.kind(), analytes, "", touched, size, story);
    }

    private void exchangeNeighbours(Fault fault) {
        String fields = fault.key("fields").orElse("any");
        List<Integer> first = new ArrayList<>();
        for (int p = 1; p < sheet.size(); p++) {
            Optional<Places.Origin> one = origin(p);
            Optional<Places.Origin> other = origin(p + 1);
            if (one.isPresent()
                    && other.isPresent()
                    && (fields.equals("any") || fields.equals("same") == one.equals(other))
                    && (fault.position().isPresent() || areFree(List.of(p, p + 1)))) {
                first.add(p);
            }
        }
        if (first.isEmpty()) {
            throw sheet.cannot(fault, "no two neighbours are free and of " + fields + " fields");
        }
        int p = first.get(sheet.nearest(fault, 0.2, first, 0, first.size() - 1));
        sheet.claim(fault, PLACE, List.of(p, p + 1));
        Vessel one = sheet.at(p);
        Vessel other = sheet.at(p + 1);
        boolean alike = origin(p).equals(origin(p + 1));
        Vessel kept = new Vessel(one.role, one.identity, one.specimen, one.content);
        kept.holds = one.holds;
        one.takes(other);
        other.takes(kept);
        sheet.note(
                fault.kind(),
                analytes,
                "",
                List.of(p, p + 1),
                1,
                "positions " + p + " and " + (p + 1) + " hold each other's soil, of "
                        + (alike ? "one field" : "two fields"));
    }

    private void takeAnother(Fault fault) {
        double size = fault.size().orElse(0.9);
        if (!(size >= 0 && size <= 1)) {
            throw sheet.cannot(
                    fault, "size is the share of other clients' soils that are less unlike, 0 to 1, found " + size);
        }
        List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE
                && v.holds.equals(v.specimen)
                && originOf(v).isPresent());
        List<Integer> free = fault.position().isPresent()
                ? soils
                : soils.stream().filter(p -> areFree(List.of(p))).toList();
        int p = free.get(sheet.nearest(fault, 0.12, free, 0, free.size() - 1));
        Vessel vessel = sheet.at(p);
        Specimen mine = vessel.specimen.orElseThrow();
        String client = originOf(vessel).orElseThrow().submission();
        List<Specimen> others = soils.stream()
                .map(sheet::at)
                .filter(v -> !originOf(v).orElseThrow().submission().equals(client))
                .map(v -> v.specimen.orElseThrow())
                .sorted(Comparator.comparingDouble(other -> unlike.applyAsDouble(mine.content(), other.content())))
                .toList();
        if (others.isEmpty()) {
            throw sheet.cannot(fault, "the run holds soils of one client only");
        }
        sheet.claim(fault, PLACE, List.of(p));
        Specimen other = others.get((int) Math.round(size * (others.size() - 1)));
        fill(vessel, Optional.of(other));
        sheet.note(
                fault.kind(),
                analytes,
                "",
                List.of(p),
                size,
                "the vessel at position " + p + " holds " + other.number() + ", another client's soil");
    }

    private Optional<Places.Origin> origin(int position) {
        Vessel vessel = sheet.at(position);
        return vessel.role == Role.SAMPLE ? originOf(vessel) : Optional.empty();
    }

    private Optional<Places.Origin> originOf(Vessel vessel) {
        return vessel.specimen.flatMap(sheet.plan.places()::origin);
    }

    /** Fills every vessel with a number, the second portion as well: it comes from the same wrong well. */
    private void fill(LabNumber number, Optional<LabNumber> source) {
        Optional<Specimen> soil = source.map(sheet.plan.places()::specimen);
        for (Vessel vessel : sheet.vessels) {
            if (vessel.isSoil() && vessel.identity.equals(number.text())) {
                fill(vessel, soil);
            }
        }
    }

    private void fill(Vessel vessel, Optional<Specimen> soil) {
        if (soil.isEmpty()) {
            empty(vessel);
        } else {
            vessel.content = portion.apply(soil.get());
            vessel.holds = soil;
        }
    }

    private void empty(Vessel vessel) {
        vessel.content = nothing.get();
        vessel.holds = Optional.empty();
    }

    /** Positions of the soils of a tray in this run. */
    private List<Integer> places(Tray tray) {
        Set<String> inside = new TreeSet<>();
        Places.inside(tray).values().forEach(number -> inside.add(number.text()));
        return sheet.positions(v -> v.role == Role.SAMPLE && inside.contains(v.identity));
    }

    private static boolean isFull(Tray tray) {
        return tray.wells().size() == Well.PER_TRAY;
    }

    private boolean areFree(List<Integer> positions) {
        return positions.stream().allMatch(p -> sheet.isFree(PLACE, p));
    }

    private Tray nearest(Fault fault, double share, List<Tray> trays) {
        int wish = sheet.wish(fault, share);
        return trays.stream()
                .min(Comparator.comparingInt(tray -> places(tray).stream()
                        .mapToInt(p -> Math.abs(p - wish))
                        .min()
                        .orElse(Integer.MAX_VALUE)))
                .orElseThrow(() -> sheet.cannot(fault, "the run holds no trays that are whole and free for it"));
    }
}
