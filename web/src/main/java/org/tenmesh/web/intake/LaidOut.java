package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.Origin;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;

/** Makes a day's layout of submissions that are booked in: lab numbers, trays, hidden controls. */
final class LaidOut {
    private LaidOut() {}

    /**
     * @param known the newest day: whose laboratory, packages, standards and control soils hold on
     * @param today the desk of the date itself, where anything was laid out on it before
     * @param seed whoever knows it knows the controls
     * @return empty where no control soil is known
     */
    static Optional<Day> of(List<AtDock> sheets, Desk known, Optional<Desk> today, LocalDate date, long seed) {
        List<String> materials = materials(known.day());
        if (materials.isEmpty()) {
            return Optional.empty();
        }
        List<Submission> submissions = new ArrayList<>();
        List<Soil> laidOut = new ArrayList<>();
        List<Tray> trays = new ArrayList<>();
        Map<LabNumber, String> controls = new LinkedHashMap<>();
        Layout.Start start = start(today, date);
        // Regulated soil lies in trays of its own, with hidden controls of its own: these count as regulated too, so
        // that nobody tells them apart.
        for (boolean regulated : new boolean[] {false, true}) {
            List<AtDock> its = sheets.stream()
                    .filter(one -> one.booking().regulated() == regulated)
                    .toList();
            int soils =
                    its.stream().mapToInt(one -> one.booking().soils().size()).sum();
            if (soils == 0) {
                continue;
            }
            Layout.Plan plan = Layout.plan(
                    soils, materials, start, Layout.Rules.defaults(), regulated ? Long.rotateLeft(seed, 32) : seed);
            int next = 0;
            for (AtDock sheet : its) {
                submissions.add(submission(sheet, known.zone()));
                for (Booking.BookedSoil booked : sheet.booking().soils()) {
                    laidOut.add(soil(sheet, booked, plan.soils().get(next++), regulated));
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
                        Optional.of(regulated)));
            }
            trays.addAll(plan.trays());
            controls.putAll(plan.controls());
            start = plan.next();
        }
        laidOut.sort((a, b) -> a.labNumber().compareTo(b.labNumber()));
        Day day = known.day();
        return Optional.of(new Day(
                day.laboratory(),
                submissions,
                laidOut,
                trays,
                controls,
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

    private static Soil soil(AtDock sheet, Booking.BookedSoil booked, LabNumber number, boolean regulated) {
        Optional<SheetReader.Sample> sample = sheet.read().samples().stream()
                .filter(one -> booked.onSheet() && one.ordinal() == booked.number())
                .findFirst();
        return new Soil(
                number,
                Optional.of(sheet.kept().submission()),
                OptionalInt.of(booked.number()),
                Optional.of(sample.map(SheetReader.Sample::label).orElse(booked.label())),
                sample.map(SheetReader.Sample::topCm).orElse(OptionalDouble.empty()),
                sample.map(SheetReader.Sample::bottomCm).orElse(OptionalDouble.empty()),
                sample.flatMap(SheetReader.Sample::packageName),
                Optional.of(regulated));
    }

    private static Submission submission(AtDock sheet, ZoneId zone) {
        KeptSheet.Said said = sheet.kept().said();
        Booking booking = sheet.booking();
        Origin origin = booking.arrival().origin();
        List<String> notes = new ArrayList<>();
        said.note().or(sheet.read()::note).ifPresent(notes::add);
        notes.addAll(booking.remarks());
        return new Submission(
                sheet.kept().submission(),
                said.client(),
                booking.boxes().get(0).at().atZone(zone).toOffsetDateTime(),
                said.promisedOn(),
                Optional.of(origin.country()).filter(text -> !text.isEmpty()),
                Optional.of(origin.region()).filter(text -> !text.isEmpty()),
                said.packageName().or(sheet.read()::packageName),
                sheet.read().waterSupplied(),
                Optional.of(String.join(" ", notes)).filter(text -> !text.isEmpty()));
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
    static Map<String, String> digests(List<AtDock> sheets) {
        Map<String, String> digests = new TreeMap<>();
        sheets.forEach(one -> digests.put(one.kept().submission(), one.kept().sha256()));
        return digests;
    }
}
