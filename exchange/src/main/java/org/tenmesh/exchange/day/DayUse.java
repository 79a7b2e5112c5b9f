package org.tenmesh.exchange.day;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.Spelling;

/** What the files of a day say of each other that fits nothing: packages, soils, trays and standards that nobody used. */
final class DayUse {
    private final Day day;
    private final Set<String> calculated;
    private final List<Problem> problems;
    private final List<Problem> notes;

    /**
     * Looks at a day.
     *
     * @param calculated methods that are calculated from others, which no run reads
     */
    DayUse(Day day, Set<String> calculated, List<Problem> problems, List<Problem> notes) {
        this.day = day;
        this.calculated = calculated;
        this.problems = problems;
        this.notes = notes;
    }

    void tell() {
        packages();
        trays();
        if (!day.runs().isEmpty()) {
            soils();
            standards();
            materials();
            hiddenControls();
            withoutTray();
        }
        key();
        new DayTimes(day, notes).tell();
    }

    // A material that no control is made of: its name may be misspelt, and then a control goes unjudged.
    private void materials() {
        Set<String> used = new HashSet<>(day.controls().values());
        for (Run run : day.runs()) {
            Readings readings = run.readings();
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) == Role.CONTROL) {
                    used.add(readings.identity(i));
                }
            }
        }
        Set<String> told = new LinkedHashSet<>();
        day.materials().forEach(one -> {
            if (!used.contains(one.material()) && told.add(one.material())) {
                notes.add(new Problem(
                        DayFiles.MATERIALS,
                        0,
                        "material",
                        Problem.quoted(one.material()) + ", of which the day has no control",
                        Spelling.closest(one.material(), used)
                                .map(close -> Problem.quoted(close) + ", if that is what is meant")
                                .orElse("a control of it in controls.csv or in the readings"),
                        "Nothing is judged by it"));
            }
        });
    }

    // A soil in no tray is left out when trays are looked at for turned and exchanged ones.
    private void withoutTray() {
        Set<LabNumber> laidOut = new HashSet<>();
        day.trays()
                .forEach(tray -> tray.wells().forEach(place -> place.labNumber().ifPresent(laidOut::add)));
        List<String> without = day.soils().stream()
                .map(Soil::labNumber)
                .filter(lab -> !laidOut.contains(lab))
                .map(LabNumber::text)
                .toList();
        if (!without.isEmpty()) {
            notes.add(
                    new Problem(
                            DayFiles.TRAYS,
                            0,
                            "lab_number",
                            day.trays().isEmpty() ? "no tray" : Problem.some(without) + " in no tray",
                            "a well for each lab number of samples.csv",
                            "Turned and exchanged trays are not looked for among them, and a reading that is missing may go unseen"));
        }
    }

    // What a hidden control is made of must be known for what it is read for; else it judges nothing, and nobody sees
    // which it is.
    private void hiddenControls() {
        Map<String, Map<String, Set<String>>> stated = new TreeMap<>();
        day.materials()
                .forEach(one -> stated.computeIfAbsent(one.method(), method -> new TreeMap<>())
                        .computeIfAbsent(one.material(), material -> new LinkedHashSet<>())
                        .add(one.analyte()));
        Map<String, String> materialOf = new HashMap<>();
        day.controls().forEach((lab, material) -> materialOf.put(lab.text(), material));
        Map<String, Set<String>> readBy = new TreeMap<>();
        for (Run run : day.runs()) {
            for (String identity : run.readings().identities()) {
                String material = materialOf.get(identity);
                if (material != null) {
                    readBy.computeIfAbsent(run.method(), method -> new LinkedHashSet<>())
                            .add(material);
                }
            }
        }
        readBy.forEach((method, materials) -> {
            Map<String, Set<String>> of = stated.getOrDefault(method, Map.of());
            Set<String> all = new LinkedHashSet<>();
            of.values().forEach(all::addAll);
            for (String material : materials) {
                Set<String> lacking = new LinkedHashSet<>(all);
                lacking.removeAll(of.getOrDefault(material, Set.of()));
                if (!lacking.isEmpty()) {
                    notes.add(new Problem(
                            DayFiles.MATERIALS,
                            0,
                            "analyte",
                            "no content of " + Problem.quoted(material) + " for " + method + " in "
                                    + String.join(" ", lacking) + ", although hidden controls of it were read",
                            "a line for each analyte that is stated of other materials",
                            "These hidden controls judge nothing there"));
                }
            }
        });
    }

    // Hidden controls stand among the soils without a submission; without the key they pass for soils.
    private void key() {
        List<String> nobodys = new ArrayList<>();
        boolean others = false;
        for (Soil soil : day.soils()) {
            others |= soil.submission().isPresent();
            if (soil.submission().isEmpty() && !day.controls().containsKey(soil.labNumber())) {
                nobodys.add(soil.labNumber().text());
            }
        }
        if (others && !nobodys.isEmpty()) {
            notes.add(new Problem(
                    DayFiles.SAMPLES,
                    0,
                    "submission",
                    Problem.some(nobodys) + " without a submission and not in controls.csv",
                    "a submission, or a line in controls.csv if they are hidden controls",
                    "They are judged as soils"));
        }
    }

    private void packages() {
        if (day.packages().isEmpty()) {
            packagesWithoutContent();
            return;
        }
        Set<String> known = new LinkedHashSet<>();
        day.packages().forEach(one -> known.add(one.name()));
        Map<String, List<String>> bySubmission = new TreeMap<>();
        for (Submission one : day.submissions()) {
            one.packageName()
                    .filter(name -> !known.contains(name))
                    .ifPresent(name -> bySubmission
                            .computeIfAbsent(name, key -> new ArrayList<>())
                            .add(one.submission()));
        }
        Map<String, List<String>> bySoil = new TreeMap<>();
        for (Soil one : day.soils()) {
            one.packageName()
                    .filter(name -> !known.contains(name))
                    .ifPresent(name -> bySoil.computeIfAbsent(name, key -> new ArrayList<>())
                            .add(one.labNumber().text()));
        }
        Map<String, List<String>> byNote = new TreeMap<>();
        for (Submission one : day.submissions()) {
            one.note()
                    .filter(note -> one.packageName().isEmpty() && known.contains(note))
                    .ifPresent(note -> byNote.computeIfAbsent(note, key -> new ArrayList<>())
                            .add(one.submission()));
        }
        byNote.forEach((name, all) -> problems.add(new Problem(
                DayFiles.SUBMISSIONS,
                0,
                "note",
                Problem.quoted(name) + " as the note of " + Problem.some(all) + ", without a package",
                "a note; " + Problem.quoted(name) + " is a package and stands in the column package",
                "No package is asked for: everything that was read is calculated")));
        bySubmission.forEach((name, all) -> unknown(DayFiles.SUBMISSIONS, name, known, all));
        bySoil.forEach((name, all) -> unknown(DayFiles.SAMPLES, name, known, all));
    }

    private void packagesWithoutContent() {
        Set<String> named = new LinkedHashSet<>();
        day.submissions().forEach(one -> one.packageName().ifPresent(named::add));
        day.soils().forEach(one -> one.packageName().ifPresent(named::add));
        // One package for everybody asks the same of every soil, whatever that is.
        if (named.size() > 1) {
            notes.add(new Problem(
                    DayFiles.PACKAGES,
                    0,
                    "package",
                    "no package, although submissions and soils name " + Problem.some(List.copyOf(named)),
                    "what each package asks for",
                    "Nothing is missed of these soils that they do not have, and nothing is calculated for a package"));
        }
    }

    private void unknown(String file, String name, Set<String> known, List<String> all) {
        problems.add(new Problem(
                file,
                0,
                "package",
                Problem.quoted(name) + " of " + Problem.some(all),
                Spelling.closest(name, known)
                        .map(close -> "a package of packages.csv; " + Problem.quoted(close) + " is close")
                        .orElse("a package of packages.csv: " + String.join(", ", known)),
                "It asks for nothing known; nothing is missed of these soils that they do not have"));
    }

    private void trays() {
        Map<LabNumber, String> first = new HashMap<>();
        for (Tray tray : day.trays()) {
            for (Tray.Place place : tray.wells()) {
                if (place.labNumber().isEmpty()) {
                    continue;
                }
                LabNumber number = place.labNumber().get();
                if (place.purpose() == Tray.Purpose.KEY) {
                    notes.add(new Problem(
                            DayFiles.TRAYS,
                            0,
                            "lab_number",
                            number.text() + " in the key well " + place.well() + " of tray " + tray.tray(),
                            "a key well without soil",
                            "It is taken as written"));
                }
                String before = first.putIfAbsent(number, tray.tray());
                if (before != null && !before.equals(tray.tray())) {
                    notes.add(new Problem(
                            DayFiles.TRAYS,
                            0,
                            "lab_number",
                            number.text() + " in trays " + before + " and " + tray.tray(),
                            "each lab number in one tray, unless it was portioned twice",
                            "It is taken as written"));
                }
            }
        }
    }

    private void soils() {
        Map<String, Set<String>> readBy = new HashMap<>();
        Set<String> read = new HashSet<>();
        for (Run run : day.runs()) {
            Set<String> own = readBy.computeIfAbsent(run.method(), method -> new HashSet<>());
            Readings readings = run.readings();
            int last = -1;
            for (int i = 0; i < readings.size(); i++) {
                // Rows of one position follow each other.
                if (readings.identityCode(i) != last && readings.role(i) == Role.SAMPLE) {
                    last = readings.identityCode(i);
                    own.add(readings.identity(i));
                    read.add(readings.identity(i));
                }
            }
        }
        Set<String> withoutPortion = new HashSet<>();
        Set<String> anyShortage = new HashSet<>();
        day.shortages().forEach(one -> {
            withoutPortion.add(one.labNumber().text() + "\n" + one.method());
            anyShortage.add(one.labNumber().text());
        });
        Map<String, TestPackage> packages = new HashMap<>();
        day.packages().forEach(one -> packages.put(one.name(), one));
        Map<String, Submission> submissions = new HashMap<>();
        day.submissions().forEach(one -> submissions.put(one.submission(), one));
        Map<String, List<String>> missing = new LinkedHashMap<>();
        List<String> never = new ArrayList<>();
        for (Soil soil : day.soils()) {
            String number = soil.labNumber().text();
            Optional<TestPackage> wanted = wanted(soil, submissions).map(packages::get);
            if (wanted.isEmpty()) {
                if (!read.contains(number) && !anyShortage.contains(number)) {
                    never.add(number);
                }
                continue;
            }
            for (TestPackage.Asked asked : wanted.get().asked()) {
                boolean measured = !calculated.contains(asked.method());
                if (measured
                        && !readBy.getOrDefault(asked.method(), Set.of()).contains(number)
                        && !withoutPortion.contains(number + "\n" + asked.method())) {
                    missing.computeIfAbsent(asked.method(), method -> new ArrayList<>())
                            .add(number);
                }
            }
        }
        missing.forEach((method, all) -> notes.add(new Problem(
                DayFiles.SAMPLES,
                0,
                "lab_number",
                Problem.some(all) + " not read by " + method + ", for which their package asks",
                "a reading of each, or its line in shortages.csv",
                readBy.containsKey(method) ? "They have no result of it" : "No run of this day is of that method")));
        if (!never.isEmpty()) {
            notes.add(new Problem(
                    DayFiles.SAMPLES,
                    0,
                    "lab_number",
                    Problem.some(never) + " that no run has read",
                    "a reading of each",
                    "They have no result"));
        }
    }

    private static Optional<String> wanted(Soil soil, Map<String, Submission> submissions) {
        return soil.packageName()
                .or(() -> soil.matter() == Soil.Matter.WATER
                        ? Optional.empty()
                        : soil.submission()
                                .map(submissions::get)
                                .flatMap(one -> one == null ? Optional.empty() : one.packageName()));
    }

    private void standards() {
        Set<String> methods = new HashSet<>();
        day.runs().forEach(run -> methods.add(run.method()));
        List<String> unused = day.standards().stream()
                .map(Standard::method)
                .filter(method -> !methods.contains(method))
                .distinct()
                .toList();
        if (!unused.isEmpty()) {
            notes.add(new Problem(
                    DayFiles.STANDARDS,
                    0,
                    "method",
                    "standards of " + Problem.some(unused) + " and no run of "
                            + (unused.size() == 1 ? "it" : "these methods"),
                    "a run of each in runs.csv",
                    "Nothing is judged by what is not read"));
        }
    }
}
