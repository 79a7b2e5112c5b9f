package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.simulator.bench.Places;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Specimen;

/** Trays, lab numbers and hidden controls of the day. */
final class LaidOut {
    final List<Soil> soils = new ArrayList<>();
    final List<Tray> trays = new ArrayList<>();
    final Map<LabNumber, String> controls = new HashMap<>();
    final List<Specimen> specimens = new ArrayList<>();
    final Map<LabNumber, List<String>> drawn = new TreeMap<>();
    final Map<LabNumber, Places.Origin> origins = new HashMap<>();
    /** Soils of another kind of ground than the rest of their client's. */
    final Map<LabNumber, Ground> elsewhere = new HashMap<>();
    /** Serial of the first lab number that is still free. */
    final int nextSerial;

    LaidOut(Scenario scenario, Intake intake) {
        Chance chance = new Chance(scenario.seed(), "layout");
        Layout.Start start = new Layout.Start(scenario.date(), 1, 1);
        Layout.Rules rules =
                Layout.Rules.defaults().withKeyWell(scenario.options().keyWells());
        // Regulated soils get trays of their own, after the others.
        for (boolean regulated : new boolean[] {false, true}) {
            List<Intake.Box> boxes = intake.boxes().stream()
                    .filter(box -> box.regulated() == regulated)
                    .toList();
            int count = boxes.stream().mapToInt(box -> box.soils().size()).sum();
            if (count > 0) {
                start = layOut(boxes, count, regulated, start, rules, chance.seed());
            }
        }
        nextSerial = start.serial();
        // In the order of lab numbers nothing tells a control's row apart by its place.
        soils.sort(Comparator.comparing(Soil::labNumber));
    }

    Places places() {
        Map<LabNumber, Specimen> byNumber = new HashMap<>();
        specimens.forEach(specimen -> byNumber.put(specimen.number(), specimen));
        return new Places(trays, byNumber, origins, UnaryOperator.identity());
    }

    /** How many lab numbers come before a run: trays are not split between runs. */
    int wholeTrays(int run, int runs) {
        int wanted = (int) ((long) specimens.size() * run / runs);
        int before = 0;
        for (Tray tray : trays) {
            if (before >= wanted) {
                break;
            }
            before += (int) tray.wells().stream()
                    .filter(place -> place.labNumber().isPresent())
                    .count();
        }
        return before;
    }

    private Layout.Start layOut(
            List<Intake.Box> boxes, int count, boolean regulated, Layout.Start start, Layout.Rules rules, long seed) {
        List<String> materials = ControlSoil.ALL.stream().map(ControlSoil::name).toList();
        Layout.Plan plan = Layout.plan(count, materials, start, rules, seed);
        Map<LabNumber, Specimen> byNumber = new TreeMap<>();
        int next = 0;
        for (Intake.Box box : boxes) {
            int ordinal = 1;
            for (Intake.Sent sent : box.soils()) {
                LabNumber number = plan.soils().get(next++);
                soils.add(new Soil(
                        number,
                        Optional.of(box.submission()),
                        OptionalInt.of(ordinal++),
                        Optional.of(sent.label()),
                        sent.topCm(),
                        sent.bottomCm(),
                        Optional.empty(),
                        Optional.of(regulated)));
                byNumber.put(number, new Specimen(number, sent.content(), Optional.empty()));
                if (!sent.drawn().isEmpty()) {
                    drawn.put(number, sent.drawn());
                }
                sent.elsewhere().ifPresent(ground -> elsewhere.put(number, ground));
                origins.put(number, new Places.Origin(box.submission(), sent.field()));
            }
        }
        plan.controls().forEach((number, material) -> {
            soils.add(new Soil(
                    number,
                    Optional.empty(),
                    OptionalInt.empty(),
                    Optional.empty(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    Optional.empty(),
                    Optional.of(regulated)));
            byNumber.put(
                    number, new Specimen(number, ControlSoil.named(material).content(), Optional.of(material)));
        });
        controls.putAll(plan.controls());
        trays.addAll(plan.trays());
        for (Tray tray : plan.trays()) {
            for (Tray.Place place : tray.wells()) {
                place.labNumber().map(byNumber::get).ifPresent(specimens::add);
            }
        }
        return plan.next();
    }
}
