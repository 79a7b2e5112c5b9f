package org.tenmesh.simulator.instruments;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.bench.RunOutcome;
import org.tenmesh.simulator.bench.RunPlan;
import org.tenmesh.simulator.bench.RunSheet;
import org.tenmesh.simulator.bench.Vessel;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.soils.Element;

/**
 * Mehlich-3 extracts read by plasma emission.
 *
 * <p>A scoop of 1 g goes into 10 mL; each extraction has its own error, common to all elements (how much soil) and for each
 * element. The plasma gives {@code rate = (background + sensitivity x concentration) x u}, where u is common to every line
 * of one reading (how much solution reaches the plasma: it wanders, and extracts carry less than standards) and is seen
 * by the internal standard too. Counting adds shot noise, the source adds flicker, each line drifts a little by itself.
 * Above the highest standard a line bends down.
 */
public final class EmissionModel {
    public static final String METHOD = "mehlich3-icp";

    private static final int N = PlasmaSheet.N;
    private static final double FLICKER_RSD = 0.002;
    private static final double INTERNAL_RATE = 400_000;
    private static final long POSITION_MILLIS = 24_000;

    private EmissionModel() {}

    public static RunOutcome read(RunPlan plan, long seed, List<Fault> faults) {
        Chance chance = plan.noise().chance(seed, plan.run());
        Chance mishap = new Chance(seed, plan.run() + " mishaps");
        PlasmaSheet sheet = new PlasmaSheet(plan, faults, plan.noise().shared(seed, plan.run()), chance, mishap);
        Plasma plasma = new Plasma(sheet.size());
        if (plan.readShare() < 1) {
            PlasmaFaults.stop(sheet.run, (int) (plan.readShare() * sheet.size()), "still being read");
        }
        PlasmaFaults.plantAll(faults, sheet, plasma, mishap);
        return new RunOutcome(
                new Run(
                        plan.run(),
                        METHOD,
                        plan.instrument(),
                        Optional.of(plan.operator()),
                        plan.start(),
                        readings(sheet, plasma, chance)),
                sheet.run.truth());
    }

    private static Readings readings(PlasmaSheet sheet, Plasma plasma, Chance chance) {
        RunSheet run = sheet.run;
        Readings.Builder rows = Readings.builder();
        long start = run.plan.start().toInstant().toEpochMilli();
        int offset = run.plan.start().getOffset().getTotalSeconds();
        double common = chance.normal(1, 0.05, 0.85, 1.15);
        double trend = chance.normal(0, 0.04, -0.08, 0.08) / run.size();
        double[] own = new double[N];
        for (int e = 0; e < N; e++) {
            own[e] = chance.normal(0, 0.006, -0.014, 0.014) / run.size();
        }
        double[] before = new double[N];
        for (int p = 1; p <= Math.min(run.size(), run.lastRead); p++) {
            Vessel vessel = run.at(p);
            common += trend + chance.normal(0, 0.0008);
            boolean solution = vessel.role == Role.STANDARD || vessel.role == Role.VERIFICATION;
            double u = common * (solution ? 1 : 0.97 * chance.factor(0.008));
            long at = start + (p - 1) * POSITION_MILLIS;
            for (int e = 0; e < N; e++) {
                Element element = Element.ALL.get(e);
                double d = vessel.dilution;
                double inTube = sheet.inTube(vessel, e);
                double mgL = inTube + plasma.carried[e] * before[e] + plasma.interference(sheet, vessel, e);
                before[e] = inTube;
                if (mgL > element.top()) {
                    mgL = element.top() + 0.9 * (mgL - element.top());
                }
                double rate =
                        (element.background() + element.perMgL() * mgL * plasma.gain[p][e] * (1 + own[e] * p)) * u;
                if (!vessel.incomplete || e > 0) {
                    rows.add(
                            p,
                            vessel.role,
                            vessel.identity,
                            "",
                            element.line(),
                            shown(rate, chance),
                            Unit.PER_SECOND,
                            at,
                            offset,
                            d);
                }
            }
            double internal = INTERNAL_RATE * u * plasma.internal[p];
            rows.add(
                    p,
                    vessel.role,
                    vessel.identity,
                    "",
                    Element.INTERNAL_STANDARD,
                    shown(internal, chance),
                    Unit.PER_SECOND,
                    at,
                    offset,
                    vessel.dilution);
        }
        return rows.build();
    }

    private static double shown(double rate, Chance chance) {
        double seen =
                rate * (1 + FLICKER_RSD * chance.normal()) + Math.sqrt(rate / Element.COUNTING_S) * chance.normal();
        return Decimals.places(Math.max(0, seen), seen < 1000 ? 1 : 0);
    }
}
