package org.tenmesh.web.days;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Function;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.live.Following;
import org.tenmesh.store.rows.Json;
import org.tenmesh.web.cards.RunUnderWayCard;

/**
 * Follows what every server on the database writes: judges runs under way alone as their readings arrive and tells the open pages within
 * milliseconds; the whole day is judged behind them by {@link CurrentDay}, which is woken here too. May be used by several threads.
 */
public final class LiveRuns implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(LiveRuns.class);

    /** Entries after which what people did is looked at again. */
    private static final Set<String> ACTS = Set.of("cause-acted", "released", "report-made-later");

    /** Entries after which the days are looked at again. */
    private static final Set<String> IMPORTS = Set.of("day-taken", "run-ended", "submission-changed");

    private final LaboratoryStore store;
    private final MethodBook methods;
    private final CurrentDay current;
    private final Function<RunUnderWayCard, String> drawing;
    private final ExecutorService thread = Executors.newSingleThreadExecutor(task -> {
        Thread one = new Thread(task, "live-runs");
        one.setDaemon(true);
        return one;
    });
    private final List<LivePage> pages = new CopyOnWriteArrayList<>();
    private final AtomicBoolean waiting = new AtomicBoolean();
    private volatile Map<String, Shown> shown = Map.of();
    private Runnable unfollow = () -> {};
    private String day = "";
    private Map<String, Run> read = Map.of();

    private record Shown(RunUnderWayCard card, String html, String gate) {}

    /** @param drawing a card as a part of a page */
    public LiveRuns(
            LaboratoryStore store, MethodBook methods, CurrentDay current, Function<RunUnderWayCard, String> drawing) {
        this.store = store;
        this.methods = methods;
        this.current = current;
        this.drawing = drawing;
    }

    /** Begins to follow. */
    public void start() {
        unfollow = store.follow(this::heard);
        soon();
    }

    /** The runs under way, as they stand after their newest readings. */
    public List<RunUnderWayCard> cards() {
        return shown.values().stream().map(Shown::card).toList();
    }

    /** The gate of an instrument by its run under way: open, shut or not read yet; empty where none is under way. */
    public Optional<RunUnderWayCard> of(String instrument) {
        return cards().stream()
                .filter(card -> card.instrument().equals(instrument))
                .findFirst();
    }

    /** Tells a page how every run under way stands, and of every change from then on. */
    public void follow(LivePage page) {
        pages.add(page);
        shown.values().forEach(one -> tell(page, one, true));
    }

    public void leave(LivePage page) {
        page.leave();
        pages.remove(page);
    }

    private void heard(List<Following.Entry> entries) {
        long acts = 0;
        boolean imports = false;
        boolean readings = false;
        for (Following.Entry entry : entries) {
            acts = ACTS.contains(entry.what()) ? entry.seq() : acts;
            imports |= IMPORTS.contains(entry.what());
            readings |= entry.what().equals("readings-taken");
        }
        if (readings || imports) {
            soon();
        }
        if (imports) {
            current.wake();
        }
        if (acts > 0) {
            current.renewSoon(acts);
        }
    }

    // While one look goes on, however much arrives, one more follows.
    private void soon() {
        if (waiting.compareAndSet(false, true)) {
            try {
                thread.execute(() -> {
                    waiting.set(false);
                    lookQuietly();
                });
            } catch (RejectedExecutionException e) {
                LOG.debug("stopped meanwhile", e);
            }
        }
    }

    private void lookQuietly() {
        try {
            look();
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            LOG.warn("runs under way could not be shown; they are looked at again with the next reading", e);
        }
    }

    private void look() {
        Optional<CurrentDay.Basis> basis = current.basis();
        if (basis.isEmpty()) {
            return;
        }
        String name = basis.get().name();
        Map<String, Run> now = store.underWay(name, name.equals(day) ? read : Map.of());
        Map<String, Shown> next = new HashMap<>();
        now.forEach((what, run) -> {
            Shown before = shown.get(run.run());
            next.put(run.run(), before != null && read.get(what) == run ? before : judged(basis.get(), run));
        });
        Map<String, Shown> old = shown;
        day = name;
        read = now;
        shown = Map.copyOf(next);
        pages.removeIf(LivePage::isGone);
        next.forEach((run, one) -> {
            Shown before = old.get(run);
            if (before != one) {
                boolean gate = before == null || !before.gate().equals(one.gate());
                pages.forEach(page -> tell(page, one, gate));
            }
        });
        old.forEach((run, one) -> {
            if (!next.containsKey(run)) {
                pages.stream()
                        .filter(LivePage::seesVerdicts)
                        .forEach(page -> page.tell("run-ended", run, one.card().id()));
            }
        });
    }

    private Shown judged(CurrentDay.Basis basis, Run run) {
        JudgedDay alone = current.judge().alone(basis.day(), methods, run, basis.stages());
        String title = methods.find(run.method(), basis.day().dateOf(run))
                .map(Method::head)
                .map(head -> head.title())
                .orElse(run.method());
        RunUnderWayCard card = RunUnderWayCard.of(run, alone, title);
        List<String> gate = new ArrayList<>(List.of("instrument", card.instrument(), "run", card.run()));
        gate.addAll(List.of("state", card.gate(), "says", card.gateSays()));
        return new Shown(card, drawing.apply(card).replace('\n', ' '), Json.object(gate.toArray()));
    }

    private static void tell(LivePage page, Shown one, boolean gate) {
        if (gate) {
            page.tell("gate", one.card().instrument(), one.gate());
        }
        if (page.seesVerdicts()) {
            page.tell("run", one.card().run(), one.html());
        }
    }

    @Override
    public void close() {
        unfollow.run();
        thread.shutdownNow();
        pages.forEach(LivePage::leave);
        pages.clear();
    }
}
