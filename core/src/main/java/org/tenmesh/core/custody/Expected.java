package org.tenmesh.core.custody;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.methods.BenchStep;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.core.methods.Method;

/**
 * A portion that must exist, because a regulated soil was laid out, read or spilt. Which portions a method leaves follows from the steps of its
 * file: what is filtered leaves a filter and an extract, what goes into the furnace leaves a crucible (common practice).
 *
 * @param code under which it stands in the account once somebody entered it
 * @param labNumber of the soil; empty text for what belongs to the whole parcel
 * @param from what it would be taken of
 * @param massMg soil in it, mg, by the method; 0 where none or nobody can say
 * @param because why it must exist
 * @param since when that happened
 */
public record Expected(
        String code,
        String parcel,
        String labNumber,
        PortionKind kind,
        String from,
        long massMg,
        String because,
        Instant since) {
    /**
     * What the record shows of a regulated soil.
     *
     * @param read each run that read it
     * @param spilt each spill that was noted: the portion's name and the moment
     */
    public record Evidence(String parcel, String labNumber, Instant laidOutAt, List<Reading> read, List<Spill> spilt) {
        public Evidence {
            read = List.copyOf(read);
            spilt = List.copyOf(spilt);
        }
    }

    /** A run that read a soil. */
    public record Reading(Method method, String run, Instant at) {}

    /** A portion that was spilt. */
    public record Spill(String portion, Instant at) {}

    /** What a method leaves of the portion that was taken for it. */
    static Set<PortionKind> left(Method method) {
        Set<Doing> doings = EnumSet.noneOf(Doing.class);
        for (BenchStep step : method.benchSteps()) {
            doings.add(step.doing());
        }
        Set<PortionKind> left = EnumSet.noneOf(PortionKind.class);
        if (doings.contains(Doing.DRAW_OFF) || doings.contains(Doing.MIX)) {
            left.add(PortionKind.PASTE);
        } else if (doings.contains(Doing.FILTER)) {
            left.add(PortionKind.FILTER);
        } else if (doings.contains(Doing.FURNACE)) {
            left.add(PortionKind.CRUCIBLE);
        } else if (doings.contains(Doing.OVEN)) {
            left.add(PortionKind.DRIED);
        } else {
            left.add(PortionKind.SUSPENSION);
        }
        if (doings.contains(Doing.FILTER) || doings.contains(Doing.DRAW_OFF)) {
            left.add(PortionKind.EXTRACT);
        }
        if (method.extract().isPresent()) {
            left.add(PortionKind.CUP);
        }
        return left;
    }

    /** Everything that must exist of these soils, in their order. */
    public static List<Expected> of(Collection<Evidence> soils) {
        List<Expected> all = new ArrayList<>();
        Map<String, Instant> parcels = new LinkedHashMap<>();
        for (Evidence soil : soils) {
            if (parcels.putIfAbsent(soil.parcel(), soil.laidOutAt()) == null) {
                ofParcel(soil, all);
            }
            all.add(new Expected(
                    soil.labNumber(),
                    soil.parcel(),
                    soil.labNumber(),
                    PortionKind.SOIL,
                    soil.parcel(),
                    0,
                    "laid out",
                    soil.laidOutAt()));
            ofReadings(soil, all);
            ofSpills(soil, all);
        }
        return List.copyOf(all);
    }

    /** Unpacking leaves packaging, sieving leaves rejects and dust (common practice): where there were none, somebody says so. */
    private static void ofParcel(Evidence soil, List<Expected> all) {
        for (PortionKind kind : List.of(PortionKind.PACKAGING, PortionKind.REJECTS, PortionKind.DUST)) {
            all.add(new Expected(
                    soil.parcel() + "." + kind.word(),
                    soil.parcel(),
                    "",
                    kind,
                    soil.parcel(),
                    0,
                    kind == PortionKind.PACKAGING ? "unpacked" : "dried, ground and sieved",
                    soil.laidOutAt()));
        }
    }

    private static void ofReadings(Evidence soil, List<Expected> all) {
        Map<String, List<Reading>> byPortion = new LinkedHashMap<>();
        for (Reading one : soil.read()) {
            if (!one.method().isCalculated()) {
                byPortion
                        .computeIfAbsent(Portions.name(one.method()), name -> new ArrayList<>())
                        .add(one);
            }
        }
        byPortion.forEach((portion, readings) -> {
            Map<PortionKind, Reading> left = new LinkedHashMap<>();
            for (Reading one : readings) {
                left(one.method()).forEach(kind -> left.putIfAbsent(kind, one));
            }
            // What was filtered afterwards is no longer a suspension.
            if (left.containsKey(PortionKind.FILTER)) {
                left.remove(PortionKind.SUSPENSION);
            }
            boolean[] massGiven = {false};
            left.forEach((kind, one) -> {
                if (kind != PortionKind.CUP) {
                    long massMg = kind.liquid() || massGiven[0] ? 0 : massMg(one.method());
                    massGiven[0] |= massMg > 0;
                    all.add(portion(soil, portion + "." + kind.word(), kind, massMg, one));
                }
            });
            for (Reading one : readings) {
                if (left(one.method()).contains(PortionKind.CUP)) {
                    all.add(portion(
                            soil,
                            one.method().id() + "." + one.run() + "." + PortionKind.CUP.word(),
                            PortionKind.CUP,
                            0,
                            one));
                }
            }
        });
    }

    private static Expected portion(Evidence soil, String name, PortionKind kind, long massMg, Reading one) {
        return new Expected(
                soil.labNumber() + "." + name,
                soil.parcel(),
                soil.labNumber(),
                kind,
                soil.labNumber(),
                massMg,
                "read by " + one.method().id() + ", run " + one.run(),
                one.at());
    }

    private static long massMg(Method method) {
        return method.head()
                .portion()
                .map(one -> Math.round(one.soilG() * 1000))
                .orElse(0L);
    }

    private static void ofSpills(Evidence soil, List<Expected> all) {
        int number = 0;
        for (Spill one : soil.spilt()) {
            all.add(new Expected(
                    soil.labNumber() + "." + one.portion() + "." + PortionKind.SPILL.word() + ++number,
                    soil.parcel(),
                    soil.labNumber(),
                    PortionKind.SPILL,
                    soil.labNumber(),
                    0,
                    "spilt: " + one.portion(),
                    one.at()));
        }
    }

    /** Those that nobody entered and nobody said were never made: the forgotten ones. */
    public static List<Expected> missing(List<Expected> expected, Ledger ledger) {
        // Of a whole parcel any portion of the kind will do: the first may have been entered by mistake.
        Set<String> ofParcel = new HashSet<>();
        for (Held held : ledger.portions()) {
            if (held.from().equals(held.parcel()) && held.state() != Held.State.MISTAKEN) {
                ofParcel.add(held.parcel() + " " + held.kind());
            }
        }
        return expected.stream()
                .filter(one -> ledger.portion(one.code())
                                .filter(held -> held.state() != Held.State.MISTAKEN)
                                // Soil that was ordinary again and is regulated anew has to be entered anew.
                                .filter(held -> held.state() != Held.State.ORDINARY
                                        || one.labNumber().isEmpty())
                                .isEmpty()
                        && !ledger.notMade(one.code())
                        && !(one.labNumber().isEmpty() && ofParcel.contains(one.parcel() + " " + one.kind())))
                .toList();
    }
}
