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
 * @param register who gives the lab numbers and the names of submissions, which are unique in a register: {@link #OWN_REGISTER}
 *     or a name for somebody else whose numbers are used, 1 to 80 characters
 * @param acceptedFailures what is asked for where somebody lets results stand although a check failed
 * @param reports form of the clients' reports
 */
public record Laboratory(
        String name,
        String zone,
        String address,
        boolean invented,
        Policy policy,
        Set<String> advice,
        String register,
        AcceptedFailures acceptedFailures,
        ReportForms reports) {
    /** The register of the laboratory itself. */
    public static final String OWN_REGISTER = "own";

    private static final int LONGEST_REGISTER = 80;

    public Laboratory {
        advice = Set.copyOf(advice);
        if (!isRegister(register)) {
            throw new IllegalArgumentException("a register has a name of 1 to " + LONGEST_REGISTER
                    + " printable characters without / and without a blank at its ends, found \"" + register + "\"");
        }
    }

    /** Whether a text may name a register. */
    public static boolean isRegister(String text) {
        return !text.isEmpty()
                && text.length() <= LONGEST_REGISTER
                && text.strip().equals(text)
                && text.chars().noneMatch(c -> c < ' ' || c == 0x7f || c == '/');
    }

    /** A laboratory that uses its own lab numbers. */
    public Laboratory(String name, String zone, String address, boolean invented, Policy policy, Set<String> advice) {
        this(name, zone, address, invented, policy, advice, OWN_REGISTER);
    }

    /** A laboratory that asks for nothing else than usual where a failure is accepted, and reports in the usual form. */
    public Laboratory(
            String name,
            String zone,
            String address,
            boolean invented,
            Policy policy,
            Set<String> advice,
            String register) {
        this(
                name,
                zone,
                address,
                invented,
                policy,
                advice,
                register,
                AcceptedFailures.defaults(),
                ReportForms.defaults());
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
