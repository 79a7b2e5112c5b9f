package org.tenmesh.core.reduction;

import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/**
 * The arithmetic of one kind of method, with readings and with the numbers of a worked example.
 *
 * @param <M> the kind
 */
interface KindOfMethod<M extends Method> {
    /** The roles of positions that say something under a method of this kind. */
    Set<Role> roles();

    /** Reduces one run, whose quantities have the method's names. */
    Reduced reduce(Run run, M method, KnownValues known, Trail trail);

    /**
     * What the method makes of an example's numbers.
     *
     * @return by the symbol of each analyte that the example expects
     * @throws IllegalArgumentException when a number that the method needs is not given
     */
    Map<String, Amount> worked(M method, Example example);

    /**
     * The same with the numbers put in. The value of the last line of each result is what {@link #worked} gave; a test evaluates the arithmetic
     * beside it.
     */
    List<WorkedLine> lines(M method, Example example, Map<String, Amount> amounts);
}
