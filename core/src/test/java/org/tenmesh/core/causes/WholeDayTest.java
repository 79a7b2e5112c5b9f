package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/** What only the methods together show, on small tables written down by hand ({@link TwoMethods}). */
class WholeDayTest {
    private static List<DayFinding> findings(TwoMethods made) {
        return findings(TwoMethods.judged(made.day()));
    }

    private static List<DayFinding> findings(WholeDay day) {
        return Stream.of("icp-1", "loi-1")
                .flatMap(run -> day.findings(run).stream())
                .toList();
    }

    private static String[] labs(int... soils) {
        return Arrays.stream(soils).mapToObj(i -> TwoMethods.lab(i).text()).toArray(String[]::new);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void findsNothingWhereNothingIsWrong(long seed) {
        TwoMethods made = new TwoMethods(seed).control(30, "LOAM", "LOAM").control(130, "RICH", "RICH");

        assertThat(findings(made)).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(ints = {3, 11})
    void namesTheTrayThatWasTurnedAgainstAnotherMethod(int tray) {
        TwoMethods made = new TwoMethods(7);
        int[] wells = TwoMethods.wells(tray);
        for (int w = 0; w < wells.length; w++) {
            made.inFurnace[wells[w]] = wells[wells.length - 1 - w];
        }

        assertThat(findings(made)).singleElement().satisfies(one -> {
            // Of two methods alone either may have been turned against the other.
            assertThat(one.finding().kind()).isEqualTo(CauseKind.TRAY_TURNED);
            assertThat(one.labNumbers()).containsExactlyInAnyOrder(labs(wells));
        });
    }

    @Test
    void callsNoTrayTurnedWhereThePolicyAsksForMoreEvidenceThanThereIs() {
        TwoMethods made = new TwoMethods(7);
        int[] wells = TwoMethods.wells(3);
        for (int w = 0; w < wells.length; w++) {
            made.inFurnace[wells[w]] = wells[wells.length - 1 - w];
        }

        Policy strict = Policy.defaults().named("strict").with(Setting.TRAY_EVIDENCE, 1e9);

        assertThat(findings(TwoMethods.judged(made.day(Policy.defaults()))))
                .anyMatch(one -> one.finding().kind() == CauseKind.TRAY_TURNED);
        assertThat(findings(TwoMethods.judged(made.day(strict))))
                .noneMatch(one -> one.finding().kind() == CauseKind.TRAY_TURNED);
    }

    @Test
    void namesTwoTraysThatWereExchanged() {
        TwoMethods made = new TwoMethods(7);
        int[] one = TwoMethods.wells(4);
        int[] other = TwoMethods.wells(9);
        for (int w = 0; w < one.length; w++) {
            made.inPlasma[one[w]] = other[w];
            made.inPlasma[other[w]] = one[w];
        }

        assertThat(findings(made)).singleElement().satisfies(found -> {
            assertThat(found.finding().kind()).isEqualTo(CauseKind.TRAYS_EXCHANGED);
            assertThat(found.labNumbers()).hasSize(24).contains(labs(one)).contains(labs(other));
        });
    }

    @Test
    void namesTheStretchThatWasShifted() {
        TwoMethods made = new TwoMethods(7);
        for (int i = 100; i < TwoMethods.SOILS - 1; i++) {
            made.inFurnace[i] = i + 1;
        }

        assertThat(findings(made))
                .extracting(one -> one.finding().kind())
                .contains(CauseKind.RUN_SHIFTED)
                .doesNotContain(CauseKind.TRAY_TURNED, CauseKind.TRAYS_EXCHANGED);
    }

    // A single soil: twice as much of both elements, as from twice as much soil in the extract.
    @Test
    void namesTheSoilOfWhichTooMuchWasTaken() {
        TwoMethods made = new TwoMethods(7);
        made.p[77] *= 2;
        made.k[77] *= 2;

        assertThat(findings(made)).singleElement().satisfies(one -> {
            assertThat(one.labNumbers()).containsExactly(labs(77));
            assertThat(one.finding().kind())
                    .isIn(CauseKind.PORTION_WRONG, CauseKind.DILUTION_MISMATCH, CauseKind.IMPLAUSIBLE_TOGETHER);
        });
    }

    @Test
    void namesTheBalanceThatReadsApart() {
        TwoMethods made = new TwoMethods(7);
        for (int i = 0; i < TwoMethods.SOILS; i++) {
            made.balance[i] = i % 2 == 0 ? "1" : "2";
            made.loss[i] *= i % 2 == 0 ? 1.1 : 1;
        }

        assertThat(findings(made)).singleElement().satisfies(one -> {
            assertThat(one.finding().kind()).isEqualTo(CauseKind.CHANNEL_BIAS);
            assertThat(one.run()).isEqualTo("loi-1");
        });
        assertThat(TwoMethods.judged(made.day()).differences())
                .filteredOn(difference -> difference.kind().equals("channel")
                        && difference.method().equals("om-loi-360")
                        && difference.group().endsWith(" 1"))
                .singleElement()
                .satisfies(difference -> {
                    // A tenth of the middle of the losses, about 4 %.
                    assertThat(difference.told()).isTrue();
                    assertThat(difference.size()).isBetween(0.3, 0.5);
                    assertThat(difference.low()).isLessThan(difference.size()).isPositive();
                    assertThat(difference.high()).isGreaterThan(difference.size());
                });
    }

    @Test
    void namesTheWellThatHoldsAnotherControlSoil() {
        TwoMethods made = new TwoMethods(7).control(30, "LOAM", "RICH").control(130, "LOAM", "LOAM");
        WholeDay day = TwoMethods.judged(made.day());

        assertThat(findings(made))
                .isNotEmpty()
                .allMatch(one -> one.finding().kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN);
        assertThat(day.materials())
                .containsEntry(TwoMethods.lab(30), "RICH")
                .containsEntry(TwoMethods.lab(130), "LOAM");
        // A control soil is hidden: nothing that is said names it.
        assertThat(findings(made))
                .noneMatch(one -> (one.finding().evidence() + one.finding().action())
                        .contains(TwoMethods.lab(30).text()));
    }

    @Test
    void leavesOutAnElementThatIsTheSameInEverySoil() {
        TwoMethods made = new TwoMethods(7);
        Arrays.fill(made.k, 15);

        assertThat(findings(made)).isEmpty();
    }
}
