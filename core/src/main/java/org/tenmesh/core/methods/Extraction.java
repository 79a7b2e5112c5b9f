package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;

import java.util.List;
import java.util.OptionalInt;

/**
 * How soil becomes an extract and the extract's content becomes a result, whatever instrument reads it.
 *
 * @param soilG nominal mass of the scoop, g
 * @param extractMl extractant, mL
 * @param basis whether results are per mass of soil, per volume of soil or per litre of extract
 * @param scoopMl volume of the scoop, mL; used on the volume basis
 * @param measuredScoopG mean measured mass of soil in the scoop, g; equals {@code soilG} unless weighed
 * @param diluent what over-range extracts are diluted with; decides which blank is taken off
 * @param subtractBlank whether the mean method blank is taken off
 * @param shape of the calibration
 * @param weighting of the standards
 * @param acceptance when a calibration may be used
 * @param verificationTolerancePct allowed difference of a known solution, % of its value
 * @param blankShareOfLimit largest blank, as a share of the reporting limit
 * @param duplicateLimitPct largest relative difference of two portions, % of their mean
 */
public record Extraction(
        double soilG,
        double extractMl,
        Basis basis,
        double scoopMl,
        double measuredScoopG,
        Diluent diluent,
        boolean subtractBlank,
        Shape shape,
        Weighting weighting,
        Acceptance acceptance,
        double verificationTolerancePct,
        double blankShareOfLimit,
        double duplicateLimitPct) {

    /**
     * Content from the extract: mg/kg on the mass basis, mg per litre of soil on the volume basis, mg/L on the extract basis. Diluted
     * with extractant {@code w = (c - b) D V / m}, with water {@code w = (c D - b) V / m}, because then the diluent carries no
     * blank. Plain mass balance.
     *
     * @param extractMgPerL extract as read, mg/L
     * @param blankMgPerL mean method blank, mg/L; 0 when none is taken off
     * @param dilution of the extract, 1 or more
     */
    public double content(double extractMgPerL, double blankMgPerL, double dilution) {
        double net = diluent == Diluent.EXTRACTANT
                ? (extractMgPerL - blankMgPerL) * dilution
                : extractMgPerL * dilution - blankMgPerL;
        return switch (basis) {
            case MASS -> net * extractMl / measuredScoopG;
            case VOLUME -> net * extractMl / scoopMl;
            case EXTRACT -> net;
        };
    }

    /** The reporting limit of an analyte in undiluted extract, mg/L; 0 when it has none. */
    public double reportingLimitMgPerL(Analyte analyte) {
        return analyte.reportingLimit().orElse(0) / content(1, 0, 1);
    }

    /** Tells how soil becomes an extract, and the extract a result. */
    public void describe(MethodDescription.Text text, List<Analyte> analytes) {
        String blank = subtractBlank ? " − b" : "";
        String diluted = diluent == Diluent.EXTRACTANT && subtractBlank ? "(c − b) × D" : "c × D" + blank;
        String net =
                basis != Basis.EXTRACT && diluent == Diluent.WATER && subtractBlank ? "(" + diluted + ")" : diluted;
        text.formula(
                "content",
                switch (basis) {
                    case MASS -> net + " × V / m";
                    case VOLUME -> net + " × V / v";
                    case EXTRACT -> net;
                },
                analytes.isEmpty() ? "" : analytes.get(0).unit().spelling());
        text.symbol("c", "extract as read, through the run's calibration", "mg/L", "");
        if (subtractBlank) {
            text.symbol("b", "mean method blank of the run", "mg/L", "");
        }
        text.symbol(
                "D",
                "dilution of the extract, with " + (diluent == Diluent.EXTRACTANT ? "extractant" : "water"),
                "",
                "1 or more");
        if (basis != Basis.EXTRACT) {
            text.symbol("V", "extractant", "mL", number(extractMl));
        }
        switch (basis) {
            case MASS ->
                text.symbol("m", "soil, mean measured mass", "g", number(measuredScoopG))
                        .note("Results are per mass of air-dry soil.")
                        .setting("Soil", number(soilG) + " g")
                        .amount(number(soilG) + " g soil + " + number(extractMl) + " mL");
            case VOLUME ->
                text.symbol("v", "soil, volume of the scoop", "mL", number(scoopMl))
                        .note("Results are per volume of soil.")
                        .setting("Soil", "a scoop of " + number(scoopMl) + " mL")
                        .amount(number(scoopMl) + " mL scoop + " + number(extractMl) + " mL")
                        .step("Level, no tapping.");
            case EXTRACT ->
                text.note("The result is that of the extract itself.").amount("The extract as it comes");
        }
        text.vessels();
        if (basis != Basis.EXTRACT) {
            text.setting("Extractant", number(extractMl) + " mL")
                    .step("Then " + number(extractMl) + " mL extractant into every vessel.");
        }
        text.setting(
                        "Calibration",
                        (shape == Shape.LINE ? "a straight line" : "a quadratic curve")
                                + switch (weighting) {
                                    case NONE -> ", standards not weighted";
                                    case ONE_OVER_X -> ", standards weighted 1/x";
                                    case ONE_OVER_X_SQUARED -> ", standards weighted 1/x²";
                                })
                .setting(
                        "Calibration accepted",
                        "r above " + number(acceptance.leastR()) + ", relative standard error below "
                                + number(acceptance.mostRsePct()) + " %, standards read back within "
                                + number(acceptance.readbackPct()) + " %, the lowest within "
                                + number(acceptance.lowReadbackPct()) + " %")
                .setting(
                        "Standards of different content",
                        acceptance.leastLevels().isPresent()
                                ? "at least " + acceptance.leastLevels().getAsInt()
                                : "as many as the policy asks for a "
                                        + (shape == Shape.LINE ? "straight line" : "quadratic curve"))
                .setting("Check solution", "within " + number(verificationTolerancePct) + " %")
                .setting("Blank", "at most " + number(100 * blankShareOfLimit) + " % of the reporting limit")
                .duplicates(duplicateLimitPct, 0);
    }

    /** Results per mass of soil, per volume of soil or per volume of extract. */
    public enum Basis {
        MASS,
        VOLUME,
        EXTRACT
    }

    /** What an extract is diluted with. */
    public enum Diluent {
        EXTRACTANT,
        WATER
    }

    /** The curve through the standards. */
    public enum Shape {
        LINE,
        QUADRATIC
    }

    /** Weights of the standards, by their value x; a standard of value 0 takes the weight of the lowest other one. */
    public enum Weighting {
        NONE,
        ONE_OVER_X,
        ONE_OVER_X_SQUARED
    }

    /**
     * A signal of an analyte: an emission line, a detector's peak.
     *
     * @param quantity as written in readings, {@code P 213.618}, {@code peak}, {@code peak NO3-N}
     * @param element symbol of the analyte it belongs to
     * @param preferred whether this one gives the result where two of one analyte are read
     */
    public record Line(String quantity, String element, boolean preferred) {}

    /**
     * When a calibration may be used. Defaults follow US EPA SW-846 method 6010D, July 2018, section 10.7 and 10.8.
     *
     * @param leastR correlation coefficient must exceed this
     * @param mostRsePct relative standard error must stay below this, %
     * @param lowReadbackPct allowed difference of the lowest standard read back, % of its value
     * @param readbackPct allowed difference of every other standard read back, %
     * @param leastLevels fewest different contents of standards, one of nothing included; empty where the policy decides by the shape
     */
    public record Acceptance(
            double leastR, double mostRsePct, double lowReadbackPct, double readbackPct, OptionalInt leastLevels) {
        /** As many standards as the policy asks for. */
        public Acceptance(double leastR, double mostRsePct, double lowReadbackPct, double readbackPct) {
            this(leastR, mostRsePct, lowReadbackPct, readbackPct, OptionalInt.empty());
        }
    }
}
