package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.Verdict;

/** What people decided about the causes of one judged day, and its results as they count then. */
public final class Rulings {
    private final Map<String, Decision> decisions = new HashMap<>();
    private final List<Lapsed> lapsed = new ArrayList<>();
    private final List<Result> results;

    /** What was last decided about a cause's determinations, while it stands. */
    public record Decision(Action action, Acted acted) {}

    /**
     * A decision that no longer stands, because what it was about has changed: it allows nothing.
     *
     * @param changed what has changed, in words
     */
    public record Lapsed(Acted acted, String changed) {}

    private Rulings(JudgedDay judged, List<Acted> acted) {
        Map<String, Acted> last = new LinkedHashMap<>();
        for (Acted one : acted) {
            switch (one.action()) {
                case ORDER_REDO, ACCEPT -> last.put(one.cause(), one);
                case WITHDRAW -> last.remove(one.cause());
                case SHUT_GATE, OPEN_GATE -> {}
            }
        }
        last.forEach((cause, one) -> one.grounds()
                .lapsed(judged.causes())
                .ifPresentOrElse(
                        changed -> lapsed.add(new Lapsed(one, changed)),
                        () -> decisions.put(cause, new Decision(one.action(), one))));
        results = decisions.values().stream().anyMatch(d -> d.action() == Action.ACCEPT)
                ? judged.results().stream()
                        .map(r -> letStand(r) ? r.with(Verdict.FIT) : r)
                        .toList()
                : judged.results();
    }

    /**
     * Holds decisions against a judged day.
     *
     * @param acted what people did about its causes, oldest first
     */
    public static Rulings of(JudgedDay judged, List<Acted> acted) {
        return new Rulings(judged, acted);
    }

    /** Whether every cause that touches it was accepted and there is something to let stand. */
    private boolean letStand(Result result) {
        return result.verdict() != Verdict.FIT
                && !result.causes().isEmpty()
                && !result.reported().isEmpty()
                && result.causes().stream().allMatch(this::isAccepted);
    }

    private boolean isAccepted(String cause) {
        return decision(cause).filter(d -> d.action() == Action.ACCEPT).isPresent();
    }

    /** The decision that stands about a cause. */
    public Optional<Decision> decision(String cause) {
        return Optional.ofNullable(decisions.get(cause));
    }

    /** The acceptances that stand. */
    List<Acted> accepted() {
        return decisions.values().stream()
                .filter(decision -> decision.action() == Action.ACCEPT)
                .map(Decision::acted)
                .toList();
    }

    /** Decisions that have lapsed, oldest first. */
    public List<Lapsed> lapsed() {
        return List.copyOf(lapsed);
    }

    /** The results of the judged day, those under accepted causes alone counted as fit. */
    public List<Result> results() {
        return results;
    }
}
