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
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.reduction.Run;

/**
 * The gates that people shut and opened by hand, on whatever day. A gate that is shut allows nothing, so it stays shut over days until
 * somebody opens it, also when the cause it was shut for changes or goes, and when a version before 0.2 stored it; an opening lapses
 * when its cause is still there and has changed, and then the gate is shut as it was before. Whether an opening has lapsed is asked on the
 * day it was made; on other days it counts as it was made.
 *
 * <p>While a gate is shut, the results of the run that it was shut for are held, and those of every run of the instrument that began
 * since. Where it was shut for no cause only the latter are: nothing was found in what was read before.
 */
final class GatesByHand {
    private final Map<String, String> instruments = new LinkedHashMap<>();
    private final Map<String, Shut> shut = new LinkedHashMap<>();
    private final List<Rulings.Lapsed> lapsed = new ArrayList<>();

    /** @param here whether it was shut on the pages of this day */
    private record Shut(Acted acted, boolean here) {}

    /** @param here whether it is one of this day; empty instrument text where that has to be looked up */
    private record One(String instrument, Acted acted, boolean here) {}

    private GatesByHand() {}

    /**
     * Follows what people did.
     *
     * @param acted what people did on this day, oldest first
     * @param elsewhere gates that people shut and opened on other days
     */
    static GatesByHand of(List<Run> runs, List<Cause> causes, List<Acted> acted, List<GateAct> elsewhere) {
        GatesByHand gates = new GatesByHand();
        runs.forEach(run -> gates.instruments.put(run.run(), run.instrument()));
        Map<String, Rulings.Lapsed> lapsedNow = new HashMap<>();
        List<One> all = new ArrayList<>();
        acted.forEach(one -> all.add(new One(gates.instrument(one.grounds()).orElse(""), one, true)));
        elsewhere.forEach(one -> all.add(new One(one.instrument(), one.acted(), false)));
        all.sort(Comparator.comparing(one -> one.acted().at()));
        for (One each : all) {
            Acted one = each.acted();
            Optional<String> instrument = Optional.of(each.instrument()).filter(name -> !name.isEmpty());
            if (one.action() == Action.SHUT_GATE) {
                instrument.ifPresentOrElse(
                        name -> {
                            gates.shut.put(name, new Shut(one, each.here()));
                            lapsedNow.remove(name);
                        },
                        () -> gates.lapsed.add(new Rulings.Lapsed(
                                one,
                                "It names no instrument that has run on this day, so it keeps none from running.")));
            } else if (one.action() == Action.OPEN_GATE && instrument.isPresent()) {
                Optional<String> changed =
                        !each.here() || one.grounds().now(causes).isEmpty()
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
        return Optional.ofNullable(shut.get(instrument)).map(Shut::acted);
    }

    /** The instruments whose gate is shut and that have not run on this day, the one shut first before the others. */
    List<String> shutWithoutRun() {
        return shut.keySet().stream()
                .filter(instrument -> !instruments.containsValue(instrument))
                .toList();
    }

    /**
     * The act that holds what this run read.
     *
     * @param run of this day, or of another one under its name with the day, as {@link ReadElsewhere} has it
     */
    private Optional<Acted> holds(Run run) {
        return Optional.ofNullable(shut.get(run.instrument()))
                .filter(one -> !run.startedAt().toInstant().isBefore(one.acted().at()) || isFor(one, run))
                .map(Shut::acted);
    }

    /** The results of this day and of others, those of runs whose gate is shut as held. */
    List<Result> held(List<Result> ofThisDay, List<Run> itsRuns, List<ReadElsewhere> elsewhere) {
        List<Result> results = new ArrayList<>(ofThisDay);
        List<Run> runs = new ArrayList<>(itsRuns);
        elsewhere.forEach(other -> {
            results.addAll(other.results());
            runs.addAll(other.runs());
        });
        Map<String, String> heldBy = new HashMap<>();
        runs.forEach(run -> holds(run).ifPresent(acted -> heldBy.put(run.run(), Grounds.keyOf(run.instrument()))));
        return results.stream()
                .map(result -> {
                    String gate = heldBy.get(result.run());
                    return gate == null ? result : result.heldBy(gate);
                })
                .toList();
    }

    private static boolean isFor(Shut shut, Run run) {
        Grounds grounds = shut.acted().grounds();
        String name = shut.here()
                ? grounds.run()
                : ReadElsewhere.qualified(shut.acted().day(), grounds.run());
        return grounds.instrument().isEmpty() && run.run().equals(name);
    }

    /**
     * The grounds on which a gate that is shut is opened: those it was shut on, but the instrument alone where that was on another day, of
     * which this one does not know the causes.
     */
    Optional<Grounds> toOpen(String instrument) {
        return Optional.ofNullable(shut.get(instrument))
                .map(one ->
                        one.here() ? one.acted().grounds() : Grounds.ofInstrument(instrument, newestOf(instrument)));
    }

    /** The same of the gate that is shut under this key with this evidence. */
    Optional<Grounds> shutFor(String cause, String evidenceDigest) {
        return shut.keySet().stream()
                .flatMap(instrument -> toOpen(instrument).stream())
                .filter(grounds -> grounds.cause().equals(cause)
                        && grounds.evidenceDigest().equals(evidenceDigest))
                .findFirst();
    }

    private String newestOf(String instrument) {
        return instruments.entrySet().stream()
                .filter(run -> run.getValue().equals(instrument))
                .reduce((first, later) -> later)
                .map(Map.Entry::getKey)
                .orElse("");
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

    /**
     * Decisions about causes that have lapsed, openings that have so that the gate is shut, and shuttings that name no instrument of the day,
     * oldest first.
     */
    List<Rulings.Lapsed> lapsedWith(Rulings rulings) {
        List<Rulings.Lapsed> all = new ArrayList<>(rulings.lapsed());
        all.addAll(lapsed);
        all.sort(Comparator.comparing(one -> one.acted().at()));
        return all;
    }
}
