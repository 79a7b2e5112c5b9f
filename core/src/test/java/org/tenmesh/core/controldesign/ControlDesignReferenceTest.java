package org.tenmesh.core.controldesign;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.controldesign.ControlDesign.Way;
import org.tenmesh.core.statistics.FalseAlarm;

/**
 * Numbers of soils run and released with a shift. All were computed by the project apart from this program (a script in another
 * language); the formulas are the project's own derivation from the definitions of Parvin, C. A., 2008, Clinical Chemistry 54:2049
 * (abstract read), whose own tables were not seen.
 */
class ControlDesignReferenceTest {
    private static final Placement EVERY_50 = Placement.every(50);
    private static final Watch.Single THREE = new Watch.Single(3);

    @Test
    void reproducesTheTableOfOneControlInFifty() throws Exception {
        int rows = 0;
        try (BufferedReader in = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(
                        ControlDesignReferenceTest.class.getResourceAsStream("blind-control-detection.csv")),
                StandardCharsets.UTF_8))) {
            for (String line :
                    in.lines().filter(text -> !text.startsWith("#")).skip(1).toList()) {
                double[] row = List.of(line.split(",", -1)).stream()
                        .mapToDouble(Double::parseDouble)
                        .toArray();
                Watch.Single two = new Watch.Single(2);
                // Half a unit of the last printed place of each.
                assertThat(THREE.power(row[0])).isCloseTo(row[1], within(0.0000051));
                assertThat(1 / THREE.power(row[0])).isCloseTo(row[2], within(0.00051));
                assertThat(THREE.touched(EVERY_50, row[0]).all()).isCloseTo(row[3], within(0.051));
                assertThat(two.power(row[0])).isCloseTo(row[4], within(0.0000051));
                assertThat(two.touched(EVERY_50, row[0]).all()).isCloseTo(row[6], within(0.051));
                rows++;
            }
        }
        assertThat(rows).isEqualTo(11);
    }

    /** COMPUTED: the largest number of wrong results that cannot be called back, over all shifts, with limits of 3. */
    @ParameterizedTest
    @CsvSource({"3, 43.9, 1.3, 0.051", "4, 6.35, 2.6, 0.0051", "6, 0.131, 4.3, 0.00051"})
    void reproducesTheWorstNumberOfFinalResults(double allowed, double expected, double atShift, double tolerance) {
        double most = 0;
        double at = 0;
        for (int i = 1; i <= 800; i++) {
            double shift = i / 100.0;
            double released = THREE.touched(EVERY_50, shift).released() * ControlDesign.addedChance(shift, allowed);
            if (released > most) {
                most = released;
                at = shift;
            }
        }
        assertThat(most).isCloseTo(expected, within(tolerance));
        assertThat(at).isCloseTo(atShift, within(0.06));
    }

    @Test
    void halvingTheIntervalHalvesWhatIsReleased() {
        for (Watch watch : List.of(THREE, new Watch.MeanOf(4, 3), new Watch.MovingAverage(0.1, 2.814))) {
            assertThat(watch.touched(Placement.every(25), 1.5).released())
                    .as(watch.name())
                    .isCloseTo(watch.touched(EVERY_50, 1.5).released() / 2, within(1e-9));
        }
    }

    /** COMPUTED: lambda 0.1 and 2.814 signal a shift of 1 in 10.3 controls, about 490 soils (Lucas & Saccucci 1990, Table 3, has 10.3). */
    @Test
    void aMovingAverageSeesASmallShiftFiveHundredSoilsLate() {
        Watch average = new Watch.MovingAverage(0.1, 2.814);
        assertThat(average.touched(EVERY_50, 1).all()).isCloseTo(490, within(5.0));
        assertThat(1 / average.falseAlarm()).isCloseTo(500, within(5.0));
    }

    /** COMPUTED: 60 controls in 3060 wells, 1, 12 and 60 blunders. */
    @ParameterizedTest
    @CsvSource({"1, 0.0196, 0.00005", "12, 0.212, 0.0005", "60, 0.699, 0.0005"})
    void blundersThatTouchAControl(int blunders, double expected, double tolerance) {
        assertThat(ControlDesign.blundersTouchControl(3060, 60, blunders)).isCloseTo(expected, within(tolerance));
    }

    @Test
    void blundersAtTheEdges() {
        assertThat(ControlDesign.blundersTouchControl(12, 1, 12)).isEqualTo(1);
        assertThat(ControlDesign.blundersTouchControl(12, 0, 5)).isZero();
        assertThat(ControlDesign.blundersTouchControl(12, 3, 0)).isZero();
        // Counted by hand: of the 15 pairs of 6 wells, 9 touch one of two controls.
        assertThat(ControlDesign.blundersTouchControl(6, 2, 2)).isCloseTo(9 / 15.0, within(1e-12));
        assertThatThrownBy(() -> ControlDesign.blundersTouchControl(12, 13, 1))
                .hasMessageContaining("13 controls and 1 blunders in 12 wells");
    }

    @Test
    void watchesWithOneChanceOfFalseAlarmHaveIt() {
        for (Watch watch : List.of(
                Watch.Single.ofFalseAlarm(0.0005),
                Watch.MeanOf.ofFalseAlarm(4, 0.0005),
                Watch.MovingAverage.ofFalseAlarm(0.1, 0.0005))) {
            assertThat(watch.falseAlarm()).as(watch.name()).isCloseTo(0.0005, within(1e-9));
        }
        // Of twelve results together none may be surer than this; 1 - (1 - p)^12 is the whole again.
        double each = FalseAlarm.ofEach(0.0005, 12);
        assertThat(1 - Math.pow(1 - each, 12)).isCloseTo(0.0005, within(1e-12));
    }

    @Test
    void advisesTheLongestIntervalThatIsAccepted() {
        ControlDesign design = ControlDesign.of(new ControlDesign.Question(4000, 2, OptionalDouble.empty(), 0.0005, 1));
        for (Way way : Way.values()) {
            double released = -1;
            for (ControlDesign.Row row : design.rows()) {
                assertThat(row.by(way).released())
                        .as("%s at %d", way, row.interval())
                        .isGreaterThan(released);
                released = row.by(way).released();
            }
        }
        ControlDesign.Row fifty = design.rows().stream()
                .filter(row -> row.interval() == 50)
                .findFirst()
                .orElseThrow();
        assertThat(fifty.controls()).isCloseTo(81.6, within(0.05));
        assertThat(fifty.falseAlarms()).isCloseTo(0.0408, within(0.00005));
        double accepted = fifty.average().released();
        assertThat(design.longest(Way.AVERAGE, accepted).orElseThrow()).isEqualTo(fifty);
        assertThat(design.longest(Way.AVERAGE, accepted * 0.999).orElseThrow().interval())
                .isEqualTo(40);
        assertThat(design.longest(Way.SINGLE, 0.1)).isEmpty();
        assertThatThrownBy(() -> new ControlDesign.Question(0, 2, OptionalDouble.empty(), 0.0005, 1))
                .hasMessageContaining("0 soils");
    }
}
