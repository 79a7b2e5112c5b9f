package org.tenmesh.core.quantity;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;

/**
 * What a unit measures, and how large it is: a factor and whole or half exponents of base units. Made from a UCUM code of the part
 * this laboratory needs (Unified Code for Units of Measure, version 2.2, 2024): products with {@code .}, one division or more
 * with {@code /}, whole exponents, metric prefixes.
 *
 * <p>Two numbers may be added only where both agree: mg/kg to mg/kg, never mg/kg to %. Equivalents count as moles, as in UCUM.
 */
public final class Dimension {
    private static final String BASES = "g m s mol K V S A";
    private static final int COUNT = BASES.split(" ").length;
    private static final int GRAM = 0;
    private static final int METRE = 1;
    private static final int SECOND = 2;
    private static final int MOLE = 3;
    private static final int KELVIN = 4;
    private static final int VOLT = 5;
    private static final int SIEMENS = 6;
    private static final int ABSORBANCE = 7;

    private static final Map<String, Dimension> ATOMS = new HashMap<>();
    private static final Map<String, Double> PREFIXES =
            Map.of("k", 1e3, "h", 1e2, "d", 1e-1, "c", 1e-2, "m", 1e-3, "u", 1e-6, "n", 1e-9);

    /** Of a plain number. */
    public static final Dimension NUMBER = new Dimension(1, new double[COUNT]);

    static {
        ATOMS.put("1", NUMBER);
        ATOMS.put("%", new Dimension(0.01, new double[COUNT]));
        ATOMS.put("[pH]", NUMBER);
        ATOMS.put("g", base(1, GRAM, 1));
        ATOMS.put("m", base(1, METRE, 1));
        ATOMS.put("L", base(1e-3, METRE, 3));
        ATOMS.put("s", base(1, SECOND, 1));
        ATOMS.put("min", base(60, SECOND, 1));
        ATOMS.put("h", base(3600, SECOND, 1));
        ATOMS.put("a", base(31_557_600, SECOND, 1));
        ATOMS.put("mol", base(1, MOLE, 1));
        ATOMS.put("eq", base(1, MOLE, 1));
        ATOMS.put("Cel", base(1, KELVIN, 1));
        ATOMS.put("K", base(1, KELVIN, 1));
        ATOMS.put("V", base(1, VOLT, 1));
        ATOMS.put("S", base(1, SIEMENS, 1));
        ATOMS.put("{A}", base(1, ABSORBANCE, 1));
        ATOMS.put("har", base(1e4, METRE, 2));
        ATOMS.put("t", base(1e6, GRAM, 1));
        // International yard and pound agreement of 1959: exact.
        ATOMS.put("[in_i]", base(0.0254, METRE, 1));
        ATOMS.put("[ft_i]", base(0.3048, METRE, 1));
        ATOMS.put("[lb_av]", base(453.59237, GRAM, 1));
        ATOMS.put("[ston_av]", base(2000 * 453.59237, GRAM, 1));
        // UCUM: 4 rods squared x 40, of the US survey foot.
        ATOMS.put("[acr_us]", base(43_560 * Math.pow(1200.0 / 3937, 2), METRE, 2));
    }

    private final double factor;
    private final double[] exponents;

    private Dimension(double factor, double[] exponents) {
        this.factor = factor;
        this.exponents = exponents;
    }

    private static Dimension base(double factor, int which, double exponent) {
        double[] exponents = new double[COUNT];
        exponents[which] = exponent;
        return new Dimension(factor, exponents);
    }

    /**
     * The dimension of a UCUM code such as {@code mg/kg}, {@code mS/cm}, {@code [lb_av]/[acr_us]}, {@code mg/meq}.
     *
     * @throws IllegalArgumentException naming the part that is not known
     */
    public static Dimension of(String ucum) {
        Dimension whole = NUMBER;
        boolean divide = false;
        int from = 0;
        for (int i = 0; i <= ucum.length(); i++) {
            boolean end = i == ucum.length();
            if (!end && ucum.charAt(i) != '/' && ucum.charAt(i) != '.') {
                continue;
            }
            String part = ucum.substring(from, i);
            if (!part.isEmpty()) {
                Dimension one = part(part);
                whole = divide ? whole.over(one) : whole.times(one);
            } else if (i != 0 || end) {
                throw new IllegalArgumentException("\"" + ucum + "\" is no unit: something lacks beside / or .");
            }
            divide = !end && ucum.charAt(i) == '/';
            from = i + 1;
        }
        return whole;
    }

    /** What a unit of the laboratory measures and how large it is. */
    public static Dimension of(Unit unit) {
        return of(unit.ucum());
    }

    private static Dimension part(String part) {
        String name = part;
        double exponent = 1;
        int digits = part.length();
        while (digits > 0 && Character.isDigit(part.charAt(digits - 1))) {
            digits--;
        }
        if (digits > 0 && digits < part.length()) {
            boolean minus = part.charAt(digits - 1) == '-';
            exponent = Integer.parseInt(part.substring(digits)) * (minus ? -1 : 1);
            name = part.substring(0, minus ? digits - 1 : digits);
        }
        Dimension atom = ATOMS.get(name);
        if (atom == null && name.length() > 1) {
            Double prefix = PREFIXES.get(name.substring(0, 1));
            Dimension plain = ATOMS.get(name.substring(1));
            if (prefix != null && plain != null) {
                atom = new Dimension(prefix * plain.factor, plain.exponents);
            }
        }
        if (atom == null) {
            throw new IllegalArgumentException("\"" + part + "\" is no unit known here");
        }
        return atom.power(exponent);
    }

    /** Of a product. */
    public Dimension times(Dimension other) {
        double[] sum = new double[COUNT];
        Arrays.setAll(sum, i -> exponents[i] + other.exponents[i]);
        return new Dimension(factor * other.factor, sum);
    }

    /** Of a quotient. */
    public Dimension over(Dimension other) {
        return times(other.power(-1));
    }

    /** Of a power; 0.5 is a square root. */
    public Dimension power(double exponent) {
        double[] raised = new double[COUNT];
        Arrays.setAll(raised, i -> exponents[i] == 0 ? 0 : exponents[i] * exponent);
        return new Dimension(Math.pow(factor, exponent), raised);
    }

    /** Whether numbers of both may be added and compared as they are. */
    public boolean same(Dimension other) {
        return sameKind(other) && Math.abs(factor - other.factor) <= 1e-9 * Math.abs(factor);
    }

    /** Whether both measure the same thing, in whatever size of unit. */
    public boolean sameKind(Dimension other) {
        return Arrays.equals(exponents, other.exponents);
    }

    /** Whether it is a plain number, neither % nor any other share. */
    public boolean isNumber() {
        return same(NUMBER);
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Dimension that && same(that);
    }

    @Override
    public int hashCode() {
        return Arrays.hashCode(exponents);
    }

    /** For messages: the unit's code where the laboratory uses it, else the factor and the base units, {@code 0.001 g·m^-3}. */
    @Override
    public String toString() {
        if (isNumber()) {
            return "plain numbers";
        }
        for (Unit unit : Unit.values()) {
            if (same(of(unit))) {
                return unit.ucum();
            }
        }
        StringBuilder text = new StringBuilder();
        String[] names = BASES.split(" ");
        for (int i = 0; i < COUNT; i++) {
            if (exponents[i] != 0) {
                text.append(text.length() == 0 ? "" : "·").append(names[i]);
                if (exponents[i] != 1) {
                    text.append('^').append(Significant.text(exponents[i], 2));
                }
            }
        }
        String number = factor == 1 && text.length() > 0 ? "" : Significant.text(factor, 4);
        return (number + " " + text).strip();
    }
}
