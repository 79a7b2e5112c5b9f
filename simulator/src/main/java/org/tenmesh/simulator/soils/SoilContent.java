package org.tenmesh.simulator.soils;

/**
 * What a soil truly holds, which only an invented laboratory can know.
 *
 * @param ph in water 1:1
 * @param loiPct loss on ignition at 360 °C, % of dry soil
 * @param mgKg Mehlich-3 extractable, mg/kg, in the order of {@link Element#ALL}
 */
public record SoilContent(double ph, double loiPct, double[] mgKg) {}
