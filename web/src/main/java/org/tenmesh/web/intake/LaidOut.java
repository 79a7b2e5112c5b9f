package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;

/** Makes a day's layout of worksheets that wait: lab numbers, trays, hidden controls. */
final class LaidOut {
    private LaidOut() {}

    /** One worksheet with what is in it. */
    record Sheet(KeptSheet kept, SheetReader.Sheet read) {}

    /**
     * @param known the newest day: whose laboratory, packages, standards and control soils hold on
     * @param today the desk of the date itself, where anything was laid out on it before
     * @param seed whoever knows it knows the controls
     * @return empty where no control soil is known
     */
    static Optional<Day> of(List<Sheet> sheets, Desk known, Optional<Desk> today, LocalDate date, long seed) {
        List<String> materials = materials(known.day());
        if (materials.isEmpty()) {
            return Optional.empty();
        }
        int soils = sheets.stream().mapToInt(one -> one.read().samples().size()).sum();
        Layout.Plan plan = Layout.plan(soils, materials, start(today, date), Layout.Rules.defaults(), seed);
        List<Submission> submissions = new ArrayList<>();
        List<Soil> laidOut = new ArrayList<>();
        int next = 0;
        for (Sheet sheet : sheets) {
            submissions.add(submission(sheet, known.zone()));
            for (SheetReader.Sample sample : sheet.read().samples()) {
                laidOut.add(new Soil(
                        plan.soils().get(next++),
                        Optional.of(sheet.kept().submission()),
                        OptionalInt.of(sample.ordinal()),
                        Optional.of(sample.label()),
                        sample.topCm(),
                        sample.bottomCm(),
                        sample.packageName(),
                        Optional.empty()));
            }
        }
        for (LabNumber control : plan.controls().keySet()) {
            laidOut.add(new Soil(
                    control,
                    Optional.empty(),
                    OptionalInt.empty(),
                    Optional.empty(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    Optional.empty(),
                    Optional.empty()));
        }
        laidOut.sort((a, b) -> a.labNumber().compareTo(b.labNumber()));
        Day day = known.day();
        return Optional.of(new Day(
                day.laboratory(),
                submissions,
                laidOut,
                plan.trays(),
                plan.controls(),
                day.materials(),
                day.standards(),
                List.of(),
                day.packages(),
                List.of()));
    }

    /** Those that were hidden before; of a laboratory that hid none yet, all that are known. */
    private static List<String> materials(Day day) {
        Set<String> hidden =
                new LinkedHashSet<>(day.controls().values().stream().sorted().toList());
        Set<String> known = new LinkedHashSet<>(
                day.materials().stream().map(Material::material).toList());
        hidden.retainAll(known);
        return List.copyOf(hidden.isEmpty() ? known : hidden);
    }

    private static Submission submission(Sheet sheet, ZoneId zone) {
        KeptSheet.Said said = sheet.kept().said();
        return new Submission(
                sheet.kept().submission(),
                said.client(),
                sheet.kept().receivedAt().atZone(zone).toOffsetDateTime(),
                said.promisedOn(),
                sheet.read().originCountry(),
                sheet.read().originRegion(),
                said.packageName().or(sheet.read()::packageName),
                sheet.read().waterSupplied(),
                said.note().or(sheet.read()::note));
    }

    /** After the highest serial and tray of the date. */
    private static Layout.Start start(Optional<Desk> today, LocalDate date) {
        int serial = 0;
        int tray = 0;
        for (Day day : today.map(desk -> List.of(desk.day())).orElse(List.of())) {
            for (Soil soil : day.soils()) {
                String[] parts = soil.labNumber().text().split("-", -1);
                if (soil.labNumber().date().equals(Optional.of(date))) {
                    serial = Math.max(serial, Integer.parseInt(parts[1]));
                }
            }
            for (Tray one : day.trays()) {
                if (one.tray().matches("T\\d{1,6}")) {
                    tray = Math.max(tray, Integer.parseInt(one.tray().substring(1)));
                }
            }
        }
        return new Layout.Start(date, serial + 1, tray + 1);
    }

    /** What stands for the source of the layout: the digests of its worksheets. */
    static Map<String, String> digests(List<Sheet> sheets) {
        Map<String, String> digests = new java.util.TreeMap<>();
        sheets.forEach(one -> digests.put(one.kept().submission(), one.kept().sha256()));
        return digests;
    }
}
