package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/** One event is one cause, and its key is made of what it touches. */
class EventsTest {
    private static final Day DAY = Bench.day(Map.of(), List.of());

    private final List<Result> results = new ArrayList<>();
    private final List<Found> found = new ArrayList<>();

    private static LabNumber lab(int serial) {
        return new LabNumber("26329-%04d-X".formatted(serial));
    }

    /** One finding that touches these soils, each at the position of its serial number; 0 for one that was not read. */
    private EventsTest found(
            String name,
            CauseKind kind,
            Verdict verdict,
            String run,
            String method,
            String channel,
            boolean ofTheDay,
            int... serials) {
        int first = serials.length == 0 ? 0 : serials[0];
        int last = serials.length == 0 ? 0 : serials[serials.length - 1];
        found.add(new Found(
                name,
                kind,
                verdict,
                run,
                method,
                List.of("K"),
                first,
                last,
                ofTheDay ? "The same of all." : "Evidence of " + name + ".",
                "Read again.",
                OptionalDouble.empty(),
                Optional.empty(),
                List.of(),
                ofTheDay));
        for (int serial : serials) {
            touch(name, verdict, run, method, channel, serial, 100 + serial);
        }
        return this;
    }

    private void touch(
            String name, Verdict verdict, String run, String method, String channel, int serial, double value) {
        for (int i = 0; i < results.size(); i++) {
            Result result = results.get(i);
            if (result.run().equals(run) && result.labNumber().equals(lab(serial))) {
                results.set(i, result.heldBy(name));
                return;
            }
        }
        results.add(new Result(
                lab(serial),
                method,
                LocalDate.of(2026, 1, 1),
                "K",
                run,
                serial,
                channel,
                new Amount.Measured(value, Unit.MILLIGRAM_PER_KILOGRAM),
                Double.toString(value),
                OptionalDouble.empty(),
                verdict,
                List.of(name)));
    }

    private Events.Keyed keyed() {
        return Events.keyed(DAY, new Judging(results, found));
    }

    @Test
    void makesOneCauseOfADriftThatRedoesOneStretchAndHoldsAnother() {
        found("a", CauseKind.DRIFT, Verdict.HOLD, "ICP1", "icp", "", false, 1, 2, 3, 4);
        found("b", CauseKind.DRIFT, Verdict.REDO, "ICP1", "icp", "", false, 3, 4);

        Events.Keyed keyed = keyed();

        assertThat(keyed.causes()).singleElement().satisfies(cause -> {
            assertThat(cause.verdict()).isEqualTo(Verdict.REDO);
            assertThat(cause.stretches()).extracting(Stretch::verdict).containsExactly(Verdict.REDO, Verdict.HOLD);
            assertThat(cause.samples()).isEqualTo(4);
            assertThat(cause.firstPosition()).isEqualTo(1);
            assertThat(cause.lastPosition()).isEqualTo(4);
            assertThat(cause.evidence()).isEqualTo("Evidence of b. Evidence of a.");
            assertThat(keyed.results()).allMatch(result -> result.causes().equals(List.of(cause.id())));
        });
    }

    @Test
    void joinsStretchesOfOneChannelThatAdjoinAndNoOthers() {
        found("a", CauseKind.CONTROL_FAILED, Verdict.HOLD, "PH1", "ph", "1", false, 1, 3);
        found("b", CauseKind.CONTROL_FAILED, Verdict.REDO, "PH1", "ph", "1", false, 5, 7);
        found("c", CauseKind.CONTROL_FAILED, Verdict.REDO, "PH1", "ph", "2", false, 8, 10);
        found("d", CauseKind.CONTROL_FAILED, Verdict.REDO, "PH1", "ph", "1", false, 12, 14);

        assertThat(keyed().causes())
                .extracting(Cause::samples)
                .as("a and b adjoin; c is another channel; a soil lies between b and d")
                .containsExactlyInAnyOrder(4, 2, 2);
    }

    @Test
    void makesOneCauseOfATrayTurnedForTwoMethods() {
        found("a", CauseKind.TRAY_TURNED, Verdict.REDO, "ICP1", "icp", "", true, 1, 2, 3, 4);
        found("b", CauseKind.TRAY_TURNED, Verdict.HOLD, "LOI1", "loi", "", true, 1, 2, 3);
        found("c", CauseKind.TRAY_TURNED, Verdict.HOLD, "PH1", "ph", "", true, 11, 12, 13);

        assertThat(keyed().causes()).hasSize(2).first().satisfies(cause -> {
            assertThat(cause.methods()).containsExactly("icp", "loi");
            assertThat(cause.runs()).containsExactly("ICP1", "LOI1");
            assertThat(cause.samples()).isEqualTo(4);
            assertThat(cause.touched()).hasSize(7);
        });
    }

    @Test
    void makesOneCauseOfAProbeThatDiffersInSeveralRuns() {
        found("a", CauseKind.CHANNEL_BIAS, Verdict.HOLD, "PH1", "ph", "2", true, 1, 5);
        found("b", CauseKind.CHANNEL_BIAS, Verdict.HOLD, "PH2", "ph", "2", true, 21, 25, 29);

        assertThat(keyed().causes()).singleElement().satisfies(cause -> {
            assertThat(cause.run()).isEqualTo("PH2");
            assertThat(cause.key().place()).isEqualTo("PH1+1");
            assertThat(cause.evidence()).isEqualTo("The same of all.");
            assertThat(cause.samples()).isEqualTo(5);
        });
    }

    @Test
    void givesAKeyThatNoOtherCauseChanges() {
        found("a", CauseKind.NEIGHBOURS_EXCHANGED, Verdict.HOLD, "ICP1", "icp", "", true, 129, 130);
        String before = keyed().causes().get(0).id();

        found("0", CauseKind.NEIGHBOURS_EXCHANGED, Verdict.REDO, "ICP1", "icp", "", true, 62, 63);
        found("b", CauseKind.OVER_RANGE, Verdict.HOLD, "LOI1", "loi", "", false, 129);

        assertThat(keyed().causes())
                .filteredOn(cause -> cause.labNumbers().contains(lab(129)) && cause.kind() != CauseKind.OVER_RANGE)
                .extracting(Cause::id)
                .containsExactly(before);
        assertThat(keyed().causes()).extracting(Cause::id).doesNotHaveDuplicates();
        assertThat(CauseKey.of(before).map(CauseKey::text)).contains(before);
    }

    @Test
    void givesAnotherKeyWhenADeterminationMoreIsTouched() {
        found("a", CauseKind.BLANK_HIGH, Verdict.REDO, "ICP1", "icp", "", false, 1, 2);
        Cause before = keyed().causes().get(0);
        touch("a", Verdict.REDO, "ICP1", "icp", "", 3, 103);

        Cause after = keyed().causes().get(0);

        assertThat(after.key()).isNotEqualTo(before.key());
        assertThat(Grounds.of(before).lapsed(List.of(after)))
                .contains("It touches other results now: 2 lab numbers then, 3" + " lab numbers now, as " + after.id()
                        + ".");
    }

    @Test
    void keepsTheKeyAndGivesOtherEvidenceWhenANumberChanges() {
        found("a", CauseKind.BLANK_HIGH, Verdict.REDO, "ICP1", "icp", "", false, 1, 2);
        Cause before = keyed().causes().get(0);
        assertThat(Grounds.of(before).lapsed(keyed().causes())).isEmpty();
        results.remove(1);
        touch("a", Verdict.REDO, "ICP1", "icp", "", 2, 102.5);

        Cause after = keyed().causes().get(0);

        assertThat(after.key()).isEqualTo(before.key());
        assertThat(after.evidenceDigest()).isNotEqualTo(before.evidenceDigest());
        assertThat(Grounds.of(before).hold(after)).isFalse();
        assertThat(Grounds.of(before).lapsed(List.of(after))).isPresent();
    }

    @Test
    void keepsApartWhatTouchesNobodyByWhatItSays() {
        found("a", CauseKind.CONTROL_MATERIAL_MISTAKEN, Verdict.FIT, "ICP1", "icp", "", false);
        found("b", CauseKind.CONTROL_MATERIAL_MISTAKEN, Verdict.FIT, "ICP1", "icp", "", false);

        assertThat(keyed().causes()).hasSize(2).extracting(Cause::id).doesNotHaveDuplicates();
    }

    @Test
    void refusesAResultThatNamesWhatWasNotFound() {
        found("a", CauseKind.DRIFT, Verdict.HOLD, "ICP1", "icp", "", false, 1);
        found.clear();

        assertThatThrownBy(this::keyed)
                .isInstanceOf(IllegalStateException.class)
                .hasMessageContaining("names a");
    }
}
