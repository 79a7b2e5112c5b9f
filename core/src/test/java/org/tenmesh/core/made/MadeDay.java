package org.tenmesh.core.made;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Run;

/**
 * A laboratory day for tests. It starts empty, or {@linkplain #like like another day}; a test sets what it is about and leaves the
 * rest. The plural sets a whole list, the singular adds to it.
 */
public final class MadeDay {
    /** The day that lab numbers of {@link #lab} carry. */
    public static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    /** When its runs start. */
    public static final OffsetDateTime MORNING = OffsetDateTime.parse("2026-11-25T09:00:00Z");

    private Laboratory laboratory = Laboratory.unnamed();
    private List<Submission> submissions = new ArrayList<>();
    private List<Soil> soils = new ArrayList<>();
    private List<Tray> trays = new ArrayList<>();
    private Map<LabNumber, String> controls = new LinkedHashMap<>();
    private List<Material> materials = new ArrayList<>();
    private List<Standard> standards = new ArrayList<>();
    private List<Run> runs = new ArrayList<>();
    private List<TestPackage> packages = new ArrayList<>();
    private List<Shortage> shortages = new ArrayList<>();
    private ControlHistory history = ControlHistory.NONE;

    private MadeDay() {}

    /** Nothing yet. */
    public static MadeDay empty() {
        return new MadeDay();
    }

    /** Everything of another day, its history too. */
    public static MadeDay like(Day day) {
        return new MadeDay()
                .laboratory(day.laboratory())
                .submissions(day.submissions())
                .soils(day.soils())
                .trays(day.trays())
                .controls(day.controls())
                .materials(day.materials())
                .standards(day.standards())
                .runs(day.runs())
                .packages(day.packages())
                .shortages(day.shortages())
                .history(day.history());
    }

    /** The lab number of a place in the day, from 1. */
    public static LabNumber lab(int serial) {
        return LabNumber.of(DATE, serial);
    }

    /** A control soil of which 40 results are known. */
    public static Material material(String material, String method, String analyte, double mean, double sd, Unit unit) {
        return new Material(material, method, analyte, mean, sd, unit, OptionalInt.of(40));
    }

    /** A known value with the method's own tolerance. */
    public static Standard standard(String method, String standard, String analyte, double value, Unit unit) {
        return new Standard(method, standard, analyte, value, unit, OptionalDouble.empty(), OptionalDouble.empty());
    }

    /** A tray with soils in its first wells; wells beyond them were not recorded. */
    public static Tray tray(String name, List<LabNumber> numbers) {
        return new Tray(
                name,
                IntStream.range(0, numbers.size())
                        .mapToObj(w -> new Tray.Place(new Well(w), Optional.of(numbers.get(w)), Tray.Purpose.SOIL))
                        .toList());
    }

    /** The same with a key well after the last soil. */
    public static Tray keyedTray(String name, List<LabNumber> numbers) {
        List<Tray.Place> wells = new ArrayList<>(tray(name, numbers).wells());
        wells.add(new Tray.Place(new Well(wells.size()), Optional.empty(), Tray.Purpose.KEY));
        return new Tray(name, wells);
    }

    public MadeDay laboratory(Laboratory its) {
        laboratory = its;
        return this;
    }

    public MadeDay submissions(List<Submission> all) {
        submissions = new ArrayList<>(all);
        return this;
    }

    public MadeDay submission(MadeSubmission one) {
        submissions.add(one.submission());
        return this;
    }

    public MadeDay soils(List<Soil> all) {
        soils = new ArrayList<>(all);
        return this;
    }

    public MadeDay soil(MadeSoil one) {
        soils.add(one.soil());
        return this;
    }

    public MadeDay trays(List<Tray> all) {
        trays = new ArrayList<>(all);
        return this;
    }

    public MadeDay tray(Tray one) {
        trays.add(one);
        return this;
    }

    /** Lays the soils of the day, in order, into trays T1, T2 … with a key well after each eleven. */
    public MadeDay laidOut() {
        List<LabNumber> numbers = soils.stream().map(Soil::labNumber).toList();
        int perTray = Well.PER_TRAY - 1;
        for (int from = 0; from < numbers.size(); from += perTray) {
            trays.add(keyedTray(
                    "T" + (trays.size() + 1), numbers.subList(from, Math.min(numbers.size(), from + perTray))));
        }
        return this;
    }

    public MadeDay controls(Map<LabNumber, String> all) {
        controls = new LinkedHashMap<>(all);
        return this;
    }

    public MadeDay control(LabNumber number, String material) {
        controls.put(number, material);
        return this;
    }

    public MadeDay materials(List<Material> all) {
        materials = new ArrayList<>(all);
        return this;
    }

    public MadeDay material(Material one) {
        materials.add(one);
        return this;
    }

    public MadeDay standards(List<Standard> all) {
        standards = new ArrayList<>(all);
        return this;
    }

    public MadeDay standard(Standard one) {
        standards.add(one);
        return this;
    }

    public MadeDay runs(List<Run> all) {
        runs = new ArrayList<>(all);
        return this;
    }

    public MadeDay runs(Run... all) {
        return runs(Arrays.asList(all));
    }

    public MadeDay run(Run one) {
        runs.add(one);
        return this;
    }

    public MadeDay packages(List<TestPackage> all) {
        packages = new ArrayList<>(all);
        return this;
    }

    public MadeDay shortages(List<Shortage> all) {
        shortages = new ArrayList<>(all);
        return this;
    }

    public MadeDay history(ControlHistory earlier) {
        history = earlier;
        return this;
    }

    public Day day() {
        return new Day(
                laboratory,
                submissions,
                soils,
                trays,
                controls,
                materials,
                standards,
                runs,
                packages,
                shortages,
                history);
    }
}
