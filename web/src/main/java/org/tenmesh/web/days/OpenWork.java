package org.tenmesh.web.days;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.web.cards.OpenDay;

/**
 * Finds earlier days on which something is still to be done. A day is looked at again only when something about it has changed; of very many
 * only the newest are, the others are found on the page Days. For one thread.
 */
final class OpenWork {
    /** Earlier days with something open that are looked at. */
    private static final int MOST_OPEN = 31;

    private final LaboratoryStore store;
    private final Function<String, Optional<Desk>> desks;
    private final Function<String, Optional<LaboratoryStore.Mark>> marks;
    private Map<String, Looked> looked = Map.of();

    /** What is open on a day, and the state in which that was found. */
    private record Looked(String state, Optional<OpenDay> day) {}

    OpenWork(
            LaboratoryStore store,
            Function<String, Optional<Desk>> desks,
            Function<String, Optional<LaboratoryStore.Mark>> marks) {
        this.store = store;
        this.desks = desks;
        this.marks = marks;
    }

    /**
     * Goes through the earlier days with something unreleased.
     *
     * @param newest name of the day that is shown, which is none of them
     * @param today the date by which promises are counted
     */
    List<OpenDay> find(String newest, LocalDate today) {
        List<OpenDay> found = new ArrayList<>();
        Map<String, Looked> now = new HashMap<>();
        List<String> names = store.openDays(MOST_OPEN + 1).stream()
                .filter(name -> !name.equals(newest))
                .limit(MOST_OPEN)
                .toList();
        String holds = store.holds().state();
        for (String name : names) {
            String state = holds + " " + state(name, today);
            Looked before = looked.get(name);
            Looked its = before != null && before.state().equals(state)
                    ? before
                    : new Looked(state, desks.apply(name).map(OpenDay::of));
            now.put(name, its);
            its.day().filter(OpenDay::hasWork).ifPresent(found::add);
        }
        looked = now;
        return found;
    }

    /** Everything that what is open on a day depends on, in a word: its readings and acts, those of days that share its soils, the date. */
    private String state(String name, LocalDate today) {
        StringBuilder state = new StringBuilder().append(today).append(' ').append(store.gatesElsewhere(name));
        List<String> days = new ArrayList<>(store.sharing(name));
        days.add(name);
        for (String day : days) {
            marks.apply(day).ifPresent(mark -> state.append(' ').append(mark.digest()));
            state.append(' ')
                    .append(store.actions(day).size())
                    .append(' ')
                    .append(store.releases(day).size());
        }
        return state.toString();
    }
}
