package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.bench.Path;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodsOfDay;

/** The steps at the bench that the shipped methods make, against the figures of the books and pages they name. */
final class BenchStepsTest {
    private static final MethodsOfDay METHODS = MethodFiles.shipped().on(LocalDate.of(2026, 11, 25));

    private static List<String> steps(String... methods) {
        return paths(methods).stream()
                .flatMap(path -> path.steps().stream())
                .map(step ->
                        step.doing().word() + ": " + step.big() + (step.what().isEmpty() ? "" : ", " + step.what()))
                .toList();
    }

    private static List<Path> paths(String... methods) {
        return Portions.of(List.of(methods), METHODS).stream().map(Path::of).toList();
    }

    /** 1 g to 10 mL, five minutes, filtered: Rayment & Lyons 2011, method 18F1. */
    @Test
    void mehlich3() {
        assertThat(steps("mehlich3-icp"))
                .containsExactly(
                        "scoop: 1 g soil",
                        "pour: 10 mL Mehlich-3 solution",
                        "shake: 5 min",
                        "filter: Filter",
                        "read: Hand over to the instrument, Mehlich-3 nutrients by plasma emission");
        assertThat(steps("mehlich3-icp-scooped").get(0)).isEqualTo("scoop: 2.5 mL scoop, level");
    }

    /** SMP: 5 g, 5 mL of water, 10 mL of buffer, shaken 10 and left to stand 30 minutes (Sikora 2007), here on 7 g. */
    @Test
    void bufferGoesIntoTheSuspensionOncePhWasRead() {
        assertThat(steps("ph-water-1-1", "buffer-ph-smp"))
                .containsExactly(
                        "scoop: 7 g soil",
                        "pour: 7 mL water",
                        "stir: Stir",
                        "stand: 10 min",
                        "read: Hand over to the instrument, pH in water, 1:1",
                        "pour: 14 mL SMP buffer",
                        "shake: 10 min",
                        "stand: 30 min",
                        "read: Hand over to the instrument, Buffer pH, SMP");
        assertThat(steps("buffer-ph-smp")).startsWith("scoop: 7 g soil", "pour: 7 mL water");
    }

    /** Weighed after 105 °C and again after 360 °C: University of Minnesota, loss on ignition. */
    @Test
    void crucibles() {
        assertThat(steps("om-loi-360"))
                .containsExactly(
                        "weigh-empty: Weigh the empty vessels, crucibles in well order, on one balance",
                        "scoop: 5 g soil",
                        "oven: 1 h, at 105 °C",
                        "weigh: Weigh, first weighing, same order, same balance",
                        "furnace: 16 h, at 360 °C",
                        "cool: Let cool, below about 100 °C, then into the desiccator",
                        "read: Hand over to the instrument, second weighing, same order, same balance");
    }

    /** The paste stands overnight and its extract is drawn off once: Rayment & Lyons 2011, method 2D1. */
    @Test
    void pasteStandsOvernightAndIsDrawnOffOnce() {
        List<String> steps = steps("saturated-paste", "ec-paste", "paste-cations", "paste-chloride");
        assertThat(steps.get(0)).isEqualTo("scoop: 250 g soil");
        assertThat(steps.get(1)).contains("client's water").contains("deionised");
        assertThat(steps.get(2)).isEqualTo("stand: 16 h, overnight, covered; look again before you go on");
        assertThat(steps.stream().filter(step -> step.startsWith("draw-off"))).hasSize(1);
        assertThat(steps.stream().filter(step -> step.startsWith("read"))).hasSize(4);
    }

    @Test
    void everyMethodThatIsReadFromAPortionHasAPathWithKeysOfItsOwnAndItsCautions() {
        for (Method method : METHODS.all()) {
            if (method.isCalculated()) {
                continue;
            }
            List<Path> paths = paths(method.id());
            assertThat(paths).as(method.id()).hasSize(1);
            List<Step> steps = paths.get(0).steps();
            Set<String> keys = new HashSet<>();
            assertThat(steps).as(method.id()).allMatch(step -> keys.add(step.key()));
            assertThat(steps.get(steps.size() - 1).doing()).as(method.id()).isEqualTo(Doing.READ);
            assertThat(steps).allSatisfy(step -> assertThat(step.big()).isNotEmpty());
            if (method.head().portion().isPresent()) {
                assertThat(steps.stream().filter(step -> step.doing() == Doing.SCOOP))
                        .as(method.id())
                        .hasSize(1);
            }
        }
    }
}
