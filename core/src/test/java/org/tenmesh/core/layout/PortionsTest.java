package org.tenmesh.core.layout;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Portion;

/** Methods of one extract share its portion; a package takes one to ten. */
class PortionsTest {
    private static final Map<String, Method> METHODS = new TreeMap<>();

    static {
        IntStream.rangeClosed(1, 11).forEach(i -> method("m" + i, new Portion("p" + i, i)));
        method("ph", new Portion("suspension", 7));
        method("buffer", new Portion("suspension", 7));
        method("other", new Portion("suspension", 8));
    }

    private static void method(String id, Portion portion) {
        METHODS.put(
                id,
                new FormulaMethod(
                        new Method.Head(
                                id,
                                LocalDate.of(2026, 11, 1),
                                id,
                                "",
                                List.of(),
                                List.of(),
                                List.of(),
                                "",
                                "",
                                Optional.of(portion),
                                List.of()),
                        List.of(),
                        List.of(),
                        List.of(),
                        0,
                        0));
    }

    private static TestPackage asking(String... methods) {
        return new TestPackage(
                "a",
                "A",
                List.of(methods).stream()
                        .map(method -> new TestPackage.Asked(method, List.of()))
                        .toList());
    }

    @Test
    void methodsOfOneSuspensionShareIt() {
        List<Portions.Taken> taken = Portions.of(asking("ph", "m2", "buffer", "unknown"), METHODS);

        assertThat(taken).extracting(one -> one.portion().name()).containsExactly("suspension", "p2");
        assertThat(taken.get(0).methods()).containsExactly("ph", "buffer");
        assertThat(Portions.totalG(taken)).isEqualTo(9);
    }

    @Test
    void aPackageTakesOneToTen() {
        String[] eleven = IntStream.rangeClosed(1, 11).mapToObj(i -> "m" + i).toArray(String[]::new);
        assertThat(Portions.of(asking(List.of(eleven).subList(0, 10).toArray(String[]::new)), METHODS))
                .hasSize(10);
        assertThatThrownBy(() -> Portions.of(asking(eleven), METHODS))
                .hasMessageStartingWith("package a asks for 11 portions, expected 1 to 10: p1, ");
        assertThatThrownBy(() -> Portions.of(asking("unknown"), METHODS))
                .hasMessage("package a asks for 0 portions, expected 1 to 10");
        assertThatThrownBy(() -> Portions.of(asking("ph", "other"), METHODS))
                .hasMessageContaining("portion suspension is 7.0 g for ph and 8.0 g for other");
    }

    @Test
    void aTrayTakesWhatItsWellsAskFor() {
        Tray tray = new Tray(
                "T1",
                List.of(
                        new Tray.Place(new Well(0), Optional.of(new LabNumber("L1")), Tray.Purpose.SOIL),
                        new Tray.Place(new Well(1), Optional.of(new LabNumber("L2")), Tray.Purpose.SOIL),
                        new Tray.Place(new Well(2), Optional.empty(), Tray.Purpose.KEY)));

        List<Portions.Taken> taken = Portions.of(
                tray, lab -> Optional.of(lab.text().equals("L1") ? asking("ph") : asking("m3", "buffer")), METHODS);

        assertThat(taken).extracting(Portions.Taken::wells).containsExactly(2, 1);
        assertThat(taken.get(0).methods()).containsExactly("ph", "buffer");
        assertThat(Portions.totalG(taken)).isEqualTo(17);
    }
}
