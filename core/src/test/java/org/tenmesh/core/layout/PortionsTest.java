package org.tenmesh.core.layout;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Portion;

/** Methods of one extract share its portion; a package takes one to ten. */
class PortionsTest {
    private static final List<Method> ALL = new ArrayList<>();
    private static final MethodsOfDay METHODS;

    static {
        IntStream.rangeClosed(1, 11).forEach(i -> method("m" + i, new Portion("p" + i, i)));
        method("ph", new Portion("suspension", 7));
        method("buffer", new Portion("suspension", 7));
        method("stones", null);
        METHODS = MethodBook.shipping(ALL.toArray(Method[]::new)).on(LocalDate.of(2026, 11, 25));
    }

    private static void method(String id, @Nullable Portion portion) {
        ALL.add(new FormulaMethod(
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
                        Optional.ofNullable(portion),
                        "",
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
        List<Portions.Taken> taken = Portions.of(asking("ph", "m2", "buffer", "unknown", "ph"), METHODS);

        assertThat(taken).extracting(Portions.Taken::name).containsExactly("suspension", "p2");
        assertThat(taken.get(0).methods()).extracting(Method::id).containsExactly("ph", "buffer");
        assertThat(Portions.totalG(taken)).isEqualTo(9);
    }

    @Test
    void aMethodThatTakesNothingOfItsOwnStandsForItself() {
        List<Portions.Taken> taken = Portions.of(asking("stones", "ph"), METHODS);

        assertThat(taken).extracting(Portions.Taken::name).containsExactly("stones", "suspension");
        assertThat(Portions.totalG(taken)).isEqualTo(7);
    }

    @Test
    void aPackageTakesOneToTen() {
        String[] eleven = IntStream.rangeClosed(1, 11).mapToObj(i -> "m" + i).toArray(String[]::new);
        assertThat(Portions.refusal(asking(List.of(eleven).subList(0, 10).toArray(String[]::new)), METHODS))
                .isEmpty();
        assertThat(Portions.refusal(asking(eleven), METHODS))
                .hasValueSatisfying(said -> assertThat(said).startsWith("11 portions: p1, p2, "));
        assertThat(Portions.refusal(asking("unknown"), METHODS)).contains("0 portions");
    }
}
