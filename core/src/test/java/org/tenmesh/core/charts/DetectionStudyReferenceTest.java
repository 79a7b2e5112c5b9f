package org.tenmesh.core.charts;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DetectionStudyReferenceTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 2);

    private static LowReading read(int day, String run, int position, OptionalDouble known, double value) {
        return new LowReading("m", "P", "icp", DAY.plusDays(day), run, position, known, value);
    }

    private static DetectionStudy one(boolean blankTakenOff, List<LowReading> readings) {
        List<DetectionStudy> studies = DetectionStudy.of("m", blankTakenOff, readings);
        assertThat(studies).hasSize(1);
        return studies.get(0);
    }

    /**
     * Eight readings of a low solution, from the worked example of an instrument's manual (read): it prints s 0.0009 and 2.998 s = 0.003;
     * unrounded s is 0.00092582 and the limit 0.0027756 (computed apart).
     */
    @Test
    void givesAPublishedExample() {
        double[] example = {0.009, 0.010, 0.009, 0.010, 0.008, 0.011, 0.010, 0.009};
        List<LowReading> readings = new ArrayList<>();
        for (int i = 0; i < example.length; i++) {
            readings.add(read(i % 3, "R", i + 1, OptionalDouble.of(0.01), example[i]));
        }
        DetectionStudy study = one(false, readings);
        assertThat(study.checks().sd()).isCloseTo(0.00092582, within(5e-9));
        assertThat(study.checks().limit().orElseThrow()).isCloseTo(0.0027756, within(5e-8));
        assertThat(study.limit()).isEqualTo(study.checks().limit());
        assertThat(study.checkContent()).hasValue(0.01);
        assertThat(study.isAbove(OptionalDouble.of(0.002))).isTrue();
        assertThat(study.isAbove(OptionalDouble.of(0.003))).isFalse();
        assertThat(study.isAbove(OptionalDouble.empty())).isFalse();
    }

    /** Student's t of 99 % as Wis. Adm. Code NR 252.0365 prints it for n readings (read): blanks of a spread of 1 about nothing. */
    @ParameterizedTest
    @CsvSource({
        "7,3.143",
        "8,2.998",
        "9,2.896",
        "10,2.821",
        "11,2.764",
        "16,2.602",
        "21,2.528",
        "26,2.485",
        "31,2.457",
        "61,2.390"
    })
    void takesThePrintedFactor(int n, double t) {
        // Equally far from nothing to both sides, and one on it where n is odd: the sum of squares is n - 1.
        double a = Math.sqrt((n - 1.0) / (n - n % 2));
        List<LowReading> blanks = new ArrayList<>();
        for (int i = 0; i < n; i++) {
            double value = i == n - 1 && n % 2 == 1 ? 0 : i % 2 == 0 ? a : -a;
            blanks.add(read(i % 5, "R", i + 1, OptionalDouble.empty(), value));
        }
        assertThat(one(false, blanks).limit().orElseThrow()).isCloseTo(t, within(5.1e-4));
    }

    /** Mean 2, s 1: 2 + 3.143; a mean below zero counts as zero (appendix B, from memory). */
    @Test
    void addsTheMeanOfBlanksWhereNoneIsTakenOff() {
        double a = Math.sqrt(6.0 / 6);
        double[] about = {a, -a, a, -a, a, -a, 0};
        List<LowReading> above = new ArrayList<>();
        List<LowReading> below = new ArrayList<>();
        for (int i = 0; i < about.length; i++) {
            above.add(read(i % 3, "R", i, OptionalDouble.empty(), 2 + about[i]));
            below.add(read(i % 3, "R", i, OptionalDouble.empty(), about[i] - 2));
        }
        assertThat(one(false, above).blanks().limit().orElseThrow()).isCloseTo(5.143, within(5e-4));
        assertThat(one(false, below).blanks().limit().orElseThrow()).isCloseTo(3.143, within(5e-4));
    }

    /**
     * Four runs of two blanks, 1 apart, each run about another level: s within runs is sqrt(1/2) with 4 degrees of freedom, and a soil less the mean of
     * two scatters sqrt(1 + 1/2) as much; t(0.99, 4) is 3.747 (printed in every table of Student's t).
     */
    @Test
    void comparesABlankWithThoseOfItsRunWhereTheirMeanIsTakenOff() {
        List<LowReading> blanks = new ArrayList<>();
        for (int run = 0; run < 4; run++) {
            blanks.add(read(run, "R", 1, OptionalDouble.empty(), 100 * run));
            blanks.add(read(run, "R", 2, OptionalDouble.empty(), 100 * run + 1));
        }
        DetectionStudy.Part part = one(true, blanks).blanks();
        assertThat(part.degrees()).isEqualTo(4);
        assertThat(part.limit().orElseThrow()).isCloseTo(3.747 * Math.sqrt(0.5 * 1.5), within(5e-4));
        // The same day given twice is no more evidence, and a run of one blank says nothing.
        List<LowReading> more = new ArrayList<>(blanks);
        more.addAll(blanks);
        more.add(read(9, "R", 1, OptionalDouble.empty(), 5000));
        assertThat(one(true, more).blanks()).isEqualTo(part);
    }

    @Test
    void givesNoLimitOfTooFewReadingsOrDaysAndLeavesOutWhatIsOld() {
        List<LowReading> six = new ArrayList<>();
        for (int i = 0; i < 6; i++) {
            six.add(read(i, "R", 1, OptionalDouble.empty(), i));
        }
        assertThat(one(false, six).limit()).isEmpty();
        List<LowReading> seven = new ArrayList<>(six);
        seven.add(read(6, "R", 1, OptionalDouble.empty(), 6));
        assertThat(one(false, seven).limit()).isPresent();
        List<LowReading> old = new ArrayList<>(six);
        old.add(read(-740, "R", 1, OptionalDouble.empty(), 6));
        assertThat(one(false, old).blanks().n()).isEqualTo(6);
        List<LowReading> twoDays = new ArrayList<>();
        for (int i = 0; i < 12; i++) {
            twoDays.add(read(i % 2, "R", i, OptionalDouble.empty(), i));
        }
        assertThat(one(false, twoDays).limit()).isEmpty();
        assertThat(DetectionStudy.of("m", false, List.of())).isEmpty();
    }
}
