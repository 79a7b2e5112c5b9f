package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.quantity.Unit;

/** The laboratory's control soils: invented, from poor and sour to rich and limy. */
record ControlSoil(String name, SoilContent content) {
    private static final int HISTORY = 60;

    /** In the order P K Ca Mg Na S B Cu Fe Mn Zn Al. */
    static final List<ControlSoil> ALL = List.of(
            new ControlSoil(
                    "CS-LOW",
                    new SoilContent(5.40, 2.10, new double[] {14, 68, 620, 74, 15, 8.2, 0.42, 1.3, 242, 38, 1.9, 910})),
            new ControlSoil("CS-MID", new SoilContent(6.52, 3.85, new double[] {
                46, 158, 2080, 212, 24, 13.5, 0.88, 3.1, 156, 104, 5.2, 715
            })),
            new ControlSoil("CS-HIGH", new SoilContent(7.08, 7.60, new double[] {
                172, 415, 3950, 402, 47, 31, 1.75, 7.4, 118, 176, 17.5, 540
            })),
            new ControlSoil("CS-LIME", new SoilContent(7.86, 4.70, new double[] {
                33, 236, 6300, 288, 36, 19, 1.32, 4.2, 61, 88, 4.1, 330
            })));

    static ControlSoil named(String name) {
        return ALL.stream()
                .filter(soil -> soil.name.equals(name))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("found control soil \"" + name + "\", expected one of "
                        + String.join(", ", ALL.stream().map(ControlSoil::name).toList())));
    }

    /** What the laboratory knows of them: the true means and the true spread between runs. */
    static List<Material> materials() {
        List<Material> materials = new ArrayList<>();
        for (ControlSoil soil : ALL) {
            SoilContent content = soil.content;
            materials.add(material(soil, ElectrodeModel.METHOD, "pH", content.ph(), ElectrodeModel.totalSd(), Unit.PH));
            materials.add(material(
                    soil,
                    IgnitionModel.METHOD,
                    "LOI",
                    content.loiPct(),
                    IgnitionModel.totalSd(content.loiPct()),
                    Unit.PERCENT));
            for (int e = 0; e < content.mgKg().length; e++) {
                Element element = Element.ALL.get(e);
                double mgKg = content.mgKg()[e];
                materials.add(material(
                        soil,
                        EmissionModel.METHOD,
                        element.symbol(),
                        mgKg,
                        EmissionModel.totalSd(element, mgKg),
                        Unit.MILLIGRAM_PER_KILOGRAM));
            }
        }
        return materials;
    }

    private static Material material(
            ControlSoil soil, String method, String analyte, double mean, double sd, Unit unit) {
        return new Material(
                soil.name, method, analyte, mean, Decimals.significant(sd, 3), unit, OptionalInt.of(HISTORY));
    }
}
