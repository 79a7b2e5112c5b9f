package org.tenmesh.app.check;

import java.math.BigDecimal;

/**
 * How far a number may lie from the printed one.
 *
 * @param absolute in the unit of the number
 * @param reason in words
 */
record Tolerance(double absolute, String reason) {

    /**
     * Reads the tolerance of a row.
     *
     * @param text {@code last} digit, {@code exact}, {@code unit:why} of the last digit, {@code abs:number:why}, {@code share:number:why} of
     *     the printed value, {@code digits:number:why}
     */
    static Tolerance of(String text, String printed) {
        String[] parts = text.split(":", 3);
        return switch (parts[0]) {
            case "last" -> lastDigit(printed);
            case "exact" -> exact(printed);
            case "unit" -> oneUnit(printed, text.substring(5));
            case "abs" -> new Tolerance(Double.parseDouble(parts[1]), parts[2]);
            case "share" ->
                new Tolerance(Math.abs(Double.parseDouble(printed)) * Double.parseDouble(parts[1]), parts[2]);
            case "digits" -> digits(printed, Double.parseDouble(parts[1]), parts[2]);
            default -> throw new IllegalArgumentException("no tolerance is called " + text);
        };
    }

    /** What rounding to the printed digits allows. */
    static Tolerance lastDigit(String printed) {
        return new Tolerance(unit(printed) / 2, "half a unit of the last printed digit");
    }

    /** A whole unit of the last printed digit, for a stated reason. */
    static Tolerance oneUnit(String printed, String why) {
        return new Tolerance(unit(printed), "one unit of the last printed digit: " + why);
    }

    /** So many digits of the printed value. */
    static Tolerance digits(String printed, double digits, String why) {
        return new Tolerance(
                Math.abs(Double.parseDouble(printed)) * Math.pow(10, -digits),
                (digits == Math.rint(digits) ? Long.toString((long) digits) : Double.toString(digits)) + " digits: "
                        + why);
    }

    /** The arithmetic is exact; only binary rounding remains. */
    static Tolerance exact(String printed) {
        return new Tolerance(
                Math.max(1e-12, Math.abs(Double.parseDouble(printed)) * 1e-9), "exact but for binary rounding");
    }

    /** Whether a number agrees with a printed one; never when it is not a number. */
    boolean holds(double printed, double got) {
        // A billionth of slack, so that a value half a unit away does not fail on its binary form.
        return Math.abs(got - printed) <= absolute * (1 + 1e-9) + Math.ulp(printed);
    }

    private static double unit(String printed) {
        return new BigDecimal(printed).ulp().doubleValue();
    }
}
