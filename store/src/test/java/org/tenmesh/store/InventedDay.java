package org.tenmesh.store;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.SplittableRandom;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * An invented day of the invented Ashgrove Soil Laboratory, right in its shape and of any size; its numbers mean
 * nothing. About twenty readings a soil. Every fiftieth soil is a hidden control.
 */
final class InventedDay {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final OffsetDateTime MORNING = OffsetDateTime.parse("2026-11-25T06:30:00.250+01:00");
    private static final String[] LINES = {
        "P 213.618",
        "K 766.490",
        "Ca 317.933",
        "Mg 285.213",
        "Na 589.592",
        "S 181.975",
        "B 249.772",
        "Cu 324.752",
        "Fe 259.939",
        "Mn 257.610",
        "Zn 213.857",
        "Al 308.215",
        "Y 371.029"
    };

    private InventedDay() {}

    static Day of(int soils) {
        List<LabNumber> numbers = new ArrayList<>();
        for (int i = 1; i <= soils; i++) {
            numbers.add(LabNumber.of(DATE, i));
        }
        List<Submission> submissions = new ArrayList<>();
        List<Soil> all = new ArrayList<>();
        Map<LabNumber, String> controls = new HashMap<>();
        for (int i = 0; i < soils; i++) {
            String submission = "S" + (1 + i / 20);
            if (i % 20 == 0) {
                submissions.add(new Submission(
                        submission,
                        "Invented client " + (1 + i / 20) + " O’Brien",
                        MORNING.minusHours(20),
                        i % 40 == 0 ? Optional.of(DATE.plusDays(3)) : Optional.empty(),
                        Optional.of("IE"),
                        Optional.empty(),
                        Optional.of("standard"),
                        i % 60 == 0 ? Optional.of(true) : Optional.empty(),
                        i % 80 == 0 ? Optional.of("wet,\n\"sandy\"") : Optional.empty()));
            }
            boolean control = i % 50 == 17;
            if (control) {
                controls.put(numbers.get(i), i % 100 == 17 ? "LOAM-A" : "CLAY-B");
            }
            all.add(new Soil(
                    numbers.get(i),
                    control ? Optional.empty() : Optional.of(submission),
                    control ? OptionalInt.empty() : OptionalInt.of(1 + i % 20),
                    control ? Optional.empty() : Optional.of("field " + i),
                    i % 3 == 0 ? OptionalDouble.of(0) : OptionalDouble.empty(),
                    i % 3 == 0 ? OptionalDouble.of(15.5) : OptionalDouble.empty(),
                    Optional.empty(),
                    i % 5 == 0 ? Optional.of(i % 10 == 0) : Optional.empty(),
                    i % 20 == 19 ? Soil.Matter.WATER : Soil.Matter.SOIL));
        }
        List<Tray> trays = new ArrayList<>();
        for (int i = 0; i < soils; i += 11) {
            List<Tray.Place> wells = new ArrayList<>();
            for (int w = 0; w < 11 && i + w < soils; w++) {
                wells.add(new Tray.Place(new Well(w), Optional.of(numbers.get(i + w)), Tray.Purpose.SOIL));
            }
            wells.add(new Tray.Place(new Well(11), Optional.empty(), Tray.Purpose.KEY));
            trays.add(new Tray("T" + (1 + i / 11), wells));
        }
        List<Material> materials = List.of(
                new Material("LOAM-A", "ph-water-1-1", "pH", 6.42, 0.05, Unit.PH, OptionalInt.of(120)),
                new Material(
                        "CLAY-B", "mehlich3-icp", "K", 187.5, 6.1, Unit.MILLIGRAM_PER_KILOGRAM, OptionalInt.empty()));
        List<Standard> standards = List.of(
                new Standard("ph-water-1-1", "B7", "pH", 7, Unit.PH, OptionalDouble.of(0.05), OptionalDouble.empty()),
                new Standard(
                        "mehlich3-icp",
                        "S3",
                        "K",
                        50,
                        Unit.MILLIGRAM_PER_LITRE,
                        OptionalDouble.empty(),
                        OptionalDouble.of(5)));
        List<Run> runs = new ArrayList<>();
        for (int i = 0; i < soils; i += 200) {
            runs.add(run("P" + (1 + i / 200), numbers.subList(i, Math.min(soils, i + 200)), i));
        }
        return new Day(
                new Laboratory(
                        "Ashgrove Soil Laboratory",
                        "Europe/Dublin",
                        "1 Invented Lane\nAshgrove",
                        true,
                        Policy.defaults(),
                        Set.of("Queensland", "New Jersey"),
                        Laboratory.OWN_REGISTER,
                        new AcceptedFailures(true, false)),
                submissions,
                all,
                trays,
                controls,
                materials,
                standards,
                runs,
                List.of(
                        new TestPackage(
                                "standard",
                                "Standard, with exchange capacity",
                                List.of(
                                        new TestPackage.Asked("ph-water-1-1", List.of()),
                                        new TestPackage.Asked("mehlich3-icp", List.of("P", "K")))),
                        new TestPackage(
                                "acidity", "Acidity", List.of(new TestPackage.Asked("ph-water-1-1", List.of())))),
                numbers.size() < 3
                        ? List.of()
                        : List.of(
                                new Shortage(numbers.get(2), "ph-water-1-1"),
                                new Shortage(numbers.get(0), "mehlich3-icp")));
    }

    /** One run of about 20.5 readings a lab number. */
    static Run run(String name, List<LabNumber> numbers, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        Readings.Builder readings = Readings.builder();
        OffsetDateTime at = MORNING;
        int position = 1;
        for (; position <= 5; position++) {
            for (String line : LINES) {
                readings.add(
                        position,
                        position == 5 ? Role.BLANK : Role.STANDARD,
                        position == 5 ? "blank" : "S" + position,
                        "",
                        line,
                        random.nextDouble() * 1e5,
                        Unit.PER_SECOND,
                        at = at.plusSeconds(1),
                        1);
            }
        }
        for (LabNumber number : numbers) {
            for (String line : LINES) {
                readings.add(
                        position,
                        Role.SAMPLE,
                        number.text(),
                        "",
                        line,
                        random.nextDouble() * 1e5,
                        Unit.PER_SECOND,
                        at = at.plusSeconds(1),
                        position % 7 == 0 ? 10 : 1);
            }
            for (int i = 0; i < 7; i++) {
                readings.add(
                        position,
                        i == 6 ? Role.DUPLICATE : Role.SAMPLE,
                        number.text(),
                        "" + (1 + position % 4),
                        i % 2 == 0 ? "potential" : "temperature",
                        random.nextDouble() * -200,
                        i % 2 == 0 ? Unit.MILLIVOLT : Unit.CELSIUS,
                        at,
                        1);
            }
            position++;
        }
        return new Run(name, "mehlich3-icp", "plasma-1", Optional.of("M. Whelan"), MORNING, readings.build());
    }

    /** An import of runs alone, as a redo of soils that are known makes it. */
    static Day onlyRuns(List<Run> runs) {
        return new Day(Laboratory.unnamed(), List.of(), List.of(), List.of(), Map.of(), List.of(), List.of(), runs);
    }

    /** The same day with other runs. */
    static Day with(Day day, List<Run> runs) {
        return new Day(
                day.laboratory(),
                day.submissions(),
                day.soils(),
                day.trays(),
                day.controls(),
                day.materials(),
                day.standards(),
                runs,
                day.packages(),
                day.shortages());
    }
}
