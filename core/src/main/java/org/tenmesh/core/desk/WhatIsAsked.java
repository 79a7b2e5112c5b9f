package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodsOfDay;

/** Which methods and analytes the soils of a day are asked for, and which of them cannot be read for want of soil. */
final class WhatIsAsked {
    private final Day given;
    private final MethodsOfDay methods;
    private final Map<String, Submission> submissions = new HashMap<>();
    private final Map<LabNumber, Soil> soils = new LinkedHashMap<>();
    private final Map<String, TestPackage> described = new LinkedHashMap<>();
    /** Methods by packages that are not described: what the day has read for any soil of that package. */
    private final Map<String, Set<String>> undescribed = new HashMap<>();

    private final Map<LabNumber, Set<String>> shortages = new HashMap<>();
    private final Set<String> allRead = new LinkedHashSet<>();
    private final Map<Tray, Integer> placeOfTray = new HashMap<>();
    private final Map<String, Integer> placeOfMethod = new HashMap<>();
    /** What each described package asks for that is on. */
    private final Map<String, Set<String>> askedBy = new HashMap<>();

    private final Day day;

    /** @param results of the day's own runs */
    WhatIsAsked(Day given, MethodsOfDay methods, List<Result> results) {
        this.given = given;
        this.methods = methods;
        given.submissions().forEach(submission -> submissions.put(submission.submission(), submission));
        given.soils().forEach(soil -> soils.put(soil.labNumber(), soil));
        given.packages().forEach(one -> described.put(one.name(), one));
        given.shortages()
                .forEach(shortage -> shortages
                        .computeIfAbsent(shortage.labNumber(), number -> new LinkedHashSet<>())
                        .add(shortage.method()));
        Map<LabNumber, Set<String>> methodsOf = new HashMap<>();
        for (Result result : results) {
            methodsOf
                    .computeIfAbsent(result.labNumber(), number -> new LinkedHashSet<>())
                    .add(result.method());
        }
        methodsOf.values().forEach(allRead::addAll);
        for (Soil soil : given.soils()) {
            packageOf(soil)
                    .filter(name -> !described.containsKey(name))
                    .ifPresent(name -> undescribed
                            .computeIfAbsent(name, unknown -> new LinkedHashSet<>())
                            .addAll(methodsOf.getOrDefault(soil.labNumber(), Set.of())));
        }
        for (int i = 0; i < given.trays().size(); i++) {
            placeOfTray.putIfAbsent(given.trays().get(i), i);
        }
        described.values().forEach(one -> {
            Set<String> on = new LinkedHashSet<>();
            one.asked().forEach(asked -> {
                placeOfMethod.putIfAbsent(asked.method(), placeOfMethod.size());
                if (isOn(asked.method())) {
                    on.add(asked.method());
                }
            });
            askedBy.put(one.name(), Collections.unmodifiableSet(on));
        });
        methods.ids().forEach(method -> placeOfMethod.putIfAbsent(method, placeOfMethod.size()));
        day = asking();
    }

    /**
     * The day with a package for every number in a tray: one that belongs to no submission asks for what its neighbour asks for, of
     * the same layer, so that a hidden control cannot be told by what it asks for.
     */
    private Day asking() {
        if (described.isEmpty()) {
            return given;
        }
        Optional<Soil> before = Optional.empty();
        for (Tray tray : given.trays()) {
            List<Soil> own = tray.wells().stream()
                    .flatMap(place -> place.labNumber().stream())
                    .map(soils::get)
                    .filter(Objects::nonNull)
                    .toList();
            Optional<Soil> nearest = Stream.concat(own.stream(), before.stream())
                    .filter(soil -> packageOf(soil).isPresent())
                    .findFirst();
            for (Soil soil : own) {
                if (packageOf(soil).isPresent()) {
                    nearest = Optional.of(soil);
                } else if (soil.submission().isEmpty()) {
                    Optional<Soil> like = nearest;
                    like.ifPresent(its -> soils.put(soil.labNumber(), asking(soil, its)));
                }
            }
            before = nearest;
        }
        return new Day(
                given.laboratory(),
                given.submissions(),
                List.copyOf(soils.values()),
                given.trays(),
                given.controls(),
                given.materials(),
                given.standards(),
                given.runs(),
                given.packages(),
                given.shortages(),
                given.history(),
                given.lost());
    }

    private Soil asking(Soil soil, Soil like) {
        return new Soil(
                soil.labNumber(),
                soil.submission(),
                soil.ordinal(),
                soil.clientLabel(),
                like.topCm(),
                like.bottomCm(),
                packageOf(like),
                soil.regulated(),
                soil.matter());
    }

    /** The day with a package for every number in a tray. */
    Day day() {
        return day;
    }

    /** A soil with the package that it asks by. */
    Optional<Soil> soil(LabNumber labNumber) {
        return Optional.ofNullable(soils.get(labNumber));
    }

    Optional<String> packageOf(Soil soil) {
        // A submission's package is for its soils; water asks by a package of its own.
        return soil.packageName()
                .or(() -> soil.matter() == Soil.Matter.WATER
                        ? Optional.empty()
                        : soil.submission()
                                .flatMap(name -> Optional.ofNullable(submissions.get(name)))
                                .flatMap(Submission::packageName));
    }

    Set<String> methodsOf(Soil soil) {
        Optional<TestPackage> its = testPackage(soil);
        if (its.isPresent()) {
            return askedBy.getOrDefault(its.get().name(), Set.of());
        }
        if (soil.submission().isEmpty()) {
            // A control asks for nothing of its own, so that it never stands out in a tray.
            return Set.of();
        }
        return packageOf(soil)
                .map(name -> undescribed.getOrDefault(name, Set.of()))
                .orElse(allRead);
    }

    Optional<TestPackage> testPackage(Soil soil) {
        return packageOf(soil).flatMap(this::testPackage);
    }

    Optional<TestPackage> testPackage(String name) {
        return Optional.ofNullable(described.get(name));
    }

    boolean tooLittleFor(LabNumber labNumber, String method) {
        return shortages.getOrDefault(labNumber, Set.of()).contains(method);
    }

    /** How many results this method is asked for in this soil. */
    int analytes(Soil soil, String method) {
        Method of = methods.find(method).orElse(null);
        if (of == null) {
            return 1;
        }
        Optional<TestPackage.Asked> asked = testPackage(soil).flatMap(its -> its.of(method));
        return (int) of.head().analytes().stream()
                .filter(analyte -> asked.map(one -> one.asks(analyte.symbol())).orElse(true))
                .count();
    }

    boolean isOn(String method) {
        return methods.find(method).map(one -> Deriving.isOn(given, one)).orElse(true);
    }

    /** What is read from soil, in contrast to what is calculated from other results. */
    boolean isRead(String method) {
        return methods.find(method).filter(Method::isCalculated).isEmpty();
    }

    List<String> methodsOf(Tray tray) {
        Set<String> asked = new LinkedHashSet<>();
        int at = placeOfTray.getOrDefault(tray, -1);
        for (int i = at; i >= 0 && asked.isEmpty(); i--) {
            for (Tray.Place place : given.trays().get(i).wells()) {
                place.labNumber().map(soils::get).ifPresent(soil -> asked.addAll(methodsOf(soil)));
            }
        }
        if (asked.isEmpty()) {
            // No package of it is described and nothing of it was read: the day does not say yet what it asks for.
            asked.addAll(allRead.isEmpty() ? methods.ids() : allRead);
        }
        asked.removeIf(method -> !isRead(method));
        List<String> ordered = new ArrayList<>(asked);
        ordered.sort(Comparator.comparingInt(m -> placeOfMethod.getOrDefault(m, Integer.MAX_VALUE)));
        return ordered;
    }
}
