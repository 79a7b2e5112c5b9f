package org.tenmesh.core.dock;

import java.util.List;
import java.util.Optional;

/**
 * One thing that is not as the sheet says, from its finding to its decision.
 *
 * @param key its name within the submission, the same as long as it lasts: {@code missing:7}
 * @param number the bag of the sheet; 0 where it is about none
 * @param about for people: the bag with its label, or the submission as a whole
 * @param says what was found
 * @param foundBy the act that says it; empty where it follows from the count or the sheet
 * @param dialogue what the client was asked and answered, in order
 * @param settledBy the decision; empty while it is open
 */
public record Exceptional(
        String key,
        ExceptionKind kind,
        int number,
        String about,
        String says,
        Optional<DockAct> foundBy,
        List<DockAct> dialogue,
        Optional<DockAct> settledBy) {
    public Exceptional {
        dialogue = List.copyOf(dialogue);
    }

    public boolean open() {
        return settledBy.isEmpty();
    }

    /** Whether the client was asked and has not answered. */
    public boolean asked() {
        return !dialogue.isEmpty() && dialogue.get(dialogue.size() - 1).what() == DockAct.What.ASKED;
    }

    /** What was decided; empty while it is open. */
    public Optional<Decision> decision() {
        return settledBy.flatMap(act -> kind.decisions().stream()
                .filter(one -> one.word().equals(act.says()))
                .findFirst());
    }

    /** One sentence for the client: what was found and what was decided. */
    public String sentence() {
        return about + ": " + kind.phrase() + (says.isEmpty() ? "" : " (" + says + ")")
                + decision().map(one -> "; it " + one.told()).orElse("") + ".";
    }
}
