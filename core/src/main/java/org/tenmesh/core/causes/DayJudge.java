package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/**
 * Judges a whole day: one pure function of readings, method versions and known values. Runs are judged apart, on as many threads
 * as there are, and put together in a fixed order; the answer does not depend on the threads.
 */
public final class DayJudge {
    private DayJudge() {}

    /**
     * Judges a day.
     *
     * @param methods each run is judged by the version that holds on the date it started; runs of a method that is not there are
     *     passed over
     * @throws org.tenmesh.core.methods.NoMethodVersion naming method and date, when a run started before the first version of its
     *     method
     */
    public static JudgedDay judge(Day day, MethodBook methods) {
        return judge(day, methods, EarlierSoils.NONE);
    }

    /** {@link #judge(Day, MethodBook)} with what earlier days found in soils: the more is known, the less a soil must say of itself. */
    public static JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
        Reuse reuse = Reuse.nothing();
        return stage(Inputs.of(day, methods, earlier, reuse), reuse);
    }

    /**
     * {@link #judge(Day, MethodBook, EarlierSoils)} with what was made when the day was judged before: only what depends on something that
     * changed is made again. The answer is the same to the last bit, whatever is handed in.
     *
     * @param before of the judging before; {@link Stages#NONE} when there was none
     */
    public static DayStage judge(Day day, MethodBook methods, EarlierSoils earlier, Stages before) {
        Reuse reuse = Reuse.of(before);
        Inputs inputs = Inputs.of(day, methods, earlier, reuse);
        String key = inputs.key(reuse);
        if (before.pieces().get(key) instanceof JudgedDay judged) {
            return new DayStage(key, judged, before);
        }
        return new DayStage(key, reuse.piece(JudgedDay.class, key, () -> stage(inputs, reuse)), reuse.stages());
    }

    /**
     * One run of a day judged by what it carries itself, as the first stage judges it: what the whole day finds is not in it. Made in
     * milliseconds, for a run under way between two judgings of its day.
     *
     * @param day for what is known on it: control soils, materials, standards, policy, history
     * @param before of the judging of the day, from which known values are taken
     * @return its results, causes, gates and control values; nothing where its method is not known or calculated
     */
    public static JudgedDay alone(Day day, MethodBook methods, Run run, Stages before) {
        Reuse reuse = Reuse.of(before);
        Day only = day.withRuns(List.of(run));
        List<RunStage.Inputs> inputs = inputs(only, methods, knownValues(day, methods, reuse));
        if (inputs.isEmpty()) {
            return new JudgedDay(List.of(), List.of(), List.of(), List.of());
        }
        RunStage stage = RunStage.of(inputs.get(0), reuse);
        RunStage.Stated stated = stage.state(List.of(), Optional.empty(), List.of(), reuse);
        Events.Keyed keyed = Events.keyed(only, new Judging(stated.results(), stated.found()));
        return new JudgedDay(
                keyed.results(),
                keyed.causes(),
                stage.judgement().gates(),
                stage.judgement().controlValues(),
                List.of(),
                stage.underWay().stream().toList(),
                LowReadings.of(stage.judgement().reduced(), day.laboratory().policy()));
    }

    /**
     * The digest of everything that a day is judged by, without judging it: of all its readings, the versions of methods that hold for
     * its runs, its soils, layout, packages and known values, its policy, the history of control soils, what earlier days found, and the
     * {@link Engine}'s version. Days with equal keys are judged alike to the last bit.
     */
    public static String key(Day day, MethodBook methods, EarlierSoils earlier) {
        Reuse reuse = Reuse.of(Stages.NONE);
        return Inputs.of(day, methods, earlier, reuse).key(reuse);
    }

    /**
     * Everything that a day is judged by.
     *
     * @param runs those that have readings to judge, by name
     * @param earlier only what is from before the day
     */
    private record Inputs(
            Day day, List<RunStage.Inputs> runs, Map<String, References> references, EarlierSoils earlier) {
        static Inputs of(Day day, MethodBook methods, EarlierSoils earlier, Reuse reuse) {
            Map<String, References> references = knownValues(day, methods, reuse);
            List<RunStage.Inputs> runs = inputs(day, methods, references);
            return new Inputs(day, runs, references, before(runs, earlier));
        }

        // The known values of a method are made from what the day and its runs say.
        String key(Reuse reuse) {
            return reuse.key(
                    "day",
                    Engine.VERSION,
                    runs.stream().map(run -> run.key(reuse)).toList(),
                    reuse.digest(day.laboratory()),
                    reuse.digest(day.submissions()),
                    reuse.digest(day.soils()),
                    reuse.digest(day.trays()),
                    day.controls(),
                    reuse.digest(day.materials()),
                    reuse.digest(day.standards()),
                    day.runs(),
                    reuse.digest(day.packages()),
                    reuse.digest(day.shortages()),
                    reuse.digest(day.history()),
                    reuse.digest(earlier.soils()),
                    earlier.own());
        }
    }

    private static List<RunStage.Inputs> inputs(Day day, MethodBook methods, Map<String, References> references) {
        Map<String, LabNumber> controls = new HashMap<>();
        day.controls().keySet().forEach(lab -> controls.put(lab.text(), lab));
        return day.runs().stream()
                // A method that is calculated from other results has no readings to judge.
                .filter(run -> methods.knows(run.method())
                        && !methods.of(run.method(), day.dateOf(run)).isCalculated())
                .sorted(Comparator.comparing(Run::run))
                .map(run -> {
                    Method method = methods.of(run.method(), day.dateOf(run));
                    References known = references.get(method.id());
                    if (known == null) {
                        throw new IllegalArgumentException("run " + run.run() + ": no known values for " + method.id());
                    }
                    return new RunStage.Inputs(
                            run,
                            method,
                            known,
                            among(run, controls, day.controls()),
                            day.laboratory().policy());
                })
                .toList();
    }

    private static Map<LabNumber, String> among(
            Run run, Map<String, LabNumber> hidden, Map<LabNumber, String> materials) {
        Map<LabNumber, String> its = new HashMap<>();
        for (String identity : run.readings().identities()) {
            LabNumber lab = hidden.get(identity);
            String material = lab == null ? null : materials.get(lab);
            if (lab != null && material != null) {
                its.put(lab, material);
            }
        }
        return Map.copyOf(its);
    }

    private static JudgedDay stage(Inputs inputs, Reuse reuse) {
        Day day = inputs.day();
        List<Run> runs = inputs.runs().stream().map(RunStage.Inputs::run).toList();
        Questions questions = new Questions();
        List<RunStage> alone = inputs.runs().parallelStream()
                .map(run -> questions.ask(
                        "this run's results are right",
                        List.of(run.run().run()),
                        () -> RunStage.of(run, reuse),
                        () -> RunStage.notJudged(run, reuse)))
                .toList();
        Map<String, String> repeated = repeatedRuns(runs);
        WholeDay wholeDay =
                WholeDay.of(day, alone, inputs.references(), repeated.keySet(), inputs.earlier(), reuse, questions);
        List<RunStage> judged = IntStream.range(0, alone.size())
                .parallel()
                .mapToObj(i -> questions.ask(
                        "its results are right without its mistaken control soils and with what other elements add",
                        List.of(runs.get(i).run()),
                        () -> again(inputs.runs().get(i), alone.get(i), wholeDay, reuse),
                        () -> alone.get(i)))
                .toList();
        List<String> all = runs.stream().map(Run::run).toList();
        Map<String, List<Unread>> unread = questions.ask(
                "soils of its trays were left out",
                all,
                () -> Unread.of(day, runs, reuse),
                Map::<String, List<Unread>>of);
        List<Result> results = new ArrayList<>();
        List<Found> found = new ArrayList<>();
        List<GateOutcome> gates = new ArrayList<>();
        List<ControlValue> controlValues = new ArrayList<>();
        List<LowReading> lowReadings = new ArrayList<>();
        List<RunStage.Stated> stated = judged.parallelStream()
                .map(run -> questions.ask(
                        "this run's results are right",
                        List.of(run.name()),
                        () -> run.state(
                                wholeDay.findings(run.name()),
                                Optional.ofNullable(repeated.get(run.name())),
                                unread.getOrDefault(run.name(), List.of()),
                                reuse),
                        () -> new RunStage.Stated(List.of(), List.of())))
                .toList();
        for (int i = 0; i < judged.size(); i++) {
            results.addAll(stated.get(i).results());
            found.addAll(stated.get(i).found());
            gates.addAll(judged.get(i).judgement().gates());
            controlValues.addAll(judged.get(i).judgement().controlValues());
            if (!repeated.containsKey(judged.get(i).name())) {
                lowReadings.addAll(LowReadings.of(
                        judged.get(i).judgement().reduced(), day.laboratory().policy()));
            }
        }
        Judging once = new Judging(results, found);
        Judging compared = questions.ask(
                "stored soils were read while they can be compared",
                all,
                () -> StoredTooLong.on(day, inputs.runs(), once),
                () -> once);
        Judging alreadyRead =
                questions.ask("soils that were read again agree", all, () -> Repeats.on(day, compared), () -> compared);
        Judging charted = questions.ask(
                "control soils are drifting",
                all,
                () -> ControlTrends.on(day, alreadyRead, controlValues),
                () -> alreadyRead);
        Events.Keyed keyed = Events.keyed(day, questions.told(charted, inputs.runs()));
        return new JudgedDay(
                keyed.results(),
                keyed.causes(),
                gates,
                controlValues,
                wholeDay.differences(),
                judged.stream().flatMap(run -> run.underWay().stream()).toList(),
                lowReadings);
    }

    // A day does not learn from itself, nor from what came after it.
    private static EarlierSoils before(List<RunStage.Inputs> runs, EarlierSoils earlier) {
        return runs.stream()
                .map(one -> one.run().startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .map(earlier::before)
                .orElse(EarlierSoils.NONE);
    }

    /** {@link #judge(Day, MethodBook)} with what earlier days say of the control soils. */
    public static JudgedDay judge(Day day, MethodBook methods, ControlHistory history) {
        return judge(day.with(history), methods);
    }

    /**
     * How one judged result came to be: its steps by the reduction of its run with the trail on; what stands around it as the judged
     * day says.
     *
     * @param judged the day as it was judged
     * @param result one of its results that comes from a run
     * @throws IllegalArgumentException when the run or the version of its method is not there
     * @throws IllegalStateException when the reduction gives another number than the judged day: then the readings or the method are not
     *     those that were judged
     */
    public static Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
        Run run = day.runs().stream()
                .filter(one -> one.run().equals(result.run()))
                .findFirst()
                .orElseThrow(() ->
                        new IllegalArgumentException("result of " + result.labNumber() + ": no run " + result.run()));
        Method method = methods.version(result.method(), result.methodVersion());
        References references = References.of(
                method.id(),
                day.standards(),
                day.materials(),
                day.history(),
                day.laboratory().policy());
        Trail trail = Trail.of(result.labNumber().text(), result.analyte());
        Reduced reduced = Reduction.reduce(run, method, references.values(), trail);
        List<String> around = new ArrayList<>(judged.around(result));
        reduced.determinations().stream()
                .filter(one -> one.position() == result.position()
                        && one.identity().equals(result.labNumber().text())
                        && one.analyte().equals(result.analyte()))
                .findFirst()
                .ifPresent(one -> {
                    if (!one.amount().equals(result.amount())) {
                        throw new IllegalStateException("run " + run.run() + ", position " + result.position() + ", "
                                + result.labNumber() + " " + result.analyte() + ": judged " + result.amount()
                                + ", explained " + one.amount());
                    }
                    uncertainty(reduced, references, one).ifPresent(around::add);
                    if (!one.amount().remark().isEmpty()) {
                        around.add("The number lies " + one.amount().remark()
                                + ": the curve is extended below all that was read to make it.");
                    }
                });
        around.add("Verdict: " + result.verdict().word() + ".");
        return Story.of(result, trail.steps(), around);
    }

    private static Optional<String> uncertainty(Reduced reduced, References references, Determination d) {
        if (!(d.amount() instanceof Amount.Measured measured)) {
            return Optional.empty();
        }
        WithinLaboratory.OfCalibration calibration =
                new WithinLaboratory.OfCalibration(d.calibrationSe(), reduced.calibrationDegrees(d));
        return reduced.method()
                .analyte(d.analyte())
                .map(analyte -> references.withinLaboratory(reduced.method(), analyte))
                .map(spread -> spread.sentence(measured.value(), calibration, measured.unit()));
    }

    private static Map<String, References> knownValues(Day day, MethodBook methods, Reuse reuse) {
        Map<String, References> references = new HashMap<>();
        String key = reuse.key(
                "known values",
                Engine.VERSION,
                reuse.digest(day.standards()),
                reuse.digest(day.materials()),
                reuse.digest(day.history()),
                day.lost(),
                reuse.digest(day.laboratory().policy()));
        methods.ids()
                .forEach(id -> references.put(
                        id,
                        reuse.piece(
                                References.class,
                                reuse.key(key, id),
                                () -> References.of(
                                                id,
                                                day.standards(),
                                                day.materials(),
                                                day.history(),
                                                day.laboratory().policy())
                                        .losing(day.lost(), id))));
        return references;
    }

    // A run whose control soils turned out to be others, or not to have been read at all, is judged without those.
    private static RunStage again(RunStage.Inputs inputs, RunStage run, WholeDay wholeDay, Reuse reuse) {
        Set<LabNumber> disregarded = wholeDay.disregarded(run.name());
        List<Interference> interferences = wholeDay.interferences(run.name());
        Map<LabNumber, String> controls = new HashMap<>();
        inputs.controls().keySet().forEach(lab -> {
            String material = wholeDay.materials().get(lab);
            if (material != null) {
                controls.put(lab, material);
            }
        });
        if (disregarded.isEmpty() && interferences.isEmpty() && controls.equals(inputs.controls())) {
            return run;
        }
        controls.keySet().removeAll(disregarded);
        return run.again(controls, disregarded, interferences, inputs.policy(), reuse);
    }

    // A run whose readings are those of an earlier one, to the last digit and second, is the same file taken twice.
    private static Map<String, String> repeatedRuns(List<Run> runs) {
        Map<String, String> repeated = new HashMap<>();
        Map<Long, List<Run>> alike = new LinkedHashMap<>();
        List<Run> byStart = runs.stream()
                .sorted(Comparator.comparing((Run run) -> run.startedAt().toInstant())
                        .thenComparing(Run::run))
                .toList();
        for (Run run : byStart) {
            if (run.readings().size() == 0) {
                continue;
            }
            List<Run> candidates = alike.computeIfAbsent(run.readings().fingerprint(), print -> new ArrayList<>());
            candidates.stream()
                    .filter(earlier -> earlier.method().equals(run.method())
                            && earlier.readings().sameAs(run.readings()))
                    .findFirst()
                    .ifPresent(earlier -> repeated.put(run.run(), earlier.run()));
            candidates.add(run);
        }
        return repeated;
    }
}
