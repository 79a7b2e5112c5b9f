package org.tenmesh.simulator.soils;

import java.util.Map;
import java.util.OptionalDouble;
import java.util.TreeMap;

/**
 * A soil whose contents are known from elsewhere, as from an open table.
 *
 * @param client who sent it; soils of one client become one submission, in the order given
 * @param field which of the client's fields it comes from; empty text = a field of its own
 * @param label the client's own name for it
 * @param ph pH in water 1:1, 2 to 11
 * @param loiPct loss on ignition at 360 °C, % of dry soil, 0 to 100
 * @param mgKg Mehlich-3 contents by symbol, mg/kg, above 0: P, K, Ca, Mg, Na, S, B, Cu, Fe, Mn, Zn, Al; what is not given is drawn
 */
public record GivenSoil(
        String client, String field, String label, OptionalDouble ph, OptionalDouble loiPct, Map<String, Double> mgKg) {
    /**
     * @throws IllegalArgumentException when a content is out of its range or of no element that is read
     */
    public GivenSoil {
        mgKg = Map.copyOf(new TreeMap<>(mgKg));
        String name = "soil \"" + label + "\" of \"" + client + "\": ";
        if (client.isBlank()) {
            throw new IllegalArgumentException("soil \"" + label + "\": found no client, expected a name");
        }
        if (!(ph.orElse(7) >= 2 && ph.orElse(7) <= 11)) {
            throw new IllegalArgumentException(name + "found pH " + ph.orElse(7) + ", expected 2 to 11");
        }
        if (!(loiPct.orElse(0) >= 0 && loiPct.orElse(0) <= 100)) {
            throw new IllegalArgumentException(name + "found a loss of " + loiPct.orElse(0) + " %, expected 0 to 100");
        }
        for (Map.Entry<String, Double> content : mgKg.entrySet()) {
            if (Element.indexOf(content.getKey()) < 0) {
                throw new IllegalArgumentException(name + "found element \"" + content.getKey() + "\", expected one of "
                        + String.join(", ", Element.SYMBOLS));
            }
            if (!(content.getValue() > 0 && content.getValue() < 1_000_000)) {
                throw new IllegalArgumentException(name + "found " + content.getValue() + " mg/kg of "
                        + content.getKey() + ", expected more than 0");
            }
        }
    }
}
