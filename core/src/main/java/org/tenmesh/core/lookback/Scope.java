package org.tenmesh.core.lookback;

import java.util.Arrays;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.UsedInRun;
import org.tenmesh.core.reduction.Run;

/**
 * What is looked back on.
 *
 * @param name of the instrument, method, lot, piece of equipment or person
 */
public record Scope(Kind kind, String name) {
    /** Kinds of it. */
    public enum Kind {
        INSTRUMENT("instrument"),
        METHOD("method"),
        PERSON("person"),
        LOT("lot"),
        EQUIPMENT("equipment");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in addresses and on pages. */
        public String word() {
            return word;
        }

        public static Optional<Kind> of(String word) {
            return Arrays.stream(values())
                    .filter(kind -> kind.word.equals(word))
                    .findFirst();
        }
    }

    /** @throws IllegalArgumentException where it cannot be the name of anything */
    public Scope {
        if (name.isBlank() || name.length() > 200) {
            throw new IllegalArgumentException("a look back needs the name of its " + kind.word());
        }
    }

    /** In words. */
    public String text() {
        return kind.word() + " " + name;
    }

    /** The lot or piece of equipment, where it is one. */
    public Optional<Thing> thing() {
        return switch (kind) {
            case LOT -> Thing.isName(name) ? Optional.of(Thing.lot(name)) : Optional.empty();
            case EQUIPMENT -> Thing.isName(name) ? Optional.of(Thing.equipment(name)) : Optional.empty();
            case INSTRUMENT, METHOD, PERSON -> Optional.empty();
        };
    }

    /** How the thing was used in a run; empty where the scope is no thing, or it was not used there as far as anybody said. */
    Optional<UsedInRun.One> use(Desk desk, Run run) {
        return thing().flatMap(thing -> desk.things().of(run.run()).stream()
                .flatMap(used -> used.used().stream())
                .filter(one -> one.thing().equals(thing))
                .findFirst());
    }

    boolean covers(Desk desk, Run run) {
        return switch (kind) {
            case INSTRUMENT -> run.instrument().equals(name);
            case METHOD -> run.method().equals(name);
            case PERSON -> run.operator().filter(name::equals).isPresent();
            case LOT, EQUIPMENT -> use(desk, run).isPresent();
        };
    }
}
