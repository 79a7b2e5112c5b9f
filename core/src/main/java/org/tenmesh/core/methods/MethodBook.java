package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;

/**
 * All dated versions of all methods. A method is never looked up by its id alone: with the id goes the day, or the date of the version,
 * so that a version that begins later cannot reach back.
 *
 * <p>The rules:
 * <ul>
 *   <li>A laboratory's own version holds from its date until the next own version of the same method.
 *   <li>An own version of the same date as the one that ships takes its place: of one date there is one version.
 *   <li>The version that ships with the program holds on all days before the first own version, also before its own date: that date
 *       says when its text was made, not when laboratories began to work that way.
 *   <li>A method that does not ship has no version before its first date; asking for one is an error that names both dates.
 * </ul>
 *
 * <p>Immutable; may be used by several threads.
 */
public final class MethodBook {
    private static final Comparator<Method> NEWEST_FIRST =
            Comparator.comparing((Method method) -> method.head().version()).reversed();

    private final Set<String> shippedIds;
    private final Function<String, Method> shipped;
    private final Map<String, List<Method>> own;
    private final Set<String> ids;

    private MethodBook(Set<String> shippedIds, Function<String, Method> shipped, Map<String, List<Method>> own) {
        this.shippedIds = shippedIds;
        this.shipped = shipped;
        this.own = own;
        Set<String> all = new LinkedHashSet<>(shippedIds);
        all.addAll(own.keySet());
        this.ids = Collections.unmodifiableSet(all);
    }

    /**
     * A book of methods that ship, one version each.
     *
     * @param ids in the order of every list of them
     * @param shipped gives the method of an id; called only when a method is needed, always answers with the same one
     */
    public static MethodBook shipping(Collection<String> ids, Function<String, Method> shipped) {
        return new MethodBook(Collections.unmodifiableSet(new LinkedHashSet<>(ids)), shipped, Map.of());
    }

    /** A book of methods that ship, one version each, in the order given. */
    public static MethodBook shipping(Method... methods) {
        Map<String, Method> byId = new LinkedHashMap<>();
        Arrays.stream(methods).forEach(method -> byId.put(method.id(), method));
        return shipping(byId.keySet(), id -> {
            Method method = byId.get(id);
            if (method == null) {
                throw new NoMethodVersion("there is no method " + id);
            }
            return method;
        });
    }

    /**
     * This book with a laboratory's own versions added; methods that are new stand after the others, by id.
     *
     * @throws IllegalArgumentException when a laboratory's version of a method is there twice
     */
    public MethodBook with(Collection<Method> versions) {
        Map<String, List<Method>> all = new TreeMap<>();
        own.forEach((id, known) -> all.put(id, new ArrayList<>(known)));
        Map<String, Method> replaced = new HashMap<>();
        for (Method method : versions) {
            LocalDate date = method.head().version();
            if (ships(method.id())
                    && shipped.apply(method.id()).head().version().equals(date)) {
                replaced.put(method.id(), method);
                continue;
            }
            List<Method> known = all.computeIfAbsent(method.id(), id -> new ArrayList<>());
            if (known.stream().anyMatch(other -> other.head().version().equals(date))) {
                throw new IllegalArgumentException("method " + method.id() + " has its version of " + date + " twice");
            }
            known.add(method);
        }
        all.replaceAll((id, known) -> known.stream().sorted(NEWEST_FIRST).toList());
        all.values().removeIf(List::isEmpty);
        Function<String, Method> first = replaced.isEmpty()
                ? shipped
                : id -> Optional.ofNullable(replaced.get(id)).orElseGet(() -> shipped.apply(id));
        return new MethodBook(shippedIds, first, Collections.unmodifiableMap(all));
    }

    /** The ids of all methods, whatever day they begin on: those that ship in the order given, then the others. */
    public Set<String> ids() {
        return ids;
    }

    /** Whether there is a method of this id on any day. */
    public boolean knows(String id) {
        return ids.contains(id);
    }

    /** Whether a method of this id ships with the program. */
    public boolean ships(String id) {
        return shippedIds.contains(id);
    }

    /** All versions of a method, newest own version first, the shipped one last; none when there is no method of this id. */
    public List<Method> versions(String id) {
        List<Method> versions = new ArrayList<>(own.getOrDefault(id, List.of()));
        if (shippedIds.contains(id)) {
            versions.add(shipped.apply(id));
        }
        return List.copyOf(versions);
    }

    /** The version that holds on a day; empty when there is no method of this id or it begins later. */
    public Optional<Method> find(String id, LocalDate day) {
        for (Method method : own.getOrDefault(id, List.of())) {
            if (!method.head().version().isAfter(day)) {
                return Optional.of(method);
            }
        }
        return shippedIds.contains(id) ? Optional.of(shipped.apply(id)) : Optional.empty();
    }

    /**
     * The version that holds on a day.
     *
     * @throws NoMethodVersion when there is no method of this id, or it begins later
     */
    public Method of(String id, LocalDate day) {
        return find(id, day).orElseThrow(() -> new NoMethodVersion(lacking(id, day)));
    }

    /**
     * The version of a date, such as a result names it.
     *
     * @throws NoMethodVersion when there is no such version
     */
    public Method version(String id, LocalDate version) {
        for (Method method : own.getOrDefault(id, List.of())) {
            if (method.head().version().equals(version)) {
                return method;
            }
        }
        if (ships(id)) {
            Method method = shipped.apply(id);
            if (method.head().version().equals(version)) {
                return method;
            }
        }
        if (!knows(id)) {
            throw new NoMethodVersion("there is no method " + id);
        }
        List<String> dates = versions(id).stream()
                .map(method -> method.head().version().toString())
                .toList();
        throw new NoMethodVersion(
                "method " + id + " has no version of " + version + "; its versions are of " + String.join(", ", dates));
    }

    /** Why {@link #find} is empty, one sentence without its stop. */
    public String lacking(String id, LocalDate day) {
        List<Method> versions = versions(id);
        return versions.isEmpty()
                ? "there is no method " + id
                : "method " + id + " has no version for " + day + "; its first is of "
                        + versions.get(versions.size() - 1).head().version();
    }

    /** What holds on a day. */
    public MethodsOfDay on(LocalDate day) {
        Set<String> holding = new LinkedHashSet<>(ids);
        holding.removeIf(id -> !shippedIds.contains(id) && find(id, day).isEmpty());
        return new MethodsOfDay(day, Collections.unmodifiableSet(holding), id -> find(id, day), id -> lacking(id, day));
    }
}
