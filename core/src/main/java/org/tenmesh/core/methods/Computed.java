package org.tenmesh.core.methods;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.formula.Formula;

/**
 * One result of a formula, one class out of several, or a number in place of which a word stands under stated conditions: above the
 * table, no lime.
 *
 * @param name the analyte's symbol, or a name of a step between that is not reported
 * @param formula gives the number where no class holds; empty when the result is always a class
 * @param classes tried in order, the first whose condition holds is the result; empty when the result is always a number
 * @param lowest below this the result is refused as impossible
 * @param highest above this the result is refused as impossible
 */
public record Computed(
        String name, Optional<Formula> formula, List<Class> classes, OptionalDouble lowest, OptionalDouble highest) {
    public Computed {
        classes = List.copyOf(classes);
        if (formula.isEmpty() && classes.isEmpty()) {
            throw new IllegalArgumentException(name + " needs a formula or classes");
        }
    }

    /**
     * A class.
     *
     * @param word as reported: "sandy clay loam"
     * @param when the condition under which it is the result
     */
    public record Class(String word, Formula when) {}
}
