package org.tenmesh.core.derived;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Supplier;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.DerivedMethod;

/**
 * What was derived of each soil, with all that it was derived from: as long as that is equal, to the last bit of its numbers, it is not
 * calculated a second time. Handed from one derivation to the next; whether it is changes nothing but the time it takes.
 *
 * <p>May be used by several threads. Holds one list for each lab number, the one made last.
 */
public final class DerivedSoils {
    /**
     * What all soils of a day have in common.
     *
     * @param methods that calculate, in their order
     * @param needed by package the ids of derived methods that it rests on
     */
    record Rules(List<DerivedMethod> methods, Map<TestPackage, Set<String>> needed) {}

    /** Everything else that the results of one soil are derived from. */
    record Given(LabNumber labNumber, Optional<Soil> soil, Optional<TestPackage> wanted, List<Result> results) {}

    private record Derived(Given from, List<Result> results) {}

    /** By one set of rules. */
    final class Under {
        private final Rules rules;
        private final Map<LabNumber, Derived> soils = new ConcurrentHashMap<>();

        private Under(Rules rules) {
            this.rules = rules;
        }

        /** The derived results of a soil. */
        List<Result> of(Given given, Supplier<List<Result>> calculating) {
            Derived before = soils.get(given.labNumber());
            if (before != null && before.from().equals(given)) {
                return before.results();
            }
            List<Result> results = List.copyOf(calculating.get());
            soils.put(given.labNumber(), new Derived(given, results));
            calculated.incrementAndGet();
            return results;
        }
    }

    private final AtomicInteger calculated = new AtomicInteger();
    private volatile Under last = new Under(new Rules(List.of(), Map.of()));

    /** Nothing was derived yet. */
    public DerivedSoils() {}

    Under under(Rules rules) {
        Under known = last;
        if (!known.rules.equals(rules)) {
            known = new Under(rules);
            last = known;
        }
        return known;
    }

    /** How many soils were calculated, not taken. */
    public int calculated() {
        return calculated.get();
    }
}
