package org.tenmesh.core.lookback;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.UsedInRun;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;

/**
 * Everything that was read since the last good control of an instrument, method, lot, piece of equipment or person before some
 * instant, up to the next good one after it.
 *
 * <p>Good is an open control soil of which every analyte passed, or the gates before the first soil of a run where all of them were open;
 * of equipment that has checks of its own a check that passed. Hidden control soils are left out: where the look back begins must not tell
 * which soil is one. So it reaches back further than they would let it, never less far.
 *
 * @param at the instant from which it looks back
 * @param whole whether everything was asked for, whatever was good meanwhile
 * @param since the last good control before it; empty where none was found in the days that were looked through
 * @param next the next good control after it; empty where none was read yet
 * @param touched what was read between, in the order of days and runs
 * @param reports the reports of it that are out, in the order of days and submissions
 */
public record LookBack(
        Scope scope,
        Instant at,
        boolean whole,
        Optional<Good> since,
        Optional<Good> next,
        List<Touched> touched,
        List<Report> reports) {
    /**
     * A good control.
     *
     * @param where run and position, or the check of the equipment
     */
    public record Good(Instant at, String where, String day, String run) {}

    /**
     * What was read in one run.
     *
     * @param soils lab numbers, those of hidden controls as any soil
     * @param submissions of these
     */
    public record Touched(
            String day,
            String run,
            String method,
            String instrument,
            int results,
            Set<LabNumber> soils,
            Set<String> submissions,
            List<Hold.Span> spans) {
        public Touched {
            soils = Set.copyOf(soils);
            submissions = new TreeSet<>(submissions);
            spans = List.copyOf(spans);
        }
    }

    /**
     * A report that is out with results that were touched.
     *
     * @param results how many of them
     */
    public record Report(String day, String submission, String client, int revision, Instant signedAt, int results) {}

    public LookBack {
        touched = List.copyOf(touched);
        reports = List.copyOf(reports);
    }

    public int results() {
        return touched.stream().mapToInt(Touched::results).sum();
    }

    public Set<LabNumber> soils() {
        return touched.stream().flatMap(one -> one.soils().stream()).collect(Collectors.toSet());
    }

    public Set<String> submissions() {
        return touched.stream()
                .flatMap(one -> one.submissions().stream())
                .collect(Collectors.toCollection(TreeSet::new));
    }

    /** What a hold on all of it lists. */
    public List<Hold.Span> spans() {
        return touched.stream().flatMap(one -> one.spans().stream()).toList();
    }

    /** What it looks back on and since when, in words. */
    public String about() {
        return scope.text()
                + since.map(good -> ", since " + good.where()).orElse(whole ? ", everything" : ", as far as was looked")
                + next.map(good -> ", until " + good.where()).orElse("");
    }

    /**
     * What one day has of a scope, without the rest of the day.
     *
     * @param goods in no order
     */
    public record Part(String day, List<Good> goods, List<RunPart> runs, List<Out> outs) {
        public Part {
            goods = List.copyOf(goods);
            runs = List.copyOf(runs);
            outs = List.copyOf(outs);
        }

        /** Whether it has a good control before an instant, so that no earlier day need be looked through. */
        public boolean reaches(Instant at) {
            return goods.stream().anyMatch(good -> good.at().isBefore(at));
        }

        /** What this day has of it. */
        public static Part of(Scope scope, Desk desk) {
            List<Good> goods = new ArrayList<>();
            List<RunPart> runs = new ArrayList<>();
            List<Good> checks = checks(scope, desk);
            for (Run run : desk.day().runs()) {
                if (scope.covers(desk, run)) {
                    runs.add(RunPart.of(scope, desk, run));
                    if (checks.isEmpty()) {
                        goods.addAll(controls(desk, run));
                    }
                }
            }
            goods.addAll(checks);
            return new Part(desk.name(), goods, runs, outs(desk));
        }

        /** The reports of a day alone, of which soils were read again on another one. */
        public static Part ofReports(Desk desk) {
            return new Part(desk.name(), List.of(), List.of(), outs(desk));
        }

        private static List<Out> outs(Desk desk) {
            List<Out> outs = new ArrayList<>();
            ReIssue.newest(desk)
                    .forEach((submission, release) -> outs.add(new Out(release, ReIssue.client(desk, submission))));
            return outs;
        }
    }

    /** A report that is out. */
    public record Out(Release release, String client) {}

    /** One result and when it was read. */
    public record Read(Instant at, Result result, Optional<String> submission) {}

    /** What one run read of it, and the positions of all its soils. */
    public record RunPart(String run, String method, String instrument, List<Read> reads, List<Integer> soils) {
        static RunPart of(Scope scope, Desk desk, Run run) {
            Map<Integer, Instant> times = times(desk, run);
            Optional<UsedInRun.One> use = scope.use(desk, run);
            List<Read> reads = desk.resultsOf(run).stream()
                    .filter(result -> result.position() > 0)
                    .filter(result -> use.isEmpty() || use.get().touches(result))
                    .map(result -> new Read(
                            times.getOrDefault(
                                    result.position(), run.startedAt().toInstant()),
                            result,
                            desk.soil(result.labNumber().text()).flatMap(Soil::submission)))
                    .toList();
            List<Integer> soils = desk.positions(run).positions().stream()
                    .filter(one -> one.role() == Role.SAMPLE)
                    .map(RunPositions.Position::position)
                    .toList();
            return new RunPart(run.run(), run.method(), run.instrument(), reads, soils);
        }
    }

    /**
     * Looks back over days.
     *
     * @param whole whether everything is asked for, whatever was good meanwhile
     * @param parts of the days, in any order
     */
    public static LookBack of(Scope scope, Instant at, boolean whole, List<Part> parts) {
        List<Good> goods = whole
                ? List.of()
                : parts.stream()
                        .flatMap(part -> part.goods().stream())
                        .distinct()
                        .sorted(Comparator.comparing(Good::at))
                        .toList();
        Optional<Good> since =
                goods.stream().filter(good -> good.at().isBefore(at)).reduce((first, later) -> later);
        Optional<Good> next =
                goods.stream().filter(good -> good.at().isAfter(at)).findFirst();
        List<Touched> touched = new ArrayList<>();
        List<Report> reports = new ArrayList<>();
        List<Part> inOrder =
                parts.stream().sorted(Comparator.comparing(Part::day)).toList();
        // Over all days: what was made again on a later day is in the report of the day on which its soil came.
        Map<String, Instant> read = new HashMap<>();
        for (Part part : inOrder) {
            for (RunPart run : part.runs()) {
                List<Read> between = run.reads().stream()
                        .filter(one -> since.filter(good -> !one.at().isAfter(good.at()))
                                .isEmpty())
                        .filter(one -> next.filter(good -> !one.at().isBefore(good.at()))
                                .isEmpty())
                        .toList();
                if (!between.isEmpty()) {
                    touched.add(touched(part.day(), run, between));
                    between.forEach(
                            one -> read.merge(ReIssue.key(one.result()), one.at(), (a, b) -> a.isBefore(b) ? a : b));
                }
            }
        }
        for (Part part : inOrder) {
            for (Out out : part.outs()) {
                Instant signed = out.release().signedAt().toInstant();
                int results = (int) out.release().results().stream()
                        .filter(result -> result.heldBecause().isEmpty())
                        .flatMap(result -> Optional.ofNullable(read.get(ReIssue.key(result))).stream())
                        .filter(one -> !one.isAfter(signed))
                        .count();
                if (results > 0) {
                    reports.add(new Report(
                            part.day(),
                            out.release().submission(),
                            out.client(),
                            out.release().revision(),
                            signed,
                            results));
                }
            }
        }
        return new LookBack(scope, at, whole, since, next, touched, reports);
    }

    private static List<Good> checks(Scope scope, Desk desk) {
        return scope.thing()
                .map(thing -> desk.holds().register().noted(thing).stream()
                        .filter(act -> act.what() == Act.What.CHECKED
                                && act.passed()
                                && desk.holds().register().stands(act))
                        .map(act -> new Good(
                                act.at(),
                                "the check " + act.about() + " that passed (number " + act.number() + ")",
                                "",
                                ""))
                        .toList())
                .orElse(List.of());
    }

    private static List<Good> controls(Desk desk, Run run) {
        List<Good> goods = new ArrayList<>();
        List<GateOutcome> gates = desk.gates(run.run());
        if (!gates.isEmpty() && gates.stream().allMatch(GateOutcome::open)) {
            gates.stream()
                    .map(gate -> gate.at().toInstant())
                    .max(Comparator.naturalOrder())
                    .ifPresent(at -> goods.add(new Good(
                            at, "the open gates of run " + run.run() + " of " + desk.name(), desk.name(), run.run())));
        }
        Map<Integer, Boolean> passes = new TreeMap<>();
        for (ControlValue value : desk.judged().controlValues()) {
            if (!value.hidden() && value.run().equals(run.run())) {
                passes.merge(value.position(), value.rules().isEmpty(), Boolean::logicalAnd);
            }
        }
        Map<Integer, Instant> times = times(desk, run);
        passes.forEach((position, passed) -> {
            Instant at = times.get(position);
            if (passed && at != null) {
                goods.add(new Good(
                        at,
                        "the control soil at position " + position + " of run " + run.run() + " of " + desk.name(),
                        desk.name(),
                        run.run()));
            }
        });
        return goods;
    }

    private static Map<Integer, Instant> times(Desk desk, Run run) {
        Map<Integer, Instant> times = new HashMap<>();
        for (RunPositions.Position one : desk.positions(run).positions()) {
            times.put(one.position(), one.at().toInstant());
        }
        return times;
    }

    private static Touched touched(String day, RunPart run, List<Read> reads) {
        Set<LabNumber> soils = new HashSet<>();
        Set<String> submissions = new TreeSet<>();
        Set<Integer> held = new HashSet<>();
        for (Read read : reads) {
            soils.add(read.result().labNumber());
            read.submission().ifPresent(submissions::add);
            held.add(read.result().position());
        }
        return new Touched(
                day,
                run.run(),
                run.method(),
                run.instrument(),
                reads.size(),
                soils,
                submissions,
                spans(day, run, held));
    }

    /** The positions in as few stretches as hold no other soil. */
    private static List<Hold.Span> spans(String day, RunPart run, Set<Integer> held) {
        List<Hold.Span> spans = new ArrayList<>();
        int first = 0;
        int last = 0;
        for (int position : run.soils()) {
            if (held.contains(position)) {
                first = first == 0 ? position : first;
                last = position;
            } else if (first > 0) {
                spans.add(new Hold.Span(day, run.run(), first, last));
                first = 0;
            }
        }
        if (first > 0) {
            spans.add(new Hold.Span(day, run.run(), first, last));
        }
        return spans;
    }
}
