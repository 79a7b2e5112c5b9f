package org.tenmesh.core.quantity;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * The units this laboratory reads and reports in, each with its UCUM code (Unified Code for Units of Measure,
 * version 2.2, 2024) for machine output and the trade's spelling for people.
 */
public enum Unit {
    MILLIVOLT("mV", "mV"),
    CELSIUS("Cel", "°C"),
    GRAM("g", "g"),
    MILLILITRE("mL", "mL"),
    MILLISIEMENS_PER_CENTIMETRE("mS/cm", "mS/cm"),
    DECISIEMENS_PER_METRE("dS/m", "dS/m"),
    MILLIGRAM_PER_LITRE("mg/L", "mg/L"),
    MILLIGRAM_PER_KILOGRAM("mg/kg", "mg/kg"),
    CENTIMOLE_PER_KILOGRAM("cmol/kg", "cmol/kg"),
    MILLIMOLE_PER_LITRE("mmol/L", "mmol/L"),
    MILLIEQUIVALENT_PER_LITRE("meq/L", "meq/L"),
    MOLE_PER_LITRE("mol/L", "mol/L"),
    GRAM_PER_LITRE("g/L", "g/L"),
    GRAM_PER_KILOGRAM("g/kg", "g/kg"),
    MILLIGRAM_PER_LITRE_OF_SOIL("mg/dm3", "mg/dm³"),
    CENTIMETRE("cm", "cm"),
    POUND_PER_ACRE("[lb_av]/[acr_us]", "lb/acre"),
    TON_PER_ACRE("[ston_av]/[acr_us]", "ton/acre"),
    KILOGRAM_PER_HECTARE("kg/har", "kg/ha"),
    TONNE_PER_HECTARE("t/har", "t/ha"),
    PERCENT("%", "%"),
    PH("[pH]", ""),
    PER_SECOND("/s", "/s"),
    ABSORBANCE("{A}", "absorbance"),
    ONE("1", ""),
    // A new unit goes to the end: digests that are already stored count places.
    HOUR("h", "h");

    private static final Map<String, Unit> BY_CODE = new HashMap<>();

    // Units that state the same thing, each with its size in the smallest of them.
    private static final List<Map<Unit, Double>> CONVERTED = List.of(
            Map.of(MILLIGRAM_PER_KILOGRAM, 1.0, GRAM_PER_KILOGRAM, 1000.0, PERCENT, 10_000.0),
            Map.of(MILLIGRAM_PER_LITRE, 1.0, GRAM_PER_LITRE, 1000.0),
            Map.of(MILLIMOLE_PER_LITRE, 1.0, MOLE_PER_LITRE, 1000.0),
            Map.of(MILLISIEMENS_PER_CENTIMETRE, 1.0, DECISIEMENS_PER_METRE, 1.0));

    static {
        for (Unit unit : values()) {
            BY_CODE.put(unit.ucum, unit);
        }
    }

    private final String ucum;
    private final String spelling;

    Unit(String ucum, String spelling) {
        this.ucum = ucum;
        this.spelling = spelling;
    }

    /** The UCUM code, case-sensitive, as written in files. */
    public String ucum() {
        return ucum;
    }

    /** The usual spelling of a unit by its UCUM code; of a code that is no unit here the code itself, of a plain number nothing. */
    public static String spellingOf(String ucum) {
        return ucum.equals("1") ? "" : ofUcum(ucum).map(Unit::spelling).orElse(ucum.replace("[pH]", "pH"));
    }

    /** The usual spelling, for pages and reports; empty for pH and ratios. */
    public String spelling() {
        return spelling;
    }

    /**
     * What a number in this unit is multiplied by to stand in another, empty where the two do not state the same thing. Equal dimensions
     * are not enough: mg in a litre of extract is not mg in a litre of soil, an equivalent is not a mole, pH is not a share.
     */
    public OptionalDouble factorTo(Unit other) {
        if (this == other) {
            return OptionalDouble.of(1);
        }
        for (Map<Unit, Double> sizes : CONVERTED) {
            Double from = sizes.get(this);
            Double to = sizes.get(other);
            if (from != null && to != null) {
                return OptionalDouble.of(from / to);
            }
        }
        return OptionalDouble.empty();
    }

    /** The unit with this UCUM code, or empty when the laboratory does not use it. */
    public static Optional<Unit> ofUcum(String code) {
        return Optional.ofNullable(BY_CODE.get(code));
    }
}
