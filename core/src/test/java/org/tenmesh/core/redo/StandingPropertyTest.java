package org.tenmesh.core.redo;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Run;

/** Of every lab number, method and analyte one result stands, and by the rule none of the others is better. */
class StandingPropertyTest {
    private static final OffsetDateTime START = OffsetDateTime.parse("2026-11-25T08:00:00Z");

    @ParameterizedTest
    @ValueSource(longs = {1, 20261125, 314})
    void oneStandsAndNoneIsBetter(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        for (int round = 0; round < 300; round++) {
            int runs = random.nextInt(1, 4);
            List<Run> list = new ArrayList<>();
            List<Result> results = new ArrayList<>();
            for (int r = 0; r < runs; r++) {
                list.add(MadeRun.of("R" + r, "m")
                        .instrument("i")
                        .startedAt(START.plusHours(runs - r))
                        .run());
                for (int soil = 0; soil < 4; soil++) {
                    if (r == 0 || random.nextInt(3) == 0) {
                        for (String analyte : List.of("K", "P")) {
                            results.add(result("L" + soil, analyte, "R" + r, soil + 1, random));
                        }
                    }
                }
            }
            Day day = MadeDay.empty().runs(list).day();
            Standing standing =
                    Standing.of(day, new JudgedDay(results, List.of(), List.of(), List.of()), MethodBook.shipping());
            assertThat(standing.standing()).as("seed %d", seed).hasSize(8);
            assertThat(standing.standing().size() + standing.superseded().size())
                    .as("seed %d", seed)
                    .isEqualTo(results.size());
            for (Result stands : standing.standing()) {
                // Runs started in falling order of their number.
                Result best = results.stream()
                        .filter(other -> other.labNumber().equals(stands.labNumber())
                                && other.analyte().equals(stands.analyte()))
                        .max(Comparator.comparing((Result other) -> other.verdict() == Verdict.FIT)
                                .thenComparing(other -> !other.reported().isEmpty())
                                .thenComparing(Result::run, Comparator.reverseOrder()))
                        .orElseThrow();
                assertThat(stands).as("seed %d", seed).isSameAs(best);
            }
        }
    }

    private static Result result(String soil, String analyte, String run, int position, SplittableRandom random) {
        boolean missing = random.nextInt(5) == 0;
        Amount amount = missing
                ? new Amount.Missing("not read", Unit.PERCENT)
                : new Amount.Measured(random.nextDouble(), Unit.PERCENT);
        return new Result(
                new LabNumber(soil),
                "m",
                LocalDate.of(2026, 11, 1),
                analyte,
                run,
                position,
                "",
                amount,
                missing ? "" : "1",
                OptionalDouble.empty(),
                missing ? Verdict.HOLD : Verdict.values()[random.nextInt(3)],
                List.of());
    }
}
