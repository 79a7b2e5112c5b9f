package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.Reduction;

/** The shipped methods against the publications they are taken from, and their worked examples. */
class ShippedMethodsReferenceTest {
    // Each example names its own source in the method's file.
    @Test
    void everyMethodHasAWorkedExampleAndEveryExampleComesOut() {
        List<String> wrong = new ArrayList<>();
        for (Method method : MethodFiles.allShipped()) {
            assertThat(method.head().examples()).as(method.id()).isNotEmpty();
            for (Example example : method.head().examples()) {
                Map<String, Amount> got = method instanceof DerivedMethod derived
                        ? Deriving.of(derived, example)
                        : Reduction.worked(method, example);
                example.expected().forEach((symbol, expected) -> {
                    String text = method.analyte(symbol)
                            .orElseThrow()
                            .rounding()
                            .text(Objects.requireNonNull(got.get(symbol), method.id() + " " + symbol));
                    if (!text.equals(expected)) {
                        wrong.add(method.id() + " " + example.given() + ": " + symbol + " " + text + ", expected "
                                + expected);
                    }
                });
            }
        }
        assertThat(wrong).isEmpty();
    }

    // As files of a laboratory's own they are held against each other: portions of one name take the same soil, every
    // input
    // exists in its unit, and none needs itself.
    @Test
    void methodsAgreeWithEachOther(@TempDir Path folder) throws IOException {
        for (String id : MethodFiles.shipped().ids()) {
            try (InputStream file =
                    MethodFiles.class.getResourceAsStream("/org/tenmesh/exchange/methods/" + id + ".yaml")) {
                Files.copy(Objects.requireNonNull(file, id), folder.resolve(id + ".yaml"));
            }
        }
        assertThat(MethodFiles.read(folder).ids())
                .isEqualTo(MethodFiles.shipped().ids());
    }
}
