package org.tenmesh.simulator.instruments;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
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
 * Crucibles weighed empty, dry and after the furnace, on four balances in turn.
 *
 * <p>The furnace takes its share of the dry soil; crucible and balance add a few tenths of a milligram each time. The
 * place in the furnace makes some loss more, some less.
 */
public final class IgnitionModel {
    public static final String METHOD = "om-loi-360";
    public static final List<String> ANALYTES = List.of("LOI", "OM");
    private static final int BALANCES = 4;
    private static final int KNOWNS_FIRST = 5;
    private static final int SOILS_PER_KNOWN = 40;
    /** Spread of the loss of one soil: by place and portion as a share, and by a floor in % loss. */
    private static final double LOSS_RSD = 0.018;

    private static final double LOSS_FLOOR = 0.03;
    private static final double WEIGHING_SD_G = 0.00015;
    private static final double CRUCIBLE_SD_G = 0.0002;
    private static final double SOIL_G = 5;
    private static final String WET = "wet crucible at position";
    private static final int WET_POSITIONS = 12;
    private static final long CRUCIBLE_MILLIS = 9_000;
    private static final long DRYING_MILLIS = 2 * 3_600_000L;
    private static final long NIGHT_MILLIS = 13 * 3_600_000L;

    private IgnitionModel() {}

    /** Spread of single results of one soil between runs, % loss. */
    public static double totalSd(double loiPct) {
        double weighing = 100 * Math.sqrt(3 * WEIGHING_SD_G * WEIGHING_SD_G + CRUCIBLE_SD_G * CRUCIBLE_SD_G) / SOIL_G;
        double share = LOSS_RSD * loiPct;
        return Math.sqrt(share * share + LOSS_FLOOR * LOSS_FLOOR + weighing * weighing);
    }

    public static RunOutcome read(RunPlan plan, long seed, List<Fault> faults, int decimals) {
        Chance chance = plan.noise().chance(seed, plan.run());
        RunSheet sheet = sheet(plan, chance);
        Noise.Shared shared = plan.noise().shared(seed, plan.run());
        for (Vessel vessel : sheet.vessels) {
            vessel.content[0] *= 1 + LOSS_RSD * shared.next(1, vessel.channel)[0];
        }
        if (plan.readShare() < 1) {
            sheet.stopAfter(
                    (int) (plan.readShare() * sheet.size()), v -> v.role == Role.CONTROL, ANALYTES, "still being read");
        }
        Bench bench = new Bench(sheet.size());
        Chance mishap = new Chance(seed, plan.run() + " mishaps");
        new Mixup(
                        sheet,
                        ANALYTES,
                        specimen -> new double[] {loss(specimen.content(), mishap)},
                        () -> new double[] {0},
                        (one, other) -> Math.abs(StrictMath.log(one.loiPct() / other.loiPct())))
                .plant(faults);
        for (Fault fault : faults) {
            if (!Mixup.is(fault.kind()) && !plantAtLarge(fault, sheet, bench, seed, mishap)) {
                plant(fault, sheet, bench);
            }
        }
        return new RunOutcome(
                new Run(
                        plan.run(),
                        METHOD,
                        plan.instrument(),
                        Optional.of(plan.operator()),
                        plan.start(),
                        readings(sheet, bench, chance, decimals)),
                sheet.truth());
    }

    private static RunSheet sheet(RunPlan plan, Chance chance) {
        RunSheet sheet = new RunSheet(plan);
        int material = chance.between(0, ControlSoil.ALL.size() - 1);
        for (int i = 0; i < KNOWNS_FIRST; i++) {
            known(sheet, material++, chance);
        }
        List<Vessel> soils = new ArrayList<>(RunSheet.soils(plan.specimens(), chance));
        for (int i = 0; i < soils.size(); i++) {
            if (i > 0 && i % SOILS_PER_KNOWN == 0 && soils.size() - i >= SOILS_PER_KNOWN / 2) {
                known(sheet, material++, chance);
            }
            Vessel vessel = soils.get(i);
            vessel.content = new double[] {loss(vessel.specimen.orElseThrow().content(), chance)};
            sheet.vessels.add(vessel);
        }
        known(sheet, material, chance);
        for (int i = 0; i < sheet.size(); i++) {
            sheet.vessels.get(i).channel = i % BALANCES + 1;
        }
        return sheet;
    }

    private static void known(RunSheet sheet, int material, Chance chance) {
        ControlSoil soil = ControlSoil.ALL.get(material % ControlSoil.ALL.size());
        sheet.vessels.add(new Vessel(Role.CONTROL, soil.name(), Optional.empty(), loss(soil.content(), chance)));
    }

    private static double loss(SoilContent content, Chance chance) {
        return content.loiPct() * chance.factor(LOSS_RSD) + LOSS_FLOOR * chance.normal();
    }

    private static Readings readings(RunSheet sheet, Bench bench, Chance chance, int decimals) {
        Readings.Builder rows = Readings.builder();
        long start = sheet.plan.start().toInstant().toEpochMilli();
        int offset = sheet.plan.start().getOffset().getTotalSeconds();
        int last = Math.min(sheet.size(), sheet.lastRead);
        long passMillis = sheet.size() * CRUCIBLE_MILLIS;
        for (int p = 1; p <= last; p++) {
            Vessel vessel = sheet.at(p);
            double crucible = chance.normal(20.8, 0.6, 18, 24);
            double portion = SOIL_G * chance.normal(1, 0.035, 0.85, 1.15);
            double soil = vessel.isEmpty() ? 0 : portion;
            double lost = soil * vessel.content[0] / 100;
            double tare = Decimals.places(crucible + WEIGHING_SD_G * chance.normal(), decimals);
            double dry = Decimals.places(
                    crucible + soil + WEIGHING_SD_G * chance.normal() + bench.dryOffG[p] + soil * bench.wet[p],
                    decimals);
            double ash = Decimals.places(
                    crucible
                            + CRUCIBLE_SD_G * chance.normal()
                            + soil
                            - lost
                            + WEIGHING_SD_G * chance.normal()
                            + bench.ashOffG[p],
                    decimals);
            if (bench.swapped[p]) {
                double keep = dry;
                dry = ash;
                ash = keep;
            }
            String channel = Integer.toString(vessel.channel);
            long at = start + (p - 1) * CRUCIBLE_MILLIS;
            rows.add(p, vessel.role, vessel.identity, channel, "tare", tare, Unit.GRAM, at, offset, 1);
            at += passMillis + DRYING_MILLIS;
            rows.add(p, vessel.role, vessel.identity, channel, "dry", dry, Unit.GRAM, at, offset, 1);
            if (!vessel.incomplete) {
                at += passMillis + NIGHT_MILLIS;
                rows.add(p, vessel.role, vessel.identity, channel, "ash", ash, Unit.GRAM, at, offset, 1);
            }
        }
        return rows.build();
    }

    /** What is wrong with the weighings of a run, by position; the place at index 0 is not used. */
    private static final class Bench {
        final boolean[] swapped;
        final double[] dryOffG;
        final double[] ashOffG;
        /** Water still there at the dry weighing, as a share of the dry soil. */
        final double[] wet;

        Bench(int size) {
            swapped = new boolean[size + 1];
            dryOffG = new double[size + 1];
            ashOffG = new double[size + 1];
            wet = new double[size + 1];
        }
    }

    /** Plants what goes on through a stretch, a run or a day, and what lies in a crucible; says whether the fault was one of these. */
    private static boolean plantAtLarge(Fault fault, RunSheet sheet, Bench bench, long seed, Chance mishap) {
        switch (fault.kind()) {
            case CHANNEL_BIAS -> {
                double size = fault.size().orElse(3);
                String weighing = fault.key("weighing").orElse("dry");
                int channel = fault.channel()
                        .orElseGet(() -> fault.position().isPresent()
                                ? sheet.at(sheet.wish(fault, 0)).channel
                                : new Chance(seed, "channel of " + sheet.plan.instrument()).between(1, BALANCES));
                sheet.claimAll(fault, weighing + " weighing", List.of("LOI"), channel);
                double[] offG = weighing.equals("dry") ? bench.dryOffG : bench.ashOffG;
                for (int p = 1; p <= sheet.size(); p++) {
                    offG[p] += sheet.at(p).channel == channel ? size / 1000 : 0;
                }
                sheet.touched(
                        fault.kind(),
                        ANALYTES,
                        channel,
                        1,
                        sheet.size(),
                        size,
                        "balance " + channel + " shows " + size + " mg too much at every " + weighing + " weighing");
            }
            case NOT_DRY -> {
                double size = fault.size().orElse(0.006);
                List<Integer> soils = sheet.ordinarySoils();
                int length = fault.length().orElse(WET_POSITIONS);
                List<Integer> open = soils.stream()
                        .filter(p -> fault.position().isPresent()
                                || p + length - 1 <= sheet.size()
                                        && stretch(sheet, p, length).stream().allMatch(q -> sheet.isFree(WET, q)))
                        .toList();
                int first = open.get(sheet.nearest(fault, 0.35, open, 0, open.size() - 1));
                List<Integer> stretch = stretch(sheet, first, length);
                sheet.claim(fault, WET, stretch);
                stretch.forEach(p -> bench.wet[p] += size);
                sheet.note(
                        fault.kind(),
                        ANALYTES,
                        "",
                        stretch,
                        size,
                        "these crucibles still held " + Faults.percent(size) + " of water when they were weighed dry");
            }
            case CONTROL_TREND -> {
                double size = fault.size().orElse(-2);
                double[] progress = sheet.progress(fault.run().isEmpty());
                sheet.claimAll(fault, "trend", List.of("LOI"), 0);
                for (int p = 1; p <= sheet.size(); p++) {
                    Vessel vessel = sheet.at(p);
                    vessel.content[0] += progress[p] * size * totalSd(vessel.content[0]);
                }
                sheet.noteLateHalf(
                        fault, ANALYTES, 0, progress, size, "losses creep by " + size + " standard deviations");
            }
            case CONTROL_MATERIAL_MISTAKEN -> {
                List<Integer> crucibles =
                        sheet.positions(v -> v.role == Role.CONTROL && Faults.canBeMistaken(fault, v.identity));
                int position = sheet.take(fault, 0.5, crucibles, "control soil at position");
                Vessel vessel = sheet.at(position);
                ControlSoil other = Faults.mistakenFor(fault, vessel.identity);
                vessel.content = new double[] {loss(other.content(), mishap)};
                sheet.note(
                        fault.kind(),
                        ANALYTES,
                        "",
                        List.of(position),
                        1,
                        "the crucible of " + vessel.identity + " holds " + other.name());
            }
            default -> {
                return false;
            }
        }
        return true;
    }

    private static List<Integer> stretch(RunSheet sheet, int first, int length) {
        return IntStream.rangeClosed(first, Math.min(sheet.size(), first + length - 1))
                .boxed()
                .toList();
    }

    private static void plant(Fault fault, RunSheet sheet, Bench bench) {
        List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE);
        switch (fault.kind()) {
            case WEIGHING_IMPOSSIBLE -> {
                int position = sheet.take(fault, 0.45, soils, "weighing at position");
                bench.swapped[position] = true;
                sheet.touched(
                        fault.kind(),
                        ANALYTES,
                        0,
                        position,
                        position,
                        1,
                        "dry and ash weights were written into each other's place");
            }
            case CONTROL_FAILED -> {
                double size = fault.size().orElse(-0.25);
                List<Integer> controls = sheet.positions(Vessel::isControl);
                int at = sheet.nearest(fault, 0.55, controls, KNOWNS_FIRST, controls.size() - 2);
                sheet.claim(fault, "control soil at position", List.of(controls.get(at)));
                int first = controls.get(at - 1) + 1;
                int last = controls.get(at + 1) - 1;
                for (int p = first; p <= last; p++) {
                    sheet.at(p).content[0] *= 1 + size;
                }
                sheet.touched(
                        fault.kind(),
                        ANALYTES,
                        0,
                        first,
                        last,
                        size,
                        "a cold corner of the furnace: losses are " + Decimals.places(100 * size, 1) + " % off");
            }
            case DUPLICATES_DISAGREE -> {
                double size = fault.size().orElse(0.6);
                List<Integer> duplicates = sheet.positions(v -> v.role == Role.DUPLICATE);
                Vessel vessel = sheet.at(sheet.take(fault, 0.6, duplicates, "second portion at position"));
                vessel.content[0] *= 1 + size;
                Faults.oneSoil(
                        sheet, fault.kind(), ANALYTES, vessel.identity, size, "the second portion is another soil's");
            }
            case MISSING_READING -> {
                int position = sheet.take(fault, 0.5, soils, "missing reading at position");
                sheet.at(position).incomplete = true;
                sheet.touched(fault.kind(), ANALYTES, 0, position, position, 1, "the ash was never weighed");
            }
            case TRUNCATED_RUN -> {
                int position = soils.get(sheet.nearest(fault, 0.66, soils, 0, soils.size() - 1));
                sheet.claim(fault, "end of run", List.of(1));
                sheet.stopAfter(position, v -> v.role == Role.CONTROL, ANALYTES, "the rest was never weighed");
            }
            case PORTION_WRONG -> throw sheet.cannot(fault, "each portion is weighed, so its size does not matter");
            default -> throw sheet.cannot(fault, "nothing of a loss-on-ignition run can fail so");
        }
    }
}
