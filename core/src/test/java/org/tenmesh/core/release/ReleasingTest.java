package org.tenmesh.core.release;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReports;

class ReleasingTest {
    private static final LabNumber LAB = new LabNumber("26329-0001-X");
    private static final Source PRACTICE = new Source("common practice", Source.Standing.COMMON_PRACTICE);
    private static final Analyte LOI = new Analyte(
            "LOI",
            "loss on ignition",
            Unit.PERCENT,
            new Rounding(1),
            OptionalDouble.of(0.05),
            OptionalDouble.empty(),
            5,
            0.1,
            0,
            10);
    private static final Analyte OM = new Analyte(
            "OM",
            "organic matter",
            Unit.PERCENT,
            new Rounding(1),
            OptionalDouble.of(0.05),
            OptionalDouble.empty(),
            5,
            0.1,
            0,
            10);
    private static final MethodBook METHODS = MethodBook.shipping(new IgnitionMethod(
            new Method.Head("om", LocalDate.of(2026, 3, 1), "OM", "", List.of(), List.of(LOI, OM), List.of(), ""),
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
            new IgnitionMethod.Regression(LocalDate.of(2026, 3, 1), 1, 0, PRACTICE)));
    private static final Soil SOIL = MadeSoil.numbered(LAB)
            .of("2207", 1)
            .labelled("North bench 4")
            .topCm(0)
            .bottomCm(15)
            .soil();

    private static final Day DAY = MadeDay.empty().soils(List.of(SOIL)).day();

    private static Result result(String analyte, Amount amount, String reported, Verdict verdict, String... causes) {
        return new Result(
                LAB,
                "om",
                LocalDate.of(2026, 3, 1),
                analyte,
                "loi-1",
                7,
                "2",
                amount,
                reported,
                OptionalDouble.of(0.2345),
                verdict,
                List.of(causes));
    }

    private static List<ReleasedResult> draft(Result... results) {
        Cause cause = new Cause(
                CauseKey.of("control-failed@loi-1#0123456789").orElseThrow(),
                List.of(new Stretch("loi-1", "om", Verdict.REDO, List.of("LOI"), 6, 20, List.of(), "e")),
                "a",
                OptionalDouble.empty(),
                Optional.empty(),
                "");
        JudgedDay judged = new JudgedDay(List.of(results), List.of(cause), List.of(), List.of());
        return Releasing.draft(DAY, List.of(SOIL), judged.results(), judged, METHODS);
    }

    @Test
    void letsOutWhatIsFitWithItsUncertainty() {
        ReleasedResult released = draft(result("LOI", new Amount.Measured(3.1893, Unit.PERCENT), "3.2", Verdict.FIT))
                .get(0);

        assertThat(released.reported()).isEqualTo("3.2");
        assertThat(released.value()).hasValue(3.1893);
        assertThat(released.uncertainty()).isEqualTo("0.2");
        assertThat(released.heldBecause()).isEmpty();
    }

    @Test
    void letsOutALimitAsALimit() {
        ReleasedResult released = draft(
                        result("LOI", new Amount.Below(0.05, 0.0143, Unit.PERCENT), "< 0.05", Verdict.FIT))
                .get(0);

        assertThat(released.reported()).isEqualTo("< 0.05");
        assertThat(released.value()).isEmpty();
    }

    @Test
    void keepsBackEveryNumberThatIsNotFitAndSaysWhy() {
        ReleasedResult held = draft(result(
                        "LOI",
                        new Amount.Measured(3.1893, Unit.PERCENT),
                        "3.2",
                        Verdict.REDO,
                        "control-failed@loi-1#0123456789"))
                .get(0);

        assertThat(held.reported()).isEmpty();
        assertThat(held.value()).isEmpty();
        assertThat(held.uncertainty()).isEmpty();
        assertThat(held.heldBecause())
                .isEqualTo("a control soil of known content was outside its limits; it will be repeated");
    }

    @Test
    void composesAReportFromTheReleaseAlone() {
        List<ReleasedResult> results = draft(
                result("OM", new Amount.Measured(5, Unit.PERCENT), "5.0", Verdict.FIT),
                result("LOI", new Amount.Measured(2.5, Unit.PERCENT), "2.5", Verdict.FIT));
        Release release = new Release(
                "2207", 1, "A. Person", OffsetDateTime.parse("2026-11-25T16:00:00Z"), "first release", results);
        Submission submission = MadeSubmission.named("2207")
                .client("Furrow & Field")
                .receivedAt(OffsetDateTime.parse("2026-11-24T08:00:00Z"))
                .submission();

        ClientReport report =
                ClientReports.of(Laboratory.unnamed(), submission, List.of(SOIL), release, Optional.empty(), METHODS);

        assertThat(report.soils()).hasSize(1);
        assertThat(report.soils().get(0).lines())
                .extracting(line -> line.analyte().symbol())
                .containsExactly("LOI", "OM");
        assertThat(report.soils().get(0).lines().get(0).share()).hasValue(0.25);
        assertThat(report.methods()).extracting(Method::id).containsExactly("om");
    }
}
