package org.tenmesh.core.causes;

import java.util.Collection;
import java.util.Optional;

/**
 * What a person's decision about a cause rests on. A decision stands as long as the judged day has a cause of the same key with the same
 * evidence; otherwise it has lapsed and allows nothing.
 *
 * @param cause text of the cause's key; before version 0.2 an ordinal such as {@code ICP1-01.drift.1}, which no cause has any more;
 *     {@code instrument@ICP1} where an instrument's gate was shut or opened without a cause
 * @param evidenceDigest of the cause when it was decided on; empty text before version 0.2
 * @param run in which the cause did most then; empty text before version 0.2
 * @param evidence the cause's evidence then; empty text before version 0.2
 * @param labNumbers how many lab numbers it touched then; 0 before version 0.2
 */
public record Grounds(String cause, String evidenceDigest, String run, String evidence, int labNumbers) {
    /** The grounds that a cause gives now. */
    public static Grounds of(Cause cause) {
        return new Grounds(cause.id(), cause.evidenceDigest(), cause.run(), cause.evidence(), cause.samples());
    }

    private static final String INSTRUMENT = "instrument@";

    /**
     * The grounds on which a gate is shut or opened without a cause: the instrument itself.
     *
     * @param run its newest one
     */
    public static Grounds ofInstrument(String instrument, String run) {
        return new Grounds(keyOf(instrument), "", run, "", 0);
    }

    /** What stands in place of a cause's key where there is none but the instrument. */
    public static String keyOf(String instrument) {
        return INSTRUMENT + instrument;
    }

    /** The instrument of such a key; empty for the key of a cause. */
    public static Optional<String> instrumentOf(String key) {
        return key.startsWith(INSTRUMENT) ? Optional.of(key.substring(INSTRUMENT.length())) : Optional.empty();
    }

    /** The instrument, where the grounds are an instrument and no cause. */
    public Optional<String> instrument() {
        return instrumentOf(cause);
    }

    /** Whether a decision on these grounds is about this cause as it is now. */
    public boolean hold(Cause now) {
        return !evidenceDigest.isEmpty() && cause.equals(now.id()) && evidenceDigest.equals(now.evidenceDigest());
    }

    /** The cause of this key, or the one that took its place: of the same kind at the same place, the one that touches most of several. */
    public Optional<Cause> now(Collection<Cause> causes) {
        Optional<Cause> same =
                causes.stream().filter(one -> one.id().equals(cause)).findFirst();
        if (same.isPresent()) {
            return same;
        }
        int content = cause.lastIndexOf('#');
        if (content < 0) {
            return Optional.empty();
        }
        String kindAndPlace = cause.substring(0, content + 1);
        return causes.stream()
                .filter(one -> one.id().startsWith(kindAndPlace))
                .reduce((one, two) -> one.samples() >= two.samples() ? one : two);
    }

    /**
     * Why a decision on these grounds has lapsed; empty while it stands.
     *
     * @param causes of the day as it is judged now
     */
    public Optional<String> lapsed(Collection<Cause> causes) {
        if (evidenceDigest.isEmpty()) {
            return Optional.of(
                    "It was stored by a version before 0.2, under a number that can since have passed to another cause.");
        }
        Optional<Cause> now = now(causes);
        if (now.isEmpty()) {
            return Optional.of("The day was judged again and this cause is no longer found.");
        }
        Cause cause = now.get();
        if (hold(cause)) {
            return Optional.empty();
        }
        if (!cause.id().equals(this.cause)) {
            return Optional.of("It touches other results now: " + labNumbers(labNumbers) + " then, "
                    + labNumbers(cause.samples()) + " now, as " + cause.id() + ".");
        }
        return Optional.of(
                cause.evidence().equals(evidence)
                        ? "The verdict, the odds or the numbers of the results it touches are others now."
                        : "The evidence is other now: " + cause.evidence());
    }

    private static String labNumbers(int count) {
        return count == 1 ? "1 lab number" : count + " lab numbers";
    }
}
