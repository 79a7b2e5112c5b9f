package org.tenmesh.simulator.soils;

import java.util.List;

/**
 * One element of the plasma model.
 *
 * <p>Lines and standards: Rayment and Lyons, Soil Chemical Methods - Australasia, 2011, tables 18.4 (radial view) and 18.3.
 * Lowest working values (LOQ) by the same book, appendix 2. Within-laboratory spread there is 15 to 20 % as two standard
 * deviations over many laboratories' years; one well-kept laboratory in one season is taken at 3 to 4 % as one (from memory).
 * Sensitivities, backgrounds and blanks are invented at plausible sizes.
 *
 * @param line as in readings
 * @param standards the six working standards, mg/L of extract, the first is the blank
 * @param perMgL sensitivity, counts per second for 1 mg/L
 * @param background counts per second with nothing there
 * @param lowestMgKg lowest working value in soil, mg/kg
 * @param extractionRsd spread of one extraction for this element alone, as a fraction
 * @param medianMgKg middle of the soils that come in, Mehlich-3, mg/kg
 * @param sdLog10 spread of log10 of the content over all soils
 */
public record Element(
        String symbol,
        String line,
        double[] standards,
        double perMgL,
        double background,
        double lowestMgKg,
        double extractionRsd,
        double medianMgKg,
        double sdLog10) {

    /** Extractant for each gram of soil, mL. */
    public static final double ML_PER_G = 10;
    /** Seconds a line is counted. */
    public static final double COUNTING_S = 5;
    /** Spread of one portion, common to all elements, as a fraction. */
    public static final double PORTION_RSD = 0.02;

    /** What a run's own calibration adds: measured on clean days, where control soils scatter as {@link #totalSd} says. */
    private static final double RUN_RSD = 0.006;

    static final double[] LOW = {0, 2, 5, 10, 20, 50};
    static final double[] BASE = {0, 4, 10, 20, 40, 100};

    /**
     * In the order of the method. Medians and spreads are derived statistics of open tables: Mehlich-3 or routine
     * values of 42 maize sites (P, K, Ca, S), 28 Washington soils (Na), sub-Saharan reference soils (Al), 1018 German
     * arable soils (Mg x 2, B, Mn, Cu, Zn as they are, Fe x 2: scaled to Mehlich-3 level from memory).
     */
    public static final List<Element> ALL = List.of(
            new Element("P", "P 213.618", LOW, 900, 150, 3, 0.028, 41, 0.32),
            new Element("K", "K 766.491", BASE, 2500, 400, 10, 0.02, 146, 0.25),
            new Element("Ca", "Ca 430.253", new double[] {0, 40, 100, 200, 400, 1000}, 1500, 300, 10, 0.02, 2039, 0.28),
            new Element("Mg", "Mg 285.213", BASE, 30000, 500, 10, 0.02, 200, 0.22),
            new Element("Na", "Na 589.592", BASE, 9000, 800, 10, 0.028, 26, 0.23),
            new Element("S", "S 181.972", LOW, 900, 150, 5, 0.032, 12, 0.28),
            new Element("B", "B 249.772", new double[] {0, 0.1, 0.2, 0.4, 1, 2}, 9000, 200, 0.25, 0.035, 0.84, 0.25),
            new Element(
                    "Cu", "Cu 324.754", new double[] {0, 0.25, 0.5, 1, 2.5, 5}, 22000, 400, 0.25, 0.025, 3.0, 0.198),
            new Element("Fe", "Fe 259.940", BASE, 14000, 300, 5, 0.025, 158, 0.30),
            new Element("Mn", "Mn 257.610", LOW, 60000, 300, 1, 0.025, 90, 0.27),
            new Element("Zn", "Zn 213.857", new double[] {0, 0.5, 1, 2, 5, 10}, 12000, 150, 0.15, 0.028, 4.99, 0.232),
            new Element("Al", "Al 394.401", new double[] {0, 8, 20, 40, 80, 200}, 6000, 300, 10, 0.02, 735, 0.2));

    public static final List<String> SYMBOLS = ALL.stream().map(Element::symbol).toList();

    /** The internal standard's line: yttrium, added to everything that is read. */
    public static final String INTERNAL_STANDARD = "Y 371.029";

    /** Highest standard, mg/L. */
    public double top() {
        return standards[standards.length - 1];
    }

    /** Mean content of a clean blank, mg/L of extract. */
    public double blankMgL() {
        return 0.03 * lowestMgKg / ML_PER_G;
    }

    /** Spread of clean blanks, mg/L of extract. */
    public double blankSdMgL() {
        return 0.02 * lowestMgKg / ML_PER_G;
    }

    /** Spread of single results of one soil between runs, mg/kg. */
    public double totalSd(double mgKg) {
        double rate = background() + perMgL() * mgKg / ML_PER_G;
        double counting = Math.sqrt(rate / COUNTING_S) / perMgL() * ML_PER_G;
        double blank = blankSdMgL() * ML_PER_G;
        double relative = PORTION_RSD * PORTION_RSD + extractionRsd() * extractionRsd() + RUN_RSD * RUN_RSD;
        return Math.sqrt(relative * mgKg * mgKg + counting * counting + blank * blank);
    }

    public static int indexOf(String symbol) {
        for (int i = 0; i < ALL.size(); i++) {
            if (ALL.get(i).symbol.equals(symbol)) {
                return i;
            }
        }
        return -1;
    }
}
