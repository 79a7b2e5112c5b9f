package org.tenmesh.core.desk;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.derived.Telling;
import org.tenmesh.core.equipment.HeldByThings;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.redo.Answers;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;

/**
 * The judged day with what people did about it, and the rules over both. Immutable to its readers; runs are listed by position when
 * first asked for. May be read by any number of threads.
 *
 * <p>The one place that pages and commands ask: most of its methods hand on to the class that answers.
 */
public final class Desk {
    private final String name;
    private final long version;
    private final Day day;
    private final JudgedDay judged;
    private final MethodBook book;
    private final MethodsOfDay methods;
    private final List<Release> releases;
    private final List<Acted> acted;
    private final ZoneId zone;
    private final LocalDate date;
    private final LocalDate today;
    private final List<ReadElsewhere> elsewhere;
    private final Rulings rulings;
    private final Acceptances acceptances;
    private final GatesByHand gatesByHand;
    private final Holds holds;
    private final HeldByThings things;
    private final JudgedDay ruled;
    private final WhatIsAsked asked;
    private final WhatStands stands;
    private final DerivedSoils derived;

    private final WhatOfDay of;
    private final Map<String, Cause> causes = new LinkedHashMap<>();
    private final Promises promises;
    private final List<TrayState> trayStates;
    private final Map<String, List<Result>> resultsOf;
    private final Map<String, RunPositions> positionsOf = new ConcurrentHashMap<>();
    private final ReadRuns readRuns;
    // Made when first asked for: it looks at every reading. Two threads that ask at once make the same.
    private @Nullable Balance balanced;

    /** Which well of which tray. */
    public record Place(Tray tray, Well well) {}

    /**
     * Where a result was read.
     *
     * @param day name of the other day; empty text for this one
     * @param run name of the run on that day
     */
    public record Origin(String day, String run) {}

    /**
     * Indexes a judged day.
     *
     * @param version grows whenever anything a page shows has changed
     * @param today the date by the clock, in the laboratory's zone: what is due and what is late go by it
     * @param acted what people did about its causes, oldest first
     * @param elsewhere what runs of other days found in its soils
     * @param gatesElsewhere gates that people shut and opened on other days
     * @param derived what was derived for the desk before this one
     */
    public Desk(
            String name,
            long version,
            Day day,
            JudgedDay judged,
            MethodBook book,
            List<Release> releases,
            List<Acted> acted,
            LocalDate today,
            List<ReadElsewhere> elsewhere,
            List<GateAct> gatesElsewhere,
            DerivedSoils derived) {
        this(name, version, day, judged, book, releases, acted, today, elsewhere, gatesElsewhere, derived, Holds.NONE);
    }

    /**
     * Indexes a judged day.
     *
     * @param holds what holds results besides causes and gates
     */
    public Desk(
            String name,
            long version,
            Day day,
            JudgedDay judged,
            MethodBook book,
            List<Release> releases,
            List<Acted> acted,
            LocalDate today,
            List<ReadElsewhere> elsewhere,
            List<GateAct> gatesElsewhere,
            DerivedSoils derived,
            Holds holds) {
        this(
                name,
                version,
                day,
                judged,
                book,
                releases,
                acted,
                today,
                elsewhere,
                gatesElsewhere,
                derived,
                holds,
                new ReadRuns());
    }

    private Desk(
            String name,
            long version,
            Day day,
            JudgedDay judged,
            MethodBook book,
            List<Release> releases,
            List<Acted> acted,
            LocalDate today,
            List<ReadElsewhere> elsewhere,
            List<GateAct> gatesElsewhere,
            DerivedSoils derived,
            Holds holds,
            ReadRuns readRuns) {
        this.name = name;
        this.version = version;
        this.day = day;
        this.judged = judged;
        this.book = book;
        this.methods = book.on(day.date());
        this.releases = List.copyOf(releases);
        this.acted = List.copyOf(acted);
        this.zone = ZoneId.of(day.laboratory().zone());
        this.date = day.date();
        this.today = today;
        this.elsewhere = List.copyOf(elsewhere);
        this.rulings = Rulings.of(judged, acted);
        this.acceptances = Acceptances.of(rulings, this.elsewhere);
        this.gatesByHand = GatesByHand.of(day.runs(), judged.causes(), acted, gatesElsewhere);
        this.holds = holds;
        this.things = holds.things(name, day, book);
        this.ruled =
                judged.with(gatesByHand.held(holds.held(name, things, rulings.results()), day.runs(), this.elsewhere));
        this.resultsOf = ruled.results().stream().collect(Collectors.groupingBy(Result::run));
        this.asked = new WhatIsAsked(day, methods, judged.results());
        this.derived = derived;
        this.readRuns = readRuns;
        this.stands = new WhatStands(asked.day(), ruled, book, methods, this.elsewhere, derived);
        this.of = new WhatOfDay(day);
        judged.causes().forEach(cause -> causes.put(cause.id(), cause));
        this.promises = new Promises(of, asked, stands, releases);
        this.trayStates = TrayStates.of(day.trays(), asked, stands, promises.lastReleases(), this::waitsForItsRun);
    }

    /** The same day with other releases, actions, holds and readings of other days, on another date by the clock. */
    public Desk with(
            long newVersion,
            List<Release> newReleases,
            List<Acted> newActed,
            LocalDate newToday,
            List<ReadElsewhere> newElsewhere,
            List<GateAct> newGatesElsewhere,
            Holds newHolds) {
        Desk next = new Desk(
                name,
                newVersion,
                day,
                judged,
                book,
                newReleases,
                newActed,
                newToday,
                newElsewhere,
                newGatesElsewhere,
                derived,
                newHolds,
                readRuns);
        next.positionsOf.putAll(positionsOf);
        return next;
    }

    /** What was derived of its soils, for the next desk of this day. */
    public DerivedSoils derived() {
        return derived;
    }

    public Optional<String> packageOf(Soil soil) {
        return asked.packageOf(soil);
    }

    public Set<String> methodsAsked(Soil soil) {
        return asked.methodsOf(soil);
    }

    /** The package a soil asks for, when the day describes it. */
    public Optional<TestPackage> testPackage(Soil soil) {
        return asked.testPackage(soil);
    }

    /** The package of this name, when the day describes it. */
    public Optional<TestPackage> testPackage(String name) {
        return asked.testPackage(name);
    }

    /** Whether there was too little soil for this method. */
    public boolean tooLittleFor(LabNumber labNumber, String method) {
        return asked.tooLittleFor(labNumber, method);
    }

    Waiting waiting(Soil soil) {
        return promises.waiting(soil);
    }

    /** Advice is off unless the laboratory switched its region on; everything else is on. */
    public boolean isOn(String method) {
        return asked.isOn(method);
    }

    /**
     * The methods that a tray's soils are read by, in the order of the day's packages and then of the methods: one answer for all
     * of its wells. A tray without a client's soil, such as one of controls alone, asks for what the nearest one before it asks
     * for.
     */
    public List<String> askedOf(Tray tray) {
        return asked.methodsOf(tray);
    }

    /** Where every reading of the day's runs ended. */
    public Balance balance() {
        Balance made = balanced;
        if (made == null) {
            made = stands.balance(day);
            balanced = made;
        }
        return made;
    }

    /** How a result came to be; one that was derived by the stories of its inputs. */
    public Story story(Result result, Telling measured) {
        return stands.story(result, measured);
    }

    public String name() {
        return name;
    }

    /** Grows whenever anything a page shows has changed. */
    public long version() {
        return version;
    }

    public Day day() {
        return day;
    }

    public JudgedDay judged() {
        return judged;
    }

    /**
     * What the judges of all days said of its soils: determinations under an accepted cause counted as fit, those of a run whose gate is
     * shut by hand, and those that lots, equipment or people hold, as held.
     */
    public JudgedDay ruled() {
        return ruled;
    }

    /** What holds results besides causes and gates, on whatever day. */
    public Holds holds() {
        return holds;
    }

    /** What its runs were read with, and what was wrong with that. */
    public HeldByThings things() {
        return things;
    }

    /** What new readings, of this day and of others, say of each of its causes that touches results. */
    public List<Answer> answers() {
        return Answers.of(WhatStands.everywhere(day, elsewhere), ruled);
    }

    /** Lab numbers that runs of other days read by a method after some instant. */
    Set<String> readElsewhere(String method, Instant after) {
        return ReadElsewhere.readSince(elsewhere, method, after);
    }

    /** Where a result of this desk was read: on this day, or on which other one. */
    public Origin origin(Result result) {
        return ReadElsewhere.dayOf(elsewhere, result)
                .map(other -> new Origin(other.day(), other.ownName(result.run())))
                .orElseGet(() -> new Origin("", result.run()));
    }

    /** The methods that hold on this day. */
    public MethodsOfDay methods() {
        return methods;
    }

    /** The method of a result, in the version that gave it. */
    public Method methodOf(Result result) {
        return book.version(result.method(), result.methodVersion());
    }

    /** The method of a run, in the version that held when it started; empty for a method that is not known. */
    public Optional<Method> methodOf(Run run) {
        return book.find(run.method(), day.dateOf(run));
    }

    public ZoneId zone() {
        return zone;
    }

    /** The date by the clock, in the laboratory's zone. */
    public LocalDate today() {
        return today;
    }

    /** The laboratory day, as {@link Day#date} says. */
    public LocalDate date() {
        return date;
    }

    /** Today when anything is due today, else the next day on which something is. */
    public LocalDate dueDate() {
        return promises.nextAfter(today);
    }

    public List<Release> releases() {
        return releases;
    }

    public List<Release> releases(String submission) {
        return promises.releases(submission);
    }

    public List<Acted> acted(String cause) {
        return acted.stream().filter(a -> a.cause().equals(cause)).toList();
    }

    public List<Acted> acted() {
        return acted;
    }

    public Optional<Soil> soil(String labNumber) {
        return labNumber.isEmpty() || labNumber.length() > 32 ? Optional.empty() : asked.soil(new LabNumber(labNumber));
    }

    public boolean hiddenControl(LabNumber labNumber) {
        return of.isHiddenControl(labNumber);
    }

    /**
     * Whether every hidden control came as a client's soil does, in a submission of this day with a label of its own: then whose soil it
     * is tells nothing of it.
     */
    public boolean controlsCameAsSoils() {
        return of.controlsCameAsSoils();
    }

    /** Whether a submission holds nothing but hidden controls: its report is the laboratory's own. */
    public boolean isOfControls(String submission) {
        return of.isOfControls(submission);
    }

    public Optional<Tray> tray(String tray) {
        return of.tray(tray);
    }

    public Optional<Run> run(String run) {
        return of.run(run);
    }

    public Optional<Cause> cause(String id) {
        return Optional.ofNullable(causes.get(id));
    }

    public Optional<Submission> submission(String submission) {
        return of.submission(submission);
    }

    public Optional<Place> place(LabNumber labNumber) {
        return of.place(labNumber).map(in -> new Place(in.tray(), in.well()));
    }

    /** The soils of a submission, in the order of the client's sheet. */
    public List<Soil> soilsOf(String submission) {
        return of.soilsOf(submission);
    }

    /** The results that stand, in the order of methods and analytes. */
    public List<Result> standing(LabNumber labNumber) {
        return stands.of(labNumber);
    }

    /** Whether nothing but its run, which is under way, holds this result: nobody has to decide anything. */
    public boolean waitsForItsRun(Result result) {
        return result.causes().isEmpty()
                && result.verdict() == Verdict.HOLD
                && !judged.awaits(result).isEmpty();
    }

    /** Why another reading stands in place of a superseded one; empty text when nothing does. */
    public String whyNot(Result replaced) {
        return stands.whyNot(replaced);
    }

    /** Results kept although another one stands. */
    public List<Result> superseded(LabNumber labNumber) {
        return stands.replaced(labNumber);
    }

    /** What people let stand although a check failed, on this day and on others that read its soils. */
    public Acceptances acceptances() {
        return acceptances;
    }

    /** The results that stand of a submission's soils, soil by soil in the order of the client's sheet. */
    public List<Result> standing(String submission) {
        return soilsOf(submission).stream()
                .flatMap(soil -> standing(soil.labNumber()).stream())
                .toList();
    }

    /** Decisions about causes and gates that have lapsed, oldest first. */
    public List<Rulings.Lapsed> lapsed() {
        return gatesByHand.lapsedWith(rulings);
    }

    /** What was decided about a cause, while that stands. */
    public Optional<Rulings.Decision> decision(String cause) {
        return rulings.decision(cause);
    }

    /**
     * The causes still to be decided about: nobody has, and something they touch still stands and is not fit. What a redo on another day
     * replaced needs no decision any more.
     */
    public List<Cause> openCauses() {
        Set<String> holding = stands.holding(result -> origin(result).day().isEmpty());
        return judged.causes().stream()
                .filter(cause -> decision(cause.id()).isEmpty() && holding.contains(cause.id()))
                .toList();
    }

    /** The trays that hold what a cause touches, by name. */
    public List<String> traysOf(Cause cause) {
        return traysOf(cause.labNumbers());
    }

    /** The trays that hold any of these soils, by name. */
    public List<String> traysOf(Collection<LabNumber> labNumbers) {
        return of.traysOf(labNumbers);
    }

    /** The submissions a cause touches, by name. */
    public Set<String> submissionsOf(Cause cause) {
        return of.submissionsOf(cause.labNumbers());
    }

    public String methodTitle(String method) {
        return methods.find(method).map(known -> known.head().title()).orElse(method);
    }

    public Optional<Analyte> analyte(String method, String symbol) {
        return methods.find(method).flatMap(m -> m.analyte(symbol));
    }

    public String analyteName(String method, String symbol) {
        return analyte(method, symbol).map(Analyte::name).orElse(symbol);
    }

    public String instrumentOf(String run) {
        return of.run(run).map(Run::instrument).orElse("");
    }

    /** The promise of a submission; empty when the day has none of this name. */
    public Optional<Promise> promise(String submission) {
        return promises.of(submission);
    }

    public List<Promise> promises() {
        return promises.all();
    }

    public List<TrayState> trayStates() {
        return trayStates;
    }

    public Optional<TrayState> trayState(String tray) {
        return trayStates.stream().filter(t -> t.name().equals(tray)).findFirst();
    }

    public Map<Station, List<TrayState>> traysByStation() {
        return TrayStates.byStation(trayStates);
    }

    /** How far each method of the day has come, in the order of methods. */
    public Map<String, Progress> progress() {
        return promises.progress(day.soils(), methods.ids());
    }

    public RunPositions positions(Run run) {
        return positionsOf.computeIfAbsent(run.run(), k -> RunPositions.of(run));
    }

    /** A run as it was reduced; empty where the version of its method is not known. The runs asked for last are kept. */
    public Optional<ReadRun> read(Run run) {
        return readRuns.of(
                run,
                () -> methodOf(run)
                        .filter(method -> !method.isCalculated())
                        .map(method -> ReadRun.of(day, run, method)));
    }

    /** What the judges said of the soils that a run read: part of {@link #ruled}. */
    public List<Result> resultsOf(Run run) {
        return resultsOf.getOrDefault(run.run(), List.of());
    }

    /** Instruments in the order of their first run, each with its runs in the order they began. */
    public Map<String, List<Run>> instruments() {
        return of.instruments();
    }

    public List<GateOutcome> gates(String run) {
        return judged.gates().stream().filter(g -> g.run().equals(run)).toList();
    }

    /** The gates of a run by its newest evidence; those of an instrument are those of its newest run. */
    public GateState gateState(Run run) {
        return GateState.of(run, positions(run), gates(run.run()), judged.causes());
    }

    /** The last time a person shut this instrument's gate by hand, if it is still shut. */
    public Optional<Acted> shutByHand(String instrument) {
        return gatesByHand.shut(instrument);
    }

    /** The grounds on which the gate of this instrument is opened, if it is shut by hand. */
    public Optional<Grounds> toOpen(String instrument) {
        return gatesByHand.toOpen(instrument);
    }

    /** The instruments whose gate is shut by hand and that have not run on this day. */
    public List<String> shutWithoutRun() {
        return gatesByHand.shutWithoutRun();
    }

    /** The grounds of a gate that is shut by hand for this cause with this evidence. */
    public Optional<Grounds> shutFor(String cause, String evidenceDigest) {
        return gatesByHand.shutFor(cause, evidenceDigest);
    }

    /** The grounds that an instrument of the day gives by itself, by their key: its gate can be shut without a cause. */
    public Optional<Grounds> instrumentGrounds(String key) {
        return gatesByHand.ofInstrument(key);
    }
}
