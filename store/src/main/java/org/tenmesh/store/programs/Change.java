package org.tenmesh.store.programs;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Something that another program may want to know.
 *
 * @param seq the entry of the journal that says it: grows with each change, with gaps
 * @param what {@code submission-taken}, {@code submission-changed}, {@code submission-left}, {@code submission-laid-out},
 *     {@code released}, {@code day-taken}
 * @param submission empty for a day that was taken
 * @param receivedOn of a released submission, whose name may come again on another date
 * @param revision of a release
 * @param day of a day that was taken
 */
public record Change(
        long seq,
        Instant at,
        String what,
        Optional<String> submission,
        Optional<LocalDate> receivedOn,
        OptionalInt revision,
        Optional<String> day) {}
