package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.OffsetDateTime;
import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.days.Contents;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.release.KeptReport;
import org.tenmesh.store.release.Releases;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class ReleasesDbTest {
    private final Store store = OpenStore.get();

    @Test
    void givesBackEveryRevisionAsItLeft() {
        String day = takenDay();
        Release first = release("S1", 1, "first release", "6.1");
        Release second = release("S1", 2, "redo of potassium", "6.2");
        Release other = release("S2", 1, "first release", "5.9");

        store.release(day, first);
        store.release(day, other);
        store.release(day, second);

        assertThat(store.releases(day)).containsExactly(first, second, other);
        assertThat(store.release(day, "S1", 2)).contains(second);
        assertThat(store.release(day, "S1", 3)).isEmpty();
        assertThat(store.releases("no such day")).isEmpty();
        JournalEntry entry = store.journal(1).get(0);
        assertThat(entry.what()).isEqualTo("released");
        assertThat(entry.subject()).isEqualTo(day + "/S1/2");
        assertThat(entry.detail()).contains("\"released\":1", "\"held\":1", Releases.resultsDigest(second.results()));
        assertThat(store.verifyJournal().whole()).isTrue();
    }

    @Test
    void refusesARevisionThatIsNotTheNext() {
        String day = takenDay();
        store.release(day, release("S1", 1, "first release", "6.1"));

        for (int revision : new int[] {1, 3}) {
            assertThatThrownBy(() -> store.release(day, release("S1", revision, "again", "7")))
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("the next revision of submission S1 is 2, this one says " + revision);
        }
        assertThat(store.releases(day)).hasSize(1);
    }

    @Test
    void refusesASubmissionOrDayItDoesNotKnow() {
        String day = takenDay();
        assertThatThrownBy(() -> store.release(day, release("S99", 1, "first release", "6.1")))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("no submission \"S99\"");
        assertThatThrownBy(() -> store.release("no such day", release("S1", 1, "first release", "6.1")))
                .isInstanceOf(Refused.class);
    }

    @Test
    void keepsTheKindOfEachResultAndReadsThatOfAnOldReleaseFromItsText() throws Exception {
        String day = takenDay();
        Release two = release("S1", 1, "first release", "< 4");
        ReleasedResult full = new ReleasedResult(
                new LabNumber("26329-0003-X"),
                "base-saturation",
                "2026-01-01",
                "BS",
                ReleasedCase.NUMBER_AT_END,
                OptionalDouble.of(100),
                "%",
                "100",
                "",
                "",
                "calibration rejected");
        Release three = new Release(
                "S1",
                1,
                two.signedBy(),
                two.signedAt(),
                two.reason(),
                List.of(two.results().get(0), two.results().get(1), full));
        store.release(day, three);

        assertThat(store.releases(day)).containsExactly(three);
        assertThat(three.results())
                .extracting(ReleasedResult::kind)
                .containsExactly(ReleasedCase.BELOW, ReleasedCase.HELD, ReleasedCase.NUMBER_AT_END);
        // A number at the end of its scale is another release than the same text as a plain number.
        assertThat(Contents.results(three.results()).sha256())
                .isNotEqualTo(Contents.results(List.of(
                                two.results().get(0),
                                two.results().get(1),
                                new ReleasedResult(
                                        full.labNumber(),
                                        full.method(),
                                        full.methodVersion(),
                                        full.analyte(),
                                        full.value(),
                                        full.unit(),
                                        full.reported(),
                                        full.uncertainty(),
                                        full.heldBecause())))
                        .sha256());

        // And so is one of which nothing failed.
        assertThat(Contents.results(List.of(full)).sha256())
                .isNotEqualTo(Contents.results(List.of(new ReleasedResult(
                                full.labNumber(),
                                full.method(),
                                full.methodVersion(),
                                full.analyte(),
                                full.kind(),
                                full.value(),
                                full.unit(),
                                full.reported(),
                                full.uncertainty(),
                                full.heldBecause())))
                        .sha256());

        // As version 0.1 stored it: no kind.
        OpenStore.run(
                store,
                "alter table release.result disable trigger result_stays",
                "update release.result set kind = null where lab_number <> '26329-0003-X'",
                "alter table release.result enable trigger result_stays");
        assertThat(store.releases(day)).containsExactly(three);
    }

    @Test
    void keepsTheReportOfEachReleaseAndMakesThatOfAnOlderOneOnce() {
        String day = takenDay();
        ReportForm pages = ReportForm.defaults().with(ReportForm.Layout.SOIL_PAGES);
        byte[] pdf = {37, 80, 68, 70};
        store.release(day, List.of(new SignedReport(release("S1", 1, "first release", "6.1"), pdf, pages)));
        store.release(day, release("S2", 1, "first release", "6.1"));

        KeptReport kept = store.report(day, "S1", 1).orElseThrow();
        assertThat(kept.pdf()).isEqualTo(pdf);
        assertThat(kept.form()).isEqualTo(pages);
        assertThat(kept.later()).isFalse();
        assertThat(store.lastReportForm(day, "S1")).contains(pages);
        assertThat(store.journal(2).get(1).detail()).contains("\"report-sha256\":\"" + kept.sha256() + "\"");

        assertThat(store.report(day, "S2", 1)).isEmpty();
        KeptReport later = store.keepReportLater(day, "S2", 1, new byte[] {1}, ReportForm.defaults(), "M. Whelan");
        assertThat(later.later()).isTrue();
        assertThat(store.keepReportLater(day, "S2", 1, new byte[] {2}, ReportForm.defaults(), "M. Whelan")
                        .pdf())
                .isEqualTo(new byte[] {1});
        assertThat(store.journal(1).get(0).what()).isEqualTo("report-made-later");
        assertThat(store.compareWithJournal(says -> {}).differences())
                .noneMatch(sentence -> sentence.contains("report of release " + day));
    }

    @Test
    void releasesSeveralOrNone() {
        String day = takenDay();
        byte[] pdf = {1};
        SignedReport one = new SignedReport(release("S1", 1, "first release", "6.1"), pdf, ReportForm.defaults());
        SignedReport wrong = new SignedReport(release("S2", 2, "first release", "6.1"), pdf, ReportForm.defaults());
        assertThatThrownBy(() -> store.release(day, List.of(one, wrong)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("the next revision of submission S2 is 1");
        assertThat(store.releases(day)).isEmpty();
        assertThat(store.report(day, "S1", 1)).isEmpty();

        store.release(
                day,
                List.of(one, new SignedReport(release("S2", 1, "first release", "6.1"), pdf, ReportForm.defaults())));
        assertThat(store.releases(day)).hasSize(2);
    }

    private String takenDay() {
        String day = OpenStore.freshDay();
        OpenStore.take(store, InventedDay.of(40), day, OpenStore.freshDigest(), "M. Whelan");
        return day;
    }

    private static Release release(String submission, int revision, String reason, String reported) {
        return new Release(
                submission,
                revision,
                "M. Whelan",
                OffsetDateTime.parse("2026-11-25T17:05:00.5+01:00"),
                reason,
                List.of(
                        new ReleasedResult(
                                new LabNumber("26329-0002-X"),
                                "ph-water-1-1",
                                "2026-01-01",
                                "pH",
                                OptionalDouble.of(6.123456789),
                                "[pH]",
                                reported,
                                "0.1",
                                ""),
                        new ReleasedResult(
                                new LabNumber("26329-0001-X"),
                                "mehlich3-icp",
                                "2026-01-01",
                                "K",
                                OptionalDouble.empty(),
                                "mg/kg",
                                "",
                                "",
                                "drift along the run")));
    }
}
