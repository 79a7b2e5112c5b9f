package org.tenmesh.core.bench;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiPredicate;
import java.util.stream.Collectors;
import org.tenmesh.core.methods.BenchStep;

/**
 * How far one subject has come, and the one thing to do with it now. A pure function of its paths, of what was read and of what people noted;
 * a reading counts as noted whoever forgot to note it.
 *
 * @param lines every step of every path, in order
 * @param now the line of the one thing to do; empty when nothing is
 */
public record BenchWork(List<Line> lines, Optional<Line> now) {
    /** A step that goes on by itself for longer than this does not hold its tray: another portion is taken meanwhile. */
    public static final Duration HOLDS = Duration.ofMinutes(20);

    public BenchWork {
        lines = List.copyOf(lines);
    }

    /** How a step stands. */
    public enum State {
        WAITS,
        RUNS,
        DONE,
        /** A later step was noted, or the portion was read: this one was done and not noted, or left out. */
        PASSED
    }

    /** @param act what it stands so by; empty where nothing was noted */
    public record Line(Path path, Step step, State state, Optional<BenchAct> act) {
        /** When a step that runs is over, by the clock of the device that began it. */
        public Optional<Instant> over() {
            return state == State.RUNS && !step.lasts().isZero()
                    ? act.map(begun -> begun.deviceAt().plus(step.lasts()))
                    : Optional.empty();
        }
    }

    /**
     * How it stands.
     *
     * @param read whether a step that reads was read, whatever was noted
     * @param acts of this subject, in the order in which they were stored
     */
    public static BenchWork of(List<Path> paths, BiPredicate<Path, Step> read, List<BenchAct> acts) {
        List<BenchAct> counted = counted(acts);
        List<Line> lines = new ArrayList<>();
        Optional<Line> next = Optional.empty();
        Optional<Line> meanwhile = Optional.empty();
        for (Path path : paths) {
            List<Line> its = lines(path, read, counted);
            lines.addAll(its);
            Optional<Line> first = its.stream()
                    .filter(line -> line.state() == State.WAITS || line.state() == State.RUNS)
                    .findFirst();
            boolean runs = first.filter(line -> line.state() == State.RUNS).isPresent();
            boolean long_ = runs && first.get().step().lasts().compareTo(HOLDS) > 0;
            if (long_) {
                meanwhile = meanwhile.isPresent() ? meanwhile : first;
            } else if (next.isEmpty()) {
                next = first;
            }
        }
        return new BenchWork(lines, next.isPresent() ? next : meanwhile);
    }

    private static List<Line> lines(Path path, BiPredicate<Path, Step> read, List<BenchAct> acts) {
        List<Line> lines = new ArrayList<>();
        int last = -1;
        for (Step step : path.steps()) {
            Optional<BenchAct> done = newest(acts, path, step, BenchAct.What.DONE);
            Optional<BenchAct> begun = newest(acts, path, step, BenchAct.What.BEGUN);
            State state = done.isPresent()
                    ? State.DONE
                    : step.reads() && read.test(path, step)
                            ? State.PASSED
                            : begun.isPresent() ? State.RUNS : State.WAITS;
            if (state != State.WAITS) {
                last = lines.size();
            }
            lines.add(new Line(path, step, state, done.or(() -> begun)));
        }
        for (int i = 0; i < last; i++) {
            Line line = lines.get(i);
            // A method that was left out of the portion is still to be read, whatever came after it.
            if (!line.step().reads() && (line.state() == State.WAITS || line.state() == State.RUNS)) {
                lines.set(i, new Line(path, line.step(), State.PASSED, line.act()));
            }
        }
        return lines;
    }

    private static Optional<BenchAct> newest(List<BenchAct> acts, Path path, Step step, BenchAct.What what) {
        Optional<BenchAct> found = Optional.empty();
        for (BenchAct act : acts) {
            if (act.what() == what
                    && act.step().equals(step.key())
                    && act.storedAt().isAfter(path.since())) {
                found = Optional.of(act);
            }
        }
        return found;
    }

    /** The acts without those that were taken back; of a tray that was the wrong one the last step is not counted. */
    public static List<BenchAct> counted(List<BenchAct> acts) {
        return counted(acts, new ArrayList<>());
    }

    /** In time that grows with the number of acts, not with its square: those of racks and mills are of more than a year. */
    private static List<BenchAct> counted(List<BenchAct> acts, List<TakenBack> gone) {
        List<BenchAct> noted = new ArrayList<>();
        BitSet counts = new BitSet();
        Map<String, Deque<Integer>> places = new HashMap<>();
        Deque<Integer> steps = new ArrayDeque<>();
        for (BenchAct act : acts) {
            Optional<Integer> its = switch (act.what()) {
                case TAKEN_BACK -> newest(places.getOrDefault(act.about(), new ArrayDeque<>(0)), counts);
                case WRONG_TRAY -> newest(steps, counts);
                default -> {
                    int place = noted.size();
                    noted.add(act);
                    counts.set(place);
                    places.computeIfAbsent(act.id(), id -> new ArrayDeque<>(1)).push(place);
                    if (act.what() == BenchAct.What.DONE || act.what() == BenchAct.What.BEGUN) {
                        steps.push(place);
                    }
                    yield Optional.empty();
                }
            };
            its.ifPresent(place -> {
                counts.clear(place);
                gone.add(new TakenBack(noted.get(place), act));
            });
        }
        return counts.stream().mapToObj(noted::get).collect(Collectors.toCollection(ArrayList::new));
    }

    /** @param by the act that took it back, or that said that the last step was of another tray */
    public record TakenBack(BenchAct first, BenchAct by) {}

    /** What was noted and does not count any more, in the order in which it was taken back. */
    public static List<TakenBack> takenBack(List<BenchAct> acts) {
        List<TakenBack> gone = new ArrayList<>();
        counted(acts, gone);
        return gone;
    }

    /** The newest of these places whose act still counts. */
    private static Optional<Integer> newest(Deque<Integer> places, BitSet counts) {
        while (!places.isEmpty() && !counts.get(places.element())) {
            places.pop();
        }
        return Optional.ofNullable(places.peek());
    }

    /** The line of a step by its key. */
    public Optional<Line> line(String key) {
        return lines.stream().filter(line -> line.step().key().equals(key)).findFirst();
    }

    /** What comes before a step on its path and was not noted: whoever does it now is told so first. */
    public List<Step> missingBefore(String key) {
        List<Step> missing = new ArrayList<>();
        Optional<Line> wanted = line(key);
        for (Line line : lines) {
            if (wanted.isEmpty() || line.equals(wanted.get())) {
                break;
            }
            // Two methods of one portion may be read in either order.
            boolean open = line.state() == State.WAITS || line.state() == State.RUNS;
            boolean elsewhere = line.step().method().isPresent()
                    && !line.step().method().equals(wanted.get().step().method());
            if (line.path().equals(wanted.get().path()) && open && !elsewhere) {
                missing.add(line.step());
            }
        }
        return missing;
    }

    /** Soils whose portion was spilt and has not been made again: each with the act that says so. */
    public static List<BenchAct> spilt(List<BenchAct> acts) {
        Set<String> gone = new HashSet<>();
        List<BenchAct> spilt = new ArrayList<>();
        for (BenchAct act : counted(acts)) {
            if (act.what() == BenchAct.What.SPILT && gone.add(act.about() + " " + portion(act.step()))) {
                spilt.add(act);
            }
        }
        return spilt;
    }

    /** The key under which it is noted that a tray was dumped. */
    public static final String DUMP = "tray.dump";

    /**
     * When a tray was dumped last; empty while its soils are in it. Soils that were fetched from the shelf are in it again.
     *
     * @param acts of the tray, in the order in which they were stored
     */
    public static Optional<BenchAct> dumped(List<BenchAct> acts) {
        Optional<BenchAct> dumped = Optional.empty();
        for (BenchAct act : counted(acts)) {
            if (act.what() == BenchAct.What.DONE && act.step().equals(DUMP)) {
                dumped = Optional.of(act);
            } else if (act.what() == BenchAct.What.DONE && act.step().endsWith("." + BenchStep.Doing.FETCH.word())) {
                dumped = Optional.empty();
            }
        }
        return dumped;
    }

    /** The portion that a step key belongs to. */
    public static String portion(String key) {
        String bare = key.startsWith("again.") ? key.substring("again.".length()) : key;
        return bare.indexOf('.') < 0 ? bare : bare.substring(0, bare.indexOf('.'));
    }
}
