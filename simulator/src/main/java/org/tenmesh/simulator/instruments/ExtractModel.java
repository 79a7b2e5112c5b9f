package org.tenmesh.simulator.instruments;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.judgement.CauseKind;
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
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.Extract;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;
import org.tenmesh.simulator.soils.WholeSoil;

/**
 * Extracts other than Mehlich-3 of the main plasma, read by flow analysis or by plasma.
 *
 * <p>Flow: the peak bends, {@code A = baseline + 1.7 x - 0.25 x²} with {@code x} the share of the highest standard; the baseline wanders and
 * is read as the carrier alone every few places; a small share of each sample shows in the next one. Plasma: {@code rate = (background +
 * sensitivity x concentration) x u}, with {@code u} seen by the internal standard as well.
 */
public final class ExtractModel {
    private static final int CHECK_EVERY = 20;
    private static final int WASH_EVERY = 10;
    private static final double CARRIED = 0.004;
    private static final double FORESEEN = 1.8;
    /** Spread that shared errors are a multiple of. */
    private static final double SHARED_RSD = 0.02;

    private static final double FLOW_RSD = 0.003;
    private static final double INTERNAL_RATE = 400_000;
    private static final double BACKGROUND = 200;
    private static final long FLOW_MILLIS = 36_000;
    private static final long PLASMA_MILLIS = 24_000;

    private final Extract extract;
    private final RunPlan plan;
    private final Function<Specimen, WholeSoil> whole;
    private final Chance chance;
    private final Chance mishap;
    private final RunSheet sheet;
    private final List<Vessel> vessels;
    /** Share of each sample that shows in the next one. */
    private double carried = CARRIED;
    /** Position after which the baseline climbs, and by how much at each. */
    private int climbsAfter;

    private double climb;
    /** Growth of sensitivity from the first soil to the end. */
    private double growth;

    private ExtractModel(
            Extract extract, RunPlan plan, Function<Specimen, WholeSoil> whole, Chance chance, Chance mishap) {
        this.extract = extract;
        this.plan = plan;
        this.whole = whole;
        this.chance = chance;
        this.mishap = mishap;
        this.sheet = new RunSheet(plan);
        this.vessels = sheet.vessels;
    }

    public static RunOutcome read(
            Extract extract, RunPlan plan, long seed, List<Fault> faults, Function<Specimen, WholeSoil> whole) {
        ExtractModel model = new ExtractModel(
                extract, plan, whole, plan.noise().chance(seed, plan.run()), new Chance(seed, plan.run() + " mishaps"));
        model.fill(faults, plan.noise().shared(seed, plan.run()));
        for (Fault fault : faults) {
            if (!Mixup.is(fault.kind()) && fault.kind() != CauseKind.PORTION_WRONG && !model.plantAtLarge(fault)) {
                model.plant(fault);
            }
        }
        Run run = new Run(
                plan.run(),
                plan.method(),
                plan.instrument(),
                Optional.of(plan.operator()),
                plan.start(),
                extract.flow() ? model.peaks() : model.rates());
        return new RunOutcome(run, model.sheet.truth());
    }

    private double gain(double progress) {
        return 1 + growth * progress;
    }

    /** How unlike two soils are; the extracts of this method follow their Mehlich-3 contents. */
    private double unlike(SoilContent one, SoilContent other) {
        double sum = 0;
        for (int e = 0; e < one.mgKg().length; e++) {
            double log = StrictMath.log(one.mgKg()[e] / other.mgKg()[e]);
            sum += log * log;
        }
        return Math.sqrt(sum / one.mgKg().length);
    }

    /** What is wrong with a portion, before it is known which extracts must be diluted. */
    private void portion(Fault fault) {
        List<String> analytes = extract.analytes();
        if (fault.kind() == CauseKind.PORTION_WRONG) {
            double size = fault.size().orElse(0.4);
            if (extract.portionRsd() == 0 || size <= -1) {
                throw sheet.cannot(
                        fault,
                        extract.portionRsd() == 0
                                ? "the extract of a paste is read as it comes, whatever the portion"
                                : "size is a share of the portion above -1, found " + size);
            }
            int position = sheet.take(fault, 0.35, sheet.ordinarySoils(), "portion at position");
            Vessel vessel = sheet.at(position);
            vessel.content = vessel.content.clone();
            scale(vessel, 1 + size);
            sheet.note(
                    fault.kind(),
                    analytes,
                    "",
                    List.of(position),
                    size,
                    "the scoop of this soil held " + Faults.percent(size) + " more than it should");
        }
    }

    private void creep(Fault fault) {
        double size = fault.size().orElse(-2);
        List<String> analytes = extract.analytes();
        double[] progress = sheet.progress(fault.run().isEmpty());
        sheet.claimAll(fault, "trend", analytes, 0);
        // An extract that is read twice creeps once.
        Set<double[]> done = new HashSet<>();
        for (int p = 1; p <= sheet.size(); p++) {
            Vessel vessel = sheet.at(p);
            if ((vessel.isSoil() || vessel.role == Role.CONTROL) && done.add(vessel.content)) {
                for (int c = 0; c < vessel.content.length; c++) {
                    double value = vessel.content[c] * extract.mlPerG();
                    double sd = extract.totalSd(extract.channels().get(c), value);
                    vessel.content[c] = Math.max(0, (value + progress[p] * size * sd) / extract.mlPerG());
                }
            }
        }
        sheet.noteLateHalf(
                fault,
                analytes,
                0,
                progress,
                size,
                "the extractant spoils: results creep by " + size + " standard deviations");
    }

    /** Plants what known solutions, control soils and dilutions may hold; says whether the fault was one of these. */
    private boolean plantAtLarge(Fault fault) {
        List<String> analytes = extract.analytes();
        switch (fault.kind()) {
            case STANDARD_WRONG -> {
                double size = fault.size().orElse(0.10);
                List<Integer> standards = sheet.positions(v -> v.role == Role.STANDARD && !v.identity.equals("S0"));
                double usual = (standards.get(1) + 0.5) / sheet.size();
                Vessel standard = sheet.at(sheet.take(fault, usual, standards, "standard at position"));
                scale(standard, 1 + size);
                sheet.touched(
                        fault.kind(),
                        analytes,
                        0,
                        1,
                        sheet.size(),
                        size,
                        standard.identity + " holds " + Faults.percent(size) + " more than its label says");
            }
            case CONTROL_MATERIAL_MISTAKEN -> {
                List<Integer> controls =
                        sheet.positions(v -> v.role == Role.CONTROL && Faults.canBeMistaken(fault, v.identity));
                int position = sheet.take(fault, 0.5, controls, "control soil at position");
                Vessel vessel = sheet.at(position);
                ControlSoil other = Faults.mistakenFor(fault, vessel.identity);
                vessel.content = drawn(WholeSoil.ofMaterial(other.name()), mishap);
                sheet.note(
                        fault.kind(),
                        analytes,
                        "",
                        List.of(position),
                        1,
                        "the extract of " + vessel.identity + " is of " + other.name());
            }
            case DILUTION_MISMATCH -> {
                double size = fault.size().orElse(2);
                boolean second = fault.key("second").equals(Optional.of("yes"));
                List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE
                        && (second
                                ? v.dilution > 1
                                : vessels.stream()
                                        .noneMatch(other -> other.identity.equals(v.identity) && other.dilution > 1))
                        && v.specimen.orElseThrow().material().isEmpty());
                if (soils.isEmpty()) {
                    throw sheet.cannot(fault, "no soil of the run is read diluted");
                }
                int position = sheet.take(fault, 0.4, soils, "dilution at position");
                Vessel vessel = sheet.at(position);
                if (!(vessel.dilution * size >= 1) || size == 1) {
                    throw sheet.cannot(
                            fault,
                            "size is the true dilution over the recorded one of " + vessel.dilution
                                    + ", the product at least 1, found " + size);
                }
                vessel.dilutedBeyond = size;
                sheet.note(
                        fault.kind(),
                        analytes,
                        "",
                        List.of(position),
                        size,
                        "recorded dilution " + vessel.dilution + ", in truth " + vessel.trueDilution());
            }
            case CONTROL_TREND -> creep(fault);
            case DRIFT -> {
                if (fault.total().isEmpty()) {
                    return false;
                }
                growth = fault.total().getAsDouble();
                sheet.claimAll(fault, "drift", analytes, 0);
                sheet.noteLateHalf(
                        fault,
                        analytes,
                        0,
                        sheet.progress(false),
                        growth,
                        "sensitivity drifts by " + Faults.percent(growth) + " from the first soil to the end");
            }
            default -> {
                return false;
            }
        }
        return true;
    }

    private void plant(Fault fault) {
        List<String> analytes = extract.analytes();
        boolean flowAlone = fault.kind() == CauseKind.CARRY_OVER || fault.kind() == CauseKind.DRIFT;
        if (flowAlone && !extract.flow()) {
            throw sheet.cannot(fault, "it is planted in runs of flow analysis and of Mehlich-3");
        }
        switch (fault.kind()) {
            case CARRY_OVER -> {
                sheet.claimAll(fault, "carry-over", analytes, 0);
                carried = fault.size().orElse(0.06);
                sheet.touched(
                        fault.kind(),
                        analytes,
                        0,
                        1,
                        sheet.size(),
                        carried,
                        "an old tube keeps " + Decimals.places(100 * carried, 1) + " % of every sample for the next");
            }
            case DRIFT -> {
                List<Integer> washes = sheet.positions(v -> v.role == Role.WASH);
                int at = sheet.nearest(fault, 0.4, washes, 2, washes.size() - 2);
                sheet.claimAll(fault, "climbing baseline", analytes, 0);
                climbsAfter = washes.get(at);
                climb = fault.size().orElse(0.004);
                sheet.touched(
                        fault.kind(),
                        analytes,
                        0,
                        climbsAfter + 1,
                        sheet.size(),
                        climb,
                        "a bubble in the cell: the baseline climbs by " + climb + " at every position");
            }
            case OVER_RANGE -> saturate(fault);
            case VERIFICATION_FAILED -> {
                double size = fault.size().orElse(-0.25);
                List<Integer> checks = sheet.positions(v -> v.identity.equals("CCV"));
                int at = sheet.nearest(fault, 0.55, checks, 1, checks.size() - 2);
                sheet.claim(fault, "check at position", List.of(checks.get(at)));
                scale(sheet.at(checks.get(at)), 1 + size);
                sheet.touched(
                        fault.kind(),
                        analytes,
                        0,
                        checks.get(at - 1) + 1,
                        checks.get(at + 1) - 1,
                        size,
                        "the check at position " + checks.get(at) + " holds less than it should");
            }
            case CALIBRATION_REJECTED -> {
                double size = fault.size().orElse(-0.4);
                int standard = sheet.positions(v -> v.identity.equals("S3")).get(0);
                sheet.claim(fault, "standard at position", List.of(standard));
                scale(sheet.at(standard), 1 + size);
                sheet.touched(
                        fault.kind(), analytes, 0, 1, sheet.size(), size, "the fourth standard was made up wrongly");
            }
            default -> throw sheet.cannot(fault, "no such fault is planted in runs of " + plan.method());
        }
    }

    /** A soil so rich that the detector is at its end, and that nobody reads again diluted. */
    private void saturate(Fault fault) {
        List<Integer> soils = sheet.positions(v -> v.role == Role.SAMPLE
                && v.dilution == 1
                && excess(v) < 0.9
                && v.specimen.orElseThrow().material().isEmpty());
        Vessel vessel = sheet.at(sheet.take(fault, 0.5, soils, "over-range soil at position"));
        double size = fault.size().orElse(5);
        double factor = size / excess(vessel);
        sheet.vessels.stream()
                .filter(other -> other.identity.equals(vessel.identity))
                .forEach(other -> scale(other, factor));
        Faults.oneSoil(
                sheet,
                fault.kind(),
                extract.analytes(),
                vessel.identity,
                size,
                "the detector is at its end and nobody diluted the extract");
    }

    private static void scale(Vessel vessel, double factor) {
        for (int c = 0; c < vessel.content.length; c++) {
            vessel.content[c] *= factor;
        }
    }

    /** What the detector adds to the baseline for a share of the highest standard, absorbance. */
    public static double bent(double share) {
        double x = Math.min(share, 3);
        return 1.7 * share - 0.25 * x * x;
    }

    private int sinceCheck;
    private int sinceWash;

    private void fill(List<Fault> faults, Noise.Shared shared) {
        wash();
        for (int i = 0; i < 6; i++) {
            solution(Role.STANDARD, "S" + i);
        }
        solution(Role.VERIFICATION, "ICV");
        solution(Role.VERIFICATION, "CCV");
        if (extract.flow()) {
            solution(Role.VERIFICATION, "CO-low");
            solution(Role.VERIFICATION, "CO-high");
            solution(Role.VERIFICATION, "CO-low");
        }
        wash();
        blank();
        blank();
        int material = chance.between(0, ControlSoil.ALL.size() - 1);
        control(material++);
        sinceCheck = 0;
        for (Vessel vessel : RunSheet.soils(plan.specimens(), chance)) {
            vessel.content = drawn(whole.apply(vessel.specimen.orElseThrow()), chance);
            add(vessel);
            if (++sinceCheck % (2 * CHECK_EVERY) == 0) {
                control(material++);
            }
            if (sinceCheck % CHECK_EVERY == 0) {
                check();
            }
        }
        for (Vessel vessel : vessels) {
            if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                double[] errors = shared.next(vessel.content.length, 0);
                for (int c = 0; c < errors.length; c++) {
                    vessel.content[c] *= 1 + SHARED_RSD * errors[c];
                }
            }
        }
        new Mixup(
                        sheet,
                        extract.analytes(),
                        specimen -> drawn(whole.apply(specimen), mishap),
                        () -> clean(mishap),
                        this::unlike)
                .plant(faults);
        faults.forEach(this::portion);
        List<Vessel> over = new ArrayList<>();
        for (Vessel vessel : List.copyOf(vessels)) {
            double excess = vessel.isSoil() ? excess(vessel) : 0;
            // An extract that would end the detector's scale is seen to be so by its colour or its salt, and diluted
            // before it is read.
            if (extract.flow() && excess > FORESEEN) {
                vessel.dilution = dilution(excess);
            } else if (excess > 0.95) {
                Vessel again = new Vessel(vessel.role, vessel.identity, vessel.specimen, vessel.content);
                again.holds = vessel.holds;
                again.dilution = dilution(excess);
                over.add(again);
            }
        }
        int again = sinceCheck;
        for (Vessel vessel : over) {
            add(vessel);
            // Extracts that are diluted and read again stand between checks too.
            if (++again % CHECK_EVERY == 0) {
                check();
            }
        }
        check();
        wash();
        blank();
        control(material);
        wash();
    }

    private static double dilution(double excess) {
        return excess < 4.5 ? 5 : excess < 9 ? 10 : 50;
    }

    private void check() {
        solution(Role.VERIFICATION, "CCV");
    }

    private void add(Vessel vessel) {
        vessels.add(vessel);
        if (extract.flow() && ++sinceWash >= WASH_EVERY) {
            wash();
        }
    }

    private void wash() {
        if (extract.flow()) {
            vessels.add(new Vessel(
                    Role.WASH,
                    "carrier",
                    Optional.empty(),
                    new double[extract.channels().size()]));
            sinceWash = 0;
        }
    }

    private void solution(Role role, String name) {
        double poured = chance.factor(0.0015);
        double[] content = new double[extract.channels().size()];
        for (int c = 0; c < content.length; c++) {
            content[c] = Extract.solution(name, extract.channels().get(c)) * poured;
        }
        vessels.add(new Vessel(role, name, Optional.empty(), content));
    }

    private void blank() {
        add(new Vessel(Role.BLANK, "MB", Optional.empty(), clean(chance)));
    }

    private double[] clean(Chance from) {
        double[] content = new double[extract.channels().size()];
        for (int c = 0; c < content.length; c++) {
            content[c] = dirt(c, from);
        }
        return content;
    }

    private double dirt(int c, Chance from) {
        Extract.Channel channel = extract.channels().get(c);
        return Math.max(0, 0.05 * channel.lowest() / extract.mlPerG() * from.factor(0.3));
    }

    private void control(int material) {
        // A known soil stands after a wash, so that nothing of the soil before shows in it.
        wash();
        ControlSoil soil = ControlSoil.ALL.get(material % ControlSoil.ALL.size());
        add(new Vessel(Role.CONTROL, soil.name(), Optional.empty(), drawn(WholeSoil.ofMaterial(soil.name()), chance)));
    }

    private double[] drawn(WholeSoil soil, Chance from) {
        double[] content = new double[extract.channels().size()];
        double portion = extract.portionRsd() == 0 ? 1 : from.factor(extract.portionRsd());
        for (int c = 0; c < content.length; c++) {
            double value = soil.of(plan.method(), extract.channels().get(c).analyte());
            content[c] = value / extract.mlPerG() * portion * from.factor(Extract.OWN_RSD) + dirt(c, from);
        }
        return content;
    }

    private double excess(Vessel vessel) {
        double worst = 0;
        for (int c = 0; c < vessel.content.length; c++) {
            worst = Math.max(
                    worst, vessel.content[c] / extract.channels().get(c).top());
        }
        return worst;
    }

    private Readings peaks() {
        Readings.Builder rows = Readings.builder();
        int n = extract.channels().size();
        double[] baseline = new double[n];
        double[] wander = new double[n];
        double[] before = new double[n];
        double[] progress = sheet.progress(false);
        for (int c = 0; c < n; c++) {
            baseline[c] = chance.between(0.02, 0.06);
        }
        for (int p = 1; p <= vessels.size(); p++) {
            Vessel vessel = vessels.get(p - 1);
            double flows = chance.factor(FLOW_RSD);
            for (int c = 0; c < n; c++) {
                Extract.Channel channel = extract.channels().get(c);
                wander[c] += chance.normal(0, 0.00012) + (p > climbsAfter ? climb : 0);
                double share = vessel.content[c] / vessel.trueDilution() / channel.top() * gain(progress[p]);
                double seen = vessel.role == Role.WASH ? 0 : share + carried * before[c];
                double peak = bent(seen) * flows;
                double shown = Math.min(2.6, baseline[c] + wander[c] + peak + 0.0006 * chance.normal());
                before[c] = vessel.role == Role.WASH ? 0 : share;
                add(rows, p, vessel, channel.quantity(), Decimals.places(shown, 4), Unit.ABSORBANCE, FLOW_MILLIS);
            }
        }
        return rows.build();
    }

    private Readings rates() {
        Readings.Builder rows = Readings.builder();
        double common = chance.normal(1, 0.05, 0.85, 1.15);
        double[] progress = sheet.progress(false);
        double trend = chance.normal(0, 0.03, -0.06, 0.06) / vessels.size();
        for (int p = 1; p <= vessels.size(); p++) {
            Vessel vessel = vessels.get(p - 1);
            common += trend + chance.normal(0, 0.0008);
            boolean solution = vessel.role == Role.STANDARD || vessel.role == Role.VERIFICATION;
            double u = common * (solution ? 1 : 0.97 * chance.factor(0.008));
            for (int c = 0; c < vessel.content.length; c++) {
                Extract.Channel channel = extract.channels().get(c);
                double perMgL = 1000 / (channel.lowest() / extract.mlPerG());
                double rate = (BACKGROUND + perMgL * vessel.content[c] / vessel.trueDilution() * gain(progress[p])) * u;
                double shown = rate * chance.factor(0.002) + Math.sqrt(Math.max(1, rate) / 5) * chance.normal();
                add(rows, p, vessel, channel.quantity(), Decimals.places(shown, 1), Unit.PER_SECOND, PLASMA_MILLIS);
            }
            double internal = INTERNAL_RATE * u * chance.factor(0.002);
            add(
                    rows,
                    p,
                    vessel,
                    Element.INTERNAL_STANDARD,
                    Decimals.places(internal, 1),
                    Unit.PER_SECOND,
                    PLASMA_MILLIS);
        }
        return rows.build();
    }

    private void add(
            Readings.Builder rows, int position, Vessel vessel, String quantity, double value, Unit unit, long millis) {
        long at = plan.start().toInstant().toEpochMilli() + (position - 1) * millis;
        rows.add(
                position,
                vessel.role,
                vessel.identity,
                "",
                quantity,
                value,
                unit,
                at,
                plan.start().getOffset().getTotalSeconds(),
                vessel.dilution);
    }
}
