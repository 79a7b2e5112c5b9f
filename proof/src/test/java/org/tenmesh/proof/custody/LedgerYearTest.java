package org.tenmesh.proof.custody;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class LedgerYearTest {
    private static final List<String> NEVER_NONE = List.of(
            "loans that did not come back",
            "parcels that stayed when their booking was taken back",
            "dust without a line",
            "rejects of the sieve without a line",
            "soil kept as ordinary that met regulated soil");

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void everyPlantedMistakeIsFoundAndEveryBalanceIsExact(long seed) {
        LedgerYear year = LedgerYear.run(seed, 250, false);
        assertThat(year.sound()).as("seed %d%n%s", seed, year.words()).isTrue();
        assertThat(year.inexact()).isZero();
        assertThat(year.falsePasses()).isZero();
        // Nothing is proved by a year in which nothing went wrong.
        assertThat(year.tallies()).hasSize(11);
        for (String name : NEVER_NONE) {
            assertThat(requireNonNull(year.tallies().get(name)).planted())
                    .as(name)
                    .isPositive();
        }
        assertThat(year.tallies().values().stream()
                        .mapToInt(LedgerYear.Tally::planted)
                        .sum())
                .isGreaterThan(200);
    }

    @Test
    void nothingIsFoundInAYearWithoutMistakes() {
        LedgerYear year = LedgerYear.run(6, 250, true);
        assertThat(year.tallies()).allSatisfy((name, tally) -> {
            assertThat(tally.planted()).as(name).isZero();
            assertThat(tally.wronglyFound()).as(name).isZero();
        });
        assertThat(year.inexact()).isZero();
    }
}
