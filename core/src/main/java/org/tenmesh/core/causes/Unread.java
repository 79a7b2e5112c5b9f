package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * A lab number that lies in a tray of which a run read others.
 *
 * @param atTheEnd whether it comes after the last that the run read
 */
record Unread(LabNumber labNumber, String tray, boolean atTheEnd) {
    private record OfMethod(Map<String, List<Unread>> byRun) {}

    /** By the run that read the others of the tray; empty text where that is none. */
    static Map<String, List<Unread>> of(Day day, List<Run> runs, Reuse reuse) {
        Map<String, List<Run>> byMethod = new HashMap<>();
        runs.forEach(run -> byMethod.computeIfAbsent(run.method(), method -> new ArrayList<>())
                .add(run));
        Asked asked = new Asked(day);
        String key = reuse.key(
                "unread",
                Engine.VERSION,
                reuse.digest(day.trays()),
                reuse.digest(day.soils()),
                reuse.digest(day.submissions()),
                reuse.digest(day.packages()),
                reuse.digest(day.shortages()));
        Map<String, List<Unread>> unread = new HashMap<>();
        byMethod.forEach((method, its) -> reuse.piece(
                        OfMethod.class, reuse.key(key, method, its), () -> new OfMethod(asked.unread(method, its)))
                .byRun()
                .forEach((run, some) ->
                        unread.computeIfAbsent(run, name -> new ArrayList<>()).addAll(some)));
        return unread;
    }

    /** What the day's trays hold, and what its soils are asked for. */
    private static final class Asked {
        private final Map<LabNumber, String> packageOf;
        private final Map<String, TestPackage> known = new HashMap<>();
        private final Set<Shortage> shortages;
        private final List<Inside> trays;

        Asked(Day day) {
            packageOf = packages(day);
            day.packages().forEach(one -> known.put(one.name(), one));
            shortages = new HashSet<>(day.shortages());
            trays = day.trays().stream()
                    .map(tray -> new Inside(
                            tray.tray(),
                            tray.wells().stream()
                                    .flatMap(place -> place.labNumber().stream())
                                    .toList()))
                    .toList();
        }

        Map<String, List<Unread>> unread(String method, List<Run> runs) {
            Map<String, Run> runOf = new HashMap<>();
            Set<String> underWay = new HashSet<>();
            Map<String, String> lastRead = new HashMap<>();
            for (Run run : runs) {
                // A position has a dozen readings and its soil one name: names are looked at by their codes.
                Readings readings = run.readings();
                BitSet samples = new BitSet();
                int last = -1;
                for (int i = 0; i < readings.size(); i++) {
                    if (readings.role(i) == Role.SAMPLE) {
                        last = readings.identityCode(i);
                        samples.set(last);
                    }
                }
                List<String> identities = readings.identities();
                samples.stream().mapToObj(identities::get).forEach(identity -> {
                    runOf.put(identity, run);
                    if (run.underWay()) {
                        underWay.add(identity);
                    }
                });
                if (last >= 0) {
                    lastRead.put(run.run(), identities.get(last));
                }
            }
            Map<String, List<Unread>> unread = new HashMap<>();
            // What a run under way has begun to read of a tray it may still read the rest of.
            trays.stream()
                    .filter(tray -> tray.soils().stream().noneMatch(lab -> underWay.contains(lab.text())))
                    .forEach(tray -> unread(method, tray, runOf, lastRead, unread));
            return unread;
        }

        private void unread(
                String method,
                Inside tray,
                Map<String, Run> runOf,
                Map<String, String> lastRead,
                Map<String, List<Unread>> unread) {
            List<LabNumber> inside = tray.soils();
            List<LabNumber> done = new ArrayList<>(inside.size());
            for (LabNumber lab : inside) {
                if (runOf.containsKey(lab.text())) {
                    done.add(lab);
                }
            }
            if (done.isEmpty() || done.size() == inside.size()) {
                return;
            }
            Set<String> asked = new HashSet<>();
            done.forEach(lab -> asked.add(packageOf.getOrDefault(lab, "")));
            LabNumber lastDone = done.get(done.size() - 1);
            String run = Optional.ofNullable(runOf.get(lastDone.text()))
                    .map(Run::run)
                    .orElse("");
            for (LabNumber lab : inside) {
                String wanted = packageOf.getOrDefault(lab, "");
                TestPackage its = known.get(wanted);
                // A package that is known says what is missing; otherwise it is what others of the same package got.
                boolean due = its == null
                        ? wanted.isEmpty() || asked.contains(wanted) || asked.contains("")
                        : its.of(method).isPresent();
                if (due && !runOf.containsKey(lab.text()) && !shortages.contains(new Shortage(lab, method))) {
                    boolean after = inside.indexOf(lab) > inside.indexOf(lastDone)
                            && lastDone.text().equals(lastRead.get(run));
                    unread.computeIfAbsent(run, name -> new ArrayList<>()).add(new Unread(lab, tray.tray(), after));
                }
            }
        }
    }

    private record Inside(String tray, List<LabNumber> soils) {}

    private static Map<LabNumber, String> packages(Day day) {
        Map<String, String> bySubmission = new HashMap<>();
        day.submissions().forEach(s -> s.packageName().ifPresent(name -> bySubmission.put(s.submission(), name)));
        Map<LabNumber, String> packages = new HashMap<>();
        day.soils()
                .forEach(soil -> soil.packageName()
                        .or(() -> soil.submission().map(bySubmission::get))
                        .ifPresent(name -> packages.put(soil.labNumber(), name)));
        return packages;
    }
}
