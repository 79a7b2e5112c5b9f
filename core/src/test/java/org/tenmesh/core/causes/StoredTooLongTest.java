package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.StoredSoil;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** A redo from stored soil replaces a result while the method compares it, and never silently after that. */
final class StoredTooLongTest {
    private static final IgnitionMethod STATED = stated(Bench.LOI);
    private static final MethodBook METHODS = MethodBook.shipping(STATED);
    private static final LabNumber TWICE = Bench.lab(1);
    private static final LabNumber ONCE = Bench.lab(2);

    private static IgnitionMethod stated(IgnitionMethod like) {
        Method.Head head = like.head();
        return new IgnitionMethod(
                new Method.Head(
                        head.id(),
                        head.version(),
                        head.title(),
                        head.summary(),
                        head.sources(),
                        head.analytes(),
                        head.cautions(),
                        head.note(),
                        head.answers(),
                        head.portion(),
                        head.liquid(),
                        head.examples(),
                        head.bench(),
                        Optional.of(new StoredSoil(14, Bench.PRACTICE))),
                105,
                1,
                360,
                14,
                5,
                2,
                10,
                95,
                10,
                0.3,
                new IgnitionMethod.Regression(Bench.VERSION, 1, 0, Bench.PRACTICE));
    }

    private static Run run(String name, int daysLater, double lossPct, LabNumber... soils) {
        Bench bench = new Bench(name, Bench.LOI).weigh(Role.CONTROL, "LOAM", 20, 25, 24.8);
        for (LabNumber soil : soils) {
            bench.weigh(Role.SAMPLE, soil.text(), 20, 25, 25 - 5 * lossPct / 100);
        }
        Run run = bench.run();
        return new Run(
                name, run.method(), run.instrument(), run.operator(), Bench.START.plusDays(daysLater), run.readings());
    }

    private static Day day(int daysLater) {
        return Bench.day(Map.of(), List.of(), run("loi-1", 0, 4.0, TWICE), run("loi-2", daysLater, 4.05, TWICE, ONCE));
    }

    private static Result standing(Day day, JudgedDay judged, MethodBook methods, LabNumber soil) {
        return Standing.of(day, judged, methods).of(soil, STATED.id(), "LOI").orElseThrow();
    }

    @ParameterizedTest
    @CsvSource({"14, loi-2, FIT", "15, loi-1, HOLD"})
    void aRedoReplacesAResultAsLongAsTheMethodComparesStoredSoil(int daysLater, String stands, Verdict redo) {
        Day day = day(daysLater);
        JudgedDay judged = DayJudge.judge(day, METHODS);
        Result chosen = standing(day, judged, METHODS, TWICE);
        assertThat(chosen.run()).isEqualTo(stands);
        assertThat(chosen.verdict()).isEqualTo(Verdict.FIT);
        assertThat(judged.results().stream()
                        .filter(result -> result.run().equals("loi-2"))
                        .map(Result::verdict))
                .containsOnly(redo);
    }

    @Test
    void aLateReadingIsMarkedWithItsReasonAndStandsOnlyHeldWhereNothingElseWasRead() {
        Day day = day(15);
        JudgedDay judged = DayJudge.judge(day, METHODS);
        Cause cause = judged.causes().stream()
                .filter(one -> one.kind() == CauseKind.STORED_TOO_LONG)
                .findFirst()
                .orElseThrow();
        assertThat(cause.labNumbers()).containsExactlyInAnyOrder(TWICE, ONCE);
        assertThat(cause.evidence()).contains("15 days after", "for 14 days", TWICE.text());
        Result once = standing(day, judged, METHODS, ONCE);
        assertThat(once.verdict()).isEqualTo(Verdict.HOLD);
        assertThat(once.causes()).contains(cause.id());
        assertThat(Standing.of(day, judged, METHODS).reasons(day).values())
                .contains("Run loi-1 stands. This reading was held.");
    }

    @Test
    void whereAMethodStatesNoLimitTheLaterReadingStands() {
        Day day = day(400);
        MethodBook silent = MethodBook.shipping(Bench.LOI);
        JudgedDay judged = DayJudge.judge(day, silent);
        assertThat(standing(day, judged, silent, TWICE).run()).isEqualTo("loi-2");
        assertThat(judged.causes()).noneMatch(one -> one.kind() == CauseKind.STORED_TOO_LONG);
    }
}
