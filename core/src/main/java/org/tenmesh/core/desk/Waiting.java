package org.tenmesh.core.desk;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;

/** Tells results that only wait for a reading still to come from those that are held because something is wrong. */
final class Waiting {
    private final boolean toRead;

    private Waiting(boolean toRead) {
        this.toRead = toRead;
    }

    /** @param standing what stands of the soil */
    static Waiting of(WhatIsAsked asked, Soil soil, List<Result> standing) {
        Set<String> read = new HashSet<>();
        standing.stream().filter(result -> result.position() > 0).forEach(result -> read.add(result.method()));
        return new Waiting(asked.methodsOf(soil).stream()
                .anyMatch(method -> asked.isRead(method)
                        && !read.contains(method)
                        && !asked.tooLittleFor(soil.labNumber(), method)));
    }

    /** Whether a result is calculated, has no number, and no cause holds it, while a method asked of its soil is still to be read. */
    boolean waits(Result result) {
        return toRead
                && result.run().isEmpty()
                && result.verdict() != Verdict.FIT
                && result.causes().isEmpty()
                && result.amount() instanceof Amount.Missing;
    }
}
