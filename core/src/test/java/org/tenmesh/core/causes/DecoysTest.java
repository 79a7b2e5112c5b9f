package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/** What exchanges that did not happen do to the evidence for one that may have. */
class DecoysTest {
    private static final Policy POLICY = Policy.defaults();

    private static Decoys decoys(int all, double... promising) {
        List<Decoys.Decoy> of = new ArrayList<>();
        for (int i = 0; i < promising.length; i++) {
            of.add(new Decoys.Decoy(100 + i, 100 + i, promising[i]));
        }
        return new Decoys(of, all);
    }

    private static Weight weight(Decoys decoys, double ratio) {
        return decoys.weight(ratio, Set.of(1, 2), 0.001, 80, Decoys.HONEST_EXCESS, "", POLICY);
    }

    @Test
    void oddsAreTheRatioTimesHowOftenItHappens() {
        Weight weight = weight(decoys(400), 5);
        assertThat(weight.odds()).isCloseTo(weight.ratio() + Math.log10(0.001 / 0.999), within(1e-12));
        Weight oftener = decoys(400).weight(5, Set.of(1, 2), 0.01, 80, Decoys.HONEST_EXCESS, "", POLICY);
        assertThat(oftener.odds() - weight.odds()).isCloseTo(1, within(0.005));
    }

    @Test
    void theSameRatioIsWorthLessWhereExchangesThatDidNotHappenReachIt() {
        double none = weight(decoys(400), 4).ratio();
        double few = weight(decoys(400, 0.5, 1, 0.2), 4).ratio();
        double many = weight(decoys(400, 0.5, 3, 2.5, 4, 3.5, 2), 4).ratio();
        assertThat(none).isGreaterThan(few);
        assertThat(few).isGreaterThan(many + 1);
        assertThat(weight(decoys(400, 0.5, 3, 2.5, 4, 3.5, 2), 4).odds()).isNegative();
    }

    @Test
    void whatSpeaksOfTheSoilsInQuestionSaysNothingOfChance() {
        Decoys apart = decoys(400, 0.5, 1, 0.2);
        List<Decoys.Decoy> more = new ArrayList<>(apart.promising());
        more.add(new Decoys.Decoy(2, 7, 9));
        more.add(new Decoys.Decoy(7, 1, 8));
        Weight with = new Decoys(more, 402).weight(6, Set.of(1, 2), 0.001, 80, Decoys.HONEST_EXCESS, "", POLICY);
        assertThat(with).isEqualTo(weight(apart, 6));
    }

    @Test
    void aCardNeedsTheOddsAndNotOnlyTheRatio() {
        Explanation seen = explanation(6).weighed(new Weight(1, -2, 1, ""));
        assertThat(seen.convinces(0)).isFalse();
        assertThat(explanation(6).weighed(new Weight(4, 1, -3, "")).convinces(0))
                .isTrue();
        assertThat(explanation(1).weighed(new Weight(4, 1, -3, "")).convinces(0))
                .as("a ratio below the least one")
                .isFalse();
        assertThat(explanation(6).convinces(0)).as("not weighed").isFalse();
    }

    private static Explanation explanation(double ratio) {
        return new Explanation(
                CauseKind.TRAY_TURNED,
                new MethodSoils(Bench.LOI, List.of(), 0, 1),
                new int[] {0},
                new int[] {0},
                ratio,
                POLICY.number(Setting.TRAY_EVIDENCE),
                "tray T1 was turned",
                "Look.");
    }

    @Test
    void theSentenceSaysRatioOddsAndChance() {
        assertThat(new Weight(3.301, 1.602, -2.6, "").text())
                .isEqualTo("2,000 : 1 on the data, 40 : 1 that it happened; chance alone gives one so large once in 400"
                        + " such days");
        assertThat(new Weight(2, -1, 0.7, "").text())
                .isEqualTo(
                        "100 : 1 on the data, 1 : 10 that it happened; chance alone gives one so large 5 times a day");
    }
}
