package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.store.journal.JournalEntry;

@Execution(ExecutionMode.SAME_THREAD)
final class AnswersDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30.123456Z");
    private static final String TURNED = "tray-turned@T1#0123456789";
    private static final String PORTION = "portion-wrong@ICP1-01#0123456789";

    private final Store store = OpenStore.get();

    private static Answer answer(String cause, CauseKind kind, Answer.Said said, int compared, int changed) {
        return new Answer(cause, kind, said, compared == 0 ? 0 : -5.94217386251, compared, changed, "Made up.");
    }

    @Test
    void keepsAnAnswerOnceAndWhatItBecomesInTheJournal() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(20), day, OpenStore.freshDigest(), "M. Whelan");
        Answer open = answer(TURNED, CauseKind.TRAY_TURNED, Answer.Said.OPEN, 0, 0);
        Answer yes = answer(TURNED, CauseKind.TRAY_TURNED, Answer.Said.CONFIRMED, 24, 20);
        Answer no = answer(PORTION, CauseKind.PORTION_WRONG, Answer.Said.REFUTED, 2, 0);
        long before = store.journal(1).get(0).seq();

        store.keepAnswers(day, List.of(open), AT);
        assertThat(store.answers(day)).as("nothing was answered yet").isEmpty();
        store.keepAnswers(day, List.of(yes, no), AT);
        store.keepAnswers(day, List.of(yes, no), AT.plusSeconds(9));

        assertThat(store.answers(day)).containsExactlyInAnyOrder(yes, no);
        assertThat(store.journal(1).get(0).seq())
                .as("the second time nothing is new")
                .isEqualTo(before + 2);
        JournalEntry entry = store.journal(2).get(1);
        assertThat(entry.what()).isEqualTo("cause-answered");
        assertThat(entry.subject()).isEqualTo(day + "/" + TURNED);
        assertThat(entry.detail()).contains("\"said\":\"confirmed\"").contains("\"changed\":\"20\"");
        assertThat(store.answers().get(CauseKind.TRAY_TURNED)).isEqualTo(new Answer.Count(1, 0, 0, 0, 24, 20));
        assertThat(store.answers().get(CauseKind.PORTION_WRONG)).isEqualTo(new Answer.Count(0, 1, 0, 0, 2, 0));

        Answer undecided = answer(TURNED, CauseKind.TRAY_TURNED, Answer.Said.UNDECIDED, 24, 20);
        store.keepAnswers(day, List.of(undecided), AT.plusSeconds(60));
        assertThat(store.answers().get(CauseKind.TRAY_TURNED)).isEqualTo(new Answer.Count(0, 0, 1, 0, 24, 20));
        assertThat(store.verifyJournal().whole()).isTrue();
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains("answer to cause"))
                .isEmpty();
    }
}
