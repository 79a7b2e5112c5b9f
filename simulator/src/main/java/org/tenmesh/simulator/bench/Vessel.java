package org.tenmesh.simulator.bench;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.soils.Specimen;

/** One position of a run before it is read. Faults change what is in it. Not for use by several threads. */
public final class Vessel {
    public final Role role;
    public final String identity;
    /** The soil in it, when it carries a lab number. */
    public final Optional<Specimen> specimen;
    /** Probe or balance, 1 to 4; 0 where the instrument has one detector only. */
    public int channel;

    /** As it is recorded. */
    public double dilution = 1;
    /** True dilution over the recorded one. */
    public double dilutedBeyond = 1;
    /** The soil that is truly in it; empty where there is none. */
    public Optional<Specimen> holds;
    /** What is in it: pH; or % loss; or mg/L of each element. */
    public double[] content;
    /** Analytes whose result comes from here, where the soil is read twice; empty = all. */
    public Set<String> standsFor = Set.of();
    /** Whether the fault of this position is that a quantity was never recorded. */
    public boolean incomplete;

    public Vessel(Role role, String identity, Optional<Specimen> specimen, double... content) {
        this.role = role;
        this.identity = identity;
        this.specimen = specimen;
        this.content = content;
        holds = specimen;
    }

    /** Takes over what is in another vessel. */
    void takes(Vessel other) {
        content = other.content;
        holds = other.holds;
    }

    /** How many times what is in it was diluted. */
    public double trueDilution() {
        return dilution * dilutedBeyond;
    }

    /** Whether a soil should be in it and none is. */
    public boolean isEmpty() {
        return isSoil() && holds.isEmpty();
    }

    public boolean isSoil() {
        return role == Role.SAMPLE || role == Role.DUPLICATE;
    }

    /** Whether the result of one of these analytes comes from here. */
    public boolean gives(List<String> analytes) {
        return role == Role.SAMPLE && (standsFor.isEmpty() || analytes.stream().anyMatch(standsFor::contains));
    }

    /** Whether it holds a control soil, open or hidden. */
    public boolean isControl() {
        return role == Role.CONTROL
                || role == Role.SAMPLE && specimen.flatMap(Specimen::material).isPresent();
    }
}
