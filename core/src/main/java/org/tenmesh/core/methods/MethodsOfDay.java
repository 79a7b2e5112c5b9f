package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.UnaryOperator;

/** The methods that hold on one day, each in the version of that day, in the order of the book. Immutable. */
public final class MethodsOfDay {
    private final LocalDate day;
    private final Set<String> ids;
    private final Function<String, Optional<Method>> holding;
    private final UnaryOperator<String> lacking;

    /**
     * The methods of one day.
     *
     * @param ids of those that hold, in the order of the book
     * @param holding the version of the day of a method; empty when none holds
     * @param lacking why none holds, one sentence without its stop
     */
    MethodsOfDay(
            LocalDate day, Set<String> ids, Function<String, Optional<Method>> holding, UnaryOperator<String> lacking) {
        this.day = day;
        this.ids = ids;
        this.holding = holding;
        this.lacking = lacking;
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
        return holding.apply(id);
    }

    /**
     * The method of this id.
     *
     * @throws NoMethodVersion when none holds on the day
     */
    public Method of(String id) {
        return find(id).orElseThrow(() -> new NoMethodVersion(lacking.apply(id)));
    }

    /** All of them. */
    public List<Method> all() {
        return ids.stream().map(this::of).toList();
    }
}
