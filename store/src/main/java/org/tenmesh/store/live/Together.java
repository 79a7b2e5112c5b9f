package org.tenmesh.store.live;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Does what several threads ask for at one time together: while one group is under way, whatever else is asked for waits and makes the next
 * group. Each caller gets an answer when the group is done. A group that fails is done again one by one, so that nobody's mistake is told to
 * another. May be used by several threads.
 *
 * @param <A> what is asked
 * @param <B> its answer
 */
final class Together<A, B> {
    /** Most that is done together: what waits is held in memory, and a group is one transaction. */
    private static final int MOST = 64;

    private final Function<A, Object> key;
    private final Function<List<A>, List<B>> work;
    private final ReentrantLock turn = new ReentrantLock(true);
    private final Deque<Asked<A, B>> waiting = new ArrayDeque<>();

    private static final class Asked<A, B> {
        private final A what;
        private @Nullable B answer;
        private @Nullable RuntimeException failed;

        Asked(A what) {
            this.what = what;
        }

        boolean isDone() {
            return answer != null || failed != null;
        }
    }

    /**
     * @param key only what has the same key is done together
     * @param work one answer for each that is asked, in the same order; all are done or none
     */
    Together(Function<A, Object> key, Function<List<A>, List<B>> work) {
        this.key = key;
        this.work = work;
    }

    /** Does it, alone or with what others ask, and returns when it is done. */
    B ask(A what) {
        Asked<A, B> own = new Asked<>(what);
        synchronized (waiting) {
            waiting.add(own);
        }
        turn.lock();
        try {
            while (!own.isDone()) {
                doNext();
            }
        } finally {
            turn.unlock();
        }
        if (own.failed != null) {
            throw own.failed;
        }
        return Optional.ofNullable(own.answer).orElseThrow();
    }

    /** How many wait for the next group. */
    int waiting() {
        synchronized (waiting) {
            return waiting.size();
        }
    }

    private void doNext() {
        List<Asked<A, B>> group = new ArrayList<>();
        synchronized (waiting) {
            Asked<A, B> next = waiting.peek();
            Object first = next == null ? "" : key.apply(next.what);
            while (next != null && group.size() < MOST && key.apply(next.what).equals(first)) {
                group.add(waiting.remove());
                next = waiting.peek();
            }
        }
        try {
            together(group);
        } catch (Error broken) {
            // The others of the group are told, or they would wait for an answer that nobody gives any more.
            group.stream()
                    .filter(one -> !one.isDone())
                    .forEach(one -> one.failed = new IllegalStateException(
                            "the program failed inside; it is not known whether this was done", broken));
            throw broken;
        }
    }

    private void together(List<Asked<A, B>> group) {
        try {
            done(group);
        } catch (RuntimeException failed) {
            if (group.size() == 1) {
                group.get(0).failed = failed;
                return;
            }
            group.forEach(this::alone);
        }
    }

    private void alone(Asked<A, B> one) {
        try {
            done(List.of(one));
        } catch (RuntimeException failed) {
            one.failed = failed;
        }
    }

    private void done(List<Asked<A, B>> group) {
        List<B> answers = work.apply(group.stream().map(one -> one.what).toList());
        for (int i = 0; i < group.size(); i++) {
            group.get(i).answer = answers.get(i);
        }
    }
}
