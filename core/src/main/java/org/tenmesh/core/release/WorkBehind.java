package org.tenmesh.core.release;

/**
 * Work by which results of a submission came to be, as far as the record knows who did it.
 *
 * @param person who did it, by the name of today
 * @param where the tray, soil, rack or run
 * @param times how often: notes or readings, 1 or more
 */
public record WorkBehind(String person, Kind kind, String where, int times) {
    /** What kind of work. */
    public enum Kind {
        /** Noted at the bench; the place names the thing: "tray T-0007". */
        NOTED,
        /** Typed by hand, or sent as a file in a person's own name. */
        ENTERED,
        /** Named as the operator of a run. */
        RAN
    }

    public WorkBehind {
        if (person.isBlank() || times < 1) {
            throw new IllegalArgumentException(
                    "work of \"" + person + "\", " + times + " times: expected a name and 1 or more");
        }
    }

    /** Of it as a clause: "noted 3 steps of tray T-0007". */
    public String phrase() {
        return switch (kind) {
            case NOTED -> "noted " + counted("step") + " of " + where;
            case ENTERED -> "entered " + counted("reading") + " of run " + where;
            case RAN -> "was the operator of run " + where;
        };
    }

    private String counted(String noun) {
        return times + " " + noun + (times == 1 ? "" : "s");
    }
}
