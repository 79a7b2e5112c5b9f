package org.tenmesh.app.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.tenmesh.exchange.csv.Tables;
import org.tenmesh.exchange.methods.MethodFiles;

class ChecksTest {
    private static final CheckReport REPORT = Checks.run();
    private static final Publication BUFFERS = new Publication("hj", "HJ 1147-2020", "");

    @TestFactory
    Stream<DynamicTest> everyPublishedValue() {
        return REPORT.checks().stream()
                .map(check -> dynamicTest(
                        check.id(),
                        () -> assertThat(check.passed())
                                .as(() -> check.source() + ": " + check.asked() + ": expected " + check.expected()
                                        + ", got " + check.got() + " (" + check.tolerance() + ")")
                                .isTrue()));
    }

    @Test
    void usesEveryProofAndEveryPublication() {
        Set<String> proofs = new HashSet<>();
        for (String table : Checks.TABLES) {
            Shipped.table(table + ".csv").rows().forEach(row -> proofs.add(row.text("proof")));
        }
        assertThat(column("proofs.csv", "proof")).doesNotHaveDuplicates().containsExactlyInAnyOrderElementsOf(proofs);
        assertThat(column("publications.csv", "publication"))
                .doesNotHaveDuplicates()
                .containsExactlyInAnyOrderElementsOf(Set.copyOf(column("proofs.csv", "publication")));
    }

    private static List<String> column(String file, String name) {
        Tables.Table table = Shipped.table(file);
        return table.rows().stream().map(row -> row.text(name)).toList();
    }

    @Test
    void namesEachCheckOnceWithItsSource() {
        assertThat(REPORT.checks().stream().map(Check::id).collect(Collectors.toList()))
                .doesNotHaveDuplicates();
        assertThat(REPORT.checks()).allSatisfy(check -> {
            assertThat(check.source()).isNotBlank();
            assertThat(check.asked()).isNotBlank();
            assertThat(check.expected()).isNotBlank();
            assertThat(check.got()).isNotBlank();
        });
    }

    @Test
    void countsAProofOnceHoweverManyRowsAndSourcesRepeatIt() {
        Proof one = proof("one", Standing.READ, Proof.Nature.NUMBER, "slope");
        Proof again = proof("again", Standing.LIBRARY, Proof.Nature.NUMBER, "slope");
        Proof other = proof("other", Standing.READ, Proof.Nature.NUMBER, "offset");
        Proof table = proof("table", Standing.READ, Proof.Nature.TABLE, "buffers");
        Proof computed = proof("computed", Standing.COMPUTED, Proof.Nature.NUMBER, "probe");
        Proof recalled = proof("recalled", Standing.FROM_MEMORY, Proof.Nature.NUMBER, "scores");
        CheckReport report = new CheckReport(Stream.of(one, one, again, other, table, computed, recalled)
                .map(proof -> check(proof, "", "1", "1"))
                .toList());
        assertThat(report.proofs()).containsExactly("offset", "slope");
        assertThat(report.sums()).isEqualTo(Map.of("pH", new CheckReport.Sum(7, 2)));
        assertThat(report.text())
                .contains("7 rows,   2 independent proofs")
                .endsWith("7 rows, 2 independent proofs against numbers from 1 sources; all agree.\n");
    }

    @Test
    void namesWhatNothingFromOutsideSpeaksFor() {
        Proof read = proof("read", Standing.READ, Proof.Nature.NUMBER, "a formula");
        Proof table = proof("table", Standing.READ, Proof.Nature.TABLE, "a table");
        Proof computed = proof("computed", Standing.COMPUTED, Proof.Nature.NUMBER, "own numbers");
        Unproved nothing = Unproved.of(MethodFiles.allShipped(), List.of());
        assertThat(nothing.kinds()).contains("electrode", "ignition", "flow");
        assertThat(nothing.derived()).contains("sar SAR", "lime-oregon lime_5_6", "particle-size texture");
        assertThat(nothing.measured()).contains("olsen-p", "ph-water-1-1");
        Unproved some = Unproved.of(
                MethodFiles.allShipped(),
                List.of(
                        check(read, "olsen-p P", "1", "1"),
                        check(computed, "bray-p2 P", "1", "1"),
                        check(read, "sar SAR", "1", "1"),
                        check(table, "lime-oregon lime_5_6", "1", "1")));
        assertThat(some.kinds()).contains("electrode").doesNotContain("flow");
        assertThat(some.measured()).contains("bray-p2").doesNotContain("olsen-p");
        assertThat(some.derived()).doesNotContain("sar SAR", "lime-oregon lime_5_6");
        assertThat(some.tables()).containsExactly("lime-oregon lime_5_6");
        assertThat(some.lines()).anyMatch(line -> line.startsWith("Kinds of method not checked against anything"));
    }

    @Test
    void failsOnAWrongNumberAWrongWordAndABrokenComputation() {
        Proof proof = proof("pi", Standing.READ, Proof.Nature.NUMBER, "pi");
        Subject.Number pi = given -> Math.PI;
        Subject.Number none = given -> Double.NaN;
        Subject word = given -> "rejected";
        Subject broken = given -> {
            throw new IllegalStateException("no pi today");
        };
        CheckReport report = new CheckReport(List.of(
                made("right", proof, "3.1416", "last", pi),
                made("wrong", proof, "3.1417", "last", pi),
                made("none", proof, "3.1416", "last", none),
                made("word", proof, "accepted", "word", word),
                made("broken", proof, "3.1416", "last", broken),
                made("tolerance", proof, "3.1416", "about right", pi)));
        assertThat(report.failed())
                .extracting(Check::id)
                .containsExactly("wrong", "none", "word", "broken", "tolerance");
        assertThat(report.passed()).isFalse();
        assertThat(report.text())
                .contains("  Source: HJ 1147-2020")
                .contains("    buffer 4.00 (read)\n")
                .contains(
                        "ok      a circle: n 1: expected 3.1416, got 3.1415927 (half a unit of the last printed digit)")
                .contains("FAILED  a circle: n 1: expected 3.1417")
                .contains("no pi today")
                .endsWith("6 rows, 1 independent proofs against numbers from 1 sources; 5 FAILED.\n");
    }

    private static Check made(String id, Proof proof, String expected, String tolerance, Subject subject) {
        return Checks.check(id, proof, "buffer 4.00", "a circle", Given.of("", "n=1"), expected, tolerance, subject);
    }

    private static Check check(Proof proof, String of, String expected, String got) {
        return new Check("check", proof, "", "result", of, expected, got, "as printed", expected.equals(got));
    }

    private static Proof proof(String id, Standing standing, Proof.Nature nature, String proves) {
        return new Proof(id, "pH", BUFFERS, standing, nature, "", proves);
    }

    @Test
    void allowsWhatThePrintedDigitsAllow() {
        assertThat(Tolerance.lastDigit("0.07434").absolute()).isCloseTo(5e-6, within(1e-18));
        assertThat(Tolerance.lastDigit("0.429796848199937E-03").absolute()).isCloseTo(5e-19, within(1e-30));
        assertThat(Tolerance.lastDigit("20").absolute()).isEqualTo(0.5);
        assertThat(Tolerance.lastDigit("0.50").holds(0.50, 0.505)).isTrue();
        assertThat(Tolerance.lastDigit("0.50").holds(0.50, 0.5051)).isFalse();
        assertThat(Tolerance.digits("200", 3, "so").holds(200, 200.3)).isFalse();
        assertThat(Tolerance.of("share:0.006:three figures", "168").absolute()).isCloseTo(1.008, within(1e-12));
        assertThat(Tolerance.of("abs:0.03:one cell", "1.24")).isEqualTo(new Tolerance(0.03, "one cell"));
        assertThat(Tolerance.of("unit:by hand: 1951", "1.155").reason())
                .isEqualTo("one unit of the last printed digit: by hand: 1951");
        assertThatThrownBy(() -> Tolerance.of("roughly", "1")).hasMessageContaining("roughly");
    }
}
