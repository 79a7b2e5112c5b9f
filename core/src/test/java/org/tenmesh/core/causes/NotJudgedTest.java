package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;

/**
 * What stops in the middle costs its own question and never the day. A part is stopped by handing in, as what was made before, a piece of
 * another kind under its key: whoever takes it fails.
 */
class NotJudgedTest {
    private static final Day DAY = new TwoMethods(7).control(50, "LOAM", "LOAM").day();
    private static final DayStage WHOLE = DayJudge.judge(DAY, Bench.METHODS, EarlierSoils.NONE, Stages.NONE);

    private static JudgedDay judgedWithout(Predicate<Object> piece) {
        Map<String, Object> pieces = new HashMap<>();
        WHOLE.stages().pieces().forEach((key, made) -> {
            if (!(made instanceof JudgedDay)) {
                pieces.put(key, piece.test(made) ? "no piece of the judge" : made);
            }
        });
        assertThat(pieces.values()).as("something is stopped").contains("no piece of the judge");
        return DayJudge.judge(DAY, Bench.METHODS, EarlierSoils.NONE, new Stages(pieces, Map.of()))
                .judged();
    }

    static Stream<Class<?>> parts() {
        return WHOLE.stages().pieces().values().stream()
                .<Class<?>>map(Object::getClass)
                .filter(kind -> kind != JudgedDay.class && kind != References.class)
                .distinct();
    }

    private static List<Cause> notJudged(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.NOT_JUDGED)
                .toList();
    }

    @ParameterizedTest
    @MethodSource("parts")
    void whateverStopsIsToldWithItsReasonAndHoldsWhatItWasToBeAskedOf(Class<?> part) {
        JudgedDay judged = judgedWithout(part::isInstance);

        assertThat(notJudged(judged)).isNotEmpty().allSatisfy(cause -> {
            assertThat(cause.evidence())
                    .startsWith("The program could not find out whether ")
                    .contains("ClassCastException");
            assertThat(cause.verdict()).isEqualTo(Verdict.HOLD);
            assertThat(cause.samples()).isPositive();
        });
        Set<String> ids = notJudged(judged).stream().map(Cause::id).collect(Collectors.toSet());
        assertThat(judged.results())
                .filteredOn(result -> result.verdict() == Verdict.FIT)
                .allMatch(result -> result.causes().stream().noneMatch(ids::contains));
        // Nothing that was asked for is lost.
        assertThat(judged.results().stream().map(ResultKey::of))
                .containsExactlyInAnyOrderElementsOf(
                        WHOLE.judged().results().stream().map(ResultKey::of).toList());
    }

    @Test
    void aRunThatCannotBeJudgedLeavesTheOthersAsTheyAre() {
        JudgedDay judged =
                judgedWithout(made -> made instanceof RunStage run && run.name().equals("loi-1"));

        assertThat(judged.results())
                .filteredOn(result -> result.run().equals("icp-1"))
                .isEqualTo(WHOLE.judged().results().stream()
                        .filter(result -> result.run().equals("icp-1"))
                        .toList());
        assertThat(judged.results())
                .filteredOn(result -> result.run().equals("loi-1"))
                .hasSize(2 * TwoMethods.SOILS)
                .noneMatch(result -> result.amount() instanceof Amount.Measured)
                .noneMatch(result -> result.verdict() == Verdict.FIT);
    }

    @Test
    void numbersStayAsTheyAreWhereOnlyTheComparisonOfMethodsStops() {
        JudgedDay judged = judgedWithout(made -> made instanceof Agreement);

        assertThat(judged.results().stream().map(Result::amount))
                .isEqualTo(WHOLE.judged().results().stream().map(Result::amount).toList());
        assertThat(judged.results()).allMatch(result -> result.verdict() == Verdict.HOLD);
        assertThat(judged.gates()).isEqualTo(WHOLE.judged().gates());
    }

    @Test
    void sayingSoIsTheSameWhateverThreadsDo() {
        assertThat(judgedWithout(made -> made instanceof Agreement))
                .isEqualTo(judgedWithout(made -> made instanceof Agreement));
    }
}
