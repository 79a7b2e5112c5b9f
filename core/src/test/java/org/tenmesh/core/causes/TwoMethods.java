package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/**
 * A day of twenty trays read by plasma and by the balances, from a table that is written down here: phosphorus and potassium scatter
 * freely, the loss on ignition follows from both to three in a hundred. A test changes what was read under which lab number.
 */
final class TwoMethods {
    static final int TRAYS = 20;
    static final int SOILS = TRAYS * Well.PER_TRAY;

    /** Contents of the soil in each well: mg/L of extract, and percent. */
    final double[] p = new double[SOILS];

    final double[] k = new double[SOILS];
    final double[] loss = new double[SOILS];
    /** For each lab number the soil that each method truly read under it. */
    final int[] inPlasma = IntStream.range(0, SOILS).toArray();

    final int[] inFurnace = IntStream.range(0, SOILS).toArray();
    /** Which balance weighed each. */
    final String[] balance = new String[SOILS];

    final Map<LabNumber, String> controls = new HashMap<>();
    /** How many soils came, and how many of them each run read before it ended. */
    int came = SOILS;

    int readByPlasma = SOILS;
    int readByFurnace = SOILS;
    /** How many soils a client sent. */
    int perClient = 24;

    TwoMethods(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double ofClientP = 0;
        double ofClientK = 0;
        for (int i = 0; i < SOILS; i++) {
            if (i % 24 == 0) {
                ofClientP = 0.4 * random.nextGaussian();
                ofClientK = 0.3 * random.nextGaussian();
            }
            double a = ofClientP + 0.4 * random.nextGaussian();
            double b = ofClientK + 0.4 * random.nextGaussian();
            p[i] = 4 * Math.exp(a);
            k[i] = 16 * Math.exp(b);
            loss[i] = 4 * Math.exp(0.5 * a + 0.4 * b + 0.03 * random.nextGaussian());
        }
        Arrays.fill(balance, "2");
    }

    /** A hidden control soil in a well, which truly holds a material. */
    TwoMethods control(int at, String keyed, String truly) {
        controls.put(lab(at), keyed);
        boolean loam = truly.equals("LOAM");
        p[at] = loam ? 3 : 6;
        k[at] = loam ? 15 : 30;
        loss[at] = loam ? 4 : 2;
        return this;
    }

    static LabNumber lab(int i) {
        return Bench.lab(i + 1);
    }

    static int[] wells(int tray) {
        return IntStream.range(tray * Well.PER_TRAY, (tray + 1) * Well.PER_TRAY).toArray();
    }

    Day day() {
        Bench plasma = new Bench("icp-1", Bench.ICP).icpStart();
        Bench furnace = new Bench("loi-1", Bench.LOI);
        Arrays.stream(balance)
                .distinct()
                .sorted()
                .forEach(one -> furnace.under(one).weigh(Role.CONTROL, "LOAM", 20, 25, 24.8));
        int inPlasmaRun = Math.min(came, readByPlasma);
        for (int i = 0; i < inPlasmaRun; i++) {
            plasma.icp(Role.SAMPLE, lab(i).text(), p[inPlasma[i]], k[inPlasma[i]]);
            if (i % 20 == 19 || i == inPlasmaRun - 1) {
                plasma.icp(Role.VERIFICATION, "QC", 10, 20);
            }
        }
        for (int i = 0; i < Math.min(came, readByFurnace); i++) {
            furnace.under(balance[i]).weigh(Role.SAMPLE, lab(i).text(), 20, 25, 25 - 5 * loss[inFurnace[i]] / 100);
        }
        return day(plasma.run(), furnace.run());
    }

    private Day day(Run... runs) {
        MadeDay day = MadeDay.like(Bench.day(controls, List.of(), runs))
                .material(MadeDay.material("RICH", Bench.ICP.id(), "P", 60, 2, Unit.MILLIGRAM_PER_KILOGRAM))
                .material(MadeDay.material("RICH", Bench.ICP.id(), "K", 300, 9, Unit.MILLIGRAM_PER_KILOGRAM))
                .material(MadeDay.material("RICH", Bench.LOI.id(), "LOI", 2, 0.1, Unit.PERCENT));
        for (int client = 0; client * perClient < came; client++) {
            day.submission(MadeSubmission.named("S" + client)
                    .client("client " + client)
                    .receivedAt(Bench.START.minusDays(1)));
        }
        for (int i = 0; i < came; i++) {
            MadeSoil soil = MadeSoil.numbered(lab(i));
            day.soil(controls.containsKey(lab(i)) ? soil : soil.of("S" + i / perClient, i % perClient + 1));
        }
        for (int t = 0; t * Well.PER_TRAY < came; t++) {
            int first = t * Well.PER_TRAY;
            day.tray(new Tray(
                    "T" + t,
                    IntStream.range(0, Well.PER_TRAY)
                            .mapToObj(w -> new Tray.Place(
                                    new Well(w),
                                    Optional.of(first + w).filter(i -> i < came).map(TwoMethods::lab),
                                    Tray.Purpose.SOIL))
                            .toList()));
        }
        return day.day();
    }

    /** The same day under another policy. */
    Day day(Policy policy) {
        Day day = day();
        return MadeDay.like(day)
                .laboratory(MadeLaboratory.named("Own")
                        .invented(true)
                        .policy(policy)
                        .laboratory())
                .day();
    }

    /** What the day as a whole shows, each run judged by itself before. */
    static WholeDay judged(Day day) {
        Map<String, References> references = new HashMap<>();
        Bench.METHODS.ids().forEach(id -> references.put(id, References.of(id, day.standards(), day.materials())));
        List<RunStage> runs = new ArrayList<>();
        for (Run run : day.runs()) {
            Method method = Bench.METHODS.of(run.method(), run.startedAt().toLocalDate());
            References known = references.get(run.method());
            if (known == null) {
                throw new IllegalStateException(run.method());
            }
            RunJudgement judgement = RunJudge.judge(
                    Reduction.reduce(run, method, known.values(), Trail.OFF),
                    known,
                    day.controls(),
                    day.laboratory().policy());
            runs.add(new RunStage("", method, judgement, known));
        }
        return WholeDay.of(day, runs, references, Set.of(), EarlierSoils.NONE, Reuse.nothing(), new Questions());
    }
}
