package org.tenmesh.proof.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.tenmesh.core.judgement.CauseKind;

/** simulate, then judge: every planted fault is found, named and bracketed, and what comes out has the form that was promised. */
final class SimulateJudgeTest {
    private static final int SOILS = 480;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    private static Path clean = Path.of("");
    private static Path judged = Path.of("");

    @BeforeAll
    static void judgeACleanDay() {
        clean = temp.resolve("clean");
        judged = temp.resolve("clean-judged");
        assertThat(Ran.tenmesh("simulate", "--seed", 11, "--soils", SOILS, "--out", clean)
                        .status())
                .isZero();
        Ran.tenmesh("judge", clean, "--out", judged);
    }

    @Test
    void makesDaysOfOtherGroundWithoutKeyWells() throws IOException {
        Path day = temp.resolve("peat");
        Ran ran = Ran.tenmesh(
                "simulate",
                "--seed",
                11,
                "--soils",
                60,
                "--ground",
                "peat",
                "--alike",
                "0.5/0.3/0.2",
                "--no-key-wells",
                "--fault",
                "tray-turned,method=om-loi-360",
                "--out",
                day);
        assertThat(ran.status()).as(ran.err()).isZero();
        assertThat(Csv.rows(day.resolve("truth-soils.csv")))
                .filteredOn(row -> row.of("material").isEmpty())
                .hasSize(60)
                .allMatch(row -> Double.parseDouble(row.of("LOI_pct")) >= 20);
        assertThat(Csv.rows(day.resolve("trays.csv")))
                .noneMatch(row -> row.of("purpose").equals("key"));
        assertThat(Csv.rows(day.resolve("truth.csv")))
                .singleElement()
                .satisfies(row -> assertThat(row.of("samples")).isEqualTo("12"));
    }

    @ParameterizedTest
    @EnumSource(
            value = CauseKind.class,
            names = {
                "CALIBRATION_REJECTED",
                "VERIFICATION_FAILED",
                "BLANK_HIGH",
                "CONTROL_FAILED",
                "DRIFT",
                "OVER_RANGE",
                "INTERNAL_STANDARD_LOST",
                "WEIGHING_IMPOSSIBLE",
                "DUPLICATES_DISAGREE",
                "REPEATED_FILE",
                "TRUNCATED_RUN",
                "MISSING_READING"
            })
    void findsNamesAndBracketsEachPlantedFault(CauseKind kind) throws IOException {
        Path day = temp.resolve(kind.word());
        Path out = temp.resolve(kind.word() + "-judged");
        Ran simulated = Ran.tenmesh("simulate", "--seed", 11, "--soils", SOILS, "--fault", kind.word(), "--out", day);
        assertThat(simulated.status()).as(simulated.err()).isZero();
        Ran ran = Ran.tenmesh("judge", day, "--out", out);
        assertThat(ran.err()).isEmpty();
        assertThat(ran.status()).isEqualTo(1);

        List<Csv.Row> truth = Csv.rows(day.resolve("truth.csv"));
        assertThat(truth).hasSize(1);
        Csv.Row planted = truth.get(0);
        List<Csv.Row> causes = Csv.rows(out.resolve("causes.csv"));
        List<Csv.Row> found = causes.stream()
                .filter(cause ->
                        cause.of("kind").equals(kind.word()) && cause.of("run").equals(planted.of("run")))
                .toList();
        assertThat(found).as("planted %s, found %s", planted, causes).isNotEmpty();
        Set<String> analytes = new TreeSet<>();
        Set<String> ids = new TreeSet<>();
        for (Csv.Row cause : found) {
            analytes.addAll(set(cause.of("analytes")));
            ids.add(cause.of("cause"));
        }
        Set<String> touched = new TreeSet<>();
        for (Csv.Row result : Csv.rows(out.resolve("results.csv"))) {
            if (set(result.of("causes")).stream().anyMatch(ids::contains)) {
                touched.add(result.of("lab_number"));
            }
        }
        Set<String> expected = set(planted.of("lab_numbers"));
        switch (kind) {
            // A high blank touches only soils that hold less than ten times as much, up to the next good blank.
            case BLANK_HIGH -> assertThat(touched).containsAnyElementsOf(expected);
            // Where it grew towards its tolerance soils wait too, before the first check that fails.
            case DRIFT -> assertThat(touched).containsAll(expected);
            // Of trays never begun nobody can know that the run was to read them.
            case TRUNCATED_RUN -> assertThat(expected).containsAll(touched);
            // The first reading of these soils stands; the cause lies on the run that came again.
            case REPEATED_FILE -> assertThat(found.get(0).of("samples")).isEqualTo(planted.of("samples"));
            default -> {
                assertThat(touched).as("planted: %s", planted.of("story")).isEqualTo(expected);
                assertThat(analytes).containsAnyElementsOf(set(planted.of("analytes")));
            }
        }
    }

    // Each fault belongs to a run of its own; the other runs are those of a clean day of the same seed.
    @Test
    void blamesNoOtherRun() throws IOException {
        Path day = temp.resolve("several");
        Path out = temp.resolve("several-judged");
        Ran.tenmesh(
                "simulate",
                "--seed",
                // A day on which chance exchanges no two alike neighbours.
                12,
                "--soils",
                SOILS,
                "--fault",
                "drift",
                "--fault",
                "calibration-rejected",
                "--fault",
                "weighing-impossible",
                "--out",
                day);
        Ran.tenmesh("judge", day, "--out", out);
        Set<String> faulty = new TreeSet<>();
        for (Csv.Row planted : Csv.rows(day.resolve("truth.csv"))) {
            faulty.add(planted.of("run"));
        }
        assertThat(faulty).hasSize(3);
        Set<String> blamed = new TreeSet<>();
        for (Csv.Row cause : Csv.rows(out.resolve("causes.csv"))) {
            blamed.add(cause.of("run"));
        }
        for (Csv.Row cause : Csv.rows(judged.resolve("causes.csv"))) {
            faulty.add(cause.of("run"));
        }
        assertThat(faulty).containsAll(blamed);
    }

    @Test
    void aCleanDayIsNearlyAllFit() throws IOException {
        List<Csv.Row> results = Csv.rows(judged.resolve("results.csv"));
        assertThat(results.size()).isGreaterThan(SOILS * 14);
        long notFit =
                results.stream().filter(row -> !"fit".equals(row.of("verdict"))).count();
        assertThat((double) notFit / results.size()).isLessThan(0.01);
    }

    @Test
    void judgingTwiceGivesTheSameBytes() throws IOException {
        Path again = temp.resolve("again");
        Ran.tenmesh("judge", clean, "--out", again);
        List<Path> files = files(judged);
        assertThat(files(again)).isEqualTo(files);
        for (Path file : files) {
            assertThat(again.resolve(file)).as("%s", file).hasSameBinaryContentAs(judged.resolve(file));
        }
    }

    @Test
    void simulatingTwiceGivesTheSameBytes() throws IOException {
        Path again = temp.resolve("clean-again");
        Ran.tenmesh("simulate", "--seed", 11, "--soils", SOILS, "--out", again);
        for (Path file : files(clean)) {
            assertThat(again.resolve(file)).as("%s", file).hasSameBinaryContentAs(clean.resolve(file));
        }
    }

    // The lists are those of docs/day-folder.md.
    @Test
    void filesHaveTheColumnsThatWerePromised() throws IOException {
        assertThat(Csv.header(judged.resolve("results.csv")))
                .containsExactly(
                        "lab_number",
                        "method",
                        "analyte",
                        "value",
                        "unit",
                        "reported",
                        "uncertainty",
                        "verdict",
                        "causes",
                        "method_version",
                        "remark");
        assertThat(Csv.header(judged.resolve("causes.csv")))
                .containsExactly(
                        "cause",
                        "kind",
                        "run",
                        "method",
                        "analytes",
                        "first_position",
                        "last_position",
                        "samples",
                        "evidence",
                        "action",
                        "odds",
                        "runner_up",
                        "runner_up_odds",
                        "answer",
                        "answer_ratio",
                        "read_again",
                        "changed",
                        "answered");
        assertThat(Csv.header(judged.resolve("gates.csv")))
                .containsExactly("instrument", "run", "gate", "outcome", "observed", "limit", "at");
        assertThat(Csv.header(judged.resolve("control-values.csv")))
                .containsExactly("run", "position", "lab_number", "material", "analyte", "value", "z", "rules");
        assertThat(Csv.header(judged.resolve("low-readings.csv")))
                .containsExactly("run", "position", "method", "analyte", "instrument", "day", "known", "value");
        assertThat(Csv.header(judged.resolve("problems.csv")))
                .containsExactly("file", "line", "column", "found", "expected", "consequence");
        assertThat(judged.resolve("summary.json")).isNotEmptyFile();
    }

    @Test
    void theTerminalNamesNoHiddenControl() throws IOException {
        Path day = temp.resolve("control");
        Ran.tenmesh(
                "simulate",
                "--seed",
                5,
                "--soils",
                SOILS,
                "--fault",
                "control-failed",
                "--fault",
                "drift",
                "--out",
                day);
        Ran ran = Ran.tenmesh("judge", day, "--out", temp.resolve("control-judged"));
        assertThat(ran.out()).contains("Causes, costliest first");
        List<Csv.Row> hidden = Csv.rows(day.resolve("controls.csv"));
        assertThat(hidden).isNotEmpty();
        for (Csv.Row control : hidden) {
            assertThat(ran.out()).doesNotContain(control.of("lab_number"));
        }
        String causes = Files.readString(temp.resolve("control-judged").resolve("causes.csv"), UTF_8);
        for (Csv.Row control : hidden) {
            assertThat(causes).doesNotContain(control.of("lab_number"));
        }
    }

    @ParameterizedTest
    @EnumSource(Asked.class)
    void explainEndsInTheDigitsOfTheResultsFile(Asked asked) throws IOException {
        Csv.Row row = Csv.rows(judged.resolve("results.csv")).stream()
                .filter(result -> result.of("method").equals(asked.method)
                        && result.of("analyte").equals(asked.analyte)
                        && "fit".equals(result.of("verdict")))
                .skip(40)
                .findFirst()
                .orElseThrow();
        Ran ran = Ran.tenmesh("explain", clean, row.of("lab_number"), asked.method, asked.analyte);
        assertThat(ran.status()).as(ran.err()).isZero();
        assertThat(ran.out()).contains("= " + row.of("value"));
        assertThat(ran.out()).contains("Reported  " + row.of("reported"));
    }

    private enum Asked {
        PH("ph-water-1-1", "pH"),
        OM("om-loi-360", "OM"),
        P("mehlich3-icp", "P");

        private final String method;
        private final String analyte;

        Asked(String method, String analyte) {
            this.method = method;
            this.analyte = analyte;
        }
    }

    private static Set<String> set(String text) {
        return new TreeSet<>(List.of(text.split(";", -1)));
    }

    private static List<Path> files(Path folder) throws IOException {
        try (Stream<Path> walk = Files.walk(folder)) {
            return walk.filter(Files::isRegularFile)
                    .map(folder::relativize)
                    .sorted()
                    .toList();
        }
    }
}
