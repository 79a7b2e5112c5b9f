package org.tenmesh.simulator.soils;

import java.util.List;

/** The laboratory's control soils: invented, from poor and sour to rich and limy. */
public record ControlSoil(String name, SoilContent content) {
    /** In the order P K Ca Mg Na S B Cu Fe Mn Zn Al. */
    public static final List<ControlSoil> ALL = List.of(
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

    public static ControlSoil named(String name) {
        return ALL.stream()
                .filter(soil -> soil.name.equals(name))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("found control soil \"" + name + "\", expected one of "
                        + String.join(", ", ALL.stream().map(ControlSoil::name).toList())));
    }
}
