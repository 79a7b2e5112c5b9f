package org.tenmesh.core.digest;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigInteger;
import java.time.LocalDate;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class ContentTest {
    private record One(String name, double massG, Optional<LocalDate> on) {}

    private record Other(String name, double massG, Optional<LocalDate> on) {}

    private enum Word {
        FIRST,
        SECOND
    }

    @Test
    void whatIsDifferentHasAnotherDigest() {
        BitSet set = new BitSet();
        set.set(3);
        List<Object> all = List.of(
                new One("a", 1, Optional.empty()),
                new One("a", Math.nextUp(1.0), Optional.empty()),
                new One("b", 1, Optional.empty()),
                new One("a", 1, Optional.of(LocalDate.of(2026, 11, 25))),
                new Other("a", 1, Optional.empty()),
                List.of("ab", "c"),
                List.of("a", "bc"),
                List.of(List.of("ab"), "c"),
                Set.of("ab", "c"),
                Map.of("ab", "c"),
                0.0,
                -0.0,
                Double.NaN,
                0,
                1L,
                "",
                "0",
                true,
                false,
                OptionalDouble.empty(),
                OptionalDouble.of(0),
                Word.FIRST,
                Word.SECOND,
                new double[] {1, 2},
                new int[] {1, 2},
                new boolean[] {true, false},
                new boolean[] {true, false, false},
                set,
                new double[][] {{1}, {2}});
        assertThat(all.stream().map(Content::digest)).doesNotHaveDuplicates();
        assertThat(Stream.of(Content.digest("a", "b"), Content.digest("ab"), Content.digest("b", "a")))
                .doesNotHaveDuplicates();
    }

    @Test
    void mapsAndSetsHaveNoOrder() {
        Map<Object, Object> one = new LinkedHashMap<>();
        one.put(Word.FIRST, 1);
        one.put(Word.SECOND, 2);
        Map<Object, Object> other = new LinkedHashMap<>();
        other.put(Word.SECOND, 2);
        other.put(Word.FIRST, 1);
        assertThat(Content.digest(one)).isEqualTo(Content.digest(other));
        assertThat(Content.digest(one.keySet())).isEqualTo(Content.digest(other.keySet()));
    }

    @Test
    void isTheSameForEqualContentOfAnyLength() {
        String text = "x".repeat(10_000);
        assertThat(Content.digest(List.of(text, new double[2_000], text)))
                .isEqualTo(Content.digest(List.of("x".repeat(10_000), new double[2_000], text)))
                .hasSize(64);
    }

    @Test
    void refusesWhatItCannotSee() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Content.digest(List.of(BigInteger.ONE)))
                .withMessageContaining("java.math.BigInteger");
    }

    @Test
    void isSha256OverTheLengthAndTheBytes() {
        // Computed by sha256sum of the bytes 00 00 00 03 61 62 63.
        assertThat(new Sha256().text("abc").hex())
                .isEqualTo("d04b72a650ce0f8ce4963330a53ee2832733d2baeffff3c1d8e256cca096d120");
    }
}
