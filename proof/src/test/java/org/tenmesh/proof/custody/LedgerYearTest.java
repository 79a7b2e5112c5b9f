package org.tenmesh.proof.custody;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class LedgerYearTest {
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5})
    void everyPlantedMistakeIsFoundAndEveryBalanceIsExact(long seed) {
        LedgerYear year = LedgerYear.run(seed, 250);
        assertThat(year.sound()).as("seed %d%n%s", seed, year.words()).isTrue();
        assertThat(year.inexact()).isZero();
        assertThat(year.falsePasses()).isZero();
        // Nothing is proved by a year in which nothing went wrong.
        assertThat(year.tallies()).hasSizeGreaterThanOrEqualTo(6);
        assertThat(year.tallies().values().stream()
                        .mapToInt(LedgerYear.Tally::planted)
                        .sum())
                .isGreaterThan(200);
    }
}
