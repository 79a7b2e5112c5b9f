package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.name;
import static org.tenmesh.core.reduction.PaperRun.number;
import static org.tenmesh.core.reduction.PaperRun.of;
import static org.tenmesh.core.reduction.PaperRun.quantity;
import static org.tenmesh.core.reduction.PaperRun.result;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.quantity.Unit;

/** The story of a number ends at that number, digit for digit. */
class TrailTest {
    private static PaperRun flow() {
        PaperRun run = new PaperRun(PaperRun.flow(
                extraction(1, 7, Extraction.Basis.MASS, Extraction.Shape.QUADRATIC),
                analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 0)));
        run.read(Role.WASH, "W", "peak", 0.03);
        for (int s = 0; s < 6; s++) {
            run.known("S" + s, "P", 2 * s).read(Role.STANDARD, "S" + s, "peak", 0.04 + 0.2 * s - 0.003 * s * s);
        }
        return run.read(Role.BLANK, "B", "peak", 0.047)
                .diluted(3, Role.SAMPLE, "soil", "peak", 0.3217)
                .read(Role.WASH, "W", "peak", 0.041);
    }

    private static PaperRun emission() {
        PaperRun run = new PaperRun(PaperRun.emission(
                extraction(1, 10, Extraction.Basis.EXTRACT, Extraction.Shape.LINE),
                List.of(analyte("B", Unit.MILLIGRAM_PER_LITRE, 0), analyte("Fe", Unit.MILLIGRAM_PER_LITRE, 0)),
                List.of(
                        new EmissionMethod.Overlap("B 200.000", "Fe", 0.0004),
                        new EmissionMethod.Overlap("Fe 200.000", "B", 0.013))));
        for (int s = 0; s < 5; s++) {
            run.known("S" + s, "B", s).known("S" + s, "Fe", 7 * s);
            run.read(Role.STANDARD, "S" + s, "B 200.000", 3 + 1003.7 * s, "Fe 200.000", 11 + 333.3 * s);
        }
        return run.read(Role.SAMPLE, "soil", "B 200.000", 777.7, "Fe 200.000", 888.8);
    }

    private static PaperRun conductivity() {
        return new PaperRun(PaperRun.conductivity())
                .known("KCl", "EC", 1.413)
                .read(Role.STANDARD, "KCl", "conductance", 1.387, "temperature", 24.3)
                .diluted(2, Role.SAMPLE, "soil", "conductance", 0.317, "temperature", 21.7);
    }

    private static PaperRun hydrometer() {
        return new PaperRun(PaperRun.hydrometer())
                .read(Role.BLANK, "B", "early", 4.1, "late", 4.3)
                .read(Role.SAMPLE, "soil", "soil", 39.93, "early", 26.7, "late", 12.1);
    }

    static Stream<Arguments> runs() {
        return Stream.of(
                Arguments.of(flow(), "P"),
                Arguments.of(emission(), "B"),
                Arguments.of(emission(), "Fe"),
                Arguments.of(conductivity(), "EC"),
                Arguments.of(hydrometer(), "S2h"));
    }

    @ParameterizedTest
    @MethodSource("runs")
    void endsAtTheResult(PaperRun run, String analyte) {
        Trail trail = Trail.of("soil", analyte);
        Determination soil = run.reduce(trail).determinations().stream()
                .filter(d -> d.identity().equals("soil") && d.analyte().equals(analyte))
                .findFirst()
                .orElseThrow();

        List<Step> steps = trail.steps();
        assertThat(steps)
                .hasSizeGreaterThan(3)
                .allSatisfy(step -> assertThat(step.result()).isNotNaN());
        assertThat(steps.get(steps.size() - 1).result()).isEqualTo(soil.amount().raw());
        assertThat(steps.get(steps.size() - 1).arithmetic()).isNotEmpty();
    }

    @Test
    void showsTheFormulaAndTheNumbersPutIn() {
        Trail trail = Trail.of("soil", "S40");
        hydrometer().reduce(trail);

        // The late reading makes no part of the early result.
        assertThat(trail.steps())
                .extracting(Step::what)
                .containsExactly(
                        "Soil, position 2",
                        "Early, position 2",
                        "Mean of the blanks: early",
                        "S40 = percent((early − blank_early) × volume / soil)");
        assertThat(trail.steps().get(3).arithmetic()).isEqualTo("percent((26.7 − 4.1) × 1 / 39.93)");
    }

    @Test
    void showsWhatOtherElementsAdd() {
        Trail trail = Trail.of("soil", "B");
        emission().reduce(trail);

        assertThat(trail.steps())
                .filteredOn(step -> step.what().equals("Less what Fe adds to this line"))
                .singleElement()
                .satisfies(step -> assertThat(step.arithmetic()).matches("0\\.\\d+ − 0\\.0004 × 18\\.\\d+"));
    }

    // A result that another one is calculated from is told with it; one that is not stays out.
    @Test
    void tellsTheStepsBetweenAndNoOthers() {
        FormulaMethod method = PaperRun.formula(
                List.of(analyte("a", Unit.ONE, 0), analyte("b", Unit.ONE, 0), analyte("c", Unit.ONE, 0)),
                List.of(quantity("x", "1", 0, 10)),
                List.of(),
                result("a", of(Operation.ADD, name("x"), number(1)), 0, 100),
                result("half", of(Operation.DIVIDE, name("a"), number(2)), 0, 100),
                result("b", of(Operation.MULTIPLY, name("x"), number(3)), 0, 100),
                result("c", of(Operation.ADD, name("half"), number(4)), 0, 100));
        Trail trail = Trail.of("soil", "c");
        Reduced reduced = new PaperRun(method).read(Role.SAMPLE, "soil", "x", 5).reduce(trail);

        assertThat(trail.steps())
                .extracting(Step::what)
                .containsExactly("X, position 1", "a = x + 1", "half = a / 2", "c = half + 4");
        assertThat(reduced.determinations().get(2).amount().raw()).isEqualTo(7);
        assertThat(method.quantitiesOf("c")).containsExactly("x");
    }
}
