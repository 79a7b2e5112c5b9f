package org.tenmesh.core.judgement;

/**
 * The laboratory as its settings name it.
 *
 * @param name as on the report
 * @param zone IANA time zone of the laboratory day, {@code Europe/Dublin}
 * @param address for the report, lines separated by {@code \n}; may be empty
 * @param invented whether this is a made-up laboratory, which every page and report then says
 * @param policy limits and rules
 */
public record Laboratory(String name, String zone, String address, boolean invented, Policy policy) {
    /** A laboratory of which nothing was said. */
    public static Laboratory unnamed() {
        return new Laboratory("Soil laboratory", "UTC", "", false, Policy.defaults());
    }
}
