package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Days of tables that no laboratory wants and every laboratory gets: each is judged to its end, and none is called faulty for it. */
class OddDaysTest {
    /** What says that a reading is not its soil's, or that one place reads apart. */
    private static final Set<CauseKind> OF_THE_WHOLE_DAY = EnumSet.of(
            CauseKind.TRAY_TURNED,
            CauseKind.TRAYS_EXCHANGED,
            CauseKind.NEIGHBOURS_EXCHANGED,
            CauseKind.RUN_SHIFTED,
            CauseKind.PORTION_WRONG,
            CauseKind.DILUTION_MISMATCH,
            CauseKind.CHANNEL_BIAS,
            CauseKind.INTERFERENCE);

    private static final int SOILS = TwoMethods.SOILS;

    private static final Map<String, Consumer<TwoMethods>> TABLES = new LinkedHashMap<>();
    /** Each day by what is odd about it. */
    static Stream<String> tables() {
        return TABLES.keySet().stream();
    }

    static {
        TABLES.put("an element is the same in every soil", made -> Arrays.fill(made.k, 15));
        TABLES.put("an element is nothing in every soil", made -> Arrays.fill(made.k, 0));
        TABLES.put("both elements are nothing in every soil", made -> {
            Arrays.fill(made.k, 0);
            Arrays.fill(made.p, 0);
        });
        TABLES.put("an element differs in one soil", made -> {
            Arrays.fill(made.k, 15);
            made.k[77] = 18;
        });
        TABLES.put("the furnace's result is the same in every soil", made -> Arrays.fill(made.loss, 4));
        TABLES.put("nine soils in ten are at the limit", made -> atTheLimit(made, 0.9));
        TABLES.put("half of the soils but a few are at the limit", made -> atTheLimit(made, 0.47));
        TABLES.put("soils of every other client are at the limit", made -> {
            for (int i = 0; i < SOILS; i++) {
                made.k[i] = i / 24 % 2 == 0 ? made.k[i] : 0;
            }
        });
        TABLES.put("all soils of a client are the same", made -> {
            for (int i = 0; i < SOILS; i++) {
                made.k[i] = 10 + i / 24;
            }
        });
        TABLES.put("one value is a million times the others", made -> made.p[99] = 4e6);
        TABLES.put("one value is a million times the others in another element", made -> made.k[120] = 16e6);
        TABLES.put("an element is very skewed", made -> {
            SplittableRandom random = new SplittableRandom(3);
            Arrays.setAll(made.k, i -> Math.exp(4 * random.nextGaussian()));
        });
        TABLES.put("two elements are the same number", made -> System.arraycopy(made.p, 0, made.k, 0, SOILS));
        TABLES.put("readings lie below nothing", made -> Arrays.setAll(made.k, i -> -0.004));
        TABLES.put("a run ends after three soils", made -> made.readByFurnace = 3);
        TABLES.put("a run ends after a hundred soils", made -> made.readByFurnace = 100);
        TABLES.put("every soil is one client's", made -> made.perClient = SOILS);
        TABLES.put("every soil is another client's", made -> made.perClient = 1);
        TABLES.put("the day is one soil", made -> made.came = 1);
        TABLES.put("the day is one tray", made -> made.came = Well.PER_TRAY);
        TABLES.put("the last tray holds one soil", made -> made.came = 10 * Well.PER_TRAY + 1);
    }

    private static void atTheLimit(TwoMethods made, double share) {
        SplittableRandom random = new SplittableRandom(11);
        for (int i = 0; i < SOILS; i++) {
            made.k[i] = random.nextDouble() < share ? 0 : made.k[i];
        }
    }

    @ParameterizedTest
    @MethodSource("tables")
    void isJudgedToItsEndAndCalledFaultyByNone(String odd) {
        TwoMethods made = new TwoMethods(7);
        Objects.requireNonNull(TABLES.get(odd)).accept(made);

        JudgedDay judged = judged(made.day());

        Map<String, Long> read = judged.results().stream()
                .filter(one -> one.position() > 0)
                .collect(Collectors.groupingBy(Result::method, Collectors.counting()));
        assertThat(read)
                .containsEntry(Bench.ICP.id(), 2L * Math.min(made.came, made.readByPlasma))
                .containsEntry(Bench.LOI.id(), 2L * Math.min(made.came, made.readByFurnace));
        assertThat(judged.causes()).noneMatch(cause -> cause.kind() == CauseKind.NOT_JUDGED);
        List<Cause> faults = judged.causes().stream()
                .filter(cause -> OF_THE_WHOLE_DAY.contains(cause.kind()))
                .toList();
        assertThat(faults).as("no soil was exchanged, no place reads apart").isEmpty();
    }

    /**
     * Tables that break what the comparison of methods assumes: two kinds of soil in one element, and two elements of one method that say the
     * same, which count as two witnesses. What chance gives on such soils the day itself shows.
     */
    @ParameterizedTest
    @ValueSource(strings = {"soils of every other client are at the limit", "two elements are the same number"})
    void isCalledFaultyByNoneOnAnyOfTwelveDays(String odd) {
        for (int seed = 1; seed <= 12; seed++) {
            TwoMethods made = new TwoMethods(seed);
            Objects.requireNonNull(TABLES.get(odd)).accept(made);

            assertThat(judged(made.day()).causes())
                    .as("day %s", seed)
                    .noneMatch(cause -> OF_THE_WHOLE_DAY.contains(cause.kind()));
        }
    }

    /** What one column cannot say the others still do. */
    @ParameterizedTest
    @MethodSource("tables")
    void aTurnedTrayIsStillFoundWhereTheOtherColumnsTell(String odd) {
        TwoMethods made = new TwoMethods(7);
        Objects.requireNonNull(TABLES.get(odd)).accept(made);
        boolean tells =
                made.came == SOILS && made.readByFurnace == SOILS && made.loss[0] != made.loss[1] && made.p[0] != 0;
        int[] wells = TwoMethods.wells(5);
        for (int i = 0; i < wells.length; i++) {
            made.inFurnace[wells[i]] = wells[wells.length - 1 - i];
        }

        List<Cause> turned = judged(made.day()).causes().stream()
                .filter(cause -> cause.kind() == CauseKind.TRAY_TURNED)
                .toList();

        if (tells) {
            assertThat(turned).hasSize(1);
            assertThat(turned.get(0).evidence()).contains("T5");
        } else {
            assertThat(turned.size()).isLessThanOrEqualTo(1);
        }
    }

    /** Assigned values that nobody means: the largest and the narrowest that a day folder may bring. */
    @ParameterizedTest
    @CsvSource({"1e15, 0.1", "4, 1e-12", "4, 1e15", "1e-15, 1e-12"})
    void anAssignedValueBeyondReasonMakesNoNumberThatCannotBeWritten(double mean, double sd) {
        Day day = new TwoMethods(7).control(50, "LOAM", "LOAM").day();
        List<Material> materials = new ArrayList<>();
        for (Material one : day.materials()) {
            boolean odd = one.material().equals("LOAM") && one.analyte().equals("LOI");
            materials.add(
                    odd
                            ? new Material(one.material(), one.method(), one.analyte(), mean, sd, Unit.PERCENT, one.n())
                            : one);
        }

        JudgedDay judged = judged(MadeDay.like(day).materials(materials).day());

        assertThat(judged.results()).hasSize(4 * SOILS);
    }

    /** One of two probes dead, a run of which only the header was written, one that stopped after three soils, among whole ones. */
    @Test
    void runsThatGiveNothingCostTheOthersNothing() {
        Day whole = new TwoMethods(7).day();
        Bench dead = new Bench("ph-1", Bench.PH);
        for (String probe : List.of("1", "2")) {
            double slope = probe.equals("2") ? 0 : 59.16;
            dead.probe(Role.STANDARD, "B4", probe, slope * (7 - 4.01), 25)
                    .probe(Role.STANDARD, "B7", probe, 0, 25)
                    .probe(Role.STANDARD, "B10", probe, slope * (7 - 10.01), 25)
                    .probe(Role.VERIFICATION, "B7", probe, 0, 25)
                    .probe(Role.CONTROL, "LOAM", probe, slope * 0.5, 25);
        }
        SplittableRandom random = new SplittableRandom(2);
        for (int i = 0; i < SOILS; i++) {
            String probe = i % 2 == 0 ? "2" : "1";
            dead.probe(
                    Role.SAMPLE,
                    TwoMethods.lab(i).text(),
                    probe,
                    probe.equals("2") ? 0 : 59.16 * (0.5 + random.nextDouble()),
                    25);
        }
        Run short3 = new Bench("ph-2", Bench.PH)
                .probe(Role.SAMPLE, TwoMethods.lab(0).text(), "1", 20, 25)
                .probe(Role.SAMPLE, TwoMethods.lab(1).text(), "1", 30, 25)
                .probe(Role.SAMPLE, TwoMethods.lab(2).text(), "1", 25, 25)
                .run();
        Run header = MadeRun.of("ph-3", Bench.PH.id())
                .instrument("instrument 1")
                .startedAt(Bench.START)
                .run();
        List<Run> runs = new ArrayList<>(whole.runs());
        runs.addAll(List.of(
                dead.probe(Role.VERIFICATION, "B7", "1", 0, 25)
                        .probe(Role.VERIFICATION, "B7", "2", 0, 25)
                        .run(),
                short3,
                header));

        JudgedDay judged = judged(MadeDay.like(whole).runs(runs).day());

        assertThat(judged.causes())
                .noneMatch(cause -> cause.kind() == CauseKind.NOT_JUDGED || OF_THE_WHOLE_DAY.contains(cause.kind()));
        assertThat(judged.results())
                .filteredOn(result -> !result.method().equals(Bench.PH.id()))
                .isEqualTo(judged(whole).results());
        assertThat(judged.results())
                .filteredOn(result ->
                        result.run().equals("ph-1") && result.channel().equals("2"))
                .hasSize(SOILS / 2)
                .noneMatch(result -> result.verdict() == Verdict.FIT);
    }

    private static JudgedDay judged(Day day) {
        JudgedDay judged = DayJudge.judge(day, Bench.METHODS);
        assertThat(infinite(judged, "day")).isEmpty();
        return judged;
    }

    // Every number of a judged day is written somewhere, and no file has a word for infinity.
    private static List<String> infinite(Object of, String where) {
        if (of instanceof Double number) {
            return Double.isInfinite(number) ? List.of(where) : List.of();
        }
        if (of instanceof OptionalDouble number) {
            return number.isPresent() && !Double.isFinite(number.getAsDouble()) ? List.of(where) : List.of();
        }
        if (of instanceof Optional<?> some) {
            return some.map(one -> infinite(one, where)).orElse(List.of());
        }
        List<String> found = new ArrayList<>();
        if (of instanceof List<?> all) {
            for (int i = 0; i < all.size(); i++) {
                found.addAll(infinite(all.get(i), where + "[" + i + "]"));
            }
        } else if (of instanceof Record) {
            for (RecordComponent one : of.getClass().getRecordComponents()) {
                try {
                    one.getAccessor().setAccessible(true);
                    found.addAll(infinite(one.getAccessor().invoke(of), where + "." + one.getName()));
                } catch (ReflectiveOperationException failed) {
                    throw new IllegalStateException(failed);
                }
            }
        }
        return found;
    }
}
