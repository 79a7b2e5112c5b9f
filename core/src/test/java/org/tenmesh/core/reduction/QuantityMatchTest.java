package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tenmesh.core.reduction.PaperRun.analyte;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.quantity.Unit;

class QuantityMatchTest {
    private static final EmissionMethod METHOD = new EmissionMethod(
            PaperRun.head(
                    "emission",
                    analyte("K", Unit.MILLIGRAM_PER_KILOGRAM, 0),
                    analyte("B", Unit.MILLIGRAM_PER_KILOGRAM, 0)),
            PaperRun.extraction(2, 20, Extraction.Basis.MASS, Extraction.Shape.LINE),
            List.of(new Line("K 766.491", "K", true), new Line("B 249.772", "B", true)),
            Optional.of("Y 371.029"),
            70,
            130,
            List.of(),
            OptionalDouble.of(1e9));

    private static PaperRun run(String potassium, String boron, String yttrium) {
        PaperRun run = new PaperRun(METHOD);
        for (int level = 0; level < 5; level++) {
            run.known("S" + level, "K", 10 * level).known("S" + level, "B", level);
            run.read(Role.STANDARD, "S" + level, potassium, 50 + 900 * level, boron, 10 + 70 * level, yttrium, 1000);
        }
        return run.read(Role.BLANK, "blank", potassium, 60, boron, 11, yttrium, 990)
                .read(Role.SAMPLE, "L-1", potassium, 1234, boron, 123, yttrium, 1010);
    }

    @ParameterizedTest
    @ValueSource(strings = {"K 766.490", "k 766.491", "K 766.491 ", "K766.49 nm", "K 766,491", "K I 766.49", "K_766.5"})
    void givesTheSameResultsUnderAnotherSpellingOfTheLine(String written) {
        Reduced own = run("K 766.491", "B 249.772", "Y 371.029").reduce();
        Reduced other = run(written, "b249.77", "Y 371.030").reduce();

        assertThat(other.determinations()).isEqualTo(own.determinations());
        assertThat(own.determinations())
                .hasSize(14)
                .allMatch(one -> Double.isFinite(one.amount().raw()));
    }

    @Test
    void leavesReadingsUnderTheMethodsOwnNamesAsTheyAre() {
        Readings readings = run("K 766.491", "B 249.772", "Y 371.029").run().readings();
        QuantityMatch match = QuantityMatch.of(METHOD, readings);

        assertThat(match.readings()).isSameAs(readings);
        assertThat(match.renamed()).isEmpty();
        assertThat(match.unused()).isEmpty();
        assertThat(match.lacking()).isEmpty();
    }

    @Test
    void saysHowFarALineLies() {
        QuantityMatch match = QuantityMatch.of(
                METHOD, run("K 766.490", "B 249.677", "yttrium").run().readings());

        assertThat(match.renamed()).containsExactly(new QuantityMatch.Renamed("K 766.490", "K 766.491", 0.001));
        assertThat(match.unused()).hasSize(2);
        assertThat(match.unused().get(0))
                .isEqualTo(new QuantityMatch.Unused("B 249.677", Optional.of("B 249.772"), 0.095));
        assertThat(match.unused().get(1).nearest()).contains("Y 371.029");
        assertThat(match.lacking()).containsExactly("B 249.772", "Y 371.029");
    }

    @Test
    void prefersTheMethodsOwnLineAndThenTheNearest() {
        Readings both = new PaperRun(METHOD)
                .read(Role.SAMPLE, "L-1", "K 766.490", 1, "K 766.491", 2, "B 249.770", 3, "B 249.773", 4)
                .run()
                .readings();
        QuantityMatch match = QuantityMatch.of(METHOD, both);

        assertThat(match.unused()).extracting(QuantityMatch.Unused::found).containsExactly("K 766.490", "B 249.770");
        assertThat(match.renamed()).extracting(QuantityMatch.Renamed::found).containsExactly("B 249.773");
    }

    @Test
    void usesNeitherOfTwoLinesAsNearAsEachOther() {
        Readings both = new PaperRun(METHOD)
                .read(Role.SAMPLE, "L-1", "K 766.490", 1, "K 766.492", 2)
                .run()
                .readings();
        QuantityMatch match = QuantityMatch.of(METHOD, both);

        assertThat(match.renamed()).isEmpty();
        assertThat(match.unused()).hasSize(2);
        assertThat(match.lacking()).contains("K 766.491");
    }
}
