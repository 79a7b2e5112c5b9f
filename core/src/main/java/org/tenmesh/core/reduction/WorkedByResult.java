package org.tenmesh.core.reduction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/**
 * A kind of method whose worked examples are calculated result by result.
 *
 * @param <M> the kind
 */
abstract class WorkedByResult<M extends Method> implements KindOfMethod<M> {
    /** One result. */
    abstract double value(M method, String symbol, Given given);

    /**
     * The lines of one result.
     *
     * @param value what it gave
     * @param lines those so far; added to
     */
    abstract void lines(M method, String symbol, double value, Given given, List<WorkedLine> lines);

    @Override
    public final Map<String, Amount> worked(M method, Example example) {
        Given given = new Given(example.given());
        Map<String, Amount> amounts = new HashMap<>();
        for (String symbol : example.expected().keySet()) {
            Analyte analyte = method.analyte(symbol)
                    .orElseThrow(() -> new IllegalArgumentException("method " + method.id() + " reports no " + symbol));
            amounts.put(symbol, Limits.amount(value(method, symbol, given), analyte, given.orElse("dilution", 1)));
        }
        return amounts;
    }

    @Override
    public final List<WorkedLine> lines(M method, Example example, Map<String, Amount> amounts) {
        List<WorkedLine> lines = new ArrayList<>();
        new TreeMap<>(amounts).forEach((symbol, amount) -> {
            if (Double.isFinite(amount.raw())) {
                lines(method, symbol, amount.raw(), new Given(example.given()), lines);
            }
        });
        return lines;
    }
}
