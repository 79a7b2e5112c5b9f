package org.tenmesh.web;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;

/**
 * Tells of attempts that were refused: in the log each of them; in the journal what somebody who is signed in asked for and may not, once in ten
 * minutes, so that nobody fills the journal. May be used by several threads.
 */
final class Refusals {
    private static final Logger LOG = LoggerFactory.getLogger(Refusals.class);
    private static final Duration AGAIN_AFTER = Duration.ofMinutes(10);
    private static final int MOST_KNOWN = 10_000;

    private final LaboratoryStore store;
    private final LongSupplier nanos;
    private final Map<String, Long> told = new LinkedHashMap<>();

    /** @param nanos grows with time whatever the clock does: a clock set back keeps nothing out of the journal */
    Refusals(LaboratoryStore store, LongSupplier nanos) {
        this.store = store;
        this.nanos = nanos;
    }

    /** Somebody who is signed in asked for what the role may not. The path of the table stands for what was asked: it names no lab number. */
    void role(Visit visit, Route route) {
        String what = route.verb() + " " + route.path();
        log(visit, what, "not for the role");
        if (isNew(visit.actor() + "\n" + what)) {
            store.programs().refused(visit.actor(), what, visit.role().word(), visit.from());
        }
    }

    /** A form came that no page of this sign-in can have sent. */
    void form(Visit visit, Route route, String why) {
        log(visit, route.verb() + " " + route.path(), why);
    }

    private static void log(Visit visit, String what, String why) {
        LOG.warn(
                "refused: {} from {} as {}: {}",
                what,
                visit.from().replaceAll("[^0-9A-Za-z.:\\[\\]%-]", "?"),
                visit.person().map(one -> one.name()).orElse("nobody"),
                why);
    }

    synchronized boolean isNew(String key) {
        long now = nanos.getAsLong();
        Long before = told.get(key);
        if (before != null && now - before < AGAIN_AFTER.toNanos()) {
            return false;
        }
        if (told.size() >= MOST_KNOWN) {
            told.clear();
        }
        told.put(key, now);
        return true;
    }
}
