package org.tenmesh.store;

import java.time.OffsetDateTime;
import java.util.List;
import java.util.SplittableRandom;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.AshgroveDay;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** The Ashgrove day read in runs of 200 soils, about twenty readings a soil: as much as a store takes; the numbers mean nothing. */
final class InventedDay {
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
        MadeDay day = AshgroveDay.of(soils)
                .packages(List.of(
                        new TestPackage(
                                "standard",
                                "Standard, with exchange capacity",
                                List.of(
                                        new TestPackage.Asked("ph-water-1-1", List.of()),
                                        new TestPackage.Asked("mehlich3-icp", List.of("P", "K")))),
                        new TestPackage(
                                "acidity", "Acidity", List.of(new TestPackage.Asked("ph-water-1-1", List.of())))));
        day.submissions(day.day().submissions().stream()
                .map(one -> MadeSubmission.like(one).note("wet,\n\"sandy\"").submission())
                .toList());
        if (soils >= 3) {
            day.shortages(List.of(
                    new Shortage(MadeDay.lab(3), "ph-water-1-1"), new Shortage(MadeDay.lab(1), "mehlich3-icp")));
        }
        List<LabNumber> numbers =
                day.day().soils().stream().map(Soil::labNumber).toList();
        for (int i = 0; i < soils; i += 200) {
            day.run(run("P" + (1 + i / 200), numbers.subList(i, Math.min(soils, i + 200)), i));
        }
        return day.day();
    }

    /** One run of about 20.5 readings a lab number. */
    static Run run(String name, List<LabNumber> numbers, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        MadeRun run = MadeRun.of(name, "mehlich3-icp")
                .instrument("plasma-1")
                .operator("T. Byrne")
                .startedAt(MORNING)
                .channel("");
        OffsetDateTime at = MORNING;
        for (int standard = 1; standard <= 5; standard++) {
            run.at(standard == 5 ? Role.BLANK : Role.STANDARD, standard == 5 ? "blank" : "S" + standard);
            at = lines(run, random, at);
        }
        for (LabNumber number : numbers) {
            run.at(Role.SAMPLE, number.text()).channel("").diluted(run.position() % 7 == 0 ? 10 : 1);
            at = lines(run, random, at);
            run.channel("" + (1 + run.position() % 4)).diluted(1);
            for (int i = 0; i < 7; i++) {
                run.as(i == 6 ? Role.DUPLICATE : Role.SAMPLE)
                        .read(
                                i % 2 == 0 ? "potential" : "temperature",
                                random.nextDouble() * -200,
                                i % 2 == 0 ? Unit.MILLIVOLT : Unit.CELSIUS);
            }
        }
        return run.run();
    }

    /** Every line at the position where the run stands, a second each. */
    private static OffsetDateTime lines(MadeRun run, SplittableRandom random, OffsetDateTime from) {
        OffsetDateTime at = from;
        for (String line : LINES) {
            at = at.plusSeconds(1);
            run.clock(at).read(line, random.nextDouble() * 1e5, Unit.PER_SECOND);
        }
        return at;
    }

    /** An import of runs alone, as a redo of soils that are known makes it. */
    static Day onlyRuns(List<Run> runs) {
        return MadeDay.empty().runs(runs).day();
    }
}
