package org.tenmesh.core.desk;

import java.util.List;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.equipment.HeldByThings;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;

/**
 * What holds results besides causes and gates: lots and equipment with something wrong, and what people hold after looking back.
 *
 * @param letStand what people let stand although something was wrong, the oldest first
 * @param byHand what people hold, the oldest first, what was lifted too
 */
public record Holds(Register register, List<LetStand> letStand, List<Hold> byHand) {
    /** Nothing was registered and nothing is held. */
    public static final Holds NONE = new Holds(Register.NONE, List.of(), List.of());

    public Holds {
        letStand = List.copyOf(letStand);
        byHand = List.copyOf(byHand);
    }

    /** A text that is the same as long as nothing was registered, noted, let stand, held or lifted: nothing of it is ever changed. */
    public String state() {
        return register.size() + " " + letStand.size() + " " + byHand.size() + " "
                + byHand.stream().filter(hold -> hold.lifted().isPresent()).count();
    }

    /**
     * What was wrong with lots and equipment of a day's runs.
     *
     * @param name of the day
     */
    public HeldByThings things(String name, Day day, MethodBook book) {
        return HeldByThings.of(
                register,
                letStand,
                name,
                day,
                run -> book.find(run.method(), day.dateOf(run))
                        .filter(method -> method.extract().isPresent())
                        .isPresent());
    }

    /** The results of a day, those that anything here holds as held. */
    List<Result> held(String name, HeldByThings things, List<Result> results) {
        return Hold.held(byHand, name, things.held(results));
    }
}
