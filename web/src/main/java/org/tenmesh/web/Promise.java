package org.tenmesh.web;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.release.Release;

/**
 * How a submission stands against the day it is due.
 *
 * @param fit determinations that may leave
 * @param hold determinations held
 * @param redo determinations to be made again
 * @param unread determinations asked for and not read yet
 * @param last its newest release
 */
record Promise(Submission submission, int soils, int fit, int hold, int redo, int unread, Optional<Release> last) {

    /** Whether everything asked for may leave. */
    boolean complete() {
        return hold + redo + unread == 0 && fit > 0;
    }

    /** Whether everything asked for has left. */
    boolean released() {
        return last.isPresent()
                && last.get().results().stream().allMatch(r -> r.heldBecause().isEmpty());
    }

    /** Whether a release has left something behind. */
    boolean releasedInPart() {
        return last.isPresent() && !released();
    }

    boolean dueOn(LocalDate date) {
        return submission.promisedOn().filter(date::equals).isPresent();
    }

    boolean lateOn(LocalDate date) {
        return !released() && submission.promisedOn().filter(date::isAfter).isPresent();
    }

    /** How it stands, in a word or a few. */
    String standing() {
        if (released()) {
            return "released";
        }
        if (complete()) {
            return releasedInPart() ? "now complete, revision may leave" : "complete and fit";
        }
        if (fit + hold + redo == 0) {
            return "nothing read yet";
        }
        List<String> parts = new ArrayList<>();
        add(parts, redo, "to redo");
        add(parts, hold, "held");
        add(parts, unread, "not read yet");
        return (releasedInPart() ? "released in part; " : "") + String.join(", ", parts) + ", of "
                + Words.of(fit + hold + redo + unread, "result");
    }

    private static void add(List<String> parts, int n, String what) {
        if (n > 0) {
            parts.add(Words.count(n) + " " + what);
        }
    }
}
