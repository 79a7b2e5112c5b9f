package org.tenmesh.core.judgement;

/**
 * What results of a run under way wait for: nothing is wrong with them, and nothing guards them yet. They are held until it is read, or until
 * the run ends.
 *
 * @param analyte symbol of the results that wait
 * @param channel the probe, balance or detector of which they wait; empty text for all
 * @param firstPosition the first position that waits
 * @param lastPosition the last position that was read of them
 * @param what what they wait for, as in "waits for the check solution after it"; never says where a hidden control lies
 */
public record Awaited(String analyte, String channel, int firstPosition, int lastPosition, String what) {
    /** Whether a result at this position, of this channel, waits for it. */
    public boolean concerns(String symbol, String itsChannel, int position) {
        return analyte.equals(symbol)
                && (channel.isEmpty() || channel.equals(itsChannel))
                && position >= firstPosition
                && position <= lastPosition;
    }
}
