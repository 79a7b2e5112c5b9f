package org.tenmesh.store.labels;

import java.time.Instant;
import java.util.List;

/**
 * Labels that were printed in one file.
 *
 * @param kind what they are for, not empty
 * @param ofDay the day whose trays they are of, because another day may have a tray of the same name; empty text for what has one name for ever
 * @param labels what the scanner reads of each, at least one
 * @param again how many of them had been printed before
 * @param reason why they were printed again; empty text where none was
 */
public record Printing(
        String kind, String ofDay, List<String> labels, int again, String reason, String actor, Instant at) {
    public Printing {
        labels = List.copyOf(labels);
    }
}
