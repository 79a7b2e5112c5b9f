package org.tenmesh.core.judgement;

import java.util.Optional;

/**
 * A line of the day's input that could not be taken. What it would have said is not known, so what it guards waits.
 *
 * @param file where it stands, {@code materials.csv}
 * @param line line of the file, from 1; 0 when the whole file could not be taken
 * @param name the soil, hidden control, control material or standard that it is about; empty when that could not be read
 * @param method the method that it names; empty when it names none, or none that is known
 * @param analyte the analyte that it names; empty when it names none, or none that is known
 */
public record LostLine(
        String file, int line, Kind kind, Optional<String> name, Optional<String> method, Optional<String> analyte) {
    /** What the line would have stated. */
    public enum Kind {
        SOIL("which soil it is"),
        HIDDEN_CONTROL("which of the soils are control soils"),
        MATERIAL("what a control soil of this run holds"),
        STANDARD("what a standard or check solution of this run holds");

        private final String states;

        Kind(String states) {
            this.states = states;
        }

        /** What it would have stated, to follow "which states". */
        public String states() {
            return states;
        }
    }

    /** The place for people: {@code line 7 of materials.csv}. */
    public String place() {
        return line > 0 ? "line " + line + " of " + file : file;
    }

    /** Whether it may be about a method; one that names no known method may be about any. */
    boolean mayConcern(String id) {
        return method.isEmpty() || method.get().equals(id);
    }
}
