package org.tenmesh.core.quantity;

import java.util.Map;

/**
 * Molar masses of what a soil laboratory prepares and reports, and the factors between an element and the form a result is
 * quoted in.
 *
 * <p>Standard atomic weights of IUPAC, abridged, 2021 (from memory; the factors they give are checked against printed tables).
 */
public final class MolarMass {
    private static final Map<String, Double> ATOMIC_WEIGHTS = Map.ofEntries(
            Map.entry("H", 1.008),
            Map.entry("B", 10.81),
            Map.entry("C", 12.011),
            Map.entry("N", 14.007),
            Map.entry("O", 15.999),
            Map.entry("F", 18.998),
            Map.entry("Na", 22.990),
            Map.entry("Mg", 24.305),
            Map.entry("Al", 26.982),
            Map.entry("P", 30.974),
            Map.entry("S", 32.06),
            Map.entry("Cl", 35.45),
            Map.entry("K", 39.098),
            Map.entry("Ca", 40.078),
            Map.entry("Mn", 54.938),
            Map.entry("Fe", 55.845),
            Map.entry("Cu", 63.546),
            Map.entry("Zn", 65.38),
            Map.entry("Y", 88.906));

    private MolarMass() {}

    /**
     * Molar mass of a formula, g/mol.
     *
     * @param formula element symbols and counts, groups in brackets: {@code P2O5}, {@code Ca(H2PO4)2}
     * @throws IllegalArgumentException if it holds another character, an unknown element or an open bracket
     */
    public static double of(String formula) {
        return new Reader(formula).whole();
    }

    /**
     * Mass of one form that holds as much of an element as a mass of 1 of the other: 2.2914 from P to P2O5.
     *
     * @param from formula of the form given
     * @param to formula of the form wanted
     * @param element the element both hold
     * @throws IllegalArgumentException if a formula cannot be read or lacks the element
     */
    public static double factor(String from, String to, String element) {
        return of(to) / count(to, element) * count(from, element) / of(from);
    }

    /**
     * mg/kg of an element that carry one centimole of charge a kilogram (1 cmol/kg, the old 1 meq/100 g): 200.39 for calcium.
     *
     * @param charge of its ion in soil, 1 to 3
     */
    public static double mgPerKgOfOneCentimole(String element, int charge) {
        return 10 * of(element) / charge;
    }

    private static double count(String formula, String element) {
        double count = new Reader(formula).count(element);
        if (count == 0) {
            throw new IllegalArgumentException("there is no " + element + " in " + formula);
        }
        return count;
    }

    private static final class Reader {
        private final String formula;
        private int at;

        Reader(String formula) {
            this.formula = formula;
        }

        double whole() {
            return all("");
        }

        double count(String element) {
            return all(element);
        }

        // With an element its count, without one the mass.
        private double all(String element) {
            double sum = group(element);
            if (at < formula.length() || formula.isEmpty()) {
                throw new IllegalArgumentException(
                        "\"" + formula + "\" cannot be read as a formula at place " + (at + 1));
            }
            return sum;
        }

        private double group(String element) {
            double sum = 0;
            while (at < formula.length() && formula.charAt(at) != ')') {
                double one;
                if (formula.charAt(at) == '(') {
                    at++;
                    one = group(element);
                    if (at == formula.length()) {
                        throw new IllegalArgumentException("a bracket stays open in \"" + formula + "\"");
                    }
                    at++;
                } else {
                    String symbol = symbol();
                    one = element.isEmpty() ? weight(symbol) : symbol.equals(element) ? 1 : 0;
                }
                sum += one * number();
            }
            return sum;
        }

        private String symbol() {
            int start = at;
            at++;
            while (at < formula.length() && Character.isLowerCase(formula.charAt(at))) {
                at++;
            }
            return formula.substring(start, at);
        }

        private double weight(String symbol) {
            Double weight = ATOMIC_WEIGHTS.get(symbol);
            if (weight == null) {
                throw new IllegalArgumentException(
                        "no atomic weight is held for \"" + symbol + "\" in \"" + formula + "\"");
            }
            return weight;
        }

        private int number() {
            int start = at;
            while (at < formula.length() && Character.isDigit(formula.charAt(at))) {
                at++;
            }
            return start == at ? 1 : Integer.parseInt(formula.substring(start, at));
        }
    }
}
