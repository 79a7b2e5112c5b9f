package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.core.redo.Balance.Place;
import org.tenmesh.core.redo.Balancing;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Every reading of a day comes to one place; what is used for nothing is set aside with its reason. */
class BalanceTest {
    private static Balance balance(Day day) {
        Standing standing = Standing.of(day, DayJudge.judge(day, EditedRuns.METHODS), EditedRuns.METHODS);
        return Balancing.of(day, standing, EditedRuns.METHODS);
    }

    private static Day with(Day day, String name, Readings readings) {
        List<Run> runs = new ArrayList<>();
        for (Run run : day.runs()) {
            runs.add(
                    run.run().equals(name)
                            ? MadeRun.like(run).named(name).readings(readings).run()
                            : run);
        }
        return day.withRuns(runs);
    }

    /** What becomes of a row: its role, identity and quantity. */
    private record Row(Role role, String identity, String quantity) {}

    private interface Edit {
        Optional<Row> of(int position, Row row);
    }

    private static Readings edited(Readings from, Edit edit) {
        Readings.Builder to = Readings.builder();
        for (int i = 0; i < from.size(); i++) {
            Optional<Row> row = edit.of(from.position(i), new Row(from.role(i), from.identity(i), from.quantity(i)));
            if (row.isPresent()) {
                to.add(
                        from.position(i),
                        row.get().role(),
                        row.get().identity(),
                        from.channel(i),
                        row.get().quantity(),
                        from.value(i),
                        from.unit(i),
                        from.atMillis(i),
                        from.offsetSeconds(i),
                        from.dilution(i));
            }
        }
        return to.build();
    }

    private static Readings of(Day day, String run) {
        return day.runs().stream()
                .filter(one -> one.run().equals(run))
                .findFirst()
                .orElseThrow()
                .readings();
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void aDayOfEveryMethodAddsUp(long seed) {
        Day day = EditedRuns.everyMethod(seed, 90);
        Balance balance = balance(day);
        assertThat(balance.errors()).isEmpty();
        // A control soil of much phosphorus is beyond the weakest extractions and judges nothing there.
        assertThat(balance.aside())
                .allMatch(one -> one.reason().equals("a control soil CS-HIGH without a value that could be judged"));
        int readings =
                day.runs().stream().mapToInt(run -> run.readings().size()).sum();
        assertThat(balance.read()).isEqualTo(readings);
        assertThat(balance.places().values().stream()
                        .mapToInt(Integer::intValue)
                        .sum())
                .isEqualTo(readings);
        // Counted once more by what the files say: these roles come to one place each.
        Map<Place, Integer> places = balance.places();
        assertThat(places.get(Place.BLANK)).isEqualTo(count(day, Role.BLANK));
        assertThat(places.get(Place.STANDARD)).isEqualTo(count(day, Role.STANDARD));
        assertThat(places.get(Place.CHECK)).isEqualTo(count(day, Role.VERIFICATION));
        assertThat(places.getOrDefault(Place.CONTROL, 0) + places.getOrDefault(Place.SET_ASIDE, 0))
                .isEqualTo(count(day, Role.CONTROL));
        assertThat(places.get(Place.WASH)).isEqualTo(count(day, Role.WASH));
        assertThat(places.get(Place.DUPLICATE)).isEqualTo(count(day, Role.DUPLICATE));
        assertThat(places.getOrDefault(Place.RESULT, 0) + places.getOrDefault(Place.SUPERSEDED, 0))
                .isEqualTo(count(day, Role.SAMPLE));
    }

    private static int count(Day day, Role role) {
        int count = 0;
        for (Run run : day.runs()) {
            for (int i = 0; i < run.readings().size(); i++) {
                count += run.readings().role(i) == role ? 1 : 0;
            }
        }
        return count;
    }

    @Test
    void setsAsideWhatTheMethodDoesNotRead() {
        Day day = EditedRuns.day(3, 60);
        Readings readings = of(day, "ICP1-01");
        Day edited = with(
                day,
                "ICP1-01",
                edited(
                        readings,
                        (position, row) -> Optional.of(
                                row.quantity().startsWith("K ")
                                        ? new Row(row.role(), row.identity(), "Li 670.784")
                                        : row)));
        Balance balance = balance(edited);
        assertThat(balance.errors()).isEmpty();
        assertThat(balance.aside()).singleElement().satisfies(aside -> {
            assertThat(aside.run()).isEqualTo("ICP1-01");
            assertThat(aside.reason()).isEqualTo("`Li 670.784`, which is not in method mehlich3-icp");
            assertThat(aside.readings())
                    .isEqualTo(readings.size() / readings.quantities().size());
        });
    }

    @Test
    void setsAsideASecondPortionWithoutAFirst() {
        Day day = EditedRuns.day(3, 60);
        Readings readings = of(day, "PH1-01");
        String twice = "";
        for (int i = 0; i < readings.size(); i++) {
            twice = readings.role(i) == Role.DUPLICATE ? readings.identity(i) : twice;
        }
        String soil = twice;
        assertThat(soil).isNotEmpty();
        Day edited = with(
                day,
                "PH1-01",
                edited(
                        readings,
                        (position, row) ->
                                row.role() == Role.SAMPLE && row.identity().equals(soil)
                                        ? Optional.empty()
                                        : Optional.of(row)));
        assertThat(balance(edited).aside())
                .extracting(Balance.SetAside::reason)
                .containsExactly("a second portion of a soil of which this run read no first one");
    }

    @Test
    void setsAsideAControlWithoutStatedContent() {
        Day day = EditedRuns.day(3, 60);
        Day without = MadeDay.like(day)
                .materials(day.materials().stream()
                        .filter(one -> !one.material().equals("CS-MID")
                                || !one.analyte().equals("K"))
                        .toList())
                .day();
        assertThat(balance(without).aside())
                .extracting(Balance.SetAside::reason)
                .containsExactly("no stated K of the material CS-MID under method mehlich3-icp");
    }

    @Test
    void setsAsideARoleThatSaysNothing() {
        Day day = EditedRuns.day(3, 60);
        Day edited = with(
                day,
                "LOI1-01",
                edited(
                        of(day, "LOI1-01"),
                        (position, row) -> Optional.of(
                                row.role() == Role.CONTROL
                                        ? new Row(Role.BLANK, row.identity(), row.quantity())
                                        : row)));
        assertThat(balance(edited).aside())
                .extracting(Balance.SetAside::reason)
                .containsExactly("role blank, which method om-loi-360 does not use");
    }

    @Test
    void saysThatAResultWithoutAReadingDoesNotAddUp() {
        Day day = EditedRuns.day(3, 60);
        Standing standing = Standing.of(day, DayJudge.judge(day, EditedRuns.METHODS), EditedRuns.METHODS);
        Readings readings = of(day, "LOI1-01");
        int gone = standing.standing().stream()
                .filter(result -> result.run().equals("LOI1-01"))
                .findFirst()
                .orElseThrow()
                .position();
        Day without = with(
                day,
                "LOI1-01",
                edited(readings, (position, row) -> position == gone ? Optional.empty() : Optional.of(row)));
        assertThat(Balancing.of(without, standing, EditedRuns.METHODS).errors())
                .containsExactly("run LOI1-01: a result of position " + gone + ", where no soil was read");
        Day empty = with(day, "LOI1-01", edited(readings, (position, row) -> Optional.of(row)));
        Standing lost = new Standing(
                standing.judged(),
                standing.standing().stream()
                        .filter(result ->
                                result.position() != gone || !result.run().equals("LOI1-01"))
                        .toList(),
                List.of());
        assertThat(Balancing.of(empty, lost, EditedRuns.METHODS).aside())
                .extracting(Balance.SetAside::reason)
                .containsExactly("a soil of which no result came");
    }
}
