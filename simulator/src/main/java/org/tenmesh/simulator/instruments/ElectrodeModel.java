package org.tenmesh.simulator.instruments;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.bench.Faults;
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
import org.tenmesh.simulator.soils.SoilContent;

/**
 * A robot that dips four glass electrodes into four vessels at a time.
 *
 * <p>Each probe gives {@code E = E0 + s k T (7 - pH)} with its own zero potential E0 (mV), its own slope s as a share of
 * the Nernst slope, {@code k = R ln 10 / F} and T in kelvin; R and F as fixed by the SI of 2019. Zero and slope wander a
 * little along the run.
 */
public final class ElectrodeModel {
    public static final String METHOD = "ph-water-1-1";
    public static final List<String> ANALYTES = List.of("pH");
    private static final int PROBES = 4;
    private static final double MV_PER_KELVIN = 8.314462618 * 2.302585092994046 / 96485.33212 * 1000;
    /** Spread of one slurry of one soil, pH. */
    private static final double PORTION_SD = 0.035;

    /** Water from the tap of the robot, without soil. */
    private static final double WATER_PH = 5.8;

    private static final double WATER_PH_SD = 0.4;
    private static final double READING_SD_MV = 0.3;
    private static final int GROUPS_PER_CHECK = 10;
    private static final long GROUP_MILLIS = 55_000;

    private ElectrodeModel() {}

    /** Spread of single results of one soil between runs, pH. */
    public static double totalSd() {
        return Math.sqrt(PORTION_SD * PORTION_SD + 0.012 * 0.012);
    }

    /**
     * pH of a bottle of buffer at a temperature. 4.01, 7.00 and 10.01 follow the usual bottle labels between 20 and 25 °C;
     * 5.00 and 9.00 are made by the laboratory.
     */
    private static double buffer(String name, double celsius) {
        double t = celsius - 25;
        return switch (name) {
            case "4.01" -> 4.01 + 0.002 * t;
            case "7.00" -> 7.00 - 0.003 * t + 0.0002 * t * t;
            case "10.01" -> 10.01 - 0.010 * t;
            case "5.00" -> 5.00;
            default -> 9.00 - 0.006 * t;
        };
    }

    public static RunOutcome read(RunPlan plan, long seed, List<Fault> faults, boolean givesPh) {
        return read(plan, seed, faults, givesPh, ControlSoil::content);
    }

    /** As above, with control soils that give another pH because they stand in another solution. */
    public static RunOutcome read(
            RunPlan plan, long seed, List<Fault> faults, boolean givesPh, Function<ControlSoil, SoilContent> controls) {
        Chance chance = plan.noise().chance(seed, plan.run());
        RunSheet sheet = sheet(plan, controls, chance);
        Noise.Shared shared = plan.noise().shared(seed, plan.run());
        for (Vessel vessel : sheet.vessels) {
            if (vessel.content.length > 0) {
                vessel.content[0] += PORTION_SD * shared.next(1, vessel.channel)[0];
            }
        }
        Probes probes = new Probes(sheet.size(), chance);
        if (plan.readShare() < 1) {
            sheet.stopAfter(
                    (int) (plan.readShare() * sheet.size()),
                    ElectrodeModel::isCheck,
                    analytes(sheet),
                    "still being read");
        }
        Chance mishap = new Chance(seed, plan.run() + " mishaps");
        new Mixup(
                        sheet,
                        analytes(sheet),
                        specimen -> new double[] {slurry(specimen.content(), mishap)},
                        () -> new double[] {mishap.normal(WATER_PH, WATER_PH_SD)},
                        (one, other) -> Math.abs(one.ph() - other.ph()))
                .plant(faults);
        for (Fault fault : faults) {
            if (!Mixup.is(fault.kind()) && !plantAtLarge(fault, sheet, probes, seed, controls, mishap)) {
                plant(fault, sheet, probes, chance);
            }
        }
        return new RunOutcome(
                new Run(
                        plan.run(),
                        plan.method(),
                        plan.instrument(),
                        Optional.of(plan.operator()),
                        plan.start(),
                        readings(sheet, probes, chance, givesPh)),
                sheet.truth());
    }

    private static boolean isCheck(Vessel vessel) {
        return vessel.role == Role.VERIFICATION;
    }

    private static RunSheet sheet(RunPlan plan, Function<ControlSoil, SoilContent> controls, Chance chance) {
        RunSheet sheet = new RunSheet(plan);
        for (String name : List.of("4.01", "7.00", "10.01")) {
            four(sheet, Role.STANDARD, name);
        }
        for (String name : List.of("5.00", "9.00")) {
            four(sheet, Role.VERIFICATION, name);
        }
        int material = chance.between(0, ControlSoil.ALL.size() - 1);
        fourControls(sheet, material, controls, chance);
        List<Vessel> soils = RunSheet.soils(plan.specimens(), chance);
        for (int from = 0; from < soils.size(); from += PROBES) {
            int group = from / PROBES;
            if (group > 0 && group % GROUPS_PER_CHECK == 0) {
                four(sheet, Role.VERIFICATION, "7.00");
                if (group % (2 * GROUPS_PER_CHECK) == 0) {
                    fourControls(sheet, ++material, controls, chance);
                }
            }
            for (int i = from; i < Math.min(from + PROBES, soils.size()); i++) {
                Vessel vessel = soils.get(i);
                vessel.content =
                        new double[] {slurry(vessel.specimen.orElseThrow().content(), chance)};
                sheet.vessels.add(vessel);
                vessel.channel = i % PROBES + 1;
            }
        }
        four(sheet, Role.VERIFICATION, "7.00");
        fourControls(sheet, material + 1, controls, chance);
        return sheet;
    }

    private static double slurry(SoilContent content, Chance chance) {
        return content.ph() + PORTION_SD * chance.normal();
    }

    private static void four(RunSheet sheet, Role role, String name) {
        for (int probe = 1; probe <= PROBES; probe++) {
            Vessel vessel = new Vessel(role, name, Optional.empty());
            vessel.channel = probe;
            sheet.vessels.add(vessel);
        }
    }

    private static void fourControls(
            RunSheet sheet, int material, Function<ControlSoil, SoilContent> controls, Chance chance) {
        ControlSoil soil = ControlSoil.ALL.get(material % ControlSoil.ALL.size());
        for (int probe = 1; probe <= PROBES; probe++) {
            Vessel vessel =
                    new Vessel(Role.CONTROL, soil.name(), Optional.empty(), slurry(controls.apply(soil), chance));
            vessel.channel = probe;
            sheet.vessels.add(vessel);
        }
    }

    /** State of the four electrodes along the run; faults change it. */
    private static final class Probes {
        final double[] slope = new double[PROBES];
        final double[] zeroMv = new double[PROBES];
        /** What a probe reads too high at a position, pH. */
        final double[] bias;

        Probes(int size, Chance chance) {
            bias = new double[size + 1];
            for (int probe = 0; probe < PROBES; probe++) {
                slope[probe] = chance.between(0.97, 1.01);
                zeroMv[probe] = chance.normal(0, 5, -12, 12);
            }
        }
    }

    private static Readings readings(RunSheet sheet, Probes probes, Chance chance, boolean givesPh) {
        Readings.Builder rows = Readings.builder();
        long start = sheet.plan.start().toInstant().toEpochMilli();
        int offset = sheet.plan.start().getOffset().getTotalSeconds();
        double room = chance.normal(22.6, 0.7, 21, 24.5);
        double[] wander = new double[PROBES];
        int group = -1;
        int lastChannel = PROBES;
        for (int p = 1; p <= Math.min(sheet.size(), sheet.lastRead); p++) {
            Vessel vessel = sheet.at(p);
            if (vessel.channel <= lastChannel) {
                group++;
                for (int probe = 0; probe < PROBES; probe++) {
                    wander[probe] += chance.normal(0, 0.04);
                }
                room += chance.normal(0, 0.02);
            }
            lastChannel = vessel.channel;
            int probe = vessel.channel - 1;
            double celsius = Decimals.places(Math.min(25, Math.max(20, room + chance.normal(0, 0.1))), 1);
            double ph = vessel.content.length == 0 ? buffer(vessel.identity, celsius) : vessel.content[0];
            double shown = ph + probes.bias[p];
            double slopeMv = probes.slope[probe] * MV_PER_KELVIN * (celsius + 273.15);
            double potential =
                    probes.zeroMv[probe] + wander[probe] + slopeMv * (7 - shown) + READING_SD_MV * chance.normal();
            long at = start + group * GROUP_MILLIS;
            String channel = Integer.toString(vessel.channel);
            if (givesPh) {
                // The meter's own calibration takes zero and slope out; what wanders since stays in.
                double meter = 7 - (potential - probes.zeroMv[probe]) / slopeMv;
                if (!vessel.incomplete) {
                    rows.add(
                            p,
                            vessel.role,
                            vessel.identity,
                            channel,
                            "pH",
                            Decimals.places(meter, 2),
                            Unit.PH,
                            at,
                            offset,
                            1);
                }
                continue;
            }
            if (!vessel.incomplete) {
                rows.add(
                        p,
                        vessel.role,
                        vessel.identity,
                        channel,
                        "potential",
                        Decimals.places(potential, 1),
                        Unit.MILLIVOLT,
                        at,
                        offset,
                        1);
            }
            rows.add(p, vessel.role, vessel.identity, channel, "temperature", celsius, Unit.CELSIUS, at, offset, 1);
        }
        return rows.build();
    }

    private static List<String> analytes(RunSheet sheet) {
        return List.of(analyte(sheet.plan.method()));
    }

    /** Plants what goes on through a whole run or a day, and what lies in a cup; says whether the fault was one of these. */
    private static boolean plantAtLarge(
            Fault fault,
            RunSheet sheet,
            Probes probes,
            long seed,
            Function<ControlSoil, SoilContent> controls,
            Chance mishap) {
        switch (fault.kind()) {
            case STANDARD_WRONG -> {
                double size = fault.size().orElse(0.10);
                List<Integer> standards = sheet.positions(v -> v.role == Role.STANDARD);
                int wish = fault.position().isPresent()
                        ? standards.get(sheet.nearest(fault, 0, standards, 0, standards.size() - 1))
                        : standards.get(PROBES);
                String name = sheet.at(wish).identity;
                List<Integer> bottle = sheet.positions(v -> v.identity.equals(name));
                sheet.claim(fault, "buffer at position", bottle);
                bottle.forEach(p -> probes.bias[p] += size);
                sheet.touched(
                        fault.kind(),
                        analytes(sheet),
                        0,
                        1,
                        sheet.size(),
                        size,
                        "the bottle of buffer " + name + " is " + size + " pH off under every probe");
            }
            case CHANNEL_BIAS -> {
                if (fault.key("weighing").isPresent()) {
                    throw sheet.cannot(fault, "nothing is weighed in a pH run, found key \"weighing\"");
                }
                double size = fault.size().orElse(0.05);
                int channel = channel(fault, sheet, new Chance(seed, "channel of " + sheet.plan.instrument()));
                sheet.claimAll(fault, "bias", analytes(sheet), channel);
                for (Vessel vessel : sheet.vessels) {
                    if (vessel.channel == channel && vessel.content.length > 0) {
                        vessel.content[0] += size;
                    }
                }
                sheet.touched(
                        fault.kind(),
                        analytes(sheet),
                        channel,
                        1,
                        sheet.size(),
                        size,
                        "probe " + channel + " reads every slurry " + size + " pH off, buffers it reads well");
            }
            case CONTROL_TREND -> {
                double size = fault.size().orElse(-2);
                double[] progress = sheet.progress(fault.run().isEmpty());
                sheet.claimAll(fault, "trend", analytes(sheet), 0);
                for (int p = 1; p <= sheet.size(); p++) {
                    Vessel vessel = sheet.at(p);
                    if (vessel.content.length > 0) {
                        vessel.content[0] += progress[p] * size * totalSd();
                    }
                }
                sheet.noteLateHalf(
                        fault,
                        analytes(sheet),
                        0,
                        progress,
                        size,
                        "slurries creep by " + size + " standard deviations");
            }
            case CONTROL_MATERIAL_MISTAKEN -> {
                List<Integer> cups =
                        sheet.positions(v -> v.role == Role.CONTROL && Faults.canBeMistaken(fault, v.identity));
                int position = sheet.take(fault, 0.5, cups, "control soil at position");
                String intended = sheet.at(position).identity;
                ControlSoil other = Faults.mistakenFor(fault, intended);
                // The four cups under the probes are filled from one jar.
                int first = position - sheet.at(position).channel + 1;
                List<Integer> jar = List.of(first, first + 1, first + 2, first + 3);
                sheet.claim(fault, "control soil", List.of(first));
                jar.forEach(p -> sheet.at(p).content = new double[] {slurry(controls.apply(other), mishap)});
                sheet.note(
                        fault.kind(), analytes(sheet), "", jar, 1, "the cups of " + intended + " hold " + other.name());
            }
            case DRIFT -> {
                if (fault.total().isEmpty()) {
                    return false;
                }
                double total = fault.total().getAsDouble();
                int channel = channel(fault, sheet, new Chance(seed, "channel of " + sheet.plan.instrument()));
                sheet.claimAll(fault, "drift", analytes(sheet), channel);
                double[] progress = sheet.progress(false);
                for (int p = 1; p <= sheet.size(); p++) {
                    if (sheet.at(p).channel == channel) {
                        probes.bias[p] += total * progress[p];
                    }
                }
                sheet.noteLateHalf(
                        fault,
                        analytes(sheet),
                        channel,
                        progress,
                        total,
                        "probe " + channel + " drifts by " + total + " pH from the first soil to the end");
            }
            default -> {
                return false;
            }
        }
        return true;
    }

    private static void plant(Fault fault, RunSheet sheet, Probes probes, Chance chance) {
        switch (fault.kind()) {
            case CALIBRATION_REJECTED -> {
                int channel = channel(fault, sheet, chance);
                sheet.claimAll(fault, "slope", analytes(sheet), channel);
                double slope = fault.size().orElse(0.88);
                probes.slope[channel - 1] = slope;
                sheet.touched(
                        fault.kind(),
                        analytes(sheet),
                        channel,
                        1,
                        sheet.size(),
                        slope,
                        "probe " + channel + " has aged to a slope of " + Decimals.places(100 * slope, 1) + " %");
            }
            case VERIFICATION_FAILED -> {
                double size = fault.size().orElse(0.25);
                int channel = channel(fault, sheet, chance);
                List<Integer> checks = sheet.positions(v -> isCheck(v) && v.channel == channel);
                int at = sheet.nearest(fault, 0.55, checks, 2, checks.size() - 2);
                sheet.claim(fault, "check at position", List.of(checks.get(at)));
                probes.bias[checks.get(at)] += size;
                sheet.touched(
                        fault.kind(),
                        analytes(sheet),
                        channel,
                        checks.get(at - 1) + 1,
                        checks.get(at + 1) - 1,
                        size,
                        "the check buffer under probe " + channel + " at position " + checks.get(at) + " reads " + size
                                + " pH off");
            }
            case CONTROL_FAILED -> {
                double size = fault.size().orElse(0.35);
                int channel = channel(fault, sheet, chance);
                List<Integer> controls = sheet.positions(v -> v.isControl() && v.channel == channel);
                int at = sheet.nearest(fault, 0.55, controls, 1, controls.size() - 2);
                sheet.claim(fault, "control soil at position", List.of(controls.get(at)));
                int first = controls.get(at - 1) + 1;
                int last = controls.get(at + 1) - 1;
                for (int p = first; p <= last; p++) {
                    Vessel vessel = sheet.at(p);
                    if (vessel.channel == channel && vessel.content.length > 0) {
                        vessel.content[0] += size;
                    }
                }
                sheet.touched(
                        fault.kind(),
                        analytes(sheet),
                        channel,
                        first,
                        last,
                        size,
                        "soil clings to probe " + channel + ": slurries read " + size + " pH off, buffers do not");
            }
            case DRIFT -> {
                double size = fault.size().orElse(0.04);
                int channel = channel(fault, sheet, chance);
                List<Integer> checks = sheet.positions(v -> isCheck(v) && v.channel == channel);
                int onset = sheet.nearest(fault, 0.12, checks, 2, checks.size() - 4);
                sheet.claimAll(fault, "drift", analytes(sheet), channel);
                drift(fault, sheet, probes, channel, checks, onset, size);
            }
            case DUPLICATES_DISAGREE -> {
                double size = fault.size().orElse(0.7);
                List<Integer> duplicates = sheet.positions(v -> v.role == Role.DUPLICATE);
                int position = sheet.take(fault, 0.6, duplicates, "second portion at position");
                Vessel vessel = sheet.at(position);
                vessel.content[0] += size;
                Faults.oneSoil(
                        sheet,
                        fault.kind(),
                        analytes(sheet),
                        vessel.identity,
                        size,
                        "the second slurry is another soil's");
            }
            case MISSING_READING -> {
                List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE);
                int position = sheet.take(fault, 0.5, soils, "missing reading at position");
                sheet.at(position).incomplete = true;
                sheet.touched(fault.kind(), analytes(sheet), 0, position, position, 1, "no potential was recorded");
            }
            case TRUNCATED_RUN -> {
                List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE);
                int position = soils.get(sheet.nearest(fault, 0.66, soils, 0, soils.size() - 1));
                sheet.claim(fault, "end of run", List.of(1));
                sheet.stopAfter(position, ElectrodeModel::isCheck, analytes(sheet), "the robot stopped");
            }
            case PORTION_WRONG ->
                throw sheet.cannot(
                        fault, "a little more or less soil in its water does not change a pH that can be read");
            default -> throw sheet.cannot(fault, "nothing of a pH run can fail so");
        }
    }

    private static int channel(Fault fault, RunSheet sheet, Chance chance) {
        if (fault.channel().isPresent()) {
            return fault.channel().getAsInt();
        }
        return fault.position().isPresent() ? sheet.at(sheet.wish(fault, 0)).channel : chance.between(1, PROBES);
    }

    private static void drift(
            Fault fault, RunSheet sheet, Probes probes, int channel, List<Integer> checks, int onset, double size) {
        double tolerance = Faults.PH_TOLERANCE;
        int lastPass = checks.get(onset);
        boolean failed = false;
        for (int p = checks.get(onset) + 1; p <= sheet.size(); p++) {
            if (sheet.at(p).channel == channel) {
                probes.bias[p] += size * Faults.checksSince(checks, onset, p);
                if (!failed && isCheck(sheet.at(p))) {
                    failed = Math.abs(size * Faults.checksSince(checks, onset, p)) > tolerance;
                    lastPass = failed ? lastPass : p;
                }
            }
        }
        if (!failed) {
            throw sheet.cannot(fault, "a growth of " + size + " pH a check never leaves the limit of " + tolerance);
        }
        sheet.touched(
                fault.kind(),
                analytes(sheet),
                channel,
                lastPass + 1,
                sheet.size(),
                size,
                "probe " + channel + " drifts by " + size + " pH from check to check after position "
                        + checks.get(onset));
    }

    /** What an electrode run reports: pH, or the pH of a buffer. */
    public static String analyte(String method) {
        return method.startsWith("buffer-") ? "BpH" : "pH";
    }
}
