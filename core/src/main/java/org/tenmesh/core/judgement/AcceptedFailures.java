package org.tenmesh.core.judgement;

/**
 * What a laboratory asks for where somebody lets results stand although a check failed.
 *
 * @param secondSignature whether whoever accepted may not sign the release of those results; someone else signs then
 * @param onReport whether the client's report says which results stand although a check failed
 */
public record AcceptedFailures(boolean secondSignature, boolean onReport) {
    /** One person may accept and sign; the client is told. */
    public static AcceptedFailures defaults() {
        return new AcceptedFailures(false, true);
    }
}
