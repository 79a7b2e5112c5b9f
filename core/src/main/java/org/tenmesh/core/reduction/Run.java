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
 */
public record Run(
        String run,
        String method,
        String instrument,
        Optional<String> operator,
        OffsetDateTime startedAt,
        Readings readings) {}
