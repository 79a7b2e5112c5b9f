package org.tenmesh.simulator;

import java.util.List;
import org.tenmesh.core.reduction.Run;

/** A run as read, and the faults planted in it. */
record RunOutcome(Run run, List<Planted> planted) {}
