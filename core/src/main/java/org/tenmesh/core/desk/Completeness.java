package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/** How what a soil asks for stands, result by result. */
public record Completeness(List<One> all) {
    public Completeness {
        all = List.copyOf(all);
    }

    /** How one result that is asked for stands. */
    public enum State {
        THERE("there"),
        BELOW("below limit"),
        ABOVE("above range"),
        SATURATED("saturated"),
        HELD("held"),
        REDO("to redo"),
        TOO_LITTLE("not enough soil"),
        UNREAD("not read yet"),
        /** Read by a run under way, and nothing guards it yet. */
        WAITS("waits for its run");

        private final String word;

        State(String word) {
            this.word = word;
        }

        public String word() {
            return word;
        }

        /** The verdict's mark where somebody must act; empty text where not. */
        public String mark() {
            return switch (this) {
                case HELD, ABOVE, SATURATED -> "hold";
                case REDO -> "redo";
                default -> "";
            };
        }
    }

    /** One result asked for. */
    public record One(String method, String analyte, State state) {}

    public static Completeness of(Desk desk, Soil soil) {
        Map<String, Result> standing = new LinkedHashMap<>();
        for (Result result : desk.standing(soil.labNumber())) {
            standing.put(result.method() + "." + result.analyte(), result);
        }
        List<One> all = new ArrayList<>();
        Optional<TestPackage> asked = desk.testPackage(soil);
        Waiting waiting = desk.waiting(soil);
        for (String id : desk.methodsAsked(soil)) {
            Method method = desk.methods().find(id).orElse(null);
            if (method == null) {
                continue;
            }
            for (Analyte analyte : method.head().analytes()) {
                if (asked.flatMap(p -> p.of(id))
                        .filter(a -> !a.asks(analyte.symbol()))
                        .isPresent()) {
                    continue;
                }
                Result result = standing.remove(id + "." + analyte.symbol());
                State state = result != null
                        ? waiting.waits(result)
                                ? State.UNREAD
                                : desk.waitsForItsRun(result) ? State.WAITS : state(result)
                        : desk.tooLittleFor(soil.labNumber(), id) ? State.TOO_LITTLE : State.UNREAD;
                all.add(new One(id, analyte.symbol(), state));
            }
        }
        if (asked.isEmpty()) {
            standing.values().forEach(r -> all.add(new One(r.method(), r.analyte(), state(r))));
        }
        return new Completeness(all);
    }

    public static State state(Result result) {
        if (result.amount() instanceof Amount.NotEnoughSoil) {
            return State.TOO_LITTLE;
        }
        if (result.unread()) {
            return State.UNREAD;
        }
        if (result.amount() instanceof Amount.Saturated) {
            return State.SATURATED;
        }
        if (result.amount() instanceof Amount.Above) {
            return State.ABOVE;
        }
        if (result.verdict() != Verdict.FIT) {
            return result.verdict() == Verdict.REDO ? State.REDO : State.HELD;
        }
        return result.amount() instanceof Amount.Below ? State.BELOW : State.THERE;
    }

    /** How many stand how; only what occurs. */
    public Map<State, Integer> counts() {
        Map<State, Integer> counts = new EnumMap<>(State.class);
        all.forEach(one -> counts.merge(one.state(), 1, Integer::sum));
        return counts;
    }
}
