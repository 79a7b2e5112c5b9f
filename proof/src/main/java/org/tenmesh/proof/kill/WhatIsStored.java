package org.tenmesh.proof.kill;

import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.verified.RecordCheck;

/**
 * What a store holds of what was sent to it.
 *
 * @param lost readings that were acknowledged and are not there
 * @param twice readings that are there beyond what was sent
 * @param different runs that are stored otherwise than they were sent
 */
record WhatIsStored(long readings, long lost, long twice, long different, JournalCheck journal, RecordCheck record) {
    /** @param sent readings acknowledged of each run */
    static WhatIsStored in(Store store, Map<String, Integer> sent) {
        Day day = Sending.day();
        Map<String, Run> stored = new HashMap<>();
        store.days()
                .forEach(entry -> store.day(entry.name())
                        .ifPresent(one -> one.runs().forEach(run -> stored.put(run.run(), run))));
        long lost = 0;
        long twice = 0;
        long different = 0;
        long readings = 0;
        for (Run run : day.runs()) {
            int promised = sent.getOrDefault(run.run(), 0);
            Run its = stored.get(run.run());
            int there = its == null ? 0 : its.readings().size();
            readings += there;
            lost += Math.max(0, promised - there);
            // What was stored and not acknowledged any more may be one arrival.
            twice += Math.max(0, there - Math.min(run.readings().size(), promised + Sending.PIECE));
            boolean same = its == null
                    || there <= run.readings().size()
                            && its.readings().sameAs(run.readings().part(0, there));
            different += same ? 0 : 1;
        }
        return new WhatIsStored(
                readings, lost, twice, different, store.verifyJournal(), store.compareWithJournal(says -> {}));
    }

    boolean whole() {
        return lost + twice + different == 0
                && journal.whole()
                && record.differences().isEmpty()
                && record.unreadable().isEmpty();
    }

    /** Prints it, with the first of what differs. */
    void print(String what) {
        System.out.printf(
                Locale.ROOT,
                "%s; %,d readings stored; acknowledged and lost %d, stored twice %d, runs that differ from what was sent %d; journal: %s;"
                        + " %,d rows compared, %d differ, %d unreadable%n",
                what,
                readings,
                lost,
                twice,
                different,
                journal.finding(),
                record.compared(),
                record.differences().size(),
                record.unreadable().size());
        List.of(record.differences(), record.unreadable())
                .forEach(found -> found.stream().limit(10).forEach(System.out::println));
    }
}
