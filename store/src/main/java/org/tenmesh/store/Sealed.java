package org.tenmesh.store;

import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;

/**
 * What only the quality database user can read. Whoever holds this can tell a hidden control: it is for the judge and
 * for people of quality, never for a page of the bench.
 */
public final class Sealed {
    Sealed() {}

    /** The day with the key of its hidden controls, as the judge needs it. */
    public Optional<Day> dayWithControls(String name) {
        throw new IllegalStateException("not landed yet");
    }

    /** Which lab numbers of the day are hidden controls, and of which material; empty for an unknown day. */
    public Map<LabNumber, String> controls(String day) {
        throw new IllegalStateException("not landed yet");
    }

    /** What was kept last for this day, control values included. */
    public Optional<KeptJudgement> judgement(String day) {
        throw new IllegalStateException("not landed yet");
    }
}
