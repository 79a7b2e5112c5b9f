package org.tenmesh.core.agreement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/** Readings of vessels without soil, of a neighbour, or off in one way, on drawn soils of which the truth is known. */
class HypothesesTest {
    private static final int TRAY = 12;
    private static final int[] FIRST = {0};

    /** Readings of an empty vessel lie about -9 in both columns, one soil's readings 0.05 apart. */
    private static final Vessel VESSEL =
            new Vessel(new double[] {-9, -9}, new double[] {0.3, 0.3}, new double[] {0.05, 0.05});

    private static final Vessel UNKNOWN = new Vessel(new double[0], new double[0], new double[0]);

    private final MadeSoils soils = new MadeSoils(20, new SplittableRandom(41));
    private final int n = soils.table.soils();

    private Agreement learnt(int[] own, Vessel vessel) {
        return Agreement.learn(
                Assumptions.of(Policy.defaults()),
                soils.table,
                own,
                MadeSoils.OTHERS,
                new KnownControls(new double[n][], new double[n][]),
                vessel,
                new boolean[n]);
    }

    @Test
    void aTrayReadEndForEndShowsAtItsKeyWell() {
        int[] wells = MadeSoils.rows(120, TRAY);
        wells[TRAY - 1] = -1;
        // The well that was to stay empty is met where the first soil should be: its reading is that of an empty
        // vessel.
        for (int k = 1; k < TRAY - 1; k++) {
            soils.table.values()[120 + k][0] += k % 2 == 0 ? 0.4 : -0.4;
        }
        double[] first = soils.table.values()[120];
        double[] whole = first.clone();
        first[0] = -9.1;
        first[1] = -8.8;
        Agreement empty = learnt(MadeSoils.OWN, VESSEL);
        double withKey = Exchange.turned(empty, wells, TRAY - 1);
        double withoutKey = Exchange.turned(empty, wells, -1);
        // An outlier is an empty vessel or anybody, one half each; the key well is one for nearly certain.
        assertThat(withKey - withoutKey).isCloseTo(Math.log10(2), within(0.02));

        soils.table.values()[120] = whole;
        Agreement soil = learnt(MadeSoils.OWN, VESSEL);
        double filled = Policy.defaults().number(Setting.KEY_WELL_FILLED);
        assertThat(Exchange.turned(soil, wells, TRAY - 1) - Exchange.turned(soil, wells, -1))
                .isCloseTo(Math.log10(2 * filled), within(0.02));
    }

    @Test
    void aReadingTakenTwiceIsLikelierTheNearerItIs() {
        Hypotheses same = Hypotheses.of(learnt(MadeSoils.OWN, VESSEL));
        double freedom = Policy.defaults().number(Setting.RELATIONS_FREEDOM);
        double scale = Math.sqrt(2) * 0.05;
        // A t density of two dimensions about the other reading.
        assertThat(same.twice(7, 7)).isCloseTo(-Math.log(2 * Math.PI * scale * scale), within(1e-9));
        double first = (soils.table.values()[7][0] - soils.table.values()[8][0]) / scale;
        double second = (soils.table.values()[7][1] - soils.table.values()[8][1]) / scale;
        assertThat(same.twice(7, 8))
                .isCloseTo(
                        -Math.log(2 * Math.PI * scale * scale)
                                - (freedom + 2) / 2 * Math.log1p((first * first + second * second) / freedom),
                        within(1e-9));

        assertThat(Hypotheses.of(soils.learnt()).twice(7, 8)).isEqualTo(Double.NEGATIVE_INFINITY);
        soils.table.values()[8][1] = Double.NaN;
        assertThat(Hypotheses.of(learnt(MadeSoils.OWN, VESSEL)).twice(7, 8)).isEqualTo(Double.NEGATIVE_INFINITY);
        assertThat(Hypotheses.of(learnt(MadeSoils.OWN, VESSEL)).twice(8, 7)).isEqualTo(Double.NEGATIVE_INFINITY);
    }

    @Test
    void readingsThatMayHaveBeenExchangedAreThoseThatFitEachOthersSoils() {
        // Within one client's field: each reads what the results of the other by other methods predict.
        double[] one = soils.table.values()[50];
        double[] other = soils.table.values()[51];
        one[2] += 1.5;
        other[2] -= 1.5;
        one[0] -= 1.2;
        other[0] += 1.2;
        Hypotheses hypotheses = Hypotheses.of(soils.learnt());
        assertThat(hypotheses.mayHaveExchanged(50, 51)).isTrue();
        assertThat(hypotheses.mayHaveExchanged(51, 50)).isTrue();

        // The same soils read right: what the one reads more is predicted.
        one[0] += 2.4;
        other[0] -= 2.4;
        assertThat(Hypotheses.of(soils.learnt()).mayHaveExchanged(50, 51)).isFalse();
        // Of two clients it is always asked.
        assertThat(Hypotheses.of(soils.learnt()).mayHaveExchanged(50, 350)).isTrue();
        one[0] = Double.NaN;
        assertThat(Hypotheses.of(soils.learnt()).mayHaveExchanged(50, 350)).isFalse();
        assertThat(Hypotheses.of(soils.learnt()).mayHaveExchanged(350, 50)).isFalse();
    }

    @Test
    void readingsOfAStretchThatAreOffGainWhenTheyAreRighted() {
        int[] run = MadeSoils.rows(0, n);
        for (int row = 205; row < 209; row++) {
            soils.table.values()[row][0] += 0.75;
        }
        Hypotheses hypotheses = Hypotheses.of(learnt(FIRST, UNKNOWN));

        double[] right = hypotheses.gainWhenRighted(run, 205, 4, 5, -20, value -> value - 0.75);
        double[] wrong = hypotheses.gainWhenRighted(run, 205, 4, 5, -20, value -> value + 0.75);
        double[] elsewhere = hypotheses.gainWhenRighted(run, 300, 4, 5, -20, value -> value - 0.75);

        assertThat(right).hasSize(9);
        assertThat(right[0]).isGreaterThan(2);
        // The soils after the stretch are predicted as they were read.
        assertThat(right[8]).isGreaterThan(right[3] + 3);
        // What makes it worse is given up where it became hopeless.
        assertThat(wrong.length).isLessThan(9);
        assertThat(wrong[wrong.length - 1]).isLessThan(-20);
        assertThat(elsewhere[elsewhere.length - 1]).isLessThan(0);
        // The end of the run ends the stretch.
        assertThat(hypotheses.gainWhenRighted(run, n - 3, 15, 5, -20, value -> value))
                .hasSize(3);
    }

    @Test
    void whatChangesNoReadingGainsNothing() {
        double[] gain = Hypotheses.of(learnt(FIRST, UNKNOWN))
                .gainWhenRighted(MadeSoils.rows(0, n), 100, 60, 20, -1, value -> value);

        assertThat(gain).hasSize(80);
        // A client's width was asked once more after its soils had been filtered.
        for (double each : gain) {
            assertThat(each).isCloseTo(0, within(0.02));
        }
    }

    /** A control soil in the stretch gains what its own density says and disturbs no soil after it. */
    @Test
    void aControlSoilInTheStretchIsWeighedByItsStatedContent() {
        double[][] mean = new double[n][];
        double[][] sd = new double[n][];
        mean[101] = new double[] {1};
        sd[101] = new double[] {0.1};
        soils.table.values()[101][0] = 1.3;
        double freedom = Policy.defaults().number(Setting.RELATIONS_FREEDOM);
        Agreement agreement = Agreement.learn(
                Assumptions.of(Policy.defaults()),
                soils.table,
                FIRST,
                MadeSoils.OTHERS,
                new KnownControls(mean, sd),
                UNKNOWN,
                new boolean[n]);

        double[] gain =
                Hypotheses.of(agreement).gainWhenRighted(MadeSoils.rows(0, n), 101, 1, 0, -20, value -> value - 0.2);

        assertThat(gain)
                .containsExactly(
                        new double[] {(freedom + 1) / 2 * (Math.log1p(9 / freedom) - Math.log1p(1 / freedom))},
                        within(1e-9));
    }
}
