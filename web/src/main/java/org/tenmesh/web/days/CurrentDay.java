package org.tenmesh.web.days;

import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadElsewhere;
import org.tenmesh.core.desk.Rulings;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.web.cards.OpenDay;

/**
 * Keeps the newest day judged, and judges every earlier day that later ones look back on once. Loading and judging
 * happen on a thread of its own; pages take the last whole snapshot. A day that cannot be judged costs itself only: the
 * newest day that can be is shown, and {@link #notJudged()} tells of the others. May be used by several threads.
 */
public final class CurrentDay implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(CurrentDay.class);
    private static final long UNREAD_WAITS_NANOS = TimeUnit.SECONDS.toNanos(30);
    private static final long QUIET_NANOS = TimeUnit.MINUTES.toNanos(1);
    /** How often the store is asked whether anything was taken: one row of an index. */
    private static final long LOOKS_MILLIS = 250;

    private final LaboratoryStore store;
    private final MethodBook methods;
    private final Judge judge;
    private final ScheduledExecutorService watch;

    /** Days that are watched for additions; an older one is read when it is asked for. Charts look back on 400 dates. */
    private static final int LISTED = 400;
    /** Earlier days that are held as they were last asked for. */
    private static final int HELD = 3;

    private final Clock clock;
    private volatile Optional<Desk> desk = Optional.empty();
    private volatile List<OpenDay> open = List.of();
    private volatile List<NotJudged> notJudged = List.of();
    /** The day that is shown, as it was read and as it was judged. */
    private Optional<DayInputs> read = Optional.empty();

    private Optional<Loaded> judgedNow = Optional.empty();
    private long shownNanos;
    private boolean compared = true;
    private boolean kept = true;
    private Optional<LaboratoryStore.Mark> mark = Optional.empty();
    private volatile List<LaboratoryStore.Mark> seen = List.of();
    private long seenImport = -1;
    private final Map<String, Loaded> loaded = newestOf(HELD);
    private final Map<String, Desk> desks = newestOf(HELD);
    /** Whether the day that is shown is shown as it was kept, and was not judged since the start. */
    private boolean asKept;
    /** False once a kept judgement was found to be another than the judge's. */
    private boolean keptStands = true;
    /** What was made when the day that is shown was judged last; of no other day, so that memory holds one. */
    private Stages stages = Stages.NONE;

    private final KeptDays keptDays;
    private final OpenWork openWork;
    private final Pace pace = new Pace();
    private volatile Optional<Basis> basis = Optional.empty();
    private volatile long renewedAt;
    private volatile LocalDate drawnOn = LocalDate.MIN;
    // Whether a day could not be read: the store may answer better later, the judge will not.
    private volatile boolean unread;
    private volatile long tryAgainNanos;
    private final Followers followers = new Followers();
    private volatile boolean closed;
    private volatile long version;

    /** What a run of the day that is shown is judged by alone. */
    record Basis(String name, Day day, Stages stages) {}

    /** A day as it was read and judged. */
    private record Loaded(LaboratoryStore.Mark mark, String key, Day day, JudgedDay judged) {}

    /**
     * Nothing is loaded yet.
     *
     * @param clock what is due and what is late goes by it
     * @param firstVersion where versions start; another one at every start, so that a page from before a restart is told
     */
    public CurrentDay(LaboratoryStore store, MethodBook methods, Judge judge, Clock clock, long firstVersion) {
        this.version = firstVersion;
        this.store = store;
        this.methods = methods;
        this.judge = judge;
        this.keptDays = new KeptDays(store, methods, judge, clock);
        this.openWork =
                new OpenWork(store, name -> marked(name).flatMap(this::once).map(keptDays::answered), this::marked);
        this.clock = clock;
        this.watch = Executors.newSingleThreadScheduledExecutor(task -> {
            Thread thread = new Thread(task, "current-day");
            thread.setDaemon(true);
            return thread;
        });
    }

    private static <V> Map<String, V> newestOf(int most) {
        return Collections.synchronizedMap(new LinkedHashMap<>(16, 0.75f, true) {
            @Override
            protected boolean removeEldestEntry(Map.Entry<String, V> eldest) {
                return size() > most;
            }
        });
    }

    /**
     * Loads the newest day now, then looks for changes four times a second.
     *
     * @throws RuntimeException when the store does not say which days there are
     */
    public void start() {
        look();
        watch.scheduleWithFixedDelay(this::lookQuietly, LOOKS_MILLIS, LOOKS_MILLIS, TimeUnit.MILLISECONDS);
        // Now and then everybody is told although nothing changed: a browser that went away shows only when written to.
        watch.scheduleWithFixedDelay(this::tell, 20, 20, TimeUnit.SECONDS);
    }

    public Judge judge() {
        return judge;
    }

    /** The newest day, as it was last whole. */
    public Optional<Desk> desk() {
        return desk;
    }

    /** A day by its name; empty when there is none, or it could not be judged. An earlier one is loaded when it is first asked for. */
    public Optional<Desk> desk(String name) {
        Optional<Desk> newest = desk.filter(now -> now.name().equals(name));
        return newest.isPresent() ? newest : marked(name).flatMap(this::earlier);
    }

    private Optional<LaboratoryStore.Mark> marked(String name) {
        return seen.stream().filter(day -> day.day().equals(name)).findFirst().or(() -> store.mark(name));
    }

    /** Earlier days on which something is still to be done, the newest first. */
    public List<OpenDay> open() {
        return open;
    }

    /** As it is held, without waiting for another day that is being judged; else it is made. */
    private Optional<Desk> earlier(LaboratoryStore.Mark day) {
        Optional<Desk> known = Optional.ofNullable(desks.get(day.day()));
        return known.isPresent() ? known : made(day);
    }

    private synchronized Optional<Desk> made(LaboratoryStore.Mark day) {
        once(day).ifPresent(its -> desks.put(day.day(), its));
        return Optional.ofNullable(desks.get(day.day()));
    }

    /** A day that is not held for it: no day that pages hold is given up, and no page waits. What could not be judged is not tried again. */
    private Optional<Desk> once(LaboratoryStore.Mark day) {
        Optional<Desk> known = Optional.ofNullable(desks.get(day.day()));
        if (known.isPresent() || NotJudged.names(day, notJudged)) {
            return known;
        }
        List<NotJudged> failed = new ArrayList<>();
        Optional<Desk> drawn = loaded(day, failed).flatMap(its -> draw(its, failed, new DerivedSoils()));
        if (!failed.isEmpty()) {
            synchronized (this) {
                failed.addAll(0, notJudged);
                notJudged = List.copyOf(failed);
            }
        }
        return drawn;
    }

    private Optional<Loaded> loaded(LaboratoryStore.Mark day, List<NotJudged> failed) {
        Loaded known = loaded.get(day.day());
        if (known != null && known.mark().equals(day)) {
            return Optional.of(known);
        }
        Optional<Loaded> made = judged(day, failed, false);
        made.ifPresent(its -> loaded.put(day.day(), its));
        return made;
    }

    /** @param derived what was derived for its desk before, if there was one */
    private Optional<Desk> draw(Loaded its, List<NotJudged> failed, DerivedSoils derived) {
        String name = its.mark().day();
        try {
            LocalDate today = today(its.day());
            return Optional.of(new Desk(
                    name,
                    version,
                    its.day(),
                    its.judged(),
                    methods,
                    store.releases(name),
                    store.actions(name),
                    today,
                    elsewhere(name, its.day()),
                    store.gatesElsewhere(name),
                    derived,
                    store.holds()));
        } catch (RuntimeException e) {
            failed.add(NotJudged.told(its.mark(), "laying out", e));
            return Optional.empty();
        }
    }

    private LocalDate today(Day day) {
        return LocalDate.now(clock.withZone(ZoneId.of(day.laboratory().zone())));
    }

    /** What other days read of the soils of this one: a redo the next morning, an original the day before. */
    private List<ReadElsewhere> elsewhere(String name, Day day) {
        List<LabNumber> soils = day.soils().stream().map(Soil::labNumber).toList();
        List<ReadElsewhere> others = new ArrayList<>();
        for (String other : store.sharing(name)) {
            marked(other)
                    .flatMap(one -> loaded(one, new ArrayList<>()))
                    .ifPresent(its -> others.add(ReadElsewhere.of(
                            other,
                            its.day(),
                            Rulings.of(its.judged(), store.actions(other)),
                            soils,
                            store.holds(),
                            methods)));
        }
        return others;
    }

    /** The stored days that could not be judged, the one taken last first. */
    public List<NotJudged> notJudged() {
        return notJudged;
    }

    /** The token by which a page knows the day it was drawn from. */
    public String versionToken() {
        return desk.isPresent() ? Long.toString(version) : "0";
    }

    /** Calls with the token now and after every change, on a thread of its own, until {@link #leave}. */
    public void follow(Consumer<String> follower) {
        if (closed) {
            return;
        }
        followers.add(follower);
        later(() -> followers.tell(follower, versionToken()));
    }

    public void leave(Consumer<String> follower) {
        followers.remove(follower);
    }

    private void tell() {
        later(() -> followers.tell(versionToken()));
    }

    private void later(Runnable task) {
        try {
            watch.execute(task);
        } catch (RejectedExecutionException e) {
            // Stopped meanwhile: nobody is left to be told.
            followers.clear();
        }
    }

    /** What a run of the day that is shown is judged by alone; empty before one is shown. */
    Optional<Basis> basis() {
        return basis;
    }

    /** Looks for changes now. */
    void wake() {
        later(this::lookQuietly);
    }

    /** Takes in what people did up to an entry of the journal, unless that is done. */
    void renewSoon(long entry) {
        later(() -> {
            if (entry > renewedAt) {
                renew();
            }
        });
    }

    /** Takes in what people did since, on whatever day: actions and releases. */
    public synchronized void renew() {
        renewedAt = store.newestEntry();
        desks.clear();
        desk.ifPresent(f -> {
            version++;
            drawnOn = today(f.day());
            desk = Optional.of(f.with(
                    version,
                    store.releases(f.name()),
                    store.actions(f.name()),
                    drawnOn,
                    elsewhere(f.name(), f.day()),
                    store.gatesElsewhere(f.name()),
                    store.holds()));
            tell();
            later(this::lookForOpenWork);
        });
    }

    /** Goes through the earlier days one after the other, so that no page waits for all of them. */
    private void lookForOpenWork() {
        if (closed) {
            return;
        }
        List<OpenDay> found =
                openWork.find(desk.map(keptDays::answered).map(Desk::name).orElse(""), drawnOn);
        if (!found.equals(open)) {
            synchronized (this) {
                open = List.copyOf(found);
                version++;
            }
            tell();
        }
    }

    private synchronized void look() {
        long readings = store.newestReadings();
        long newest = store.newestImport();
        long began = System.nanoTime();
        boolean again = unread && began - tryAgainNanos > 0;
        if (newest == seenImport && !again && !pace.isDue(readings)) {
            if (desk.filter(f -> !today(f.day()).equals(drawnOn)).isPresent()) {
                // Midnight: what was due is late now.
                renew();
            }
            if (!compared && System.nanoTime() - shownNanos > QUIET_NANOS) {
                later(this::compareWithStore);
            }
            return;
        }
        List<LaboratoryStore.Mark> days = store.days(LISTED);
        if (!days.equals(seen)) {
            desks.clear();
        }
        seen = days;
        List<NotJudged> failed = new ArrayList<>();
        if (!again) {
            notJudged.stream()
                    .filter(f -> days.contains(new LaboratoryStore.Mark(f.day(), f.digest())))
                    .forEach(failed::add);
        }
        unread = false;
        // Oldest first: a day learns from those before it.
        for (int i = days.size() - 1; i > 0; i--) {
            judgeEarlier(days.get(i), failed);
        }
        boolean shown = days.stream().anyMatch(day -> NotJudged.names(day, failed) ? false : show(day, failed));
        if (!shown) {
            mark = Optional.empty();
            desk = Optional.empty();
        }
        if (!failed.equals(notJudged)) {
            notJudged = days.stream()
                    .flatMap(day -> failed.stream().filter(f -> f.day().equals(day.day())))
                    .toList();
            renew();
        }
        seenImport = newest;
        pace.judged(readings, began);
        later(this::judgeAsKept);
        later(this::keepShown);
        later(this::lookForOpenWork);
        later(() -> checkKept(false));
    }

    /** Judges a day that is not shown, when that was never done or something was added to it since. */
    private void judgeEarlier(LaboratoryStore.Mark day, List<NotJudged> failed) {
        if (NotJudged.names(day, failed) || keptDays.has(day)) {
            return;
        }
        judged(day, failed, false).ifPresent(made -> keepOf(day, made));
    }

    /** Holds the kept judgements of earlier days against their keys, one after the other; see {@link KeptDays}. */
    private void checkKept(boolean changed) {
        Optional<LaboratoryStore.Mark> next = keptDays.next(seen, notJudged);
        if (closed) {
            return;
        }
        if (next.isEmpty()) {
            if (changed) {
                showAgain();
            }
            return;
        }
        boolean more = keptDays.judgedAnew(next.get()) || changed;
        later(() -> checkKept(more));
    }

    private synchronized void showAgain() {
        mark = Optional.empty();
        loaded.clear();
        seen = List.of();
        seenImport = -1;
        lookQuietly();
    }

    /**
     * Reads everything of the day that is shown anew and holds it against what was kept in memory of it: both are judged under one key.
     * Once, a minute after the day was shown. What is not the same is shown as it is stored.
     */
    public void compareWithStore() {
        compared = true;
        Optional<DayInputs> held = read;
        if (closed || held.isEmpty() || desk.isEmpty()) {
            return;
        }
        try {
            DayInputs stored = DayInputs.of(store, held.get().name(), Optional.empty());
            boolean newer = store.newestImport() != seenImport || !pace.hasJudged(store.newestReadings());
            if (newer || judgedNow.map(Loaded::key).equals(Optional.of(stored.key(methods)))) {
                return;
            }
            if (stored.others().equals(held.get().others())) {
                LOG.error(
                        "day {} is stored otherwise than it was read before; it is shown as it is stored now, and"
                                + " tenmesh verify says what was changed",
                        stored.name());
            }
        } catch (RuntimeException e) {
            LOG.warn("the day that is shown could not be held against the store", e);
            return;
        }
        read = Optional.empty();
        stages = Stages.NONE;
        showAgain();
    }

    /** Makes this the day that pages show; false when it cannot be judged. */
    private boolean show(LaboratoryStore.Mark day, List<NotJudged> failed) {
        if (mark.equals(Optional.of(day))) {
            return true;
        }
        String name = day.day();
        long began = System.nanoTime();
        Optional<Loaded> made = judged(day, failed, true);
        if (made.isEmpty()) {
            return false;
        }
        JudgedDay judged = made.get().judged();
        version++;
        DerivedSoils derived = desk.filter(before -> before.name().equals(name))
                .map(Desk::derived)
                .orElseGet(DerivedSoils::new);
        Optional<Desk> drawn = draw(made.get(), failed, derived);
        if (drawn.isEmpty()) {
            return false;
        }
        desk = drawn;
        basis = read.map(its -> new Basis(name, its.day(), stages));
        drawnOn = drawn.get().today();
        mark = Optional.of(day);
        tell();
        judgedNow = made;
        shownNanos = System.nanoTime();
        compared = false;
        kept = asKept;
        LOG.info(
                "day {} loaded and {} in {} ms: {} results, {} causes",
                name,
                asKept ? "found judged" : "judged",
                (System.nanoTime() - began) / 1_000_000,
                judged.results().size(),
                judged.causes().size());
        return true;
    }

    /**
     * Reads and judges a day; a failure is told in the log and added to {@code failed}.
     *
     * @param shown whether it is the day that is shown, of which the next judging takes what this one made
     */
    private Optional<Loaded> judged(LaboratoryStore.Mark day, List<NotJudged> failed, boolean shown) {
        boolean isRead = false;
        try {
            DayInputs its = DayInputs.of(store, day.day(), shown ? read : Optional.empty());
            isRead = true;
            if (shown) {
                Optional<Loaded> before = asKept(day, its);
                asKept = before.isPresent();
                if (asKept) {
                    read = Optional.of(its);
                    return before;
                }
            }
            DayStage made = judge.judge(its.day(), methods, its.earlier(), shown ? stages : Stages.NONE);
            if (shown) {
                read = Optional.of(its);
                stages = made.stages();
            }
            return Optional.of(new Loaded(day, made.key(), its.day(), made.judged()));
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            failed.add(NotJudged.told(day, isRead ? "judging" : "reading", e));
            if (!isRead) {
                unread = true;
                tryAgainNanos = System.nanoTime() + UNREAD_WAITS_NANOS;
            }
            return Optional.empty();
        }
    }

    /** The first day that is shown after a start, as it was kept under the key that it has now: pages need not wait for the judge. */
    private Optional<Loaded> asKept(LaboratoryStore.Mark day, DayInputs its) {
        if (!keptStands || desk.isPresent() || read.isPresent()) {
            return Optional.empty();
        }
        String key = its.key(methods);
        return store.kept(day.day(), key).map(judged -> new Loaded(day, key, its.day(), judged));
    }

    /**
     * Judges the day that is shown as it was kept: what comes next costs only what is new, and a kept judgement that is not what the judge
     * says of the same inputs is told and replaced.
     */
    private void judgeAsKept() {
        if (closed || !asKept || read.isEmpty() || judgedNow.isEmpty()) {
            return;
        }
        asKept = false;
        String name = read.get().name();
        try {
            DayStage made = judge.judge(read.get().day(), methods, read.get().earlier(), Stages.NONE);
            stages = made.stages();
            basis = read.map(its -> new Basis(name, its.day(), stages));
            if (made.judged().equals(judgedNow.get().judged())) {
                return;
            }
            LOG.error(
                    "what was kept of the judgement of day {} is not what the judge says of the same readings; it is shown as it is"
                            + " judged now, and kept anew",
                    name);
            store.forget(name);
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            LOG.error("day {} is shown as it was kept, and could not be judged again", name, e);
        }
        keptStands = false;
        showAgain();
    }

    // Writing a whole day takes longer than judging it again: what was taken meanwhile goes first, and is kept with it.
    private void keepShown() {
        if (!kept && !closed && store.newestImport() == seenImport) {
            kept = true;
            judgedNow.ifPresent(its -> keepOf(its.mark(), its));
        }
    }

    private void keepOf(LaboratoryStore.Mark day, Loaded made) {
        if (!closed) {
            keptDays.keep(day, made.key(), made.judged());
        }
    }

    private void lookQuietly() {
        try {
            look();
        } catch (RuntimeException e) {
            LOG.warn("the store does not say which days there are; pages go on with what they have", e);
        }
    }

    @Override
    public void close() {
        // Pages are let go first: one still written to, or come back, filled the log with its broken connection.
        closed = true;
        followers.clear();
        // A page that is being written to is let finish: an interrupted write breaks its connection.
        watch.shutdown();
        try {
            if (!watch.awaitTermination(3, TimeUnit.SECONDS)) {
                watch.shutdownNow();
            }
        } catch (InterruptedException interrupted) {
            watch.shutdownNow();
            Thread.currentThread().interrupt();
        }
    }
}
