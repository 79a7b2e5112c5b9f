package org.tenmesh.web;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * The invented day with its packages described, flow analysis read for tray 1, results calculated from others, a shortage and a
 * client's water. Of tray 1's wells in order, flow analysis read: a number, below the limit, above the range, saturated, numbers.
 */
final class PackagedDay {
    static final LabNumber WATER = LabNumber.of(InventedDay.DATE, 900);
    static final String FLOW_RUN = "flow-1";

    private PackagedDay() {}

    static InventedDay of(InventedDay base) {
        Day day = base.day();
        List<Soil> soils = new ArrayList<>(day.soils());
        soils.add(MadeSoil.numbered(WATER)
                .of("SUB-2201", 99)
                .labelled("well water")
                .asking("water")
                .water()
                .soil());
        TestPackage water = new TestPackage(
                "water", "Client's water", List.of(new TestPackage.Asked(AllKinds.CONDUCTIVITY, List.of())));
        Tray first = day.trays().get(0);
        List<LabNumber> wells =
                first.wells().stream().flatMap(p -> p.labNumber().stream()).toList();
        List<Result> results = new ArrayList<>(base.judged().results());
        Readings.Builder readings = Readings.builder();
        OffsetDateTime at = InventedDay.MORNING.plusHours(3);
        int position = 0;
        for (String name : List.of("S0", "S1", "S2")) {
            position++;
            add(readings, position, Role.STANDARD, name, 0.2 * position, at);
        }
        for (String name : List.of("CO-low", "CO-high", "CO-low")) {
            add(readings, ++position, Role.VERIFICATION, name, name.equals("CO-high") ? 0.9 : 0.1, at);
        }
        add(readings, ++position, Role.WASH, "carrier", 0.004, at);
        for (LabNumber lab : wells) {
            add(readings, ++position, Role.SAMPLE, lab.text(), wells.indexOf(lab) == 3 ? 1.8 : 0.3, at);
            results.add(flow(lab, wells.indexOf(lab), position));
        }
        add(readings, ++position, Role.WASH, "carrier", 0.012, at);
        LabNumber little = little(base);
        Laboratory own = day.laboratory();
        Laboratory laboratory =
                MadeLaboratory.like(own).advice("County Nowhere (invented)").laboratory();
        List<Run> runs = new ArrayList<>(day.runs());
        runs.add(MadeRun.of(FLOW_RUN, AllKinds.FLOW)
                .instrument("flow analyser 1")
                .operator("C. Okafor (invented)")
                .startedAt(at)
                .readings(readings.build())
                .run());
        return new InventedDay(
                MadeDay.like(day)
                        .laboratory(laboratory)
                        .soils(soils)
                        .runs(runs)
                        .packages(List.of(AllKinds.ROUTINE, water))
                        .shortages(List.of(new Shortage(little, AllKinds.TITRATION)))
                        .day(),
                new JudgedDay(
                        results,
                        base.judged().causes(),
                        base.judged().gates(),
                        base.judged().controlValues()));
    }

    /** The client's soil of which there was too little. */
    static LabNumber little(InventedDay base) {
        return base.day().soils().stream()
                .filter(s -> s.submission().isPresent())
                .map(Soil::labNumber)
                .min(LabNumber::compareTo)
                .orElseThrow();
    }

    private static void add(
            Readings.Builder readings, int position, Role role, String identity, double peak, OffsetDateTime at) {
        readings.add(position, role, identity, "1", "peak", peak, Unit.ABSORBANCE, at.plusSeconds(45L * position), 1);
    }

    private static Result flow(LabNumber lab, int index, int position) {
        Unit unit = Unit.MILLIGRAM_PER_KILOGRAM;
        Amount amount = switch (index) {
            case 1 -> new Amount.Below(0.5, 0.2, unit);
            case 2 -> new Amount.Above(60, 74, unit);
            case 3 -> new Amount.Saturated(unit);
            default -> new Amount.Measured(10 + index, unit);
        };
        String reported = switch (index) {
            case 1 -> "< 0.5";
            case 2 -> "> 60.0";
            case 3 -> "saturated";
            default -> (10 + index) + ".0";
        };
        return new Result(
                lab,
                AllKinds.FLOW,
                AllKinds.VERSION,
                "NO3-N",
                FLOW_RUN,
                position,
                "1",
                amount,
                reported,
                amount instanceof Amount.Measured ? OptionalDouble.of(1.1) : OptionalDouble.empty(),
                index == 2 || index == 3 ? Verdict.REDO : Verdict.FIT,
                List.of());
    }
}
