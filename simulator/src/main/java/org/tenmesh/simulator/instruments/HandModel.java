package org.tenmesh.simulator.instruments;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.bench.Mixup;
import org.tenmesh.simulator.bench.RunOutcome;
import org.tenmesh.simulator.bench.RunPlan;
import org.tenmesh.simulator.bench.RunSheet;
import org.tenmesh.simulator.bench.Vessel;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Specimen;
import org.tenmesh.simulator.soils.WholeSoil;

/** What is weighed, titrated, dipped into or read off by hand: balances, burettes, hydrometers, conductivity cells. */
public final class HandModel {
    /** Methods of this kind, conductivity last. */
    public static final List<String> METHODS = List.of(
            "moisture-air-dry",
            "coarse-fragments",
            "texture-hydrometer",
            "oc-wet-oxidation",
            "saturated-paste",
            "paste-bicarbonate",
            "ec-1-1",
            "ec-1-2",
            "ec-1-5",
            "ec-paste");

    /** Reported organic carbon over what the dichromate oxidised. */
    private static final double RECOVERY_FACTOR = 1.32;

    private static final int CONTROL_EVERY = 30;
    private static final int CHECK_EVERY = 20;
    private static final double BLANK_TITRE_ML = 20.1;
    private static final double ACID_MEQ_PER_L = 10;
    private static final long PLACE_MILLIS = 40_000;

    private final RunPlan plan;
    private final RunSheet sheet;
    private final Function<Specimen, WholeSoil> whole;
    private final Chance chance;
    private final Noise.Shared shared;
    private double[] errors = {};
    private final Readings.Builder rows = Readings.builder();
    private final double cell;
    private int position;

    private HandModel(RunPlan plan, Function<Specimen, WholeSoil> whole, Chance chance, Noise.Shared shared) {
        this.shared = shared;
        this.plan = plan;
        sheet = new RunSheet(plan);
        this.whole = whole;
        this.chance = chance;
        cell = chance.between(0.94, 1.06);
    }

    public static RunOutcome read(RunPlan plan, long seed, List<Fault> faults, Function<Specimen, WholeSoil> whole) {
        HandModel model = new HandModel(
                plan, whole, plan.noise().chance(seed, plan.run()), plan.noise().shared(seed, plan.run()));
        model.fill(faults);
        Run run = new Run(
                plan.run(),
                plan.method(),
                plan.instrument(),
                Optional.of(plan.operator()),
                plan.start(),
                model.rows.build());
        return new RunOutcome(run, model.sheet.truth());
    }

    /** Analytes a method reports. */
    public static List<String> analytes(String method) {
        return switch (method) {
            case "moisture-air-dry" -> List.of("moisture");
            case "coarse-fragments" -> List.of("coarse");
            case "texture-hydrometer" -> List.of("S40", "S_late");
            case "oc-wet-oxidation" -> List.of("OC");
            case "saturated-paste" -> List.of("SP0");
            case "paste-bicarbonate" -> List.of("HCO3");
            default -> List.of("EC");
        };
    }

    /** Spread of single results of one soil between runs, in the unit of the result. */
    public static double totalSd(String method, double value) {
        double share = share(method) * value;
        double floor = switch (method) {
            case "moisture-air-dry" -> 0.03;
            case "coarse-fragments" -> 0.15;
            case "texture-hydrometer" -> 0.6;
            case "oc-wet-oxidation" -> 0.02;
            case "saturated-paste" -> 0.3;
            case "paste-bicarbonate" -> 0.03;
            default -> 0.003;
        };
        return Math.sqrt(share * share + floor * floor);
    }

    private static double share(String method) {
        return switch (method) {
            case "moisture-air-dry" -> 0.015;
            case "coarse-fragments", "oc-wet-oxidation", "saturated-paste" -> 0.03;
            case "texture-hydrometer" -> 0.01;
            default -> 0.02;
        };
    }

    private boolean conductivity() {
        return plan.method().startsWith("ec-");
    }

    private void fill(List<Fault> faults) {
        if (conductivity()) {
            for (int i = 0; i < 3; i++) {
                known(Role.STANDARD, "KCl-0.01", 1.413);
            }
            known(Role.VERIFICATION, "KCl-0.1", 12.88);
            known(Role.VERIFICATION, "KCl-0.01", 1.413);
        }
        if (plan.method().equals("texture-hydrometer") || plan.method().equals("oc-wet-oxidation")) {
            for (int i = 0; i < 3; i++) {
                blank();
            }
        }
        int material = chance.between(0, ControlSoil.ALL.size() - 1);
        control(material++);
        while (sheet.size() < position) {
            sheet.vessels.add(new Vessel(Role.CONTROL, "", Optional.empty()));
        }
        List<Vessel> soils = RunSheet.soils(plan.specimens(), chance);
        for (int i = 0; i < soils.size(); i++) {
            sheet.vessels.add(soils.get(i));
            if (conductivity() && (i + 1) % CHECK_EVERY == 0) {
                sheet.vessels.add(new Vessel(Role.VERIFICATION, "KCl-0.01", Optional.empty()));
            }
            if ((i + 1) % CONTROL_EVERY == 0) {
                sheet.vessels.add(new Vessel(
                        Role.CONTROL,
                        ControlSoil.ALL.get(material++ % ControlSoil.ALL.size()).name(),
                        Optional.empty()));
            }
        }
        plant(faults);
        while (position < sheet.size()) {
            Vessel vessel = sheet.at(position + 1);
            if (vessel.role == Role.VERIFICATION) {
                known(Role.VERIFICATION, vessel.identity, 1.413);
            } else if (vessel.role == Role.CONTROL) {
                soil(Role.CONTROL, vessel.identity, WholeSoil.ofMaterial(vessel.identity));
            } else if (vessel.holds.isPresent()) {
                soil(vessel.role, vessel.identity, whole.apply(vessel.holds.get()));
            } else {
                // Nothing came into it, so nothing is written down.
                position++;
            }
        }
        control(material);
        if (conductivity()) {
            known(Role.VERIFICATION, "KCl-0.01", 1.413);
        }
    }

    private void plant(List<Fault> faults) {
        new Mixup(
                        sheet,
                        analytes(plan.method()),
                        specimen -> new double[0],
                        () -> new double[0],
                        (one, other) -> Math.abs(StrictMath.log(one.loiPct() / other.loiPct())))
                .plant(faults);
        for (Fault fault : faults) {
            if (!Mixup.is(fault.kind())) {
                throw sheet.cannot(fault, "only mixups of soils are planted in runs of " + plan.method());
            }
        }
    }

    private void control(int material) {
        ControlSoil soil = ControlSoil.ALL.get(material % ControlSoil.ALL.size());
        soil(Role.CONTROL, soil.name(), WholeSoil.ofMaterial(soil.name()));
    }

    private void known(Role role, String name, double at25) {
        position++;
        conductance(role, name, at25 * chance.factor(0.002));
    }

    private void blank() {
        position++;
        if (plan.method().equals("oc-wet-oxidation")) {
            add(Role.BLANK, "MB", "soil", 0, Unit.GRAM);
            add(
                    Role.BLANK,
                    "MB",
                    "titre",
                    Decimals.places(BLANK_TITRE_ML + 0.02 * chance.normal(), 2),
                    Unit.MILLILITRE);
        } else {
            add(Role.BLANK, "MB", "soil", 0, Unit.GRAM);
            add(Role.BLANK, "MB", "early", Decimals.places(4.2 + 0.06 * chance.normal(), 2), Unit.GRAM_PER_LITRE);
            add(Role.BLANK, "MB", "late", Decimals.places(3.9 + 0.06 * chance.normal(), 2), Unit.GRAM_PER_LITRE);
        }
    }

    private double drawn(WholeSoil soil, String analyte) {
        double value = soil.of(plan.method(), analyte);
        return Math.max(0, value + totalSd(plan.method(), value) * (0.97 * chance.normal() + error(analyte)));
    }

    private double error(String analyte) {
        return errors[analytes(plan.method()).indexOf(analyte)];
    }

    private void soil(Role role, String identity, WholeSoil soil) {
        position++;
        errors = shared.next(analytes(plan.method()).size(), 0);
        switch (plan.method()) {
            case "moisture-air-dry" -> {
                double tin = chance.normal(31, 0.8, 28, 34);
                double dry = 20 / (1 + drawn(soil, "moisture") / 100);
                gram(role, identity, "tin", tin, 3);
                gram(role, identity, "air_dry", tin + 20, 3);
                gram(role, identity, "oven_dry", tin + dry, 3);
            }
            case "coarse-fragments" -> {
                double total = chance.normal(480, 60, 300, 700);
                gram(role, identity, "total", total, 1);
                gram(role, identity, "coarse_mass", total * drawn(soil, "coarse") / 100, 1);
            }
            case "texture-hydrometer" -> {
                gram(role, identity, "soil", 40, 2);
                double early = 0.4 * Math.min(100, drawn(soil, "S40"));
                double late = 0.4 * Math.min(100, drawn(soil, "S_late"));
                add(role, identity, "early", Decimals.places(4.2 + early, 1), Unit.GRAM_PER_LITRE);
                add(role, identity, "late", Decimals.places(3.9 + late, 1), Unit.GRAM_PER_LITRE);
                add(role, identity, "hours", 8, Unit.HOUR);
                add(role, identity, "celsius", Decimals.places(20 + 0.2 * chance.normal(), 1), Unit.CELSIUS);
            }
            case "oc-wet-oxidation" -> {
                double carbon = drawn(soil, "OC") / RECOVERY_FACTOR;
                double mass = Math.min(0.5, 1.8 / Math.max(0.1, carbon));
                mass = Decimals.places(mass * chance.factor(0.01), 4);
                // 3 % of carbon in a gram takes up 10 mL of a normal solution.
                double used = carbon * mass / 3;
                gram(role, identity, "soil", mass, 4);
                add(role, identity, "titre", Decimals.places(BLANK_TITRE_ML * (1 - used), 2), Unit.MILLILITRE);
            }
            case "saturated-paste" -> {
                double mass = chance.normal(230, 12, 200, 260);
                gram(role, identity, "soil", mass, 1);
                gram(role, identity, "water", Decimals.places(mass, 1) * drawn(soil, "SP0") / 100, 1);
            }
            case "paste-bicarbonate" -> {
                add(role, identity, "aliquot", 10, Unit.MILLILITRE);
                add(role, identity, "titre_p", 0, Unit.MILLILITRE);
                double ml = drawn(soil, "HCO3") * 10 / ACID_MEQ_PER_L;
                add(role, identity, "titre_m", Decimals.places(ml, 2), Unit.MILLILITRE);
            }
            default -> conductance(role, identity, drawn(soil, "EC"));
        }
    }

    // Conductance falls by the ratios of 0.01 M potassium chloride between 21 and 26 °C (US EPA method 120.1, 1982,
    // section 7.1).
    private void conductance(Role role, String identity, double at25) {
        double celsius = Decimals.places(chance.normal(23.2, 0.6, 21.5, 25), 1);
        double ratio = 1 + (celsius - 25) * 0.0191;
        add(
                role,
                identity,
                "conductance",
                Decimals.significant(at25 * ratio / cell, 4),
                Unit.MILLISIEMENS_PER_CENTIMETRE);
        add(role, identity, "temperature", celsius, Unit.CELSIUS);
    }

    private void gram(Role role, String identity, String quantity, double value, int decimals) {
        add(role, identity, quantity, Decimals.places(value, decimals), Unit.GRAM);
    }

    private void add(Role role, String identity, String quantity, double value, Unit unit) {
        long at = plan.start().toInstant().toEpochMilli() + (position - 1) * PLACE_MILLIS;
        rows.add(
                position,
                role,
                identity,
                "",
                quantity,
                value,
                unit,
                at,
                plan.start().getOffset().getTotalSeconds(),
                1);
    }
}
