package org.tenmesh.web.days;

import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.EarlierSoils;
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

    private final LaboratoryStore store;
    private final MethodBook methods;
    private final Judge judge;
    private final ScheduledExecutorService watch;

    /** Days that are watched for additions; an older one is read when it is asked for. Charts look back on 400 dates. */
    private static final int LISTED = 400;
    /** Earlier days whose kept judgement is held against its key: charts and relations look back on no more (a year of working days). */
    private static final int CHECKED = 250;
    /** Earlier days with something open that are looked at. */
    private static final int MOST_OPEN = 31;
    /** Earlier days that are held as they were last asked for. */
    private static final int HELD = 3;

    private final Clock clock;
    private volatile Optional<Desk> desk = Optional.empty();
    private volatile List<OpenDay> open = List.of();
    private volatile List<NotJudged> notJudged = List.of();
    private EarlierSoils earlier = EarlierSoils.NONE;
    private String earlierOf = "";
    private Optional<LaboratoryStore.Mark> mark = Optional.empty();
    private volatile List<LaboratoryStore.Mark> seen = List.of();
    private long seenImport = -1;
    private final Map<String, Loaded> loaded = newestOf(HELD);
    private final Map<String, Desk> desks = newestOf(HELD);
    /** What was made when the day that is shown was judged last; of no other day, so that memory holds one. */
    private Stages stages = Stages.NONE;
    /** Earlier days, as they are, whose kept judgement has the key that it would have today. */
    private final Set<LaboratoryStore.Mark> checked = new HashSet<>();

    private volatile LocalDate drawnOn = LocalDate.MIN;
    private Map<String, Looked> looked = Map.of();
    // Whether a day could not be read: the store may answer better later, the judge will not.
    private boolean unread;
    private long tryAgainNanos;
    private final List<Consumer<String>> followers = new CopyOnWriteArrayList<>();
    private volatile boolean closed;
    private volatile long version;

    /** What is open on a day, and the state in which that was found. */
    private record Looked(String state, Optional<OpenDay> day) {}

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
        this.clock = clock;
        this.watch = Executors.newSingleThreadScheduledExecutor(task -> {
            Thread thread = new Thread(task, "current-day");
            thread.setDaemon(true);
            return thread;
        });
    }

    private static <V> Map<String, V> newestOf(int most) {
        return new LinkedHashMap<>(16, 0.75f, true) {
            @Override
            protected boolean removeEldestEntry(Map.Entry<String, V> eldest) {
                return size() > most;
            }
        };
    }

    /**
     * Loads the newest day now, then looks for changes every second.
     *
     * @throws RuntimeException when the store does not say which days there are
     */
    public void start() {
        look();
        watch.scheduleWithFixedDelay(this::lookQuietly, 1, 1, TimeUnit.SECONDS);
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
        Optional<Desk> newest = desk;
        if (newest.filter(now -> now.name().equals(name)).isPresent()) {
            return newest;
        }
        return marked(name).flatMap(this::earlier);
    }

    private Optional<LaboratoryStore.Mark> marked(String name) {
        return seen.stream().filter(day -> day.day().equals(name)).findFirst().or(() -> store.mark(name));
    }

    /** Earlier days on which something is still to be done, the newest first. */
    public List<OpenDay> open() {
        return open;
    }

    private synchronized Optional<Desk> earlier(LaboratoryStore.Mark day) {
        // What the judge could not judge it cannot judge now.
        if (failing(day, notJudged)) {
            return Optional.empty();
        }
        Desk known = desks.get(day.day());
        if (known != null) {
            return Optional.of(known);
        }
        List<NotJudged> failed = new ArrayList<>();
        Optional<Desk> drawn = loaded(day, failed).flatMap(its -> draw(its, failed, new DerivedSoils()));
        drawn.ifPresent(made -> desks.put(day.day(), made));
        if (!failed.isEmpty()) {
            failed.addAll(0, notJudged);
            notJudged = List.copyOf(failed);
        }
        return drawn;
    }

    private Optional<Loaded> loaded(LaboratoryStore.Mark day, List<NotJudged> failed) {
        Loaded known = loaded.get(day.day());
        if (known != null && known.mark().equals(day)) {
            return Optional.of(known);
        }
        Optional<Loaded> made = judged(day, failed, () -> store.earlierSoils(day.day()), false);
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
                    derived));
        } catch (RuntimeException e) {
            failed.add(fault(its.mark(), "laying out", e));
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
                    .ifPresent(its -> others.add(
                            ReadElsewhere.of(other, its.day(), Rulings.of(its.judged(), store.actions(other)), soils)));
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
        later(() -> tell(follower));
    }

    public void leave(Consumer<String> follower) {
        followers.remove(follower);
    }

    private void tell() {
        later(() -> followers.forEach(this::tell));
    }

    private void later(Runnable task) {
        try {
            watch.execute(task);
        } catch (RejectedExecutionException e) {
            // Stopped meanwhile: nobody is left to be told.
            followers.clear();
        }
    }

    private void tell(Consumer<String> follower) {
        if (closed) {
            return;
        }
        try {
            follower.accept(versionToken());
        } catch (RuntimeException e) {
            LOG.debug("a page that listened is gone", e);
            followers.remove(follower);
        }
    }

    /** Takes in what people did since, on whatever day: actions and releases. */
    public synchronized void renew() {
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
                    store.gatesElsewhere(f.name())));
            tell();
            later(this::lookForOpenWork);
        });
    }

    /**
     * Goes through the earlier days with something unreleased, one after the other, so that no page waits for all of them. A day is looked at
     * again only when something about it has changed; of very many only the newest are, the others are found on the page Days.
     */
    private void lookForOpenWork() {
        if (closed) {
            return;
        }
        List<OpenDay> found = new ArrayList<>();
        Map<String, Looked> now = new HashMap<>();
        String newest = desk.map(Desk::name).orElse("");
        List<String> names = store.openDays(MOST_OPEN + 1).stream()
                .filter(name -> !name.equals(newest))
                .limit(MOST_OPEN)
                .toList();
        for (String name : names) {
            String state = state(name);
            Looked before = looked.get(name);
            Looked its = before != null && before.state().equals(state)
                    ? before
                    : new Looked(state, desk(name).map(OpenDay::of));
            now.put(name, its);
            its.day().filter(OpenDay::hasWork).ifPresent(found::add);
        }
        looked = now;
        if (!found.equals(open)) {
            synchronized (this) {
                open = List.copyOf(found);
                version++;
            }
            tell();
        }
    }

    /** Everything that what is open on a day depends on, in a word: its readings and acts, those of days that share its soils, the date. */
    private String state(String name) {
        StringBuilder state = new StringBuilder().append(drawnOn).append(' ').append(store.gatesElsewhere(name));
        List<String> days = new ArrayList<>(store.sharing(name));
        days.add(name);
        for (String day : days) {
            marked(day).ifPresent(mark -> state.append(' ').append(mark.digest()));
            state.append(' ')
                    .append(store.actions(day).size())
                    .append(' ')
                    .append(store.releases(day).size());
        }
        return state.toString();
    }

    private synchronized void look() {
        long newest = store.newestImport();
        boolean again = unread && System.nanoTime() - tryAgainNanos > 0;
        if (newest == seenImport && !again) {
            if (desk.filter(f -> !today(f.day()).equals(drawnOn)).isPresent()) {
                // Midnight: what was due is late now.
                renew();
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
        boolean shown = days.stream().anyMatch(day -> failing(day, failed) ? false : show(day, failed));
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
        later(this::lookForOpenWork);
        later(() -> checkKept(false));
    }

    private static boolean failing(LaboratoryStore.Mark day, List<NotJudged> failed) {
        return failed.stream().anyMatch(f -> f.day().equals(day.day()));
    }

    /** Judges a day that is not shown, when that was never done or something was added to it since. */
    private void judgeEarlier(LaboratoryStore.Mark day, List<NotJudged> failed) {
        if (checked.contains(day)) {
            return;
        }
        boolean added = checked.stream().anyMatch(known -> known.day().equals(day.day()) && !known.equals(day));
        if (failing(day, failed) || !added && store.judgedKey(day.day()).isPresent()) {
            return;
        }
        judged(day, failed, () -> store.earlierSoils(day.day()), false).ifPresent(made -> {
            keep(day.day(), made.key(), made.judged());
            checkedNow(day);
        });
    }

    private void checkedNow(LaboratoryStore.Mark day) {
        checked.removeIf(known -> known.day().equals(day.day()));
        checked.add(day);
    }

    /**
     * Holds one earlier day after the other against the key that its judgement is kept under, oldest first, and judges those again that
     * have another key by now: another policy, method, history, earlier soils or engine. Pages do not wait for it; when anything came out
     * under another key, the day that is shown is judged with it.
     *
     * @param changed whether that was so of a day before
     */
    private void checkKept(boolean changed) {
        List<LaboratoryStore.Mark> days = seen;
        Optional<LaboratoryStore.Mark> next = days.stream()
                .skip(1)
                .limit(CHECKED)
                .filter(day -> !checked.contains(day) && !failing(day, notJudged))
                .reduce((newer, older) -> older);
        if (closed) {
            return;
        }
        if (next.isEmpty()) {
            if (changed) {
                showAgain();
            }
            return;
        }
        LaboratoryStore.Mark day = next.get();
        boolean more = judgedAnew(day) || changed;
        checkedNow(day);
        later(() -> checkKept(more));
    }

    private boolean judgedAnew(LaboratoryStore.Mark day) {
        try {
            Day whole = whole(day.day());
            EarlierSoils soils = store.earlierSoils(day.day());
            if (store.judgedKey(day.day()).equals(Optional.of(DayJudge.key(whole, methods, soils)))) {
                return false;
            }
            DayStage made = judge.judge(whole, methods, soils, Stages.NONE);
            keep(day.day(), made.key(), made.judged());
            LOG.info("day {} was judged again: what it is judged by is not what it was", day.day());
            return true;
        } catch (RuntimeException e) {
            LOG.warn("the kept judgement of day {} could not be held against its key; it stays as it is", day.day(), e);
            return false;
        }
    }

    private synchronized void showAgain() {
        mark = Optional.empty();
        earlierOf = "";
        loaded.clear();
        seen = List.of();
        seenImport = -1;
        lookQuietly();
    }

    // A day does not learn from what came after it: however late it is judged, it is judged alike.
    private Day whole(String name) {
        Day day = store.day(name);
        LocalDate began = day.runs().stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElse(day.date());
        return day.with(store.history(name, began));
    }

    /** Makes this the day that pages show; false when it cannot be judged. */
    private boolean show(LaboratoryStore.Mark day, List<NotJudged> failed) {
        if (mark.equals(Optional.of(day))) {
            return true;
        }
        String name = day.day();
        long began = System.nanoTime();
        Supplier<EarlierSoils> known = () -> {
            // What earlier days found does not change while one goes on.
            if (!earlierOf.equals(name)) {
                earlier = store.earlierSoils(name);
                earlierOf = name;
            }
            return earlier;
        };
        Optional<Loaded> made = judged(day, failed, known, true);
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
        drawnOn = drawn.get().today();
        mark = Optional.of(day);
        tell();
        String key = made.get().key();
        later(() -> keep(name, key, judged));
        LOG.info(
                "day {} loaded and judged in {} ms: {} results, {} causes",
                name,
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
    private Optional<Loaded> judged(
            LaboratoryStore.Mark day, List<NotJudged> failed, Supplier<EarlierSoils> known, boolean shown) {
        boolean read = false;
        try {
            Day whole = whole(day.day());
            EarlierSoils soils = known.get();
            read = true;
            DayStage made = judge.judge(whole, methods, soils, shown ? stages : Stages.NONE);
            if (shown) {
                stages = made.stages();
            }
            return Optional.of(new Loaded(day, made.key(), whole, made.judged()));
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            failed.add(fault(day, read ? "judging" : "reading", e));
            if (!read) {
                unread = true;
                tryAgainNanos = System.nanoTime() + UNREAD_WAITS_NANOS;
            }
            return Optional.empty();
        }
    }

    private static NotJudged fault(LaboratoryStore.Mark day, String doing, Throwable e) {
        String reference = Integer.toHexString(Long.hashCode(System.nanoTime()));
        LOG.error("fault {}: {} day {} failed; the day is kept", reference, doing, day.day(), e);
        String said = e.getMessage();
        return new NotJudged(
                day.day(),
                day.digest(),
                doing + " it, " + e.getClass().getSimpleName() + (said == null ? "" : ", " + said),
                reference);
    }

    // Kept for later days, whose charts learn from it. Pages do not wait for it, and it is made again whenever it is
    // missing.
    private void keep(String name, String key, JudgedDay judged) {
        if (closed) {
            return;
        }
        try {
            store.keep(name, key, judged);
        } catch (RuntimeException e) {
            LOG.warn("what was judged of day {} could not be kept; charts of later days will lack it", name, e);
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
        // Pages are let go first: one that was still written to, or came back, filled the log with its broken
        // connection.
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
