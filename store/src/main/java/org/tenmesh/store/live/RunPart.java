package org.tenmesh.store.live;

import org.tenmesh.core.reduction.Run;

/**
 * New readings of one run.
 *
 * @param run its head as in every other part of it, with the readings that are new, in the order read; they follow on those taken before
 * @param last whether the run ends with them: then it never changes again
 */
public record RunPart(Run run, boolean last) {}
