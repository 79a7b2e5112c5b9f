package org.tenmesh.proof.mutate;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** What a mistake changed of what the command says, and whether it said a word about it. */
final class Compared {
    private Compared() {}

    static Seen of(Judged before, Judged after, Optional<String> unbalanced) {
        if (unbalanced.isPresent()) {
            return new Seen(Outcome.UNBALANCED, after.status(), unbalanced.get());
        }
        Optional<String> problem = added(before.problems(), after.problems());
        if (problem.isPresent()) {
            return new Seen(Outcome.REFUSED, after.status(), problem.get());
        }
        Optional<String> word = added(before.causes(), after.causes())
                .or(() -> added(before.notes(), after.notes()))
                .or(() -> added(before.aside(), after.aside()));
        if (word.isPresent()) {
            return new Seen(Outcome.TOLD, after.status(), word.get());
        }
        Set<String> gone = new LinkedHashSet<>(before.results().keySet());
        gone.removeAll(after.results().keySet());
        if (!gone.isEmpty()) {
            return new Seen(
                    Outcome.ROWS_IN_SILENCE,
                    after.status(),
                    gone.size() + " results gone, first " + gone.iterator().next());
        }
        Optional<String> guard =
                added(after.gates(), before.gates()).or(() -> added(after.controls(), before.controls()));
        if (guard.isPresent()) {
            return new Seen(Outcome.GUARD_IN_SILENCE, after.status(), "gone: " + guard.get());
        }
        List<Map.Entry<String, Judged.Answer>> other = after.results().entrySet().stream()
                .filter(one -> one.getValue().verdict().equals("fit"))
                .filter(one -> !one.getValue().equals(before.results().get(one.getKey())))
                .toList();
        if (!other.isEmpty()) {
            String key = other.get(0).getKey();
            Judged.Answer was = before.results().get(key);
            return new Seen(
                    Outcome.VALUES_IN_SILENCE,
                    after.status(),
                    other.size() + " fit results other, first " + key + ": " + (was == null ? "none" : was.reported())
                            + " became " + other.get(0).getValue().reported());
        }
        return new Seen(Outcome.UNCHANGED, after.status(), "");
    }

    private static Optional<String> added(Set<String> before, Set<String> after) {
        return after.stream().filter(one -> !before.contains(one)).findFirst();
    }
}
