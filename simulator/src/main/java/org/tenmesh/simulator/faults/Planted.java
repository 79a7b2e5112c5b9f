package org.tenmesh.simulator.faults;

import java.util.List;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;

/**
 * A fault that was planted and what it truly touches.
 *
 * @param analytes symbols it touches
 * @param channel probe or balance it is confined to; empty text = all
 * @param firstPosition first position after the last check that passes before it
 * @param lastPosition last position before the first check that passes after it
 * @param labNumbers soils read there, in order
 * @param size as in {@link Fault#size}
 * @param story what happened, one sentence
 */
public record Planted(
        CauseKind kind,
        String run,
        String method,
        List<String> analytes,
        String channel,
        int firstPosition,
        int lastPosition,
        List<LabNumber> labNumbers,
        double size,
        String story) {
    public Planted {
        analytes = List.copyOf(analytes);
        labNumbers = List.copyOf(labNumbers);
    }
}
