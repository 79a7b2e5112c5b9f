package org.tenmesh.core.bench;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.methods.BenchStep;

/**
 * One step of a tray, a soil or a rack.
 *
 * @param key its name among the steps of one subject, the same as long as the methods are: {@code mehlich3.shake}
 * @param big the thing itself, as large as the hand needs it: "1 g soil", "5 min"
 * @param what a few words more; may be empty
 * @param method the method that it is for alone; empty when several share it
 * @param cautions what can hurt in it
 */
public record Step(
        String key,
        BenchStep.Doing doing,
        String big,
        String what,
        Duration lasts,
        Optional<String> method,
        List<String> cautions) {
    public Step {
        cautions = List.copyOf(cautions);
    }

    /** Whether it goes on while nobody stands beside it, so that its beginning and its end are noted. */
    public boolean waits() {
        return !lasts.isZero()
                || switch (doing) {
                    case DRY, OVEN, FURNACE, COOL, STAND, SHAKE, BOIL -> true;
                    default -> false;
                };
    }

    /** Whether the vessels go to an instrument with it. */
    public boolean reads() {
        return doing == BenchStep.Doing.READ;
    }
}
