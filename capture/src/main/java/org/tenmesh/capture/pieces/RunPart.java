package org.tenmesh.capture.pieces;

import org.tenmesh.core.reduction.Run;

/**
 * What a piece adds to a run.
 *
 * @param run the run, with the new readings only
 * @param last whether nothing more of the run is to come
 */
public record RunPart(Run run, boolean last) {}
