package org.tenmesh.core.judgement;

import java.time.OffsetDateTime;
import org.tenmesh.core.methods.Gate;

/**
 * What one gate said of one run.
 *
 * @param gate which: calibration, known solutions, blank, baseline and carry-over of flow analysis, own control
 * @param open whether it let the run pass
 * @param observed the number or fact that decided, as text
 * @param limit what it was compared with, as text
 * @param at when the deciding reading was taken
 */
public record GateOutcome(
        String instrument, String run, Gate gate, boolean open, String observed, String limit, OffsetDateTime at) {}
