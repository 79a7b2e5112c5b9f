package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;

class OwnRecordTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 20);
    private static final OwnRecord.Became ONE = new OwnRecord.Became(1, 0, 0);

    @Test
    void thePolicysRateHoldsUntilThereIsARecord() {
        assertThat(OwnRecord.NONE.rate(CauseKind.TRAY_TURNED, 0.002, 1)).isCloseTo(0.002, within(1e-15));
    }

    @Test
    void theRecordMovesTheRate() {
        // By hand: one case in 500 beforehand, 3 in 1,500 seen: 4 in 2,000. Nothing in 1,500: 1 in 2,000.
        assertThat(OwnRecord.combined(0.002, 1, 3, 1500)).isCloseTo(0.002, within(1e-15));
        assertThat(OwnRecord.combined(0.002, 1, 0, 1500)).isCloseTo(0.0005, within(1e-15));
        // Two cases beforehand are 2 in 1,000; 10 in 1,000 seen: 12 in 2,000.
        assertThat(OwnRecord.combined(0.002, 2, 10, 1000)).isCloseTo(0.006, within(1e-15));
    }

    @Test
    void eachKindIsAskedOfWhatItConcerns() {
        OwnRecord own = new OwnRecord(List.of(
                new OwnRecord.OfDay(DAY, 2400, 20, Map.of(CauseKind.TRAY_TURNED, ONE)),
                new OwnRecord.OfDay(DAY.minusDays(1), 1200, 10, Map.of(CauseKind.RUN_SHIFTED, ONE))));
        // 300 trays, 30 runs, 3,600 soils; one case beforehand each.
        assertThat(own.rate(CauseKind.TRAY_TURNED, 0.01, 1)).isCloseTo(2 / 400.0, within(1e-15));
        assertThat(own.rate(CauseKind.RUN_SHIFTED, 0.01, 1)).isCloseTo(2 / 130.0, within(1e-15));
        assertThat(own.rate(CauseKind.NEIGHBOURS_EXCHANGED, 0.01, 1)).isCloseTo(1 / 3700.0, within(1e-15));
        assertThat(own.before(DAY).days()).hasSize(1);
    }

    @Test
    void whatNobodyAnsweredCountsAsTheRest() {
        // 3 confirmed, 1 refuted, 3 unanswered: 3 + 3 x 4/6 = 5 in 1,000, beside 1 in 1,000.
        OwnRecord own = new OwnRecord(List.of(
                new OwnRecord.OfDay(DAY, 1000, 5, Map.of(CauseKind.PORTION_WRONG, new OwnRecord.Became(3, 1, 3)))));
        assertThat(own.rate(CauseKind.PORTION_WRONG, 0.001, 1)).isCloseTo(6 / 2000.0, within(1e-15));
    }

    @Test
    void theOddsOfACardFollowTheRecordAndItsLikelihoodRatioDoesNot() {
        TwoMethods table = new TwoMethods(7);
        int[] tray = TwoMethods.wells(5);
        for (int i = 0; i < tray.length; i++) {
            table.inFurnace[tray[i]] = tray[tray.length - 1 - i];
        }
        Day day = table.day();
        Cause usual = turned(DayJudge.judge(day, Bench.METHODS, EarlierSoils.NONE));
        // 100 in 1,000 trays seen beside 1 in 500: 101 in 1,500, where the policy says 1 in 500.
        Cause often = turned(DayJudge.judge(
                day,
                Bench.METHODS,
                new EarlierSoils(
                        List.of(),
                        new OwnRecord(List.of(new OwnRecord.OfDay(
                                DAY, 12_000, 50, Map.of(CauseKind.TRAY_TURNED, new OwnRecord.Became(100, 0, 0))))))));
        assertThat(often.log10Odds()).isEqualTo(usual.log10Odds()).isNotEqualTo(OptionalDouble.empty());
        assertThat(usual.evidence()).doesNotContain("policy's rate");
        assertThat(often.evidence())
                .contains("it happens once in 15 by the policy's rate and the day before (100 confirmed, 0 refuted,"
                        + " 0 without an answer)");
    }

    private static Cause turned(JudgedDay judged) {
        return judged.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.TRAY_TURNED)
                .findFirst()
                .orElseThrow();
    }
}
