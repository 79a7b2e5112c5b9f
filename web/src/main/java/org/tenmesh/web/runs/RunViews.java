package org.tenmesh.web.runs;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.desk.Desk;

/**
 * What was shown last of the runs of one state of a day. A desk never changes, so neither does what is shown of it; with the next desk
 * all of it is forgotten. May be used by several threads.
 */
final class RunViews {
    /** Pictures and rows of one run take about a quarter of a megabyte. */
    private static final int MOST = 64;

    /** Everything that a page of a run depends on, beside the day. */
    record Asked(String run, boolean sealed, int page, String of, boolean byTime, int part) {}

    private record Shown(Desk desk, Map<Asked, RunView> views) {}

    private volatile @Nullable Shown shown;

    /**
     * A run as its page shows it.
     *
     * @throws IllegalArgumentException when the day has no such run
     */
    RunView of(Desk desk, Asked asked) {
        Shown now = shown;
        if (now == null || now.desk() != desk) {
            now = new Shown(desk, new ConcurrentHashMap<>());
            shown = now;
        }
        if (now.views().size() >= MOST) {
            now.views().clear();
        }
        return now.views().computeIfAbsent(asked, its -> make(desk, its));
    }

    private static RunView make(Desk desk, Asked asked) {
        return RunView.of(
                desk,
                desk.run(asked.run()).orElseThrow(() -> new IllegalArgumentException("no run " + asked.run())),
                asked.sealed(),
                asked.page(),
                asked.of(),
                asked.byTime(),
                asked.part());
    }
}
