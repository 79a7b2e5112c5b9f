package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class ExchangeTest {
    private static final int TRAY = 12;

    private static int[] turned(int[] rows) {
        return IntStream.range(0, rows.length)
                .map(i -> rows[rows.length - 1 - i])
                .toArray();
    }

    @Test
    void aTurnedTrayIsFoundAndOthersAreNot() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(3));
        int[] tray = MadeSoils.rows(120, TRAY);
        soils.record(tray, turned(tray));
        Agreement agreement = soils.learnt();
        assertThat(Exchange.turned(agreement, tray, -1)).isGreaterThan(5);
        for (int from = 0; from + TRAY <= soils.table.soils(); from += TRAY) {
            if (from != 120) {
                assertThat(Exchange.turned(agreement, MadeSoils.rows(from, TRAY), -1))
                        .as("tray from %d", from)
                        .isLessThan(2);
            }
        }
    }

    /**
     * Whatever the soils, readings in their places show odds of c to 1 for another order at most once in c times (Markov's inequality;
     * Robbins 1970, Ann. Math. Stat. 41:1397).
     */
    @Test
    void oddsOfCleanTraysKeepMarkovsBound() {
        int trays = 0;
        int[] above = new int[3];
        for (int day = 0; day < 60; day++) {
            MadeSoils soils = new MadeSoils(15, new SplittableRandom(9000 + day));
            Agreement agreement = soils.learnt();
            for (int from = 0; from + 2 <= soils.table.soils(); from += 2) {
                double odds = Exchange.log10Odds(agreement, new int[] {from, from + 1}, new int[] {from + 1, from});
                trays++;
                for (int k = 0; k < above.length; k++) {
                    above[k] += odds > k + 1 ? 1 : 0;
                }
            }
        }
        assertThat(trays).isEqualTo(60 * 180);
        for (int k = 0; k < above.length; k++) {
            double bound = trays * Math.pow(10, -(k + 1));
            assertThat((double) above[k]).as("odds above 10^%d", k + 1).isLessThan(bound + 3 * Math.sqrt(bound));
        }
    }

    @Test
    void exchangedTraysAreFound() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(4));
        int[] one = MadeSoils.rows(48, TRAY);
        int[] other = MadeSoils.rows(204, TRAY);
        int[] both = IntStream.concat(Arrays.stream(one), Arrays.stream(other)).toArray();
        int[] changed =
                IntStream.concat(Arrays.stream(other), Arrays.stream(one)).toArray();
        soils.record(both, changed);
        Agreement agreement = soils.learnt();
        assertThat(Exchange.exchanged(agreement, one, other)).isGreaterThan(20);
        assertThat(Exchange.exchanged(agreement, one, MadeSoils.rows(300, TRAY)))
                .isLessThan(0);
    }

    @Test
    void aShiftIsFoundWhereItBegins() {
        for (int by = -1; by <= 1; by += 2) {
            MadeSoils soils = new MadeSoils(20, new SplittableRandom(5));
            int[] run = MadeSoils.rows(100, 200);
            int from = 77;
            // Each reading from there on is that of the soil after it, or of the one before.
            int[] reading =
                    IntStream.range(from, run.length - 1).map(k -> run[k + 1]).toArray();
            int[] place = IntStream.range(from, run.length - 1).map(k -> run[k]).toArray();
            soils.record(by > 0 ? reading : place, by > 0 ? place : reading);
            Exchange.Shift shift = Exchange.shifted(soils.learnt(), run);
            assertThat(shift.by()).isEqualTo(by);
            assertThat(shift.from()).isBetween(from - 1, from + 1);
            assertThat(shift.to()).isBetween(run.length - 2, run.length - 1);
            assertThat(shift.log10Odds()).isGreaterThan(20);
        }
    }

    @Test
    void aRunInOrderIsNotShifted() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(6));
        assertThat(Exchange.shifted(soils.learnt(), MadeSoils.rows(0, 240)).log10Odds())
                .isLessThan(1);
    }

    @Test
    void aSoilNotReadBringsNothing() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(7));
        for (int c : MadeSoils.OWN) {
            soils.table.values()[30][c] = Double.NaN;
        }
        Agreement agreement = soils.learnt();
        assertThat(agreement.likelihood(30)).isZero();
        assertThat(Exchange.turned(agreement, MadeSoils.rows(24, TRAY), -1)).isLessThan(1);
    }

    @Test
    void aShiftByMorePlacesIsFoundAsSuchAndNotByOthers() {
        for (int by : new int[] {3, -3}) {
            MadeSoils soils = new MadeSoils(20, new SplittableRandom(8));
            int[] run = MadeSoils.rows(100, 200);
            int from = 77;
            int[] later = Arrays.copyOfRange(run, from + 3, run.length);
            int[] earlier = Arrays.copyOfRange(run, from, run.length - 3);
            soils.record(by > 0 ? later : earlier, by > 0 ? earlier : later);
            Agreement agreement = soils.learnt();
            Exchange.Shift shift = Exchange.shifted(agreement, run, by);
            assertThat(shift.by()).isEqualTo(by);
            assertThat(shift.from()).isBetween(from - 2, from + 2);
            assertThat(shift.log10Odds()).isGreaterThan(20);
            assertThat(Exchange.shifted(agreement, run, -by).log10Odds()).isLessThan(shift.log10Odds() - 20);
        }
    }

    @Test
    void neighboursInPairsForEachOtherAreFoundWhereTheyAre() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(10));
        int[] run = MadeSoils.rows(100, 200);
        int[] stretch = Arrays.copyOfRange(run, 61, 101);
        int[] swapped = new int[stretch.length];
        for (int k = 0; k < stretch.length; k++) {
            swapped[k] = stretch[k ^ 1];
        }
        soils.record(stretch, swapped);
        Agreement agreement = soils.learnt();
        Exchange.Shift found = Exchange.exchangedInPairs(agreement, run, 1);
        assertThat(found.by()).isZero();
        assertThat(found.from()).isBetween(57, 65);
        assertThat(found.to()).isBetween(96, 104);
        assertThat(found.log10Odds()).isGreaterThan(15);
        assertThat(Exchange.exchangedInPairs(agreement, run, 0).log10Odds()).isLessThan(1);
    }

    /** What never happened keeps Markov's bound too, the choice of the place paid for. */
    @Test
    void ordersThatDidNotHappenAreSeldomLikelier() {
        int asked = 0;
        int above = 0;
        for (int day = 0; day < 20; day++) {
            MadeSoils soils = new MadeSoils(15, new SplittableRandom(7000 + day));
            Agreement agreement = soils.learnt();
            for (int from = 0; from + 120 <= soils.table.soils(); from += 120) {
                int[] run = MadeSoils.rows(from, 120);
                for (int by : new int[] {3, -3, 5, -5, 7, -7}) {
                    asked++;
                    above += Exchange.shifted(agreement, run, by).log10Odds() > 1 ? 1 : 0;
                }
                for (int first = 0; first < 2; first++) {
                    asked++;
                    above += Exchange.exchangedInPairs(agreement, run, first).log10Odds() > 1 ? 1 : 0;
                }
            }
        }
        assertThat(asked).isEqualTo(20 * 3 * 8);
        assertThat((double) above).isLessThan(0.1 * asked);
    }

    @Test
    void aSoilOfAnotherKindByItsOtherResultsIsExpectedLessNarrowly() {
        MadeSoils soils = new MadeSoils(20, new SplittableRandom(11));
        Agreement ordinary = soils.learnt();
        double sd = Smoother.differences(ordinary)[50].variance()[0];
        for (int column : MadeSoils.OTHERS) {
            soils.table.values()[50][column] += 12;
        }
        Agreement agreement = soils.learnt();
        Difference strange = Smoother.differences(agreement)[50];
        assertThat(strange.variance()[0]).isGreaterThan(4 * sd);
        assertThat(Smoother.differences(agreement)[51].variance()[0]).isLessThan(1.3 * sd);
    }
}
