package org.tenmesh.core.methods;

/**
 * What reads the soils of a run side by side and is calibrated by itself.
 *
 * @param noun "probe", "cell"
 * @param preposition how a soil lies to it: "under" a probe, "in" a cell
 */
public record Channel(String noun, String preposition) {
    /** Where something was read: {@code " under probe 2"}; empty text where the channel has no name. */
    public String where(String name) {
        return name.isEmpty() ? "" : " " + preposition + " " + noun + " " + name;
    }
}
