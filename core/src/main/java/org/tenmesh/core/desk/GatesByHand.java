package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.reduction.Run;

/**
 * The gates that people shut and opened by hand. A gate that is shut allows nothing, so it stays shut when the cause it was shut for
 * changes or goes, and when a version before 0.2 stored it; an opening lapses when its cause is still there and has changed, and then
 * the gate is shut as it was before.
 */
final class GatesByHand {
    private final Map<String, String> instruments = new LinkedHashMap<>();
    private final Map<String, Acted> shut = new LinkedHashMap<>();
    private final List<Rulings.Lapsed> lapsed = new ArrayList<>();

    private GatesByHand() {}

    /**
     * Follows what people did.
     *
     * @param acted oldest first
     */
    static GatesByHand of(List<Run> runs, List<Cause> causes, List<Acted> acted) {
        GatesByHand gates = new GatesByHand();
        runs.forEach(run -> gates.instruments.put(run.run(), run.instrument()));
        Map<String, Rulings.Lapsed> lapsedNow = new HashMap<>();
        for (Acted one : acted) {
            Optional<String> instrument = gates.instrument(one.grounds());
            if (one.action() == Action.SHUT_GATE) {
                instrument.ifPresentOrElse(
                        name -> {
                            gates.shut.put(name, one);
                            lapsedNow.remove(name);
                        },
                        () -> gates.lapsed.add(new Rulings.Lapsed(
                                one,
                                "It names no instrument that has run on this day, so it keeps none from running.")));
            } else if (one.action() == Action.OPEN_GATE && instrument.isPresent()) {
                Optional<String> changed = one.grounds().now(causes).isEmpty()
                        ? Optional.empty()
                        : one.grounds().lapsed(causes);
                if (changed.isEmpty()) {
                    gates.shut.remove(instrument.get());
                    lapsedNow.remove(instrument.get());
                } else {
                    lapsedNow.put(instrument.get(), new Rulings.Lapsed(one, changed.get()));
                }
            }
        }
        // An opening that lapsed matters where there is something to open.
        lapsedNow.forEach((instrument, one) -> {
            if (gates.shut.containsKey(instrument)) {
                gates.lapsed.add(one);
            }
        });
        return gates;
    }

    private Optional<String> instrument(Grounds grounds) {
        if (grounds.instrument().isPresent()) {
            return grounds.instrument();
        }
        if (!grounds.run().isEmpty()) {
            return Optional.ofNullable(instruments.get(grounds.run()));
        }
        // Before version 0.2 a cause was named by its run and an ordinal: ICP1-01.drift.1.
        return instruments.keySet().stream()
                .filter(run -> grounds.cause().startsWith(run + "."))
                .max(Comparator.comparingInt(String::length))
                .map(instruments::get);
    }

    /** The last time somebody shut this instrument's gate, if it is still shut. */
    Optional<Acted> shut(String instrument) {
        return Optional.ofNullable(shut.get(instrument));
    }

    /** The grounds of a gate that is shut by hand under this key with this evidence. */
    Optional<Grounds> shutFor(String cause, String evidenceDigest) {
        return shut.values().stream()
                .map(Acted::grounds)
                .filter(grounds -> grounds.cause().equals(cause)
                        && grounds.evidenceDigest().equals(evidenceDigest))
                .findFirst();
    }

    /** The grounds on which an instrument without a cause is shut: the instrument itself, by its key. */
    Optional<Grounds> ofInstrument(String key) {
        return instruments.entrySet().stream()
                .filter(run -> Grounds.ofInstrument(run.getValue(), run.getKey())
                        .cause()
                        .equals(key))
                .reduce((first, later) -> later)
                .map(run -> Grounds.ofInstrument(run.getValue(), run.getKey()));
    }

    /** Openings that have lapsed so that the gate is shut, and shuttings that name no instrument of the day. */
    List<Rulings.Lapsed> lapsed() {
        return List.copyOf(lapsed);
    }
}
