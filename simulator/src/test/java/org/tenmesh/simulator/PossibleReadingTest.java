package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** What cannot be read, or reads the same for every soil, is held whatever calibration and control soils say. */
class PossibleReadingTest {
    private static final Day DAY = EditedRuns.day(3, 60);

    private static Run run(String method) {
        return EditedRuns.runs(DAY, method).get(0);
    }

    private static int firstSoil(Run run) {
        int row = 0;
        while (run.readings().role(row) != Role.SAMPLE) {
            row++;
        }
        return run.readings().position(row);
    }

    private static List<Finding> of(RunJudgement judged, CauseKind kind) {
        return judged.findings().stream().filter(one -> one.kind() == kind).toList();
    }

    @ParameterizedTest
    @CsvSource({
        "ph-water-1-1, temperature, 214, 'temperature 214 Cel'",
        "ph-water-1-1, temperature, -21.3, 'temperature -21.3 Cel'",
        "ph-water-1-1, potential, 1200, 'potential 1200 mV'",
        "om-loi-360, dry, -3, 'dry -3 g'",
        "mehlich3-icp, K 766.491, -900000, 'K 766.491 -900000 /s'",
    })
    void holdsASoilWhoseReadingCannotBe(String method, String quantity, double value, String said) {
        Run run = run(method);
        int position = firstSoil(run);
        RunJudgement judged = EditedRuns.judge(
                DAY,
                EditedRuns.edited(
                        run,
                        (at, role, identity, channel, what, was) ->
                                at == position && what.equals(quantity) ? value : was));
        assertThat(of(judged, CauseKind.IMPOSSIBLE_READING)).singleElement().satisfies(one -> {
            assertThat(one.evidence()).isEqualTo("No such reading can be: position " + position + ", " + said + ".");
            assertThat(one.verdict()).isEqualTo(Verdict.HOLD);
        });
        assertThat(judged.determinations().stream()
                        .filter(one -> one.determination().position() == position)
                        .filter(one -> !quantity.startsWith("K ")
                                || one.determination().analyte().equals("K")))
                .isNotEmpty()
                .allMatch(one -> one.verdict() != Verdict.FIT);
    }

    @Test
    void holdsEverySoilOfALineThatStandsStill() {
        Run run = run("mehlich3-icp");
        RunJudgement judged = EditedRuns.judge(
                DAY,
                EditedRuns.edited(
                        run,
                        (at, role, identity, channel, what, was) ->
                                role == Role.SAMPLE && what.startsWith("B ") ? 0 : was));
        assertThat(of(judged, CauseKind.DEAD_LINE))
                .singleElement()
                .satisfies(one -> assertThat(one.analytes()).containsExactly("B"));
        assertThat(judged.determinations().stream()
                        .filter(one -> one.determination().analyte().equals("B")))
                .isNotEmpty()
                .allMatch(one -> one.verdict() != Verdict.FIT);
    }

    @Test
    void holdsTheSoilsOfOneProbeThatStandsStill() {
        Run run = run("ph-water-1-1");
        RunJudgement judged = EditedRuns.judge(
                DAY,
                EditedRuns.edited(
                        run,
                        (at, role, identity, channel, what, was) ->
                                (role == Role.SAMPLE || role == Role.DUPLICATE || role == Role.CONTROL)
                                                && channel.equals("2")
                                                && what.equals("potential")
                                        ? 12.5
                                        : was));
        assertThat(of(judged, CauseKind.DEAD_LINE)).isNotEmpty();
        assertThat(judged.determinations().stream()
                        .filter(one -> one.determination().channel().equals("2")))
                .isNotEmpty()
                .allMatch(one -> one.verdict() != Verdict.FIT);
        assertThat(judged.determinations().stream()
                        .filter(one -> one.determination().channel().equals("1")))
                .anyMatch(one -> one.verdict() == Verdict.FIT);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void saysNothingOfDaysOfEveryMethodOnWhichNothingWentWrong(long seed) {
        Day day = EditedRuns.everyMethod(EditedRuns.seed(seed), 150);
        assertThat(day.runs())
                .allSatisfy(run -> assertThat(EditedRuns.judge(day, run).findings())
                        .noneMatch(one ->
                                one.kind() == CauseKind.IMPOSSIBLE_READING || one.kind() == CauseKind.DEAD_LINE));
    }
}
