package org.tenmesh.core.bench;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.tenmesh.core.methods.BenchStep.Doing;

final class BenchWorkTest {
    private static final Instant AT = Instant.parse("2026-11-25T09:00:00Z");
    private static final Subject TRAY = Subject.tray("2026-11-25", "T0001");
    private static final Path EXTRACT = path(
            "mehlich3",
            Instant.MIN,
            step("mehlich3.scoop", Doing.SCOOP, Duration.ZERO),
            step("mehlich3.pour", Doing.POUR, Duration.ZERO),
            step("mehlich3.shake", Doing.SHAKE, Duration.ofMinutes(5)),
            step("mehlich3.filter", Doing.FILTER, Duration.ZERO),
            read("mehlich3.mehlich3-icp.read", "mehlich3-icp"));
    private static final Path ASH = path(
            "ignition",
            Instant.MIN,
            step("ignition.scoop", Doing.SCOOP, Duration.ZERO),
            step("ignition.furnace", Doing.FURNACE, Duration.ofHours(16)),
            read("ignition.om.read", "om"));

    private final List<BenchAct> acts = new ArrayList<>();

    private static Path path(String name, Instant since, Step... steps) {
        return new Path(name, name, List.of(steps), since);
    }

    private static Step step(String key, Doing doing, Duration lasts) {
        return new Step(key, doing, key, "", lasts, Optional.empty(), List.of());
    }

    private static Step read(String key, String method) {
        return new Step(key, Doing.READ, key, "", Duration.ZERO, Optional.of(method), List.of());
    }

    private BenchAct note(String step, BenchAct.What what, String about) {
        Instant at = AT.plusSeconds(acts.size());
        BenchAct act = new BenchAct("id-" + acts.size(), TRAY, step, what, about, "", "A. Bench", "d", at, at);
        acts.add(act);
        return act;
    }

    private String now(Path... paths) {
        return BenchWork.of(List.of(paths), (path, step) -> false, acts)
                .now()
                .map(line -> line.step().key() + " " + line.state())
                .orElse("nothing");
    }

    @Test
    void goesFromStepToStep() {
        assertThat(now(EXTRACT)).isEqualTo("mehlich3.scoop WAITS");
        note("mehlich3.scoop", BenchAct.What.DONE, "");
        assertThat(now(EXTRACT)).isEqualTo("mehlich3.pour WAITS");
        note("mehlich3.pour", BenchAct.What.DONE, "");
        BenchAct begun = note("mehlich3.shake", BenchAct.What.BEGUN, "");
        BenchWork work = BenchWork.of(List.of(EXTRACT), (path, step) -> false, acts);
        assertThat(work.now().orElseThrow().state()).isEqualTo(BenchWork.State.RUNS);
        assertThat(work.now().orElseThrow().over()).contains(begun.deviceAt().plus(Duration.ofMinutes(5)));
        note("mehlich3.shake", BenchAct.What.DONE, "");
        note("mehlich3.filter", BenchAct.What.DONE, "");
        assertThat(now(EXTRACT)).isEqualTo("mehlich3.mehlich3-icp.read WAITS");
        note("mehlich3.mehlich3-icp.read", BenchAct.What.DONE, "ICP1");
        assertThat(now(EXTRACT)).isEqualTo("nothing");
    }

    @Test
    void takesAnotherPortionWhileTheFurnaceIsHotAndWaitsForTheShaker() {
        note("ignition.scoop", BenchAct.What.DONE, "");
        note("ignition.furnace", BenchAct.What.BEGUN, "");
        assertThat(now(ASH, EXTRACT)).isEqualTo("mehlich3.scoop WAITS");
        assertThat(now(ASH)).isEqualTo("ignition.furnace RUNS");
        note("mehlich3.scoop", BenchAct.What.DONE, "");
        note("mehlich3.pour", BenchAct.What.DONE, "");
        note("mehlich3.shake", BenchAct.What.BEGUN, "");
        assertThat(now(ASH, EXTRACT)).isEqualTo("mehlich3.shake RUNS");
    }

    @Test
    void tellsWhatComesBeforeAndCountsALaterStepForTheEarlierOnes() {
        BenchWork fresh = BenchWork.of(List.of(EXTRACT), (path, step) -> false, acts);
        assertThat(fresh.missingBefore("mehlich3.filter"))
                .extracting(Step::key)
                .containsExactly("mehlich3.scoop", "mehlich3.pour", "mehlich3.shake");
        note("mehlich3.filter", BenchAct.What.DONE, "");
        BenchWork work = BenchWork.of(List.of(EXTRACT), (path, step) -> false, acts);
        assertThat(work.now().orElseThrow().step().key()).isEqualTo("mehlich3.mehlich3-icp.read");
        assertThat(work.line("mehlich3.scoop").orElseThrow().state()).isEqualTo(BenchWork.State.PASSED);
    }

    @Test
    void needsNoNoteOfWhatWasRead() {
        BenchWork work = BenchWork.of(List.of(EXTRACT), (path, step) -> step.reads(), acts);
        assertThat(work.now()).isEmpty();
        assertThat(work.lines()).extracting(BenchWork.Line::state).containsOnly(BenchWork.State.PASSED);
    }

    @Test
    void beginsAgainAfterAnOrder() {
        for (Step step : EXTRACT.steps()) {
            note(step.key(), BenchAct.What.DONE, "");
        }
        assertThat(now(EXTRACT)).isEqualTo("nothing");
        Path again = path("mehlich3", AT.plusSeconds(60), EXTRACT.steps().toArray(Step[]::new));
        assertThat(now(again, EXTRACT)).isEqualTo("mehlich3.scoop WAITS");
    }

    @Test
    void takesBackOneActOrTheLastStepOfTheWrongTray() {
        BenchAct first = note("mehlich3.scoop", BenchAct.What.DONE, "");
        note("mehlich3.pour", BenchAct.What.DONE, "");
        note("", BenchAct.What.WRONG_TRAY, "");
        assertThat(now(EXTRACT)).isEqualTo("mehlich3.pour WAITS");
        note("", BenchAct.What.TAKEN_BACK, first.id());
        assertThat(now(EXTRACT)).isEqualTo("mehlich3.scoop WAITS");
    }

    /** What was taken back already is not found again: neither by its number nor as the last step. */
    @Test
    void countsWhatNoLaterActTookBack() {
        note("mehlich3.scoop", BenchAct.What.BEGUN, "");
        BenchAct poured = note("mehlich3.pour", BenchAct.What.DONE, "");
        BenchAct spilt = note("mehlich3.pour", BenchAct.What.SPILT, "26329-0417-K");
        BenchAct shaken = note("mehlich3.shake", BenchAct.What.DONE, "");
        BenchAct takesShaken = note("", BenchAct.What.TAKEN_BACK, shaken.id());
        note("", BenchAct.What.TAKEN_BACK, shaken.id());
        note("", BenchAct.What.TAKEN_BACK, "id of no act");
        BenchAct wrong = note("", BenchAct.What.WRONG_TRAY, "");
        note("", BenchAct.What.TAKEN_BACK, poured.id());
        BenchAct wrongAgain = note("", BenchAct.What.WRONG_TRAY, "");
        note("", BenchAct.What.WRONG_TRAY, "");
        BenchAct pouredLater = note("mehlich3.pour", BenchAct.What.DONE, "");
        assertThat(BenchWork.counted(acts)).containsExactly(spilt, pouredLater);
        assertThat(BenchWork.takenBack(acts))
                .containsExactly(
                        new BenchWork.TakenBack(shaken, takesShaken),
                        new BenchWork.TakenBack(poured, wrong),
                        new BenchWork.TakenBack(acts.get(0), wrongAgain));
    }

    /** A year of racks and mills: with a look through all that was noted before for each note it took minutes. */
    @Test
    @Timeout(value = 30, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
    void countsAYearOfNotesOfWhichManyWereTakenBack() {
        for (int i = 0; i < 150_000; i++) {
            BenchAct done = note("rack.grind", BenchAct.What.DONE, "MILL-1");
            note("rack.grind", BenchAct.What.DONE, "MILL-1");
            note("", BenchAct.What.TAKEN_BACK, done.id());
        }
        assertThat(BenchWork.counted(acts)).hasSize(150_000);
    }

    @Test
    void namesEachSpiltPortionOnce() {
        note("mehlich3.pour", BenchAct.What.SPILT, "26329-0417-K");
        note("mehlich3.shake", BenchAct.What.SPILT, "26329-0417-K");
        BenchAct other = note("ignition.scoop", BenchAct.What.SPILT, "26329-0417-K");
        note("ignition.scoop", BenchAct.What.SPILT, "26329-0418-M");
        note("", BenchAct.What.TAKEN_BACK, other.id());
        assertThat(BenchWork.spilt(acts))
                .extracting(act -> act.about() + " " + BenchWork.portion(act.step()))
                .containsExactly("26329-0417-K mehlich3", "26329-0418-M ignition");
    }
}
