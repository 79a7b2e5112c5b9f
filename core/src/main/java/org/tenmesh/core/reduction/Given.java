package org.tenmesh.core.reduction;

import java.util.Map;

/**
 * The numbers of a worked example.
 *
 * @param numbers by name
 */
record Given(Map<String, Double> numbers) {
    /**
     * A number that the method cannot do without.
     *
     * @throws IllegalArgumentException when the example does not give it
     */
    double needed(String name) {
        Double value = numbers.get(name);
        if (value == null) {
            throw new IllegalArgumentException("the example gives no " + name + "; it gives " + numbers.keySet());
        }
        return value;
    }

    double orElse(String name, double otherwise) {
        return numbers.getOrDefault(name, otherwise);
    }

    /** A number as it is put into a formula. */
    String text(String name) {
        return WorkedLine.number(needed(name));
    }
}
