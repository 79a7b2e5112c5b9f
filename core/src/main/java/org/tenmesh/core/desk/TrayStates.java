package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.release.Release;

/** How far each tray has come, by what is asked of its soils, what stands of them and what was released. */
final class TrayStates {
    private final WhatIsAsked asked;
    private final WhatStands standing;
    private final Map<String, Release> released;
    private final Predicate<Result> waitsForItsRun;

    private TrayStates(
            WhatIsAsked asked, WhatStands standing, Map<String, Release> released, Predicate<Result> waitsForItsRun) {
        this.asked = asked;
        this.standing = standing;
        this.released = released;
        this.waitsForItsRun = waitsForItsRun;
    }

    /**
     * @param released the last release of each submission that has one, by name
     * @param waitsForItsRun whether nothing but its run, which is under way, holds a result
     */
    static List<TrayState> of(
            List<Tray> trays,
            WhatIsAsked asked,
            WhatStands standing,
            Map<String, Release> released,
            Predicate<Result> waitsForItsRun) {
        TrayStates states = new TrayStates(asked, standing, released, waitsForItsRun);
        List<TrayState> all = new ArrayList<>();
        trays.forEach(tray -> all.add(states.of(tray)));
        return List.copyOf(all);
    }

    /** The trays by where they stand, stations in their order. */
    static Map<Station, List<TrayState>> byStation(List<TrayState> trays) {
        Map<Station, List<TrayState>> byStation = new EnumMap<>(Station.class);
        trays.forEach(tray -> byStation
                .computeIfAbsent(tray.station(), station -> new ArrayList<>())
                .add(tray));
        return byStation;
    }

    private TrayState of(Tray tray) {
        TrayState.WellState[] wells = new TrayState.WellState[Well.PER_TRAY];
        Arrays.fill(wells, TrayState.WellState.EMPTY);
        Set<String> lacks = new LinkedHashSet<>(asked.methodsOf(tray));
        Set<String> read = new LinkedHashSet<>();
        boolean regulated = false;
        boolean clients = false;
        boolean allReleased = true;
        Verdict worst = Verdict.FIT;
        for (Tray.Place place : tray.wells()) {
            if (place.labNumber().isEmpty()) {
                wells[place.well().index()] =
                        place.purpose() == Tray.Purpose.KEY ? TrayState.WellState.KEY : TrayState.WellState.EMPTY;
                continue;
            }
            LabNumber labNumber = place.labNumber().get();
            Soil soil = asked.soil(labNumber).orElse(null);
            regulated |= soil != null && soil.regulated().orElse(false);
            Verdict of = Verdict.FIT;
            boolean anyRead = false;
            List<Result> here = standing.of(labNumber);
            Optional<Waiting> waiting = Optional.ofNullable(soil).map(known -> Waiting.of(asked, known, here));
            for (Result result : here) {
                lacks.add(result.method());
                if (!result.unread() && waiting.filter(its -> its.waits(result)).isEmpty()) {
                    if (result.position() > 0) {
                        read.add(result.method());
                        anyRead = true;
                    }
                    if (!waitsForItsRun.test(result)) {
                        of = of.or(result.verdict());
                    }
                }
            }
            worst = worst.or(of);
            wells[place.well().index()] = place.purpose() == Tray.Purpose.KEY
                    ? TrayState.WellState.KEY
                    : !anyRead
                            ? TrayState.WellState.UNREAD
                            : switch (of) {
                                case FIT -> TrayState.WellState.FIT;
                                case HOLD -> TrayState.WellState.HOLD;
                                case REDO -> TrayState.WellState.REDO;
                            };
            if (soil != null && soil.submission().isPresent()) {
                clients = true;
                Release release = released.get(soil.submission().get());
                allReleased &= release != null
                        && release.results().stream()
                                .filter(r -> r.labNumber().equals(labNumber))
                                .allMatch(r -> r.heldBecause().isEmpty());
            }
        }
        lacks.removeIf(method -> read.contains(method) || !asked.isRead(method));
        List<String> lacking = List.copyOf(lacks);
        Station station = read.isEmpty()
                ? Station.LAYOUT
                : !lacking.isEmpty()
                        ? Station.READING
                        : clients && allReleased
                                ? Station.SHELF
                                : worst == Verdict.FIT ? Station.RELEASE : Station.JUDGING;
        return new TrayState(tray, station, regulated, Arrays.asList(wells), lacking, worst);
    }
}
