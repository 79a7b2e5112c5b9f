package org.tenmesh.core.causes;

import java.util.Comparator;
import org.tenmesh.core.intake.LabNumber;

/**
 * Names one determination of one lab number, whichever run read it.
 *
 * @param method id of the method
 * @param analyte symbol of the analyte
 */
public record ResultKey(LabNumber labNumber, String method, String analyte) implements Comparable<ResultKey> {
    private static final Comparator<ResultKey> ORDER = Comparator.comparing(ResultKey::labNumber)
            .thenComparing(ResultKey::method)
            .thenComparing(ResultKey::analyte);

    /** The key of a result. */
    public static ResultKey of(Result result) {
        return new ResultKey(result.labNumber(), result.method(), result.analyte());
    }

    @Override
    public int compareTo(ResultKey other) {
        return ORDER.compare(this, other);
    }
}
