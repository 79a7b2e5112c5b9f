package org.tenmesh.core.reduction;

import java.time.OffsetDateTime;
import java.util.Optional;

/**
 * One instrument, one method, an ordered list of positions.
 *
 * @param run its name, unique in a day
 * @param method the method's id
 * @param instrument which instrument read it
 * @param operator who ran it
 * @param startedAt when its first standard was read
 * @param readings everything it read, in the order of the file
 * @param underWay whether more of it is still to come: it is judged with what was read so far, and what only its later positions can give
 *     is waited for; false for a run that has ended, which never changes
 */
public record Run(
        String run,
        String method,
        String instrument,
        Optional<String> operator,
        OffsetDateTime startedAt,
        Readings readings,
        boolean underWay) {
    /** A run that has ended. */
    public Run(
            String run,
            String method,
            String instrument,
            Optional<String> operator,
            OffsetDateTime startedAt,
            Readings readings) {
        this(run, method, instrument, operator, startedAt, readings, false);
    }

    /** The same run with these readings, ended or under way as it was. */
    public Run with(Readings others) {
        return new Run(run, method, instrument, operator, startedAt, others, underWay);
    }

    /** The same run, ended or under way. */
    public Run underWay(boolean more) {
        return more == underWay ? this : new Run(run, method, instrument, operator, startedAt, readings, more);
    }
}
