package org.tenmesh.core.reduction;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.quantity.Unit;

/**
 * Collects the steps that make one number. Off by default: the reduction asks {@link #wants} and pays nothing else. Not for use
 * by several threads.
 */
public final class Trail {
    /** Records nothing. */
    public static final Trail OFF = new Trail("", "");

    private final String identity;
    private final String analyte;
    private final List<Step> steps = new ArrayList<>();

    private Trail(String identity, String analyte) {
        this.identity = identity;
        this.analyte = analyte;
    }

    /** A trail of one analyte of one lab number. */
    public static Trail of(String identity, String analyte) {
        return new Trail(identity, analyte);
    }

    /** Whether the steps of this determination are asked for. */
    public boolean wants(String identity, String analyte) {
        return this != OFF && this.analyte.equals(analyte) && this.identity.equals(identity);
    }

    /** Whether steps that all determinations of the analyte share are asked for. */
    public boolean wants(String analyte) {
        return this != OFF && this.analyte.equals(analyte);
    }

    /** Adds a step; {@code arithmetic} may be empty text, {@code result} NaN when the step has no number. */
    public void step(String what, String arithmetic, double result, Unit unit) {
        if (this != OFF) {
            steps.add(new Step(what, arithmetic, result, unit));
        }
    }

    /** The steps so far, in the order they were made. */
    public List<Step> steps() {
        return List.copyOf(steps);
    }
}
