package org.tenmesh.core.judgement;

import java.util.Set;

/**
 * The laboratory as its settings name it.
 *
 * @param name as on the report
 * @param zone IANA time zone of the laboratory day, {@code Europe/Dublin}
 * @param address for the report, lines separated by {@code \n}; may be empty
 * @param invented whether this is a made-up laboratory, which every page and report then says
 * @param policy limits and rules
 * @param advice regions whose advice is switched on; none unless the laboratory says so
 */
public record Laboratory(
        String name, String zone, String address, boolean invented, Policy policy, Set<String> advice) {
    public Laboratory {
        advice = Set.copyOf(advice);
    }

    /** A laboratory that gives no advice. */
    public Laboratory(String name, String zone, String address, boolean invented, Policy policy) {
        this(name, zone, address, invented, policy, Set.of());
    }

    /** A laboratory of which nothing was said. */
    public static Laboratory unnamed() {
        return new Laboratory("Soil laboratory", "UTC", "", false, Policy.defaults());
    }
}
