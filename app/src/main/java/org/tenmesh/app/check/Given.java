package org.tenmesh.app.check;

import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.methods.Method;

/**
 * What a row puts in.
 *
 * @param of method and symbol, such as {@code olsen-p P}; may be empty
 * @param values by name, in the order of the row
 */
record Given(String of, Map<String, String> values) {

    /** Reads {@code name=value} pairs separated by semicolons. */
    static Given of(String of, String text) {
        Map<String, String> values = new LinkedHashMap<>();
        for (String pair : text.split(";")) {
            int at = pair.indexOf('=');
            if (at > 0) {
                values.put(pair.substring(0, at), pair.substring(at + 1));
            }
        }
        return new Given(of, values);
    }

    Method method() {
        return Shipped.method(of.split(" ", 2)[0]);
    }

    String symbol() {
        return of.split(" ", 2)[1];
    }

    Optional<String> optional(String name) {
        return Optional.ofNullable(values.get(name));
    }

    String word(String name) {
        return optional(name).orElseThrow(() -> new IllegalArgumentException("the row gives no " + name));
    }

    String word(String name, String usual) {
        return optional(name).orElse(usual);
    }

    double number(String name) {
        return Double.parseDouble(word(name));
    }

    double number(String name, double usual) {
        return optional(name).map(Double::parseDouble).orElse(usual);
    }

    int whole(String name) {
        return Integer.parseInt(word(name));
    }

    /** Numbers separated by spaces; none when the value is empty. */
    double[] numbers(String name) {
        return numbersOf(word(name));
    }

    static double[] numbersOf(String text) {
        return Arrays.stream(text.split(" "))
                .filter(part -> !part.isEmpty())
                .mapToDouble(Double::parseDouble)
                .toArray();
    }

    /** The numbers of the row itself, or those of the data set it names. */
    double[] values(String file, String column) {
        return optional("values")
                .map(Given::numbersOf)
                .orElseGet(() -> PublishedSet.of(file, word("set")).column(column));
    }
}
