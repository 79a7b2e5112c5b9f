package org.tenmesh.core.desk;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * The gates of an instrument by its newest evidence: those of its newest run, which calibrates anew, and what check solutions, blanks and
 * control soils gave since the first soil of it. A check that failed shuts its gate until one of its kind, for the same analyte and under
 * the same probe, passes; a gate that a check before the first soil shut opens the same way.
 *
 * <p>Of a hidden control soil neither place nor name is told: what it shuts is shut while nothing after it has passed to the end of the run.
 *
 * @param run the newest
 * @param atTheStart what the checks before its first soil said
 * @param since the newest evidence of each gate about which later checks said something else, in the order of gates
 */
public record GateState(Run run, List<GateOutcome> atTheStart, List<Since> since) {
    /**
     * What decides a gate since the first soil.
     *
     * @param failed whether it shuts the gate; otherwise the checks that had failed have passed since
     * @param decides the check that failed worst, or the last one that had to pass; its position is 0 where that must not be told
     * @param at when it was read; of a hidden control soil the end of the run
     */
    public record Since(Gate gate, boolean failed, Measure decides, OffsetDateTime at) {}

    private static final Map<Gate, Measure.Kind> CHECKS = new EnumMap<>(Map.of(
            Gate.KNOWN_SOLUTIONS, Measure.Kind.CHECK_SOLUTION,
            Gate.BLANK, Measure.Kind.BLANK,
            Gate.OWN_CONTROL, Measure.Kind.CONTROL_SOIL));

    public GateState {
        atTheStart = List.copyOf(atTheStart);
        since = List.copyOf(since);
    }

    static GateState of(Run run, RunPositions positions, List<GateOutcome> atTheStart, List<Cause> causes) {
        List<Found> found = causes.stream()
                .flatMap(cause -> cause.stretches().stream()
                        .filter(stretch -> stretch.run().equals(run.run()))
                        .map(stretch -> new Found(cause.kind(), stretch)))
                .toList();
        Places places = Places.of(run, positions);
        List<Since> since = new ArrayList<>();
        for (Gate gate : Gate.values()) {
            Measure.Kind kind = CHECKS.get(gate);
            if (kind != null) {
                boolean shutAtTheStart =
                        atTheStart.stream().anyMatch(outcome -> outcome.gate() == gate && !outcome.open());
                newest(gate, kind, found, places, shutAtTheStart).ifPresent(since::add);
            }
        }
        return new GateState(run, atTheStart, since);
    }

    /**
     * The gates of an instrument by a run that was judged alone.
     *
     * @param alone see {@link org.tenmesh.core.causes.DayJudge#alone}
     */
    public static GateState of(Run run, JudgedDay alone) {
        return of(run, RunPositions.of(run), alone.gates(), alone.causes());
    }

    private record Found(CauseKind kind, Stretch stretch) {}

    private record Lane(String analyte, String channel) {}

    /** Where and when things were read. */
    private record Places(
            NavigableMap<Integer, RunPositions.Position> byPosition,
            int firstSoil,
            int lastSoil,
            OffsetDateTime startedAt) {
        static Places of(Run run, RunPositions positions) {
            NavigableMap<Integer, RunPositions.Position> byPosition = new TreeMap<>();
            int first = Integer.MAX_VALUE;
            int last = 0;
            for (RunPositions.Position one : positions.positions()) {
                byPosition.put(one.position(), one);
                if (one.role() == Role.SAMPLE || one.role() == Role.DUPLICATE) {
                    first = Math.min(first, one.position());
                    last = Math.max(last, one.position());
                }
            }
            return new Places(byPosition, first, last, run.startedAt());
        }

        OffsetDateTime at(int position) {
            Map.Entry<Integer, RunPositions.Position> there =
                    position > 0 ? byPosition.floorEntry(position) : byPosition.lastEntry();
            return there == null ? startedAt : there.getValue().at();
        }

        String channel(int position) {
            RunPositions.Position there = byPosition.get(position);
            return there == null ? "" : there.channel();
        }
    }

    private static Optional<Since> newest(
            Gate gate, Measure.Kind kind, List<Found> found, Places places, boolean shutAtTheStart) {
        Map<Lane, List<Measure>> lanes = new LinkedHashMap<>();
        List<Measure> failing = new ArrayList<>();
        for (Found one : found) {
            for (Measure measure : one.stretch().measures()) {
                if (measure.kind() != kind) {
                    continue;
                }
                if (measure.position() > 0) {
                    lanes.computeIfAbsent(
                                    new Lane(measure.analyte(), places.channel(measure.position())),
                                    lane -> new ArrayList<>())
                            .add(measure);
                } else if (one.kind() == CauseKind.CONTROL_FAILED
                        && measure.isOutside()
                        && one.stretch().lastPosition() >= places.lastSoil()) {
                    failing.add(measure);
                }
            }
        }
        lanes.values().removeIf(measures -> measures.stream().noneMatch(Measure::isOutside));
        List<Measure> last = lanes.values().stream()
                .map(measures -> measures.stream()
                        .max(Comparator.comparingInt(Measure::position))
                        .orElseThrow())
                .toList();
        // A failure before the first soil that nothing followed is what the gate itself says.
        last.stream()
                .filter(one -> one.isOutside() && one.position() > places.firstSoil())
                .forEach(failing::add);
        if (!failing.isEmpty()) {
            Measure worst = failing.stream().min(Measure.FURTHEST_FIRST).orElseThrow();
            return Optional.of(new Since(gate, true, worst, places.at(worst.position())));
        }
        boolean allPassed = !last.isEmpty() && last.stream().noneMatch(Measure::isOutside);
        boolean mayOpen = !shutAtTheStart || found.stream().noneMatch(one -> one.kind() == CauseKind.CONTROL_MISSING);
        return Stream.of(last)
                .filter(one -> allPassed && mayOpen)
                .flatMap(List::stream)
                .filter(one -> one.position() > places.firstSoil())
                .max(Comparator.comparingInt(Measure::position))
                .map(one -> new Since(gate, false, one, places.at(one.position())));
    }

    /** What decides a gate since the first soil, where something does. */
    public Optional<Since> since(Gate gate) {
        return since.stream().filter(one -> one.gate() == gate).findFirst();
    }

    /** The gates that are shut now, in order. */
    public List<Gate> shut() {
        return Stream.of(Gate.values())
                .filter(gate -> since(gate)
                        .map(Since::failed)
                        .orElseGet(() ->
                                atTheStart.stream().anyMatch(outcome -> outcome.gate() == gate && !outcome.open())))
                .toList();
    }

    /** Whether something was checked and nothing keeps the instrument from running. */
    public boolean isOpen() {
        return !atTheStart.isEmpty() && shut().isEmpty();
    }
}
