package org.tenmesh.core.dock;

import java.util.List;

/**
 * What the area lists and the permits that are in force say of a submission's origin.
 *
 * @param answer whether the origin is regulated
 * @param says by which lists and permits, for people
 * @param lookedUp what was looked up, in which lists of which dates
 * @param permit under which it may be kept as regulated; empty text where none admits it
 * @param refused why it may not be booked in as regulated; empty when it may
 * @param warns what is to be seen to, such as a permit that expires soon
 */
public record Ruling(
        Answer answer, String says, String lookedUp, String permit, List<String> refused, List<String> warns) {
    /** Whether the origin is regulated. */
    public enum Answer {
        REGULATED,
        NOT_LISTED,
        /** Nobody said where the soils were taken, or not nearly enough. */
        MISSING,
        /** A person has to say: the name is near a listed one, no list knows the place, or none that is in force speaks of the country. */
        UNCLEAR
    }

    public Ruling {
        refused = List.copyOf(refused);
        warns = List.copyOf(warns);
    }
}
