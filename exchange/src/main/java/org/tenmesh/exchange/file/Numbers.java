package org.tenmesh.exchange.file;

import java.util.OptionalDouble;

/** Numbers as they stand in files: {@code .} is the decimal mark, no grouping, no words such as NaN. */
public final class Numbers {
    private Numbers() {}

    /**
     * The number written in a text, or empty when it is not a finite decimal number: {@code -12.5}, {@code 1e-3}. Blanks
     * around it, a decimal comma, grouping, hexadecimal digits and type letters are refused.
     */
    public static OptionalDouble parse(String text) {
        int length = text.length();
        if (length == 0 || length > 64) {
            return OptionalDouble.empty();
        }
        int digits = 0;
        for (int i = 0; i < length; i++) {
            char c = text.charAt(i);
            if (c >= '0' && c <= '9') {
                digits++;
            } else if (c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E') {
                return OptionalDouble.empty();
            }
        }
        if (digits == 0) {
            return OptionalDouble.empty();
        }
        try {
            double value = Double.parseDouble(text);
            return Double.isFinite(value) ? OptionalDouble.of(value) : OptionalDouble.empty();
        } catch (NumberFormatException notNumber) {
            return OptionalDouble.empty();
        }
    }
}
