package org.tenmesh.simulator;

import java.util.Optional;
import org.tenmesh.core.reduction.Role;

/** One position of a run before it is read. Faults change what is in it. Not for use by several threads. */
final class Vessel {
    final Role role;
    final String identity;
    /** The soil in it, when it carries a lab number. */
    final Optional<Specimen> specimen;
    /** Probe or balance, 1 to 4; 0 where the instrument has one detector only. */
    int channel;

    double dilution = 1;
    /** What is in it: pH; or % loss; or mg/L of each element. */
    double[] content;
    /** Whether the fault of this position is that a quantity was never recorded. */
    boolean incomplete;

    Vessel(Role role, String identity, Optional<Specimen> specimen, double... content) {
        this.role = role;
        this.identity = identity;
        this.specimen = specimen;
        this.content = content;
    }

    boolean isSoil() {
        return role == Role.SAMPLE || role == Role.DUPLICATE;
    }

    /** Whether it holds a control soil, open or hidden. */
    boolean isControl() {
        return role == Role.CONTROL
                || role == Role.SAMPLE && specimen.flatMap(Specimen::material).isPresent();
    }
}
