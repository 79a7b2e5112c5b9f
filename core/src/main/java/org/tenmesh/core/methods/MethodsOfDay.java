package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** The methods that hold on one day, each in the version of that day, in the order of the report. Immutable. */
public final class MethodsOfDay {
    private final MethodBook book;
    private final LocalDate day;
    private final Set<String> ids;

    MethodsOfDay(MethodBook book, LocalDate day, Set<String> ids) {
        this.book = book;
        this.day = day;
        this.ids = ids;
    }

    /** The day. */
    public LocalDate day() {
        return day;
    }

    /** The ids of the methods that hold. */
    public Set<String> ids() {
        return ids;
    }

    /** The method of this id; empty when none holds on the day. */
    public Optional<Method> find(String id) {
        return book.find(id, day);
    }

    /**
     * The method of this id.
     *
     * @throws NoMethodVersion when none holds on the day
     */
    public Method of(String id) {
        return book.of(id, day);
    }

    /** All of them. */
    public List<Method> all() {
        return ids.stream().map(this::of).toList();
    }
}
