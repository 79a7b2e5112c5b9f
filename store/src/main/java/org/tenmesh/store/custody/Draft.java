package org.tenmesh.store.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Optional;
import org.tenmesh.core.custody.Signed;

/**
 * A version of a list of areas or a permit, signed or not.
 *
 * @param reason why it was drafted
 * @param sha256 digest of what it says
 * @param signature empty as long as nobody signed it: then it decides nothing
 */
public record Draft<T>(
        String name,
        int version,
        T paper,
        String reason,
        String draftedBy,
        Instant draftedAt,
        String sha256,
        Optional<Signature> signature) {
    /** @param from first day on which it decides */
    public record Signature(String by, Instant at, LocalDate from) {}

    /** As it decides; empty as long as it is not signed. */
    public Optional<Signed<T>> signed() {
        return signature.map(one -> new Signed<>(name, version, paper, one.by(), one.at(), one.from()));
    }
}
