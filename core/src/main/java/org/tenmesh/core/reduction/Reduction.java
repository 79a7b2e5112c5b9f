package org.tenmesh.core.reduction;

import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;

/** Readings and a method version in, determinations out. The same input gives the same output, to the last bit. */
public final class Reduction {
    private Reduction() {}

    /**
     * Reduces one run. Quantities that the method knows by another name are taken as {@link QuantityMatch} says; the run of the
     * answer has them under the method's names.
     *
     * @param known values of the run's standards and known solutions
     * @param trail collects the steps of one determination, {@link Trail#OFF} for none
     */
    public static Reduced reduce(Run asRead, Method method, KnownValues known, Trail trail) {
        Run run = underTheMethodsNames(asRead, method);
        if (method instanceof ElectrodeMethod electrode) {
            return new ElectrodeReduction(run, electrode, known, trail).reduce();
        }
        if (method instanceof IgnitionMethod ignition) {
            return new IgnitionReduction(run, ignition, trail).reduce();
        }
        if (method instanceof ExtractionMethod extraction) {
            return new ExtractionReduction(run, extraction, known, trail).reduce();
        }
        if (method instanceof ConductivityMethod conductivity) {
            return new ConductivityReduction(run, conductivity, known, trail).reduce();
        }
        if (method instanceof FormulaMethod formula) {
            return new FormulaReduction(run, formula, known, trail).reduce();
        }
        throw new IllegalArgumentException(method.id() + " is calculated from other results and has no readings");
    }

    private static Run underTheMethodsNames(Run run, Method method) {
        Readings readings = QuantityMatch.of(method, run.readings()).readings();
        return readings == run.readings()
                ? run
                : new Run(run.run(), run.method(), run.instrument(), run.operator(), run.startedAt(), readings);
    }
}
