package org.tenmesh.core.causes;

import java.util.List;
import org.tenmesh.core.judgement.Awaited;
import org.tenmesh.core.methods.Gate;

/**
 * A run of which more is still to come.
 *
 * @param run its name
 * @param instrument where it is read
 * @param method the method's id
 * @param lastPosition the last position that was read; 0 before the first
 * @param notRead gates for which nothing that can be judged was read yet: neither open nor shut
 * @param awaited what its results wait for
 */
public record RunUnderWay(
        String run, String instrument, String method, int lastPosition, List<Gate> notRead, List<Awaited> awaited) {
    public RunUnderWay {
        notRead = List.copyOf(notRead);
        awaited = List.copyOf(awaited);
    }
}
