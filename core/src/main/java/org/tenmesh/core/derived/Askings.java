package org.tenmesh.core.derived;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;

/** What every soil of a day asks for: its own package, or else that of its submission. */
public final class Askings {
    private final Map<LabNumber, TestPackage> packages;
    private final MethodsOfDay methods;
    private final Map<String, Set<String>> needed = new ConcurrentHashMap<>();
    private final Map<String, Set<String>> asked = new ConcurrentHashMap<>();

    private Askings(Map<LabNumber, TestPackage> packages, MethodsOfDay methods) {
        this.packages = packages;
        this.methods = methods;
    }

    /** Of a day, by the versions that hold on it; a package that is not known asks for nothing known. */
    public static Askings of(Day day, MethodBook methods) {
        return of(day, methods.on(day.date()));
    }

    static Askings of(Day day, MethodsOfDay methods) {
        Map<String, TestPackage> byName = new HashMap<>();
        day.packages().forEach(one -> byName.put(one.name(), one));
        Map<LabNumber, TestPackage> packages = new HashMap<>();
        if (!byName.isEmpty()) {
            Map<String, String> bySubmission = new HashMap<>();
            for (Submission submission : day.submissions()) {
                submission.packageName().ifPresent(name -> bySubmission.put(submission.submission(), name));
            }
            for (Soil soil : day.soils()) {
                name(soil, bySubmission).map(byName::get).ifPresent(its -> packages.put(soil.labNumber(), its));
            }
        }
        return new Askings(packages, methods);
    }

    private static Optional<String> name(Soil soil, Map<String, String> bySubmission) {
        // A submission's package is for its soils; water asks by a package of its own.
        return soil.packageName()
                .or(() -> soil.matter() == Soil.Matter.WATER
                        ? Optional.empty()
                        : soil.submission().map(bySubmission::get));
    }

    /** The package of this lab number; empty when none is known. */
    public Optional<TestPackage> of(LabNumber labNumber) {
        return Optional.ofNullable(packages.get(labNumber));
    }

    /** Ids of the methods this lab number asks for; none when its package is not known. */
    Set<String> methods(LabNumber labNumber) {
        TestPackage wanted = packages.get(labNumber);
        return wanted == null
                ? Set.of()
                : asked.computeIfAbsent(
                        wanted.name(),
                        name -> wanted.asked().stream()
                                .map(TestPackage.Asked::method)
                                .collect(Collectors.toSet()));
    }

    /** Derived methods that those asked for rest on, they themselves included. */
    Set<String> needed(TestPackage wanted) {
        return needed.computeIfAbsent(wanted.name(), name -> {
            Set<String> all = new HashSet<>();
            Deque<String> left = new ArrayDeque<>();
            wanted.asked().forEach(asked -> left.add(asked.method()));
            while (!left.isEmpty()) {
                String id = left.remove();
                if (methods.find(id).orElse(null) instanceof DerivedMethod derived && all.add(id)) {
                    derived.inputs().forEach(input -> input.from().forEach(from -> left.add(from.method())));
                }
            }
            return all;
        });
    }
}
