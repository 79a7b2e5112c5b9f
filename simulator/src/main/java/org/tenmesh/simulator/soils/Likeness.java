package org.tenmesh.simulator.soils;

/**
 * How alike the soils of one client and of one field are: shares of the variance of everything a soil holds (pH linear, the rest as
 * logarithms). Two soils of one field correlate by {@code client + field}, two of one client's fields by {@code client}.
 *
 * @param client share between clients, 0 to 1
 * @param field share between the fields of one client
 * @param soil share between the soils of one field
 */
public record Likeness(double client, double field, double soil) {
    private static final double ROUNDING = 1e-6;

    public Likeness {
        if (!(client >= 0 && field >= 0 && soil >= 0) || !(Math.abs(client + field + soil - 1) < ROUNDING)) {
            throw new IllegalArgumentException("shares of client, field and soil: found " + client + ", " + field
                    + " and " + soil + ", expected three shares of 0 or more that add up to 1");
        }
    }

    /**
     * 0.70 between clients, 0.22 between fields, 0.08 inside a field. The last follows one Brazilian field on a grid (R package geoR,
     * soil250), where the standard deviation inside a field is a fifth to a third of that between fields.
     */
    public static Likeness usual() {
        return new Likeness(0.70, 0.22, 0.08);
    }

    /**
     * Reads {@code CLIENT/FIELD/SOIL}, as in {@code 0.70/0.22/0.08}.
     *
     * @throws IllegalArgumentException with what was found and expected
     */
    public static Likeness parse(String text) {
        String[] shares = text.split("/", -1);
        if (shares.length == 3) {
            try {
                return new Likeness(
                        Double.parseDouble(shares[0]), Double.parseDouble(shares[1]), Double.parseDouble(shares[2]));
            } catch (NumberFormatException bad) {
                throw new IllegalArgumentException(expected(text), bad);
            }
        }
        throw new IllegalArgumentException(expected(text));
    }

    private static String expected(String text) {
        return "likeness: found \"" + text + "\", expected three shares such as 0.70/0.22/0.08";
    }
}
