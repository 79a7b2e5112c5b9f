package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.reduction.Role;

/** Numbers that causes rest on, of runs that a person can check in the head. */
class MeasuresTest {
    private static Cause only(Bench bench, Map<LabNumber, String> controls, CauseKind kind) {
        JudgedDay judged = DayJudge.judge(Bench.day(controls, List.of(), bench.run()), Bench.METHODS);
        return judged.causes().stream()
                .filter(cause -> cause.kind() == kind)
                .findFirst()
                .orElseThrow();
    }

    private static List<Measure> all(Cause cause) {
        return cause.stretches().stream()
                .flatMap(one -> one.measures().stream())
                .toList();
    }

    @Test
    void aCheckSolutionIsToldWithItsLimitsAndThoseBesideIt() {
        // 8.5 of 10 mg/L is 85 %, at position 29; 10 % either way is allowed.
        Bench run = new Bench("icp-1", Bench.ICP).icpStart().soils(1, 20);
        run.icp(Role.VERIFICATION, "QC", 8.5, 20).soils(21, 5);
        Cause cause = only(run, Map.of(), CauseKind.VERIFICATION_FAILED);
        Measure worst = cause.measure().orElseThrow();
        assertThat(worst.kind()).isEqualTo(Measure.Kind.CHECK_SOLUTION);
        assertThat(worst.analyte()).isEqualTo("P");
        assertThat(worst.identity()).isEqualTo("QC");
        assertThat(worst.position()).isEqualTo(29);
        assertThat(worst.found()).isCloseTo(85, within(0.01));
        assertThat(worst.low()).hasValueCloseTo(90.0, within(1e-9));
        assertThat(worst.high()).hasValueCloseTo(110.0, within(1e-9));
        assertThat(worst.unit()).isEqualTo("%");
        assertThat(worst.isOutside()).isTrue();
        assertThat(worst.force()).isCloseTo(1.5, within(0.01));
        assertThat(all(cause)).extracting(Measure::position).containsExactly(29, 5);
        assertThat(all(cause).get(1).isOutside()).isFalse();
    }

    @Test
    void whereAHiddenControlLayIsNotTold() {
        Bench run = new Bench("icp-1", Bench.ICP).icpStart().soils(1, 6);
        run.icp(Role.SAMPLE, Bench.lab(7).text(), 3, 22).soils(8, 6).icp(Role.VERIFICATION, "QC", 10, 20);
        Cause cause = only(run, Map.of(Bench.lab(7), "LOAM"), CauseKind.CONTROL_FAILED);
        // 220 mg/kg against 150 +- 6.
        Measure worst = cause.measure().orElseThrow();
        assertThat(worst.kind()).isEqualTo(Measure.Kind.CONTROL_SOIL);
        assertThat(worst.found()).isCloseTo(70 / 6.0, within(0.01));
        assertThat(worst.high().orElseThrow()).isEqualTo(-worst.low().orElseThrow());
        assertThat(worst.identity()).isEmpty();
        assertThat(worst.position()).isZero();
        assertThat(all(cause)).extracting(Measure::position).doesNotContain(15);
    }

    @Test
    void aBlankAndAnExtractAboveTheRangeAreTold() {
        Bench run = new Bench("icp-1", Bench.ICP).icpStart().soils(1, 6);
        run.icp(Role.BLANK, "BLANK", 1, 0).icp(Role.SAMPLE, Bench.lab(9).text(), 60, 15);
        run.icp(Role.VERIFICATION, "QC", 10, 20);
        Measure blank = only(run, Map.of(), CauseKind.BLANK_HIGH).measure().orElseThrow();
        assertThat(blank.position()).isEqualTo(15);
        // The method takes the mean blank off, not from a blank.
        assertThat(blank.found()).isCloseTo(1, within(0.01));
        // Half of a reporting limit of 3 mg/kg at 1 g in 10 mL.
        assertThat(blank.high()).hasValueCloseTo(0.15, within(1e-9));
        Measure over = only(run, Map.of(), CauseKind.OVER_RANGE).measure().orElseThrow();
        assertThat(over.identity()).isEqualTo(Bench.lab(9).text());
        assertThat(over.low()).isEqualTo(OptionalDouble.empty());
        assertThat(over.found()).isGreaterThan(over.high().orElseThrow());
        assertThat(over.unit()).isEqualTo("mg/kg");
    }

    @Test
    void whatIsFurthestFromWhatIsAllowedComesFirst() {
        Measure twice = Measure.upTo(Measure.Kind.RANGE, "P", "", 0, 20, 10, "");
        Measure within =
                new Measure(Measure.Kind.BLANK, "P", "", 0, 0.1, OptionalDouble.of(-1), OptionalDouble.of(1), "");
        Measure nothing =
                new Measure(Measure.Kind.STANDARD, "P", "", 0, 9, OptionalDouble.empty(), OptionalDouble.empty(), "");
        assertThat(twice.force()).isEqualTo(2);
        assertThat(within.force()).isCloseTo(0.1, within(1e-12));
        assertThat(nothing.force()).isZero();
        assertThat(List.of(nothing, within, twice).stream()
                        .sorted(Measure.FURTHEST_FIRST)
                        .toList())
                .containsExactly(twice, within, nothing);
        assertThat(Measure.Kind.values())
                .allSatisfy(kind -> assertThat(Measure.Kind.of(kind.word())).contains(kind));
    }
}
