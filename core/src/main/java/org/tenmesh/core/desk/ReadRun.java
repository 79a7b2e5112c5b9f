package org.tenmesh.core.desk;

import java.util.List;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunMeasures;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/**
 * A run as it was reduced, with what its checks gave beside what is allowed of them.
 *
 * @param measures of check solutions, blanks and open control soils, in the order read
 */
public record ReadRun(Reduced reduced, List<Measure> measures) {
    public ReadRun {
        measures = List.copyOf(measures);
    }

    /** Reduced again from its readings, as the judge does it. */
    static ReadRun of(Day day, Run run, Method method) {
        References references = References.of(
                method.id(),
                day.standards(),
                day.materials(),
                day.history(),
                day.laboratory().policy());
        Reduced reduced = Reduction.reduce(run, method, references.values(), Trail.OFF);
        return new ReadRun(
                reduced, RunMeasures.of(reduced, references, day.laboratory().policy()));
    }
}
