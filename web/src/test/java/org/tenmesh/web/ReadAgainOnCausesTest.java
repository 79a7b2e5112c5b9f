package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.cards.ReadAgainRow;

class ReadAgainOnCausesTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30Z");

    private static Answer answer(String cause, Answer.Said said, int compared, int changed) {
        return new Answer(cause, CauseKind.TRAY_TURNED, said, 1.5, compared, changed, "Made up.");
    }

    @Test
    void thePageSaysWhatTheRatesRestOn() {
        OwnRecord own = new OwnRecord(List.of(new OwnRecord.OfDay(LocalDate.of(2026, 11, 24), 100, 3, Map.of(), 43)));
        assertThat(ReadAgainRow.rates(own)).contains("on 43 days before it").contains("first judged");
        assertThat(ReadAgainRow.rates(OwnRecord.NONE)).endsWith("start from the policy's rates.");
    }

    @Test
    void theCausesPageCountsWhatWasReadAgain() throws Exception {
        try (Ashgrove ashgrove = Ashgrove.open(60)) {
            ashgrove.book()
                    .keepAnswers(
                            "2026-11-20",
                            List.of(
                                    answer("a", Answer.Said.CONFIRMED, 24, 20),
                                    answer("b", Answer.Said.CONFIRMED, 24, 22),
                                    answer("c", Answer.Said.REFUTED, 12, 0)),
                            AT);
            Document page = ashgrove.as(PersonRole.IN_CHARGE).page("/causes");
            assertThat(page.select("table:has(caption:containsOwn(All days of the laboratory)) tbody tr")
                            .text())
                    .isEqualTo("Tray turned end for end 2 1 0 0 67 % 42 of 60 (70 %)");
            assertThat(page.select("table:has(caption:containsOwn(This day)) tbody tr")
                            .eachText())
                    .as("nothing was read again yet")
                    .contains("Drift along the run 0 0 0 1");
            assertThat(page.text()).contains("start from the policy's rates.");
        }
    }
}
