package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * Extracts other than Mehlich-3 of the main plasma, read by flow analysis or by plasma.
 *
 * <p>Flow: the peak bends, {@code A = baseline + 1.7 x - 0.25 x²} with {@code x} the share of the highest standard; the baseline wanders and
 * is read as the carrier alone every few places; a small share of each sample shows in the next one. Plasma: {@code rate = (background +
 * sensitivity x concentration) x u}, with {@code u} seen by the internal standard as well.
 */
final class ExtractModel {
    private static final int CHECK_EVERY = 20;
    private static final int WASH_EVERY = 10;
    private static final double CARRIED = 0.004;
    private static final double FLOW_RSD = 0.003;
    private static final double INTERNAL_RATE = 400_000;
    private static final double BACKGROUND = 200;
    private static final long FLOW_MILLIS = 36_000;
    private static final long PLASMA_MILLIS = 24_000;

    private final Extract extract;
    private final RunPlan plan;
    private final Function<Specimen, WholeSoil> whole;
    private final Chance chance;
    private final List<Vessel> vessels = new ArrayList<>();

    private ExtractModel(Extract extract, RunPlan plan, Function<Specimen, WholeSoil> whole, Chance chance) {
        this.extract = extract;
        this.plan = plan;
        this.whole = whole;
        this.chance = chance;
    }

    static Run read(Extract extract, RunPlan plan, long seed, Function<Specimen, WholeSoil> whole) {
        ExtractModel model = new ExtractModel(extract, plan, whole, new Chance(seed, plan.run()));
        model.fill();
        return new Run(
                plan.run(),
                plan.method(),
                plan.instrument(),
                Optional.of(plan.operator()),
                plan.start(),
                extract.flow() ? model.peaks() : model.rates());
    }

    private int sinceCheck;
    private int sinceWash;

    private void fill() {
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
        List<Vessel> over = new ArrayList<>();
        for (Vessel vessel : RunSheet.soils(plan.specimens(), chance)) {
            vessel.content = drawn(whole.apply(vessel.specimen.orElseThrow()));
            add(vessel);
            double excess = excess(vessel);
            if (excess > 0.95) {
                Vessel again = new Vessel(vessel.role, vessel.identity, vessel.specimen, vessel.content);
                again.dilution = excess < 4.5 ? 5 : excess < 9 ? 10 : 50;
                over.add(again);
            }
            if (++sinceCheck % (2 * CHECK_EVERY) == 0) {
                control(material++);
            }
            if (sinceCheck % CHECK_EVERY == 0) {
                check();
            }
        }
        over.forEach(this::add);
        check();
        wash();
        blank();
        control(material);
        wash();
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
        double[] content = new double[extract.channels().size()];
        for (int c = 0; c < content.length; c++) {
            content[c] = dirt(c);
        }
        add(new Vessel(Role.BLANK, "MB", Optional.empty(), content));
    }

    private double dirt(int c) {
        Extract.Channel channel = extract.channels().get(c);
        return Math.max(0, 0.05 * channel.lowest() / extract.mlPerG() * chance.factor(0.3));
    }

    private void control(int material) {
        // A known soil stands after a wash, so that nothing of the soil before shows in it.
        wash();
        ControlSoil soil = ControlSoil.ALL.get(material % ControlSoil.ALL.size());
        add(new Vessel(Role.CONTROL, soil.name(), Optional.empty(), drawn(Routine.ofMaterial(soil.name()))));
    }

    private double[] drawn(WholeSoil soil) {
        double[] content = new double[extract.channels().size()];
        double portion = extract.portionRsd() == 0 ? 1 : chance.factor(extract.portionRsd());
        for (int c = 0; c < content.length; c++) {
            double value = soil.of(plan.method(), extract.channels().get(c).analyte());
            content[c] = value / extract.mlPerG() * portion * chance.factor(Extract.OWN_RSD) + dirt(c);
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
        for (int c = 0; c < n; c++) {
            baseline[c] = chance.between(0.02, 0.06);
        }
        for (int p = 1; p <= vessels.size(); p++) {
            Vessel vessel = vessels.get(p - 1);
            double flows = chance.factor(FLOW_RSD);
            for (int c = 0; c < n; c++) {
                Extract.Channel channel = extract.channels().get(c);
                wander[c] += chance.normal(0, 0.00012);
                double share = vessel.content[c] / vessel.dilution / channel.top();
                double seen = vessel.role == Role.WASH ? 0 : share + CARRIED * before[c];
                double peak = (1.7 * seen - 0.25 * Math.min(seen, 3) * Math.min(seen, 3)) * flows;
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
        double trend = chance.normal(0, 0.03, -0.06, 0.06) / vessels.size();
        for (int p = 1; p <= vessels.size(); p++) {
            Vessel vessel = vessels.get(p - 1);
            common += trend + chance.normal(0, 0.0008);
            boolean solution = vessel.role == Role.STANDARD || vessel.role == Role.VERIFICATION;
            double u = common * (solution ? 1 : 0.97 * chance.factor(0.008));
            for (int c = 0; c < vessel.content.length; c++) {
                Extract.Channel channel = extract.channels().get(c);
                double perMgL = 1000 / (channel.lowest() / extract.mlPerG());
                double rate = (BACKGROUND + perMgL * vessel.content[c] / vessel.dilution) * u;
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
