package org.tenmesh.core.reduction;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/** Readings and a method version in, determinations out. The same input gives the same output, to the last bit. */
public final class Reduction {
    /** The arithmetic of each kind of method that is read from soil. */
    private static final Map<Class<? extends Method>, KindOfMethod<?>> KINDS = new HashMap<>();

    static {
        put(ElectrodeMethod.class, new ElectrodeReduction.Kind());
        put(IgnitionMethod.class, new IgnitionReduction.Kind());
        put(EmissionMethod.class, new ExtractionReduction.Emission());
        put(FlowMethod.class, new ExtractionReduction.Flow());
        put(ConductivityMethod.class, new ConductivityReduction.Kind());
        put(FormulaMethod.class, new FormulaReduction.Kind());
    }

    private Reduction() {}

    private static <M extends Method> void put(Class<M> type, KindOfMethod<M> kind) {
        KINDS.put(type, kind);
    }

    @SuppressWarnings("unchecked") // put allows no other pair
    private static <M extends Method> KindOfMethod<M> kind(M method) {
        KindOfMethod<M> kind = (KindOfMethod<M>) KINDS.get(method.getClass());
        if (kind == null) {
            throw new IllegalArgumentException(
                    method.isCalculated()
                            ? method.id() + " is calculated from other results and has no readings"
                            : method.id() + " is of a kind that has no reduction");
        }
        return kind;
    }

    /**
     * Reduces one run. Quantities that the method knows by another name are taken as {@link QuantityMatch} says; the run of the
     * answer has them under the method's names.
     *
     * @param known values of the run's standards and known solutions
     * @param trail collects the steps of one determination, {@link Trail#OFF} for none
     * @throws IllegalArgumentException when nothing is read for the method
     */
    public static Reduced reduce(Run asRead, Method method, KnownValues known, Trail trail) {
        return kind(method).reduce(underTheMethodsNames(asRead, method), method, known, trail);
    }

    /**
     * The roles of positions that say something under a method.
     *
     * @throws IllegalArgumentException when nothing is read for the method
     */
    public static Set<Role> roles(Method method) {
        return kind(method).roles();
    }

    /**
     * What a method makes of the numbers of a worked example, by the same arithmetic as readings.
     *
     * @return by the symbol of each analyte that the example expects
     * @throws IllegalArgumentException when a number that the method needs is not given, or nothing is read for the method
     */
    public static Map<String, Amount> worked(Method method, Example example) {
        return kind(method).worked(method, example);
    }

    /**
     * A worked example with the numbers put in, in the order of the calculation.
     *
     * @param amounts what {@link #worked} gave
     */
    public static List<WorkedLine> lines(Method method, Example example, Map<String, Amount> amounts) {
        return kind(method).lines(method, example, amounts);
    }

    private static Run underTheMethodsNames(Run run, Method method) {
        Readings readings = QuantityMatch.of(method, run.readings()).readings();
        return readings == run.readings() ? run : run.with(readings);
    }
}
