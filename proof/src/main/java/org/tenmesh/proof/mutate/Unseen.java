package org.tenmesh.proof.mutate;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;

/**
 * Changes that stay silent because nobody who has the folder alone could see them. Each rule says which mistakes it covers, what they may
 * change, and why; {@code docs/validation/mistakes.md} shows the rules as they stand here.
 */
final class Unseen {
    /**
     * One rule.
     *
     * @param where the file and field, for people
     * @param covers which mistakes
     * @param outcomes what they may come to in silence
     */
    record Rule(String where, Predicate<Mutation> covers, Set<Outcome> outcomes, String reason) {}

    static final List<Rule> RULES = List.of(
            new Rule(
                    "packages.csv, rows and columns",
                    one -> one.file().equals("packages.csv"),
                    Set.of(Outcome.ROWS_IN_SILENCE, Outcome.VALUES_IN_SILENCE),
                    "The package asks for less, or for something else that is known. What is calculated for it is then not asked for; what a run has"
                            + " read is judged all the same, and what a package asks for and nobody read is told"),
            new Rule(
                    "samples.csv and submissions.csv, package",
                    one -> Set.of("samples.csv", "submissions.csv").contains(one.file()),
                    Set.of(Outcome.ROWS_IN_SILENCE),
                    "Another known package was asked for, or another submission of one: what is calculated follows what is asked for"),
            new Rule(
                    "submissions.csv, package that is left out",
                    one -> one.file().equals("submissions.csv") && one.field().equals("package"),
                    Set.of(Outcome.VALUES_IN_SILENCE),
                    "A submission need not name a package: everything that was read is then calculated and reported, so that more is said and nothing"
                            + " is lost"),
            new Rule(
                    "samples.csv, depth and other fields",
                    one -> one.file().equals("samples.csv"),
                    Set.of(Outcome.VALUES_IN_SILENCE),
                    "Another possible depth, client or matter is as good a statement as the one before; only what is calculated from it changes"),
            new Rule(
                    "readings, value",
                    one -> one.kindOfFile().equals("readings") && one.field().equals("value"),
                    Set.of(Outcome.VALUES_IN_SILENCE),
                    "A possible number stands for another. One soil read once shows nothing else; calibration, check solutions, blanks, control"
                            + " soils, duplicates and the soil's other results show what is larger than their limits"),
            new Rule(
                    "readings, rows",
                    one -> one.kindOfFile().equals("readings"),
                    Set.of(Outcome.GUARD_IN_SILENCE, Outcome.VALUES_IN_SILENCE),
                    "A run that ends, begins or goes on with one standard, blank or control soil less, or with two readings exchanged that were"
                            + " read one after the other, is a possible run as long as every gate still has what it must have"),
            new Rule(
                    "materials.csv, standards.csv",
                    one -> Set.of("materials.csv", "standards.csv").contains(one.file()),
                    Set.of(Outcome.VALUES_IN_SILENCE, Outcome.GUARD_IN_SILENCE),
                    "Another possible content, tolerance or number of results is what the laboratory states; it is the source, and calibration and"
                            + " control soils show it only beyond their limits"),
            new Rule(
                    "laboratory.yaml",
                    one -> one.file().equals("laboratory.yaml"),
                    Set.of(Outcome.VALUES_IN_SILENCE),
                    "Every key has a default, so that one that is not there is a choice"),
            new Rule(
                    "runs.csv",
                    one -> one.file().equals("runs.csv"),
                    Set.of(Outcome.VALUES_IN_SILENCE),
                    "Another instrument, person or start within a few hours is a possible one"));

    private Unseen() {}

    /** Why nobody could see it; empty where the program should have said a word. */
    static Optional<String> reason(Mutation mutation, Outcome outcome) {
        return RULES.stream()
                .filter(rule ->
                        rule.outcomes().contains(outcome) && rule.covers().test(mutation))
                .map(Rule::reason)
                .findFirst();
    }
}
