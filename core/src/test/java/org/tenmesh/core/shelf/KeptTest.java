package org.tenmesh.core.shelf;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class KeptTest {
    private static final LocalDate RELEASED = LocalDate.of(2026, 11, 2);

    private static Pause pause(int from, int to) {
        return new Pause("complaint", RELEASED.plusDays(from), Optional.of(RELEASED.plusDays(to)));
    }

    private static Kept kept(int days, LocalDate today, Pause... pauses) {
        return Kept.of(Optional.of(RELEASED), days, List.of(pauses), today);
    }

    @Test
    void fourWeeksFromTheReleaseOfTheLastResult() {
        Kept kept = kept(28, RELEASED);
        assertThat(kept.from()).contains(LocalDate.of(2026, 11, 30));
        assertThat(kept.mayGo(LocalDate.of(2026, 11, 29))).isFalse();
        assertThat(kept.mayGo(LocalDate.of(2026, 11, 30))).isTrue();
    }

    @Test
    void theClockStandsStillBeforeEverythingIsReleasedAndWhileSomethingHolds() {
        assertThat(Kept.of(Optional.empty(), 28, List.of(), RELEASED).why()).isEqualTo("not everything is released");
        Pause open = new Pause("legal hold", RELEASED.plusDays(3), Optional.empty());
        Kept held = Kept.of(Optional.of(RELEASED), 28, List.of(open), RELEASED.plusYears(3));
        assertThat(held.from()).isEmpty();
        assertThat(held.why()).isEqualTo("legal hold, not lifted yet");
        Pause until = new Pause("complaint", RELEASED.plusDays(3), Optional.of(RELEASED.plusDays(90)));
        assertThat(Kept.of(Optional.of(RELEASED), 28, List.of(until), RELEASED.plusDays(89))
                        .why())
                .isEqualTo("complaint until 2027-01-31");
        assertThat(Kept.of(Optional.of(RELEASED), 28, List.of(until), RELEASED.plusDays(90))
                        .from())
                .contains(RELEASED.plusDays(90 + 25));
    }

    @Test
    void aHoldAfterTheTimeWasOverAddsNothing() {
        assertThat(kept(28, RELEASED.plusDays(60), pause(30, 50)).from()).contains(RELEASED.plusDays(28));
    }

    /** Counted day by day: every day that no pause holds takes one off. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void agreesWithCountingDayByDay(long seed) {
        SplittableRandom chance = new SplittableRandom(seed);
        for (int round = 0; round < 500; round++) {
            List<Pause> pauses = new ArrayList<>();
            for (int i = chance.nextInt(4); i > 0; i--) {
                int from = chance.nextInt(60) - 20;
                pauses.add(pause(from, from + 1 + chance.nextInt(25)));
            }
            int days = chance.nextInt(40);
            Set<Integer> held = new HashSet<>();
            for (Pause pause : pauses) {
                for (int d = -30; d < 200; d++) {
                    if (pause.holds(RELEASED.plusDays(d))) {
                        held.add(d);
                    }
                }
            }
            int day = 0;
            for (int left = days; left > 0; day++) {
                left -= held.contains(day) ? 0 : 1;
            }
            LocalDate found = kept(days, RELEASED.plusDays(300), pauses.toArray(new Pause[0]))
                    .from()
                    .orElseThrow();
            // A pause that begins on the very day it would go on may or may not be counted; the soil is held on that
            // day in any case.
            int least = day;
            while (held.contains(day)) {
                day++;
            }
            assertThat(found)
                    .as("seed %d, %d days, %s", seed, days, pauses)
                    .isBetween(RELEASED.plusDays(least), RELEASED.plusDays(day));
        }
    }
}
