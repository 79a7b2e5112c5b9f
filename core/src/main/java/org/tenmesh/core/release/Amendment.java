package org.tenmesh.core.release;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.intake.LabNumber;

/**
 * What one revision of a release says otherwise than the one before it, result by result.
 *
 * @param revision the earlier one
 * @param changes in the order of the later release
 */
public record Amendment(int revision, List<Change> changes) {
    public Amendment {
        changes = List.copyOf(changes);
    }

    /**
     * One result that changed.
     *
     * @param was as it was reported; empty text when it was held back or not there
     * @param is as it is reported now; empty text when it is held back or not there any more
     */
    public record Change(LabNumber labNumber, String method, String analyte, String was, String is) {}

    private record Key(LabNumber labNumber, String method, String analyte) {
        static Key of(ReleasedResult result) {
            return new Key(result.labNumber(), result.method(), result.analyte());
        }
    }

    /** Compares two releases of one submission by what was printed. */
    public static Amendment between(Release before, Release after) {
        Map<Key, String> was = new HashMap<>();
        before.results().forEach(result -> was.put(Key.of(result), text(result)));
        List<Change> changes = new ArrayList<>();
        for (ReleasedResult result : after.results()) {
            String earlier = was.remove(Key.of(result));
            change(result, earlier == null ? "" : earlier, text(result), changes);
        }
        // What the later one no longer carries.
        for (ReleasedResult result : before.results()) {
            String gone = was.remove(Key.of(result));
            if (gone != null) {
                change(result, gone, "", changes);
            }
        }
        return new Amendment(before.revision(), changes);
    }

    private static String text(ReleasedResult result) {
        return result.uncertainty().isEmpty()
                ? result.reported()
                : result.reported() + " \u00b1 " + result.uncertainty();
    }

    private static void change(ReleasedResult of, String was, String is, List<Change> changes) {
        if (!was.equals(is)) {
            changes.add(new Change(of.labNumber(), of.method(), of.analyte(), was, is));
        }
    }
}
