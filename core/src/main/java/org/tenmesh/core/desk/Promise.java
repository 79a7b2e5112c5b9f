package org.tenmesh.core.desk;

import java.time.LocalDate;
import java.util.Optional;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.release.Release;

/**
 * How a submission stands against the day it is due.
 *
 * @param fit determinations that may leave
 * @param accepted of the fit ones those that are fit only because somebody accepted a failed check
 * @param hold determinations held
 * @param redo determinations to be made again
 * @param unread determinations asked for and not read yet
 * @param last its newest release
 */
public record Promise(
        Submission submission,
        int soils,
        int fit,
        int accepted,
        int hold,
        int redo,
        int unread,
        Optional<Release> last) {

    /** Whether everything asked for may leave. */
    public boolean complete() {
        return hold + redo + unread == 0 && fit > 0;
    }

    /** Whether everything asked for has left. */
    public boolean released() {
        return last.isPresent()
                && last.get().results().stream().allMatch(r -> r.heldBecause().isEmpty());
    }

    /** Whether a release has left something behind. */
    public boolean releasedInPart() {
        return last.isPresent() && !released();
    }

    public boolean dueOn(LocalDate date) {
        return submission.promisedOn().filter(date::equals).isPresent();
    }

    public boolean lateOn(LocalDate date) {
        return !released() && submission.promisedOn().filter(date::isAfter).isPresent();
    }
}
