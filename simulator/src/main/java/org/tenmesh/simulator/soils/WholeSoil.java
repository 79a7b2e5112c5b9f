package org.tenmesh.simulator.soils;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.simulator.numbers.Chance;

/**
 * Everything the laboratory could find in one soil, by method and analyte, in the unit of the result. Made from the soil's pH, loss and
 * Mehlich-3 contents, so that its results agree with each other as real ones do.
 *
 * <p>Read relations: Mehlich-3 P 1.35 x Bray P1 and K 1.14 x ammonium acetate K (Ohio State University ANR-75, 2019); Olsen P 40 % of
 * Mehlich-3 P (Zbiral and Nemec 2002, abstract); Mehlich-3 Ca 17 % above ammonium acetate (Michaelson et al. 1987, abstract); calcium
 * chloride pH half to one unit below water pH (Rayment and Lyons 2011, chapter 4); cations of a saturation extract ten times its
 * conductivity in meq/L (read in a public glossary of salt-affected soils). All else is chosen at plausible sizes.
 */
public final class WholeSoil {
    private static final double CA_MG_PER_MEQ = 20.04;
    private static final double MG_MG_PER_MEQ = 12.15;
    private static final double NA_MG_PER_MEQ = 22.99;
    private static final double K_MG_PER_MEQ = 39.1;
    private static final double CL_MG_PER_MEQ = 35.45;
    private static final double S_MG_PER_MEQ = 16.03;
    private static final double N_MG_PER_MEQ = 14.007;

    private static final List<String> EXTRACTED = List.of(
            "bray-p1-1-10",
            "bray-p1-1-7",
            "bray-p2",
            "olsen-p",
            "nh4oac-bases",
            "dtpa",
            "hot-water-b",
            "sulfate-phosphate",
            "mehlich3-icp-scooped");
    /** Spread between kinds of ground of what an extractant takes, log10: by a factor of 1.4. */
    private static final double OTHERWISE_SD_LOG10 = 0.15;

    private static final Map<String, WholeSoil> MATERIALS = new HashMap<>();

    static {
        for (ControlSoil soil : ControlSoil.ALL) {
            MATERIALS.put(soil.name(), of(soil.content(), false, false, Optional.empty(), new Chance(1, soil.name())));
        }
    }

    private final Map<String, Map<String, Double>> truth = new HashMap<>();

    private WholeSoil() {}

    /** What a method would find of an analyte if nothing went wrong; NaN where it reports no such thing. */
    public double of(String method, String analyte) {
        return truth.getOrDefault(method, Map.of()).getOrDefault(analyte, Double.NaN);
    }

    private void put(String method, String analyte, double value) {
        truth.computeIfAbsent(method, m -> new HashMap<>()).put(analyte, value);
    }

    /**
     * A soil.
     *
     * @param deep whether it comes from below the plough layer
     * @param salty whether it comes from salt-affected land
     * @param elsewhere the ground whose extractants agree with each other in their own way; empty = as usual
     */
    public static WholeSoil of(
            SoilContent soil, boolean deep, boolean salty, Optional<Ground> elsewhere, Chance chance) {
        WholeSoil whole = new WholeSoil();
        double ph = soil.ph();
        boolean limy = ph > 7.4;
        double clay = chance.normal(18 + 1.5 * (soil.loiPct() - 4), 7, 4, 55);
        double sand = Math.min(92 - clay, chance.normal(48 - 0.8 * (clay - 18), 13, 5, 90));
        double moisture = 0.6 + 0.06 * clay + 0.18 * soil.loiPct() + 0.15 * Math.abs(chance.normal());
        double dry = 1 + moisture / 100;
        whole.put("moisture-air-dry", "moisture", moisture);
        whole.put("coarse-fragments", "coarse", Math.max(0.5, chance.normal(7, 5)));
        whole.put("texture-hydrometer", "S40", (100 - sand) / dry);
        whole.put("texture-hydrometer", "S_late", clay / dry);
        whole.put("oc-wet-oxidation", "OC", (soil.loiPct() - 0.4) / 1.72 * chance.factor(0.05));
        reaction(whole, soil, clay, chance);
        extracts(whole, soil, limy, deep, chance);
        double sp = chance.normal(22 + 0.6 * clay + 1.6 * soil.loiPct(), 2.5, 15, 110);
        whole.put("saturated-paste", "SP0", sp);
        double ec = salty ? chance.between(3.0, 8.0) : 0.7 * StrictMath.pow(10, 0.18 * chance.normal());
        paste(whole, ec, salty, chance);
        whole.put("ec-1-1", "EC", Math.max(0.05, 0.008 * sp * ec));
        whole.put("ec-1-2", "EC", Math.max(0.04, 0.0045 * sp * ec));
        whole.put("ec-1-5", "EC", Math.max(0.03, 0.002 * sp * ec + 0.02));
        elsewhere.ifPresent(whole::extractedOtherwise);
        return whole;
    }

    // Each kind of ground gives every extractant its own share of each analyte, invented once and the same on every
    // day.
    private void extractedOtherwise(Ground ground) {
        for (String method : EXTRACTED) {
            truth.getOrDefault(method, Map.of())
                    .replaceAll((analyte, value) -> value
                            * StrictMath.pow(
                                    10,
                                    OTHERWISE_SD_LOG10
                                            * new Chance(ground.ordinal(), "extractant " + method + ' ' + analyte)
                                                    .normal()));
        }
    }

    /** Irrigation water that a client sent: only what is dissolved in it. */
    public static WholeSoil water(Chance chance) {
        WholeSoil whole = new WholeSoil();
        paste(whole, chance.between(0.3, 1.8), false, chance);
        return whole;
    }

    private static void reaction(WholeSoil whole, SoilContent soil, double clay, Chance chance) {
        double ph = soil.ph();
        whole.put("ph-water-1-1", "pH", ph);
        whole.put("ph-water-1-2", "pH", ph + 0.10 + 0.02 * chance.normal());
        whole.put("ph-cacl2", "pH", Math.max(3.4, ph - 0.65 + 0.06 * chance.normal()));
        whole.put("ph-kcl", "pH", Math.max(3.2, ph - 0.95 + 0.07 * chance.normal()));
        whole.put("ph-paste", "pH", ph - 0.12 + 0.02 * chance.normal());
        double acidity = Math.max(0, (7.0 - ph) * (0.7 + 0.22 * soil.loiPct() + 0.03 * clay)) * chance.factor(0.05);
        double start = 0.10 + 0.02 * chance.normal();
        whole.put("buffer-ph-smp", "BpH", acidity == 0 ? 7.0 + start : Math.max(5.1, 7.0 - acidity / 12));
        whole.put("buffer-ph-sikora", "BpH", acidity == 0 ? 7.0 + start : Math.max(5.1, 6.98 - acidity / 12));
        whole.put("buffer-ph-mehlich", "BpH", Math.max(4.6, 6.58 - acidity / 4));
        whole.put("buffer-ph-adams-evans", "BpH", Math.max(6.4, 7.97 - acidity / 8));
        whole.put("buffer-ph-woodruff", "BpH", Math.max(5.4, 6.97 - acidity / 10));
    }

    private static void extracts(WholeSoil whole, SoilContent soil, boolean limy, boolean deep, Chance chance) {
        double p = mehlich(soil, "P");
        double k = mehlich(soil, "K");
        double bray = p / 1.35 * chance.factor(0.08) * (limy ? 0.4 : 1);
        whole.put("bray-p1-1-10", "P", Math.max(1.5, bray));
        whole.put("bray-p1-1-7", "P", Math.max(1.5, 0.9 * bray));
        whole.put("bray-p2", "P", Math.max(2.5, (limy ? 4.5 : 1.8) * bray));
        whole.put("olsen-p", "P", Math.max(1.5, 0.40 * p * chance.factor(0.10)));
        whole.put("nh4oac-bases", "K", k / 1.14 * chance.factor(0.04));
        whole.put("nh4oac-bases", "Ca", mehlich(soil, "Ca") / 1.17 * chance.factor(0.05));
        whole.put("nh4oac-bases", "Mg", 0.98 * mehlich(soil, "Mg") * chance.factor(0.04));
        whole.put("nh4oac-bases", "Na", 0.95 * mehlich(soil, "Na") * chance.factor(0.05));
        whole.put("dtpa", "Zn", mehlich(soil, "Zn") / 3.0 * chance.factor(0.10));
        whole.put("dtpa", "Fe", 0.25 * mehlich(soil, "Fe") * chance.factor(0.10));
        whole.put("dtpa", "Mn", 0.25 * mehlich(soil, "Mn") * chance.factor(0.12));
        whole.put("dtpa", "Cu", 0.5 * mehlich(soil, "Cu") * chance.factor(0.08));
        whole.put("hot-water-b", "B", Math.max(0.15, 0.75 * mehlich(soil, "B") * chance.factor(0.10)));
        whole.put("sulfate-phosphate", "SO4-S", Math.max(1.5, 0.8 * mehlich(soil, "S") * chance.factor(0.12)));
        double nitrate = 13 * StrictMath.pow(10, 0.25 * chance.normal()) * (deep ? 0.45 : 1);
        whole.put("kcl-nitrogen", "NO3-N", Math.max(3, nitrate));
        whole.put("kcl-nitrogen", "NH4-N", Math.max(2.8, 5 * StrictMath.pow(10, 0.15 * chance.normal())));
        whole.put("chloride-water", "Cl", Math.max(26, 55 * StrictMath.pow(10, 0.22 * chance.normal())));
        for (int e = 0; e < Element.ALL.size(); e++) {
            // A litre of ground soil weighs about 1.15 kg.
            whole.put("mehlich3-icp-scooped", Element.ALL.get(e).symbol(), 1.15 * soil.mgKg()[e]);
        }
    }

    private static double mehlich(SoilContent soil, String symbol) {
        return soil.mgKg()[Element.indexOf(symbol)];
    }

    // Charges of both signs are equal: what chloride, sulfate and nitrate leave over is bicarbonate, or more chloride.
    private static void paste(WholeSoil whole, double ec, boolean salty, Chance chance) {
        double charge = 10 * ec * chance.factor(0.03);
        double na = (salty ? 0.45 : 0.18) * charge * chance.factor(0.12);
        double k = 0.035 * charge * chance.factor(0.15);
        double mg = 0.26 * charge * chance.factor(0.08);
        double ca = Math.max(0.15 * charge, charge - na - k - mg);
        double cations = na + k + mg + ca;
        double nitrate = Math.min(6, 0.08 * cations) * chance.factor(0.2);
        double sulfate = 0.30 * cations * chance.factor(0.12);
        double bicarbonate = Math.min(4.5, 0.32 * cations) * chance.factor(0.08);
        double chloride = cations - nitrate - sulfate - bicarbonate;
        whole.put("ec-paste", "EC", ec);
        whole.put("paste-cations", "Ca", ca * CA_MG_PER_MEQ);
        whole.put("paste-cations", "Mg", mg * MG_MG_PER_MEQ);
        whole.put("paste-cations", "Na", na * NA_MG_PER_MEQ);
        whole.put("paste-cations", "K", k * K_MG_PER_MEQ);
        whole.put("paste-cations", "B", chance.between(0.1, 0.9));
        whole.put("paste-cations", "S", sulfate * S_MG_PER_MEQ);
        whole.put("paste-chloride", "Cl", chloride * CL_MG_PER_MEQ);
        whole.put("paste-nitrate", "NO3-N", nitrate * N_MG_PER_MEQ);
        whole.put("paste-bicarbonate", "HCO3", bicarbonate);
        whole.put("paste-bicarbonate", "CO3", 0);
    }

    /** What the further methods would find in a control soil. */
    public static WholeSoil ofMaterial(String name) {
        WholeSoil soil = MATERIALS.get(name);
        if (soil == null) {
            throw new IllegalArgumentException("no control soil is named " + name);
        }
        return soil;
    }
}
