package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.causes.Result;

/** Which failed checks people accepted, and who answers for results that are fit only because of that. */
public final class Acceptances {
    private final Map<String, Acted> byCause = new HashMap<>();

    private Acceptances() {}

    static Acceptances of(Rulings rulings, List<ReadElsewhere> elsewhere) {
        Acceptances all = new Acceptances();
        elsewhere.forEach(other -> other.accepted().forEach(one -> all.byCause.put(one.cause(), one)));
        rulings.accepted().forEach(one -> all.byCause.put(one.cause(), one));
        return all;
    }

    /** Who accepted this cause, when and why; empty when nobody did or it has lapsed. */
    public Optional<Acted> of(String cause) {
        return Optional.ofNullable(byCause.get(cause));
    }

    /** What was accepted so that this result is fit, one for each cause; empty for a result that needed none. */
    public List<Acted> of(Result result) {
        List<Acted> of = new ArrayList<>();
        if (result.isAccepted()) {
            result.causes().forEach(cause -> of(cause).ifPresent(of::add));
        }
        return of;
    }

    /** The people who accepted something so that any of these results is fit. */
    public Set<String> people(Collection<Result> results) {
        Set<String> people = new TreeSet<>();
        results.forEach(result -> of(result).forEach(acted -> people.add(acted.actor())));
        return people;
    }

    /**
     * Why this person may not sign a release of these results: some are fit only because the same person accepted a failed check.
     *
     * @param signers everybody who may sign releases here
     * @param nowCalled names that people had when they accepted, each with the one they have now
     * @return one sentence that says who else may; empty when nothing stands against it
     */
    public Optional<String> refusesToSign(
            String person, Collection<Result> results, Collection<String> signers, Map<String, String> nowCalled) {
        Set<String> accepted = new TreeSet<>();
        people(results).forEach(name -> accepted.add(nowCalled.getOrDefault(name, name)));
        if (!accepted.contains(person)) {
            return Optional.empty();
        }
        List<String> others = signers.stream()
                .filter(name -> !accepted.contains(name))
                .sorted()
                .toList();
        return Optional.of(
                "Results of this submission are fit only because you accepted a failed check, and this laboratory"
                        + " asks for a second person to sign then. "
                        + (others.isEmpty()
                                ? "Nobody else here may sign: a second person must be given the right first."
                                : "May sign: " + String.join(", ", others) + "."));
    }
}
