package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.LocalDate;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

/** What the dock says of a submission after it was laid out counts from then on; what came stays as it came. */
@Execution(ExecutionMode.SAME_THREAD)
final class LaidOutSubmissionsDbTest {
    private static final Store STORE = OpenStore.get();
    private static final Instant AT = Instant.parse("2026-11-25T15:00:00.123456Z");
    private static final LocalDate DUE = LocalDate.of(2026, 12, 1);

    private static final String OFF = "alter table intake.submission_version disable trigger user";
    private static final String ON = "alter table intake.submission_version enable trigger user";
    private static final String SET = "update intake.submission_version set promised_on = ";
    private static final String WHERE = " where client = 'Whin Hill (invented)'";

    private static KeptSheet.Said said(String client) {
        return new KeptSheet.Said(client, Optional.of(DUE), Optional.empty(), Optional.of("rang"));
    }

    private static Submission now(String day, String submission) {
        return STORE.day(day).orElseThrow().submissions().stream()
                .filter(one -> one.submission().equals(submission))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void theNewestVersionCountsForTheDayItsListAndTheRecordAndTheDayIsJudgedAnew() {
        String name = OpenStore.freshDay();
        Day day = InventedDay.of(24);
        OpenStore.take(STORE, day, name, OpenStore.freshDigest(), "M. Whelan");
        Submission came = STORE.day(name).orElseThrow().submissions().get(0);
        String digest = STORE.dayEntry(name).orElseThrow().digest();
        long newest = STORE.newestImport();

        STORE.laidOut().change(name, came.submission(), 0, said("Tern Bay (invented)"), "full name", "T. Byrne", AT);
        assertThat(STORE.dayEntry(name).orElseThrow().digest()).isNotEqualTo(digest);
        assertThat(STORE.newestImport()).isGreaterThan(newest);
        assertThat(now(name, came.submission()))
                .isEqualTo(new Submission(
                        came.submission(),
                        "Tern Bay (invented)",
                        came.receivedAt(),
                        Optional.of(DUE),
                        came.originCountry(),
                        came.originRegion(),
                        Optional.empty(),
                        came.waterSupplied(),
                        Optional.of("rang")));
        assertThat(STORE.record().submissionsOf(name).get(0).submission().client())
                .isEqualTo("Tern Bay (invented)");

        assertThatThrownBy(() -> STORE.laidOut()
                        .change(name, came.submission(), 0, said("Another (invented)"), "late", "M. Whelan", AT))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("changed meanwhile");
        assertThatThrownBy(() ->
                        STORE.laidOut().change(name, came.submission(), 1, said("Another (invented)"), " ", "x", AT))
                .isInstanceOf(Refused.class);
        assertThatThrownBy(() -> STORE.laidOut().change(name, "SUB-0", 0, said("Another (invented)"), "why", "x", AT))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("there is no submission SUB-0");
        STORE.laidOut().change(name, came.submission(), 1, said("Tern Bay Growers (invented)"), "merged", "x", AT);
        assertThat(STORE.laidOut().versions(name, came.submission()))
                .extracting(one -> one.version() + " " + one.said().client() + " " + one.reason())
                .as("what came with it stays the last of them")
                .containsExactly(
                        "2 Tern Bay Growers (invented) merged",
                        "1 Tern Bay (invented) full name",
                        "0 " + came.client() + " ");
        assertThat(now(name, came.submission()).client()).isEqualTo("Tern Bay Growers (invented)");

        // The same import again says what it said then: nothing new, and nothing is refused.
        OpenStore.take(STORE, day, name, OpenStore.freshDigest(), "M. Whelan");
        assertThat(now(name, came.submission()).client()).isEqualTo("Tern Bay Growers (invented)");
    }

    @Test
    void aChangeMadeOutsideTheProgramIsFound() throws Exception {
        String name = OpenStore.freshDay();
        OpenStore.take(STORE, InventedDay.of(12), name, OpenStore.freshDigest(), "M. Whelan");
        Submission came = STORE.day(name).orElseThrow().submissions().get(0);
        STORE.laidOut().change(name, came.submission(), 0, said("Whin Hill (invented)"), "why", "T. Byrne", AT);
        assertThat(STORE.compareWithJournal(says -> {}).differences())
                .noneMatch(one -> one.contains("Whin Hill (invented)"));
        OpenStore.run(STORE, OFF, SET + "'2027-01-01'" + WHERE, ON);
        assertThat(STORE.compareWithJournal(says -> {}).differences())
                .anyMatch(one -> one.contains("Whin Hill (invented)") && one.contains("promised \"2027-01-01\""))
                .anyMatch(one -> one.contains("promised \"2026-12-01\"") && one.contains("not stored so"));
        OpenStore.run(STORE, OFF, SET + "'2026-12-01'" + WHERE, ON);
    }
}
