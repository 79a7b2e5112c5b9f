package org.tenmesh.core.equipment;

import java.time.Instant;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * The lots and the equipment of one run, as far as somebody said which: the instrument by its name, what reads under its channels, the
 * lot in use of each standard, check solution and open control soil, and what was noted for the run or its trays. What a hidden
 * control soil is made of is not asked: nobody may tell it from a soil.
 *
 * @param notKnown what was used and of which nobody said the lot, by its name in readings
 */
public record UsedInRun(String run, List<One> used, List<String> notKnown) {
    /**
     * One thing.
     *
     * @param at when it was used
     * @param soils the soils for which it was used; empty for all of the run
     * @param channel under which it read; empty text for all of the run
     * @param how it is known, in words
     */
    public record One(Thing thing, Instant at, Set<LabNumber> soils, String channel, String how) {
        public One {
            soils = Set.copyOf(soils);
        }

        /** Whether a result of the run was made with it. */
        public boolean touches(Result result) {
            return (soils.isEmpty() || soils.contains(result.labNumber()))
                    && (channel.isEmpty() || result.channel().isEmpty() || channel.equals(result.channel()));
        }
    }

    private static final Pattern OF_ANOTHER_DAY = Pattern.compile("(.+) \\((\\d{4}-\\d{2}-\\d{2})\\)");

    /** Characters of the date with which the name of a day begins. */
    private static final int DATE = 10;

    public UsedInRun {
        used = List.copyOf(used);
        notKnown = List.copyOf(notKnown);
    }

    /**
     * What a run was read with.
     *
     * @param name of the day on whose pages the run stands
     * @param trayOf see {@link #traysOf}
     * @param extracts whether its method reads an extract, so that an extractant was used
     */
    static UsedInRun of(Register register, String name, Map<LabNumber, String> trayOf, Run run, boolean extracts) {
        Instant at = run.startedAt().toInstant();
        List<One> used = new ArrayList<>();
        register.equipment().forEach(one -> {
            if (one.name().equals(run.instrument()) || one.instrument().equals(run.instrument())) {
                used.add(new One(one.thing(), at, Set.of(), one.channel(), "instrument of the run"));
            }
        });
        List<String> notKnown = new ArrayList<>();
        Set<LabNumber> read = new LinkedHashSet<>();
        for (String identity : namesRead(run, read)) {
            Optional<Lot> lot = register.inUse(identity, run.method(), at);
            lot.ifPresentOrElse(
                    known -> used.add(new One(known.thing(), at, Set.of(), "", "in use as " + identity)),
                    () -> notKnown.add(identity));
        }
        newest(register, register.usesAt(Use.Place.RUN, name, run.run()), run.method(), at)
                .forEach(use -> used.add(new One(use.thing(), use.at(), Set.of(), "", "noted for the run")));
        Set<LabNumber> extracted = new LinkedHashSet<>();
        Map<String, Set<LabNumber>> byTray = new LinkedHashMap<>();
        for (LabNumber number : read) {
            String tray = trayOf.get(number);
            if (tray != null) {
                byTray.computeIfAbsent(tray, any -> new LinkedHashSet<>()).add(number);
            }
        }
        byTray.forEach((tray, soils) -> {
            for (Use use : newest(register, usesOf(register, name, tray), run.method(), at)) {
                used.add(new One(use.thing(), use.at(), soils, "", "noted for tray " + tray));
                if (isExtractant(register, use.thing())) {
                    extracted.addAll(soils);
                }
            }
        });
        if (extracts && !extracted.containsAll(read)) {
            notKnown.add("extractant of " + (read.size() - extracted.size()) + " of " + read.size() + " soils");
        }
        return new UsedInRun(run.run(), used, notKnown);
    }

    private static List<Use> usesOf(Register register, String name, String tray) {
        Matcher other = OF_ANOTHER_DAY.matcher(tray);
        // The day of another register carries that after its date: 2026-11-24 field station.
        return other.matches() && name.length() >= DATE
                ? register.usesAt(Use.Place.TRAY, other.group(2) + name.substring(DATE), other.group(1))
                : register.usesAt(Use.Place.TRAY, name, tray);
    }

    /** The tray of each lab number of a day. */
    static Map<LabNumber, String> traysOf(Day day) {
        Map<LabNumber, String> trayOf = new HashMap<>();
        for (Tray tray : day.trays()) {
            for (Tray.Place place : tray.wells()) {
                place.labNumber().ifPresent(number -> trayOf.put(number, tray.tray()));
            }
        }
        return trayOf;
    }

    private static Set<String> namesRead(Run run, Set<LabNumber> soils) {
        Set<String> names = new LinkedHashSet<>();
        Readings readings = run.readings();
        // A run has thousands of readings of a few hundred names: each is looked at once.
        Map<Role, BitSet> seen = new EnumMap<>(Role.class);
        for (int i = 0; i < readings.size(); i++) {
            Role role = readings.role(i);
            BitSet of = seen.computeIfAbsent(role, any -> new BitSet());
            if (of.get(readings.identityCode(i))) {
                continue;
            }
            of.set(readings.identityCode(i));
            if (role == Role.STANDARD || role == Role.VERIFICATION || role == Role.CONTROL) {
                names.add(readings.identity(i));
            } else if (role == Role.SAMPLE || role == Role.DUPLICATE) {
                soils.add(new LabNumber(readings.identity(i)));
            }
        }
        return names;
    }

    private static boolean isExtractant(Register register, Thing thing) {
        return thing.kind() == Thing.Kind.LOT
                && register.lot(thing.name())
                        .filter(lot -> lot.kind() == Lot.Kind.EXTRACTANT)
                        .isPresent();
    }

    /** Of several lots of one thing, as where portions were taken again, the one used last before the run began. */
    private static List<Use> newest(Register register, List<Use> uses, String method, Instant at) {
        Map<String, Use> last = new LinkedHashMap<>();
        for (Use use : uses) {
            if ((use.method().isEmpty() || use.method().equals(method))
                    && !use.at().isAfter(at)) {
                String of = register.lot(use.thing().name())
                        .filter(lot -> use.thing().kind() == Thing.Kind.LOT)
                        .map(lot -> lot.kind() + " " + lot.standsFor())
                        .orElse(use.thing().key());
                last.merge(of, use, (a, b) -> b.at().isBefore(a.at()) ? a : b);
            }
        }
        return List.copyOf(last.values());
    }
}
