package org.tenmesh.core.layout;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;

/**
 * A tray of twelve wells.
 *
 * @param tray its name, unique in a day
 * @param wells what lies in each well that was recorded, in well order
 */
public record Tray(String tray, List<Place> wells) {
    public Tray {
        wells = List.copyOf(wells);
    }

    /** What a well is there for. */
    public enum Purpose {
        /** Holds a soil (or looks as if it did: a hidden control). */
        SOIL("soil"),
        /** Breaks the tray's symmetry, so that a turned tray shows: a known, a blank, or empty. */
        KEY("key");

        private final String word;

        Purpose(String word) {
            this.word = word;
        }

        /** The word used in files. */
        public String word() {
            return word;
        }
    }

    /**
     * One well of a tray.
     *
     * @param labNumber what lies in it; empty when nothing does
     */
    public record Place(Well well, Optional<LabNumber> labNumber, Purpose purpose) {}
}
