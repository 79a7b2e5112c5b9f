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
    /** By the run that read the others of the tray; empty text where that is none. */
    static Map<String, List<Unread>> of(Day day, List<Run> runs) {
        Map<LabNumber, String> packageOf = packages(day);
        Map<String, TestPackage> known = new HashMap<>();
        day.packages().forEach(one -> known.put(one.name(), one));
        Set<Shortage> shortages = new HashSet<>(day.shortages());
        Map<String, Set<String>> readByMethod = new HashMap<>();
        Map<String, String> lastRead = new HashMap<>();
        Map<String, Map<String, Run>> runOf = new HashMap<>();
        List<Inside> trays = day.trays().stream()
                .map(tray -> new Inside(
                        tray.tray(),
                        tray.wells().stream()
                                .flatMap(place -> place.labNumber().stream())
                                .toList()))
                .toList();
        for (Run run : runs) {
            Set<String> read = readByMethod.computeIfAbsent(run.method(), method -> new HashSet<>());
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
            Map<String, Run> its = runOf.computeIfAbsent(run.method(), method -> new HashMap<>());
            samples.stream().mapToObj(identities::get).forEach(identity -> {
                read.add(identity);
                its.put(identity, run);
            });
            if (last >= 0) {
                lastRead.put(run.run(), identities.get(last));
            }
        }
        Map<String, List<Unread>> unread = new HashMap<>();
        readByMethod.forEach((method, read) -> trays.forEach(tray -> {
            List<LabNumber> inside = tray.soils();
            List<LabNumber> done = new ArrayList<>(inside.size());
            for (LabNumber lab : inside) {
                if (read.contains(lab.text())) {
                    done.add(lab);
                }
            }
            if (done.isEmpty() || done.size() == inside.size()) {
                return;
            }
            Set<String> asked = new HashSet<>();
            done.forEach(lab -> asked.add(packageOf.getOrDefault(lab, "")));
            LabNumber lastDone = done.get(done.size() - 1);
            String run = Optional.ofNullable(
                            runOf.getOrDefault(method, Map.of()).get(lastDone.text()))
                    .map(Run::run)
                    .orElse("");
            for (LabNumber lab : inside) {
                String wanted = packageOf.getOrDefault(lab, "");
                TestPackage its = known.get(wanted);
                // A package that is known says what is missing; otherwise it is what others of the same package got.
                boolean due = its == null
                        ? wanted.isEmpty() || asked.contains(wanted) || asked.contains("")
                        : its.of(method).isPresent();
                if (due && !read.contains(lab.text()) && !shortages.contains(new Shortage(lab, method))) {
                    boolean after = inside.indexOf(lab) > inside.indexOf(lastDone)
                            && lastDone.text().equals(lastRead.get(run));
                    unread.computeIfAbsent(run, name -> new ArrayList<>()).add(new Unread(lab, tray.tray(), after));
                }
            }
        }));
        return unread;
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
