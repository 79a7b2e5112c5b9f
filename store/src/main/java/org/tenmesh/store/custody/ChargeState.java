package org.tenmesh.store.custody;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.custody.Charge;

/**
 * A charge and how far it has come.
 *
 * @param load codes of what was loaded, whatever became of it
 * @param lastLoaded when the last portion was loaded; empty before the first
 * @param sources where the record came from
 */
public record ChargeState(
        Charge charge,
        List<String> load,
        Optional<Instant> lastLoaded,
        List<Charge.Point> points,
        List<String> sources,
        Optional<Closed> closed,
        List<Signature> signatures,
        Optional<Residue> residue) {
    /**
     * The device was opened again, and the record was judged.
     *
     * @param confirmed what the person at the device confirmed
     * @param reasons why it failed, or what somebody should look at
     */
    public record Closed(
            Instant openedAgain, List<String> confirmed, boolean passed, List<String> reasons, String by, Instant at) {}

    public record Signature(String by, Instant at) {}

    /** What became of what was left. */
    public record Residue(String carrier, String destination, String ticket, String by, Instant at) {}

    /** Whether everything in it is destroyed: it passed and two people signed. */
    public boolean destroyed() {
        return closed.filter(Closed::passed).isPresent() && signatures.size() == 2;
    }

    /** How it stands, in words. */
    public String words() {
        if (closed.isEmpty()) {
            return lastLoaded.isEmpty() ? "open, empty" : "loaded";
        }
        if (!closed.get().passed()) {
            return "failed: all of it stays regulated";
        }
        if (!destroyed()) {
            return "passed, waits for " + (2 - signatures.size())
                    + (signatures.size() == 1 ? " signature" : " signatures");
        }
        return residue.isPresent() ? "destroyed, residue released" : "destroyed";
    }
}
