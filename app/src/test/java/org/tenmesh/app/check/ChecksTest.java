package org.tenmesh.app.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

class ChecksTest {
    private static final CheckReport REPORT = Checks.run();

    @Test
    void agreesWithEveryPublishedValue() {
        assertThat(REPORT.failed()).as(() -> REPORT.text()).isEmpty();
        assertThat(REPORT.passed()).isTrue();
    }

    @Test
    void countsOnlyWhatWasReadInASource() {
        assertThat(REPORT.counted())
                .hasSizeGreaterThanOrEqualTo(60)
                .allMatch(check -> check.standing() == Standing.READ);
        assertThat(REPORT.works()).hasSizeGreaterThanOrEqualTo(12).doesNotContain(Work.MILLER, Work.MASS_BALANCE);
        assertThat(REPORT.checks()).hasSizeGreaterThan(REPORT.counted().size());
    }

    @Test
    void namesEachCheckOnce() {
        assertThat(REPORT.checks().stream().map(Check::id).collect(Collectors.toList()))
                .doesNotHaveDuplicates();
        assertThat(REPORT.checks()).allSatisfy(check -> {
            assertThat(check.source()).isNotBlank();
            assertThat(check.question()).isNotBlank();
            assertThat(check.expected()).isNotBlank();
            assertThat(check.got()).isNotBlank();
        });
    }

    @Test
    void failsOnAWrongNumberAWrongWordAndABrokenComputation() {
        Sheet sheet = new Sheet();
        Sheet.From from = sheet.read("pH", Work.HJ_1147, "buffer 4.00");
        from.number("right", "pi", "3.1416", Tolerance.lastDigit("3.1416"), () -> Math.PI);
        from.number("wrong", "pi", "3.1417", Tolerance.lastDigit("3.1417"), () -> Math.PI);
        from.number("none", "pi", "3.1416", Tolerance.lastDigit("3.1416"), () -> Double.NaN);
        from.word("word", "a word", "accepted", () -> "rejected");
        from.number("broken", "pi", "3.1416", Tolerance.lastDigit("3.1416"), () -> {
            throw new IllegalStateException("no pi today");
        });
        CheckReport report = new CheckReport(sheet.checks());
        assertThat(report.failed()).extracting(Check::id).containsExactly("wrong", "none", "word", "broken");
        assertThat(report.passed()).isFalse();
        assertThat(report.text())
                .contains("  Source: HJ 1147-2020")
                .contains("    buffer 4.00 (read)\n")
                .contains("ok      pi: expected 3.1416, got 3.1415927 (half a unit of the last printed digit)")
                .contains("FAILED  pi: expected 3.1417")
                .contains("no pi today")
                .endsWith("5 checks, 5 of them against values read in 1 sources; 4 FAILED.\n");
    }

    @Test
    void allowsWhatThePrintedDigitsAllow() {
        assertThat(Tolerance.lastDigit("0.07434").absolute()).isCloseTo(5e-6, within(1e-18));
        assertThat(Tolerance.lastDigit("0.429796848199937E-03").absolute()).isCloseTo(5e-19, within(1e-30));
        assertThat(Tolerance.lastDigit("20").absolute()).isEqualTo(0.5);
        assertThat(Tolerance.lastDigit("0.50").holds(0.50, 0.505)).isTrue();
        assertThat(Tolerance.lastDigit("0.50").holds(0.50, 0.5051)).isFalse();
        assertThat(Tolerance.digits("200", 3, "so").holds(200, 200.3)).isFalse();
    }
}
