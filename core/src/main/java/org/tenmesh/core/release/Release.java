package org.tenmesh.core.release;

import java.time.OffsetDateTime;
import java.util.List;

/**
 * A signed statement that results of one submission may leave. A later change is a new revision.
 *
 * @param revision 1, 2, 3 … within the submission
 * @param signedBy the person who signed
 * @param signedAt when
 * @param reason why this revision was made: "first release", "redo of potassium"
 * @param results everything the submission asked for, whether it leaves or is held
 */
public record Release(
        String submission,
        int revision,
        String signedBy,
        OffsetDateTime signedAt,
        String reason,
        List<ReleasedResult> results) {
    public Release {
        results = List.copyOf(results);
    }
}
