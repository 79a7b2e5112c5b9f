package org.tenmesh.simulator.soils;

import java.util.Map;
import java.util.Optional;

/**
 * A kind of soil that clients send.
 *
 * <p>{@link #ARABLE} follows open tables, see {@link SoilModel} and {@link Element}. Medians, spreads and correlations of the others
 * are invented at plausible sizes; that peat is sour and nearly all organic, that soils on lime hold much calcium and give little iron,
 * that sand near the sea is poor and sometimes salt, and that ash of volcanoes is rich in aluminium and fixes phosphorus, is
 * common knowledge (from memory).
 */
public enum Ground {
    /** Ploughed land of a temperate country. */
    ARABLE("arable", new Reaction(6.5, 0.65, 4.3, 8.6), new Organic(1.58, 0.16, 0, 100), Map.of(), Map.of(), 1, 0),
    /** Sand near the sea: little organic matter, little of everything, now and then much sodium and sulfur. */
    SANDY_COASTAL(
            "sandy-coastal",
            new Reaction(6.3, 0.7, 4.3, 8.4),
            new Organic(0.70, 0.18, 0, 100),
            Map.of("C K", 0.55, "K Mg", 0.55, "pH Fe", -0.50, "Ca Fe", -0.35, "C P", 0.20, "K Ca", 0.45),
            Map.ofEntries(
                    Map.entry("P", 45.0),
                    Map.entry("K", 62.0),
                    Map.entry("Ca", 560.0),
                    Map.entry("Mg", 70.0),
                    Map.entry("Na", 55.0),
                    Map.entry("S", 14.0),
                    Map.entry("B", 0.45),
                    Map.entry("Cu", 1.3),
                    Map.entry("Fe", 130.0),
                    Map.entry("Mn", 22.0),
                    Map.entry("Zn", 2.5),
                    Map.entry("Al", 420.0)),
            1.7,
            0),
    /** On chalk or lime. */
    CALCAREOUS(
            "calcareous",
            new Reaction(7.95, 0.16, 7.6, 8.4),
            new Organic(2.0, 0.15, 0, 100),
            Map.ofEntries(
                    Map.entry("pH C", -0.20),
                    Map.entry("pH P", -0.05),
                    Map.entry("pH K", 0.05),
                    Map.entry("pH Ca", 0.30),
                    Map.entry("C Ca", 0.35),
                    Map.entry("pH B", 0.15),
                    Map.entry("pH Mn", -0.25),
                    Map.entry("pH Zn", -0.20),
                    Map.entry("pH Cu", -0.15),
                    Map.entry("pH Fe", -0.45),
                    Map.entry("Ca Fe", -0.30)),
            Map.ofEntries(
                    Map.entry("P", 22.0),
                    Map.entry("K", 220.0),
                    Map.entry("Ca", 6500.0),
                    Map.entry("Mg", 330.0),
                    Map.entry("Na", 38.0),
                    Map.entry("S", 18.0),
                    Map.entry("B", 1.4),
                    Map.entry("Cu", 2.2),
                    Map.entry("Fe", 38.0),
                    Map.entry("Mn", 55.0),
                    Map.entry("Zn", 2.2),
                    Map.entry("Al", 60.0)),
            1,
            0),
    /** Fen and bog: a loss on ignition of 20 to 80 %. */
    PEAT(
            "peat",
            new Reaction(5.1, 0.55, 3.8, 7.2),
            new Organic(26, 0.12, 20, 80),
            Map.ofEntries(
                    Map.entry("pH C", -0.35),
                    Map.entry("C Ca", -0.10),
                    Map.entry("pH Ca", 0.75),
                    Map.entry("pH Fe", -0.20),
                    Map.entry("Ca Fe", -0.10),
                    Map.entry("C B", 0.10),
                    Map.entry("C Mg", 0.05),
                    Map.entry("C K", -0.05),
                    Map.entry("pH Mg", 0.45),
                    Map.entry("Mg Ca", 0.55),
                    Map.entry("pH P", 0.20)),
            Map.ofEntries(
                    Map.entry("P", 30.0),
                    Map.entry("K", 130.0),
                    Map.entry("Ca", 4200.0),
                    Map.entry("Mg", 450.0),
                    Map.entry("Na", 60.0),
                    Map.entry("S", 55.0),
                    Map.entry("B", 1.2),
                    Map.entry("Cu", 2.0),
                    Map.entry("Fe", 400.0),
                    Map.entry("Mn", 25.0),
                    Map.entry("Zn", 6.0),
                    Map.entry("Al", 260.0)),
            1,
            -0.25),
    /** On volcanic ash: much aluminium, iron and organic matter, little phosphorus. */
    VOLCANIC(
            "volcanic",
            new Reaction(5.8, 0.4, 4.6, 7.2),
            new Organic(7.5, 0.15, 0, 100),
            Map.of(
                    "C P", -0.30, "pH C", -0.25, "C Ca", 0.15, "C Fe", 0.30, "pH Fe", -0.40, "Ca Fe", -0.30, "C B",
                    0.20, "C K", 0.10, "C Mg", 0.15),
            Map.ofEntries(
                    Map.entry("P", 9.0),
                    Map.entry("K", 180.0),
                    Map.entry("Ca", 1400.0),
                    Map.entry("Mg", 190.0),
                    Map.entry("Na", 40.0),
                    Map.entry("S", 22.0),
                    Map.entry("B", 0.6),
                    Map.entry("Cu", 3.5),
                    Map.entry("Fe", 280.0),
                    Map.entry("Mn", 45.0),
                    Map.entry("Zn", 4.0),
                    Map.entry("Al", 1500.0)),
            1,
            0.65);

    private final String word;
    private final Reaction reaction;
    private final Organic organic;
    /** Correlations that differ from those of the German table, by the pair of symbols. */
    private final Map<String, Double> correlations;
    /** Medians that differ from those of {@link Element}, mg/kg. */
    private final Map<String, Double> medians;
    /** How much wider sodium and sulfur spread than in arable soils. */
    private final double saltSpread;
    /** How aluminium follows carbon; 0 = as in the sub-Saharan reference soils. */
    private final double aluminiumByCarbon;

    Ground(
            String word,
            Reaction reaction,
            Organic organic,
            Map<String, Double> correlations,
            Map<String, Double> medians,
            double saltSpread,
            double aluminiumByCarbon) {
        this.word = word;
        this.reaction = reaction;
        this.organic = organic;
        this.correlations = correlations;
        this.medians = medians;
        this.saltSpread = saltSpread;
        this.aluminiumByCarbon = aluminiumByCarbon;
    }

    /** pH in water: mean, standard deviation, and the ends it is held between. */
    record Reaction(double mean, double sd, double low, double high) {}

    /** Carbon: median in %, standard deviation of log10; the ends the loss on ignition is held between, %. */
    record Organic(double medianPct, double sdLog10, double lowLossPct, double highLossPct) {}

    /** The name in commands. */
    public String word() {
        return word;
    }

    /** The ground with this name, or empty. */
    public static Optional<Ground> of(String word) {
        for (Ground ground : values()) {
            if (ground.word.equals(word)) {
                return Optional.of(ground);
            }
        }
        return Optional.empty();
    }

    Reaction reaction() {
        return reaction;
    }

    Organic organic() {
        return organic;
    }

    /** Correlation of two symbols (pH, C, elements), given what it is in the German table. */
    double correlation(String one, String other, double usual) {
        return correlations.getOrDefault(one + " " + other, correlations.getOrDefault(other + " " + one, usual));
    }

    double medianMgKg(Element element) {
        return medians.getOrDefault(element.symbol(), element.medianMgKg());
    }

    double sdLog10(Element element) {
        boolean salt = element.symbol().equals("Na") || element.symbol().equals("S");
        return salt ? saltSpread * element.sdLog10() : element.sdLog10();
    }

    double aluminiumByCarbon() {
        return aluminiumByCarbon;
    }
}
