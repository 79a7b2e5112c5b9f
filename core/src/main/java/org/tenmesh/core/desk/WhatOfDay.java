package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.reduction.Run;

/** What came, was laid out and was read on a day, found by its name: which soil is whose, and in which well of which tray. */
final class WhatOfDay {
    /** A well of a tray. */
    record In(Tray tray, Well well) {}

    private final Day day;
    private final Map<String, Run> runs = new LinkedHashMap<>();
    private final Map<String, Tray> trays = new LinkedHashMap<>();
    private final Map<String, Submission> submissions = new LinkedHashMap<>();
    private final Map<LabNumber, Soil> soils = new HashMap<>();
    private final Map<LabNumber, In> places = new HashMap<>();
    private final Map<String, List<Soil>> soilsOf = new HashMap<>();

    WhatOfDay(Day day) {
        this.day = day;
        day.runs().forEach(run -> runs.put(run.run(), run));
        day.submissions().forEach(one -> submissions.put(one.submission(), one));
        for (Soil soil : day.soils()) {
            soils.put(soil.labNumber(), soil);
            soil.submission()
                    .ifPresent(name -> soilsOf.computeIfAbsent(name, k -> new ArrayList<>())
                            .add(soil));
        }
        soilsOf.values()
                .forEach(of ->
                        of.sort(Comparator.<Soil>comparingInt(s -> s.ordinal().orElse(Integer.MAX_VALUE))
                                .thenComparing(Soil::labNumber)));
        for (Tray tray : day.trays()) {
            trays.put(tray.tray(), tray);
            for (Tray.Place place : tray.wells()) {
                place.labNumber().ifPresent(number -> places.put(number, new In(tray, place.well())));
            }
        }
    }

    Optional<Run> run(String run) {
        return Optional.ofNullable(runs.get(run));
    }

    Optional<Tray> tray(String tray) {
        return Optional.ofNullable(trays.get(tray));
    }

    Optional<Submission> submission(String submission) {
        return Optional.ofNullable(submissions.get(submission));
    }

    Collection<Submission> submissions() {
        return submissions.values();
    }

    Optional<In> place(LabNumber labNumber) {
        return Optional.ofNullable(places.get(labNumber));
    }

    /** The soils of a submission, in the order of the client's sheet. */
    List<Soil> soilsOf(String submission) {
        return List.copyOf(soilsOf.getOrDefault(submission, List.of()));
    }

    /** The trays that hold any of these soils, by name. */
    List<String> traysOf(Collection<LabNumber> labNumbers) {
        return List.copyOf(labNumbers.stream()
                .map(places::get)
                .filter(Objects::nonNull)
                .map(place -> place.tray().tray())
                .collect(Collectors.toCollection(TreeSet::new)));
    }

    /** The submissions that any of these soils belong to, by name. */
    Set<String> submissionsOf(Collection<LabNumber> labNumbers) {
        return labNumbers.stream()
                .map(soils::get)
                .filter(Objects::nonNull)
                .flatMap(soil -> soil.submission().stream())
                .collect(Collectors.toCollection(TreeSet::new));
    }

    boolean isHiddenControl(LabNumber labNumber) {
        return day.controls().containsKey(labNumber);
    }

    /** Whether every hidden control came in a submission of the day with a label of its own. */
    boolean controlsCameAsSoils() {
        return day.controls().keySet().stream().allMatch(number -> {
            Soil soil = soils.get(number);
            return soil != null
                    && soil.clientLabel().isPresent()
                    && soil.submission().filter(submissions::containsKey).isPresent();
        });
    }

    /** Whether a submission holds nothing but hidden controls. */
    boolean isOfControls(String submission) {
        List<Soil> of = soilsOf.getOrDefault(submission, List.of());
        return !of.isEmpty() && of.stream().allMatch(soil -> isHiddenControl(soil.labNumber()));
    }

    /** Instruments in the order of their first run, each with its runs in the order they began. */
    Map<String, List<Run>> instruments() {
        Map<String, List<Run>> byInstrument = new LinkedHashMap<>();
        day.runs()
                .forEach(run -> byInstrument
                        .computeIfAbsent(run.instrument(), k -> new ArrayList<>())
                        .add(run));
        byInstrument.values().forEach(list -> list.sort(Comparator.comparing(Run::startedAt)));
        return byInstrument;
    }
}
