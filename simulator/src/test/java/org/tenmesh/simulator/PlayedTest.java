package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

class PlayedTest {
    private static final OffsetDateTime START = OffsetDateTime.parse("2026-11-30T09:00:00Z");

    @Test
    void aSoilThatIsNotThereIsReadNowhereAndNothingElseIsLost() {
        Run run = Simulator.simulate(Scenario.of(7, 24, LocalDate.of(2026, 11, 30)))
                .day()
                .runs()
                .get(0);
        String soil = firstSoil(run.readings());
        List<Played> played = Played.of(run, START, 40, Duration.ofMinutes(8));

        long gone = 0;
        long left = 0;
        for (Played one : played) {
            Played without = one.without(Set.of(soil));
            assertThat(without.after()).isEqualTo(one.after());
            for (int i = 0; i < without.readings().size(); i++) {
                assertThat(without.readings().identity(i)).isNotEqualTo(soil);
            }
            left += without.readings().size();
            gone += one.readings().size() - without.readings().size();
        }

        assertThat(gone).isEqualTo(readingsOf(run.readings(), soil)).isPositive();
        assertThat(left).isEqualTo(run.readings().size() - gone);
    }

    private static String firstSoil(Readings readings) {
        for (int i = 0; i < readings.size(); i++) {
            if (readings.role(i) == Role.SAMPLE) {
                return readings.identity(i);
            }
        }
        throw new IllegalStateException("the run reads no soil");
    }

    private static long readingsOf(Readings readings, String soil) {
        long count = 0;
        for (int i = 0; i < readings.size(); i++) {
            count += readings.identity(i).equals(soil) ? 1 : 0;
        }
        return count;
    }
}
