package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Interference;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
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
        Map<String, References> references = references(day, methods);
        List<Run> runs = day.runs().stream()
                // A method that is calculated from other results has no readings to judge.
                .filter(run -> methods.knows(run.method())
                        && !(methods.of(run.method(), day.dateOf(run)) instanceof DerivedMethod))
                .sorted(Comparator.comparing(Run::run))
                .toList();
        List<JudgedRun> alone = runs.parallelStream()
                .map(run -> judge(day, run, methods, references, Trail.OFF))
                .toList();
        Map<String, String> repeated = repeatedRuns(runs);
        WholeDay wholeDay = WholeDay.of(
                day,
                alone.stream().map(JudgedRun::judgement).toList(),
                references,
                repeated.keySet(),
                before(runs, earlier));
        List<JudgedRun> judged =
                alone.parallelStream().map(run -> again(day, run, wholeDay)).toList();
        Map<String, List<Unread>> unread = unread(day, runs);
        List<Result> results = new ArrayList<>();
        List<Found> found = new ArrayList<>();
        List<GateOutcome> gates = new ArrayList<>();
        List<ControlValue> controlValues = new ArrayList<>();
        List<Stated> stated = judged.parallelStream()
                .map(run -> run.state(
                        wholeDay.findings(run.name()),
                        Optional.ofNullable(repeated.get(run.name())),
                        unread.getOrDefault(run.name(), List.of())))
                .toList();
        for (int i = 0; i < judged.size(); i++) {
            results.addAll(stated.get(i).results());
            found.addAll(stated.get(i).found());
            gates.addAll(judged.get(i).judgement().gates());
            controlValues.addAll(judged.get(i).judgement().controlValues());
        }
        Judging alreadyRead = Repeats.on(day, new Judging(results, found));
        Events.Keyed keyed = Events.keyed(day, ControlTrends.on(day, alreadyRead, controlValues));
        return new JudgedDay(keyed.results(), keyed.causes(), gates, controlValues, wholeDay.differences());
    }

    // A day does not learn from itself, nor from what came after it.
    private static EarlierSoils before(List<Run> runs, EarlierSoils earlier) {
        return runs.stream()
                .map(run -> run.startedAt().toLocalDate())
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
        References references = References.of(method.id(), day.standards(), day.materials(), day.history());
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
                    uncertainty(method, references, one).ifPresent(around::add);
                });
        around.add("Verdict: " + result.verdict().word() + ".");
        return Story.of(result, trail.steps(), around);
    }

    private static Optional<String> uncertainty(Method method, References references, Determination d) {
        if (!(d.amount() instanceof Amount.Measured measured)) {
            return Optional.empty();
        }
        return method.analyte(d.analyte())
                .map(references::withinLaboratory)
                .map(spread -> spread.sentence(measured.value(), d.calibrationSe(), measured.unit()));
    }

    private static Map<String, References> references(Day day, MethodBook methods) {
        Map<String, References> references = new HashMap<>();
        methods.ids()
                .forEach(id -> references.put(id, References.of(id, day.standards(), day.materials(), day.history())));
        return references;
    }

    private static JudgedRun judge(
            Day day, Run run, MethodBook methods, Map<String, References> references, Trail trail) {
        Method method = methods.of(run.method(), day.dateOf(run));
        References known = references.get(method.id());
        if (known == null) {
            throw new IllegalArgumentException("run " + run.run() + ": no known values for " + method.id());
        }
        Reduced reduced = Reduction.reduce(run, method, known.values(), trail);
        return new JudgedRun(
                method,
                RunJudge.judge(reduced, known, day.controls(), day.laboratory().policy()),
                known);
    }

    // A run whose control soils turned out to be others, or not to have been read at all, is judged without those.
    private static JudgedRun again(Day day, JudgedRun run, WholeDay wholeDay) {
        Set<LabNumber> disregarded = wholeDay.disregarded(run.name());
        List<Interference> interferences = wholeDay.interferences(run.name());
        if (disregarded.isEmpty()
                && interferences.isEmpty()
                && wholeDay.materials().equals(day.controls())) {
            return run;
        }
        Map<LabNumber, String> controls = new HashMap<>(wholeDay.materials());
        controls.keySet().removeAll(disregarded);
        return new JudgedRun(
                run.method(),
                RunJudge.judge(
                        run.judgement().reduced(),
                        run.references(),
                        controls,
                        disregarded,
                        interferences,
                        day.laboratory().policy()),
                run.references());
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

    /** A lab number that lies in a tray of which a run read others. */
    private record Unread(LabNumber labNumber, String tray, boolean atTheEnd) {}

    private static Map<String, List<Unread>> unread(Day day, List<Run> runs) {
        Map<LabNumber, String> packageOf = packages(day);
        Map<String, TestPackage> known = new HashMap<>();
        day.packages().forEach(one -> known.put(one.name(), one));
        Set<Shortage> shortages = new HashSet<>(day.shortages());
        Map<String, Set<String>> readByMethod = new HashMap<>();
        Map<String, String> lastRead = new HashMap<>();
        Map<String, Run> runOf = new HashMap<>();
        for (Run run : runs) {
            Set<String> read = readByMethod.computeIfAbsent(run.method(), method -> new HashSet<>());
            // A position has a dozen readings and its soil one name: names are looked at by their codes.
            Readings readings = run.readings();
            BitSet samples = new BitSet();
            int last = -1;
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) == Role.SAMPLE) {
                    last = readings.identityCode(i);
                    samples.set(last);
                }
            }
            List<String> identities = readings.identities();
            samples.stream().mapToObj(identities::get).forEach(identity -> {
                read.add(identity);
                runOf.put(run.method() + " " + identity, run);
            });
            if (last >= 0) {
                lastRead.put(run.run(), identities.get(last));
            }
        }
        Map<String, List<Unread>> unread = new HashMap<>();
        readByMethod.forEach((method, read) -> day.trays().forEach(tray -> {
            List<LabNumber> inside = tray.wells().stream()
                    .flatMap(place -> place.labNumber().stream())
                    .toList();
            List<LabNumber> done =
                    inside.stream().filter(lab -> read.contains(lab.text())).toList();
            if (done.isEmpty() || done.size() == inside.size()) {
                return;
            }
            Set<String> asked = new HashSet<>();
            done.forEach(lab -> asked.add(packageOf.getOrDefault(lab, "")));
            LabNumber lastDone = done.get(done.size() - 1);
            String run = Optional.ofNullable(runOf.get(method + " " + lastDone.text()))
                    .map(Run::run)
                    .orElse("");
            for (LabNumber lab : inside) {
                String wanted = packageOf.getOrDefault(lab, "");
                TestPackage its = known.get(wanted);
                // A package that is known says what is missing; otherwise it is what others of the same package got.
                boolean due = its == null
                        ? wanted.isEmpty() || asked.contains(wanted) || asked.contains("")
                        : its.of(method).isPresent();
                if (due && !read.contains(lab.text()) && !shortages.contains(new Shortage(lab, method))) {
                    boolean after = inside.indexOf(lab) > inside.indexOf(lastDone)
                            && lastDone.text().equals(lastRead.get(run));
                    unread.computeIfAbsent(run, name -> new ArrayList<>()).add(new Unread(lab, tray.tray(), after));
                }
            }
        }));
        return unread;
    }

    private static Map<LabNumber, String> packages(Day day) {
        Map<String, String> bySubmission = new HashMap<>();
        day.submissions().forEach(s -> s.packageName().ifPresent(name -> bySubmission.put(s.submission(), name)));
        Map<LabNumber, String> packages = new HashMap<>();
        day.soils()
                .forEach(soil -> soil.packageName()
                        .or(() -> soil.submission().map(bySubmission::get))
                        .ifPresent(name -> packages.put(soil.labNumber(), name)));
        return packages;
    }

    /** What one run adds to the day; its results in the order of the day. */
    private record Stated(List<Result> results, List<Found> found) {}

    /** One run judged, with what is needed to state its results. */
    private record JudgedRun(Method method, RunJudgement judgement, References references) {
        String name() {
            return judgement.reduced().run().run();
        }

        Stated state(List<DayFinding> ofTheDay, Optional<String> repeats, List<Unread> unread) {
            List<Result> results = new ArrayList<>();
            List<Found> found = new ArrayList<>();
            List<Finding> findings = new ArrayList<>(judgement.findings());
            int alone = findings.size();
            ofTheDay.forEach(one -> findings.add(one.finding()));
            Map<String, List<Integer>> touching = new HashMap<>();
            for (int i = 0; i < ofTheDay.size(); i++) {
                for (String labNumber : ofTheDay.get(i).labNumbers()) {
                    touching.computeIfAbsent(labNumber, lab -> new ArrayList<>(1))
                            .add(alone + i);
                }
            }
            List<RunJudgement.Judged> judged = judgement.determinations();
            Map<CauseKind, Integer> numbers = new HashMap<>();
            List<String> ids = new ArrayList<>();
            findings.forEach(finding -> ids.add(id(finding.kind(), numbers)));
            Map<String, WithinLaboratory> within = within();
            Optional<String> repeatedId = repeats.map(earlier -> id(CauseKind.REPEATED_FILE, numbers));
            for (RunJudgement.Judged one : judged) {
                Determination d = one.determination();
                Verdict verdict = one.verdict();
                List<String> causeIds = List.of();
                List<Integer> more = touching.isEmpty() ? List.of() : touching.getOrDefault(d.identity(), List.of());
                if (!one.findings().isEmpty() || !more.isEmpty() || repeatedId.isPresent()) {
                    causeIds = new ArrayList<>();
                    for (int index : one.findings()) {
                        causeIds.add(ids.get(index));
                    }
                    for (int index : more) {
                        if (findings.get(index).analytes().contains(d.analyte())) {
                            causeIds.add(ids.get(index));
                            verdict = verdict.or(findings.get(index).verdict());
                        }
                    }
                    if (repeatedId.isPresent()) {
                        causeIds.add(repeatedId.get());
                        verdict = verdict.or(Verdict.HOLD);
                    }
                    causeIds = List.copyOf(causeIds);
                }
                results.add(result(d, verdict, causeIds, within));
            }
            for (int i = 0; i < findings.size(); i++) {
                Finding finding = findings.get(i);
                // A gate that is shut before any soil came touches nobody yet, and is a cause all the same.
                found.add(found(ids.get(i), finding, i >= alone));
            }
            repeatedId.ifPresent(id -> found.add(Found.plain(
                    id,
                    CauseKind.REPEATED_FILE,
                    Verdict.HOLD,
                    name(),
                    method.id(),
                    symbols(),
                    firstPosition(),
                    lastPosition(),
                    "Every reading and time of this run is that of run " + repeats.orElse("") + ".",
                    "Take this run away if the file came twice; if the soils were read twice, find the second file.")));
            addUnread(
                    unread.stream().filter(Unread::atTheEnd).toList(),
                    CauseKind.TRUNCATED_RUN,
                    numbers,
                    results,
                    found);
            addUnread(
                    unread.stream().filter(u -> !u.atTheEnd()).toList(),
                    CauseKind.MISSING_READING,
                    numbers,
                    results,
                    found);
            results.sort(Comparator.comparingInt(Result::position)
                    .thenComparing(Result::labNumber)
                    .thenComparing(Result::analyte));
            return new Stated(results, found);
        }

        private void addUnread(
                List<Unread> unread,
                CauseKind kind,
                Map<CauseKind, Integer> numbers,
                List<Result> results,
                List<Found> found) {
            if (unread.isEmpty()) {
                return;
            }
            String id = id(kind, numbers);
            List<String> trays =
                    unread.stream().map(Unread::tray).distinct().sorted().toList();
            String who = unread.size() == 1
                    ? unread.get(0).labNumber().text() + " was"
                    : unread.get(0).labNumber().text() + " and " + (unread.size() - 1) + " more were";
            String where = (trays.size() == 1 ? "tray " : "trays ") + String.join(", ", trays);
            found.add(Found.plain(
                    id,
                    kind,
                    Verdict.HOLD,
                    name(),
                    method.id(),
                    symbols(),
                    kind == CauseKind.TRUNCATED_RUN ? lastPosition() + 1 : firstPosition(),
                    kind == CauseKind.TRUNCATED_RUN ? lastPosition() + unread.size() : lastPosition(),
                    "From " + where + ", " + who + " not read, while others of the same tray were.",
                    "Read what is missing from " + where + ", with its check solutions."));
            for (Unread one : unread) {
                for (Analyte analyte : method.head().analytes()) {
                    if (symbols().contains(analyte.symbol())) {
                        results.add(new Result(
                                one.labNumber(),
                                method.id(),
                                method.head().version(),
                                analyte.symbol(),
                                name(),
                                0,
                                "",
                                new Amount.Missing("not read", analyte.unit()),
                                "",
                                OptionalDouble.empty(),
                                Verdict.HOLD,
                                List.of(id)));
                    }
                }
            }
        }

        private Found found(String id, Finding finding, boolean ofTheDay) {
            return new Found(
                    id,
                    finding.kind(),
                    finding.verdict(),
                    name(),
                    method.id(),
                    finding.analytes(),
                    finding.firstPosition(),
                    finding.lastPosition(),
                    finding.evidence(),
                    finding.action(),
                    finding.log10Odds(),
                    finding.runnerUp(),
                    ofTheDay);
        }

        private String id(CauseKind kind, Map<CauseKind, Integer> numbers) {
            return name() + "." + kind.word() + "." + numbers.merge(kind, 1, Integer::sum);
        }

        private List<String> symbols() {
            return judgement.reduced().determinations().stream()
                    .map(Determination::analyte)
                    .distinct()
                    .toList();
        }

        private int firstPosition() {
            List<Determination> all = judgement.reduced().determinations();
            return all.isEmpty() ? 0 : all.get(0).position();
        }

        private int lastPosition() {
            List<Determination> all = judgement.reduced().determinations();
            return all.isEmpty() ? 0 : all.get(all.size() - 1).position();
        }

        private Map<String, WithinLaboratory> within() {
            Map<String, WithinLaboratory> within = new HashMap<>();
            method.head()
                    .analytes()
                    .forEach(analyte -> within.put(analyte.symbol(), references.withinLaboratory(analyte)));
            return within;
        }

        private Result result(
                Determination d, Verdict verdict, List<String> causeIds, Map<String, WithinLaboratory> within) {
            Analyte analyte = method.analyte(d.analyte()).orElseThrow();
            OptionalDouble expanded = OptionalDouble.empty();
            WithinLaboratory spread = within.get(d.analyte());
            if (d.amount() instanceof Amount.Measured measured && spread != null) {
                expanded = OptionalDouble.of(spread.expanded(measured.value(), d.calibrationSe()));
            }
            return new Result(
                    new LabNumber(d.identity()),
                    method.id(),
                    method.head().version(),
                    d.analyte(),
                    name(),
                    d.position(),
                    d.channel(),
                    d.amount(),
                    analyte.rounding().text(d.amount()),
                    expanded,
                    verdict,
                    causeIds);
        }
    }
}
