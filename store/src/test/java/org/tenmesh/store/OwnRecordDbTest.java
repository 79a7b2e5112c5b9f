package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.causes.OwnRecord.Became;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.redo.Answer;

/** A day is judged by the record of the days before it, as it stood when the day was first judged, and by nothing that was answered later. */
@Execution(ExecutionMode.SAME_THREAD)
final class OwnRecordDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30Z");
    private static final LocalDate FIRST = LocalDate.of(1990, 3, 5);
    private static final Day DAY = InventedDay.of(20);

    private final Store store = OpenStore.get();

    @Test
    void aRecordIsFixedOnceAndStays() throws Exception {
        String first = OpenStore.freshDay(FIRST);
        OpenStore.take(store, DAY, first, OpenStore.freshDigest(), "M. Whelan");
        assertThat(store.ownRecord(first)).as("nothing was before it").isEqualTo(OwnRecord.NONE);
        store.keepJudgement(first, "key 1", JUDGED);
        answer(first, Answer.Said.CONFIRMED);

        String second = OpenStore.freshDay(FIRST.plusDays(1));
        OpenStore.take(store, DAY, second, OpenStore.freshDigest(), "M. Whelan");
        OwnRecord fixed = store.ownRecord(second);
        // Soils of clients that have a fit number, one method; a cause that touches no result is none that could be
        // answered.
        int soils = (int) DAY.soils().stream()
                .filter(soil -> soil.submission().isPresent())
                .count();
        assertThat(soils).isPositive();
        assertThat(fixed)
                .isEqualTo(new OwnRecord(List.of(new OwnRecord.OfDay(
                        FIRST,
                        soils,
                        // Its run started on another date and belongs to that.
                        0,
                        Map.of(
                                CauseKind.TRAYS_EXCHANGED, new Became(1, 0, 0),
                                CauseKind.PORTION_WRONG, new Became(0, 0, 1)),
                        1))));
        assertThat(store.journal(1).get(0).what()).isEqualTo("own-record-fixed");
        assertThat(store.journal(1).get(0).subject()).isEqualTo(second);

        answer(first, Answer.Said.REFUTED);
        assertThat(store.ownRecord(second))
                .as("what is answered later is for later days")
                .isEqualTo(fixed);
        assertThat(store.ownRecord(first)).isEqualTo(OwnRecord.NONE);
        String third = OpenStore.freshDay(FIRST.plusDays(2));
        OpenStore.take(store, DAY, third, OpenStore.freshDigest(), "M. Whelan");
        assertThat(store.ownRecord(third).days().get(0).causes().get(CauseKind.TRAYS_EXCHANGED))
                .isEqualTo(new Became(0, 1, 0));
        assertThat(ofRecords()).isEmpty();
        assertThatThrownBy(() -> OpenStore.run(store, "delete from causes.own_record"))
                .hasMessageContaining("own_record");
    }

    @Test
    void aDayJudgedBeforeRecordsWereKeptHasNone() {
        String before = OpenStore.freshDay(FIRST.minusDays(10));
        OpenStore.take(store, DAY, before, OpenStore.freshDigest(), "M. Whelan");
        store.keepJudgement(before, "key 2", JUDGED);
        String day = OpenStore.freshDay(FIRST.minusDays(9));
        OpenStore.take(store, DAY, day, OpenStore.freshDigest(), "M. Whelan");
        store.keepJudgement(day, "key 3", JUDGED);
        long journal = store.journal(1).get(0).seq();
        assertThat(store.ownRecord(day)).isEqualTo(OwnRecord.NONE);
        assertThat(store.journal(1).get(0).seq()).as("nothing is fixed for it").isEqualTo(journal);
        assertThat(store.ownRecord("no such day")).isEqualTo(OwnRecord.NONE);
    }

    @Test
    void aRecordPutInOutsideTheProgramIsFound() throws Exception {
        String day = OpenStore.freshDay(FIRST.minusDays(20));
        OpenStore.take(store, DAY, day, OpenStore.freshDigest(), "M. Whelan");
        String says =
                "{\"days\":1,\"kinds\":{\"trays-exchanged\":\"90/0/0\"},\"last\":\"1990-01-01\",\"runs\":1,\"soils\":1}";
        OpenStore.run(
                store,
                "insert into causes.own_record select id, '" + says + "', now() from intake.day where name = '" + day
                        + "'");
        assertThat(ofRecords()).singleElement().asString().contains(day).contains("put in outside the program");
        OpenStore.run(
                store,
                "alter table causes.own_record disable trigger own_record_stays",
                "delete from causes.own_record where day = (select id from intake.day where name = '" + day + "')",
                "alter table causes.own_record enable trigger own_record_stays");
        assertThat(ofRecords()).isEmpty();
    }

    private List<String> ofRecords() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains("own record"))
                .toList();
    }

    private void answer(String day, Answer.Said said) {
        store.keepAnswers(
                day,
                List.of(new Answer(
                        JUDGED.causes().get(0).id(),
                        CauseKind.TRAYS_EXCHANGED,
                        said,
                        3,
                        2,
                        0,
                        "Made up: " + said.word())),
                AT);
    }

    private static final JudgedDay JUDGED = judged();

    private static JudgedDay judged() {
        List<Result> results = new ArrayList<>();
        for (Soil soil : DAY.soils()) {
            results.add(new Result(
                    soil.labNumber(),
                    "ph-water-1-1",
                    LocalDate.of(2026, 11, 1),
                    "pH",
                    "P1",
                    7,
                    "2",
                    new Amount.Measured(6.1, Unit.PH),
                    "6.1",
                    OptionalDouble.of(0.08),
                    Verdict.FIT,
                    List.of()));
        }
        ResultKey touched = new ResultKey(DAY.soils().get(0).labNumber(), "ph-water-1-1", "pH");
        return new JudgedDay(
                results,
                List.of(
                        cause(CauseKind.TRAYS_EXCHANGED, List.of(touched)),
                        cause(CauseKind.PORTION_WRONG, List.of(touched)),
                        cause(CauseKind.RUN_SHIFTED, List.of())),
                List.of(),
                List.of());
    }

    private static Cause cause(CauseKind kind, List<ResultKey> touched) {
        return new Cause(
                new CauseKey(kind, "P1", "0123456789"),
                List.of(new Stretch("P1", "ph-water-1-1", Verdict.HOLD, List.of("pH"), 1, 2, touched, "e")),
                "a",
                OptionalDouble.empty(),
                Optional.empty(),
                "1f".repeat(32));
    }
}
