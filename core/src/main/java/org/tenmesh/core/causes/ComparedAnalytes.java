package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.DoubleStream;
import org.tenmesh.core.agreement.SoilTable;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;

/** The analytes of a method whose results are compared with those of other methods. */
record ComparedAnalytes(List<Analyte> analytes) {
    /**
     * Chooses them.
     *
     * @param runs of one method
     */
    static List<Analyte> of(List<RunStage> runs, Policy policy, Reuse reuse) {
        return reuse.piece(
                        ComparedAnalytes.class,
                        reuse.key(
                                "compared",
                                Engine.VERSION,
                                reuse.digest(policy),
                                runs.stream().map(RunStage::key).toList()),
                        () -> {
                            List<RunJudgement> judged =
                                    runs.stream().map(RunStage::judgement).toList();
                            List<Analyte> chosen = judged.stream()
                                    .filter(run ->
                                            !run.reduced().determinations().isEmpty())
                                    .findFirst()
                                    .map(ComparedAnalytes::independent)
                                    .orElse(List.of());
                            return new ComparedAnalytes(withVariance(chosen, judged, policy));
                        })
                .analytes();
    }

    // Where most soils gave one and the same value, the analyte is left out of the comparison of methods, and its own
    // run
    // is judged as ever.
    private static List<Analyte> withVariance(List<Analyte> chosen, List<RunJudgement> runs, Policy policy) {
        Map<String, DoubleStream.Builder> read = new HashMap<>();
        chosen.forEach(analyte -> read.put(analyte.symbol(), DoubleStream.builder()));
        for (RunJudgement run : runs) {
            for (RunJudgement.Judged judged : run.determinations()) {
                Determination d = judged.determination();
                DoubleStream.Builder its = read.get(d.analyte());
                if (its != null
                        && d.flaw() == Flaw.NONE
                        && Double.isFinite(d.amount().raw())) {
                    its.accept(d.amount().raw());
                }
            }
        }
        return chosen.stream()
                .filter(analyte -> {
                    DoubleStream.Builder its = read.get(analyte.symbol());
                    double[] values = its == null ? new double[0] : its.build().toArray();
                    return values.length < policy.whole(Setting.RELATIONS_LEAST_SOILS)
                            || !SoilTable.mostHoldOneValue(values);
                })
                .toList();
    }

    // What is calculated from the same readings as another analyte says nothing of its own.
    private static List<Analyte> independent(RunJudgement run) {
        Method method = run.reduced().method();
        List<Analyte> chosen = new ArrayList<>();
        List<Set<String>> seen = new ArrayList<>();
        List<Determination> all = run.reduced().determinations();
        for (int i = 0; i < all.size() && all.get(i).position() == all.get(0).position(); i++) {
            Analyte analyte = method.analyte(all.get(i).analyte()).orElseThrow();
            Set<String> from = method.measurements(analyte.symbol());
            if (!seen.contains(from)) {
                seen.add(from);
                chosen.add(analyte);
            }
        }
        return chosen;
    }
}
