package org.tenmesh.core.lookback;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;

/**
 * A report that a client has and that a hold touches, and what a revision of it would say otherwise.
 *
 * @param revision the newest one that is out
 * @param signedAt when that was signed
 * @param touched how many of its results the hold lists
 * @param changes what a revision signed now would say otherwise
 * @param state what is to be done about it
 */
public record ReIssue(
        String day,
        String submission,
        String client,
        int revision,
        Instant signedAt,
        int touched,
        List<Amendment.Change> changes,
        State state) {
    /** What is to be done. */
    public enum State {
        /** Nothing has changed yet: the client has what stands. */
        UNCHANGED("as the client has it"),
        /** A revision would say something else. */
        TO_SIGN("revision to be signed"),
        /** A revision was signed since the hold was laid, and nothing has changed after it. */
        SIGNED("revision signed since");

        private final String phrase;

        State(String phrase) {
            this.phrase = phrase;
        }

        /** The words for people. */
        public String phrase() {
            return phrase;
        }
    }

    public ReIssue {
        changes = List.copyOf(changes);
    }

    /** The reports of one day that a hold touches, by submission. */
    public static List<ReIssue> of(Hold hold, Desk desk, MethodBook book) {
        Set<String> keys = new HashSet<>();
        desk.judged().results().stream()
                .filter(result -> hold.lists(desk.name(), result))
                .forEach(result -> keys.add(key(result)));
        // What another day read of its soils, as a redo is.
        desk.day().soils().stream()
                .flatMap(soil -> Stream.concat(
                        desk.standing(soil.labNumber()).stream(), desk.superseded(soil.labNumber()).stream()))
                .filter(result -> listsElsewhere(hold, desk, result))
                .forEach(result -> keys.add(key(result)));
        List<ReIssue> all = new ArrayList<>();
        newest(desk).forEach((submission, release) -> {
            int touched = (int) desk.releases(submission).stream()
                    .flatMap(revision -> revision.results().stream())
                    .filter(result -> result.heldBecause().isEmpty())
                    .map(ReIssue::key)
                    .distinct()
                    .filter(keys::contains)
                    .count();
            if (touched > 0) {
                List<ReleasedResult> now = Releasing.draft(
                        desk.day(), desk.soilsOf(submission), desk.standing(submission), desk.ruled(), book);
                Release next = new Release(submission, release.revision() + 1, "", release.signedAt(), "", now);
                List<Amendment.Change> changes =
                        Amendment.between(release, next).changes();
                Instant signedAt = release.signedAt().toInstant();
                State state = !changes.isEmpty()
                        ? State.TO_SIGN
                        : signedAt.isAfter(hold.at()) ? State.SIGNED : State.UNCHANGED;
                all.add(new ReIssue(
                        desk.name(),
                        submission,
                        client(desk, submission),
                        release.revision(),
                        signedAt,
                        touched,
                        changes,
                        state));
            }
        });
        return all;
    }

    private static boolean listsElsewhere(Hold hold, Desk desk, Result result) {
        Desk.Origin origin = desk.origin(result);
        return !origin.day().isEmpty() && hold.lists(origin.day(), result.inRun(origin.run()));
    }

    static Map<String, Release> newest(Desk desk) {
        Map<String, Release> newest = new TreeMap<>();
        desk.releases()
                .forEach(release ->
                        newest.merge(release.submission(), release, (a, b) -> a.revision() >= b.revision() ? a : b));
        return newest;
    }

    static String client(Desk desk, String submission) {
        return Optional.of(submission)
                .flatMap(desk::submission)
                .map(Submission::client)
                .orElse("");
    }

    static String key(Result result) {
        return result.labNumber().text() + "\n" + result.method() + "\n" + result.analyte();
    }

    static String key(ReleasedResult result) {
        return result.labNumber().text() + "\n" + result.method() + "\n" + result.analyte();
    }
}
