package org.tenmesh.simulator.bench;

import java.util.List;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.faults.Planted;

/** A run as read, and the faults planted in it. */
public record RunOutcome(Run run, List<Planted> planted) {}
