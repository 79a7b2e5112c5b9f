package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

@Execution(ExecutionMode.SAME_THREAD)
final class SheetsDbTest {
    private static final Store STORE = OpenStore.get();
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00.123456Z");
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);

    private static KeptSheet.Said said(String client) {
        return new KeptSheet.Said(client, Optional.of(TODAY.plusDays(3)), Optional.of("standard"), Optional.empty());
    }

    private static String keep(String text, String client) {
        return STORE.sheets()
                .keep("sheet.csv", text.getBytes(StandardCharsets.UTF_8), said(client), "M. Whelan", AT, TODAY);
    }

    private static Optional<KeptSheet> waiting(String submission) {
        return STORE.sheets().waiting().stream()
                .filter(one -> one.submission().equals(submission))
                .findFirst();
    }

    @Test
    void aWorksheetWaitsWithItsBytesAndIsSaidAnewInVersionsUntilItIsLaidOut() {
        String submission = keep("Sample\nA\n", "Tern Bay (invented)");
        KeptSheet kept = waiting(submission).orElseThrow();
        assertThat(kept.bytes()).isEqualTo("Sample\nA\n".getBytes(StandardCharsets.UTF_8));
        assertThat(kept.said()).isEqualTo(said("Tern Bay (invented)"));
        assertThat(kept.receivedAt()).isEqualTo(AT);
        assertThatThrownBy(() ->
                        STORE.sheets().change(submission, 1, said("Tern Bay Growers (invented)"), " ", "T. Byrne", AT))
                .isInstanceOf(Refused.class);
        STORE.sheets().change(submission, 1, said("Tern Bay Growers (invented)"), "full name", "T. Byrne", AT);
        assertThatThrownBy(() -> STORE.sheets().change(submission, 1, said("Other"), "late", "M. Whelan", AT))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("changed meanwhile");
        assertThat(waiting(submission).orElseThrow().version()).isEqualTo(2);
        assertThat(waiting(submission).orElseThrow().said().client()).isEqualTo("Tern Bay Growers (invented)");
        STORE.sheets().laidOut(List.of(submission), "Q. Ahern", AT);
        assertThat(waiting(submission)).isEmpty();
        assertThatThrownBy(() -> STORE.sheets().change(submission, 2, said("Other"), "late", "M. Whelan", AT))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("laid out or left");
        assertThat(STORE.journal(1).get(0).what()).isEqualTo("worksheet-laid-out");
    }

    @Test
    void theSameFileIsTakenOnceUnlessItWasLeft() {
        String submission = keep("Sample\nB\n", "Tern Bay (invented)");
        assertThatThrownBy(() -> keep("Sample\nB\n", "Another (invented)"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("is submission " + submission);
        STORE.sheets().leave(submission, "client rang: wrong sheet", "M. Whelan", AT);
        assertThat(waiting(submission)).isEmpty();
        assertThat(keep("Sample\nB\n", "Tern Bay (invented)")).isNotEqualTo(submission);
    }
}
