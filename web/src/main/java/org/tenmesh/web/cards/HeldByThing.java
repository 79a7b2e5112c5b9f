package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.HeldByThings;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.web.words.Words;

/** What lots, equipment and people have to do with one result, in sentences. */
public final class HeldByThing {
    private HeldByThing() {}

    /** Everything of it that holds the result or was let stand; nothing where none of it does. */
    public static List<String> says(Desk desk, Result result) {
        List<String> says = new ArrayList<>();
        for (HeldByThings.One one : desk.things().found()) {
            if (one.run().equals(result.run()) && one.used().touches(result)) {
                String what = Words.sentence(one.used().thing().kind().word()) + " "
                        + one.used().thing().name() + " (" + one.used().how() + "): "
                        + one.finding().says() + ".";
                says.add(one.letStand()
                        .map(stands -> what + " Let stand by " + stands.person() + ": " + stands.reason())
                        .orElseGet(() -> (one.holds() ? "Held. " : "Only warned of. ") + what));
            }
        }
        for (Hold hold : desk.holds().byHand()) {
            if (hold.lists(desk.name(), result)) {
                says.add(hold.lifted()
                        .map(lifted ->
                                "Hold " + hold.number() + " was lifted by " + lifted.person() + ": " + lifted.reason())
                        .orElseGet(() -> "Held by " + hold.person() + ", hold " + hold.number() + ", " + hold.about()
                                + ": " + hold.reason()));
            }
        }
        return says;
    }
}
