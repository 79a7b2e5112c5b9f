package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Comparator;
import java.util.Optional;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.store.days.ReadDay;

/**
 * What a day is judged by, as it was read from the store.
 *
 * @param stored the day without history
 * @param others digest of what was kept of other days when it was read
 * @param day the day with the history of its control soils
 * @param earlier what days before it found in soils
 */
record DayInputs(String name, ReadDay stored, String others, Day day, EarlierSoils earlier) {
    /**
     * Reads a day.
     *
     * @param before what was read of it before: only what is new is read, and what is the same is the same object; empty for everything
     */
    static DayInputs of(LaboratoryStore store, String name, Optional<DayInputs> before) {
        // Asked first: what is kept of another day while this one is read shows the next time.
        String others = store.keptOfOthers(name);
        Optional<DayInputs> same = before.filter(one -> one.name().equals(name));
        ReadDay stored = store.day(name, same.map(DayInputs::stored));
        Day day = stored.day();
        Optional<DayInputs> looksBackAlike = same.filter(one -> one.others().equals(others)
                && firstStart(one.day()).equals(firstStart(day))
                && one.day().submissions().equals(day.submissions())
                && one.day().soils().equals(day.soils()));
        // A day does not learn from what came after it: however late it is judged, it is judged alike.
        return new DayInputs(
                name,
                stored,
                others,
                day.with(looksBackAlike
                        .map(one -> one.day().history())
                        .orElseGet(() -> store.history(name, began(day)))),
                looksBackAlike.map(DayInputs::earlier).orElseGet(() -> store.earlierSoils(name)));
    }

    private static Optional<Instant> firstStart(Day day) {
        return day.runs().stream().map(run -> run.startedAt().toInstant()).min(Comparator.naturalOrder());
    }

    private static LocalDate began(Day day) {
        return day.runs().stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElse(day.date());
    }

    String key(MethodBook methods) {
        return DayJudge.key(day, methods, earlier);
    }
}
