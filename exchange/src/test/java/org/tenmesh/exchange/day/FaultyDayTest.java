package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.methods.MethodFiles;

/** Every folder of examples/faulty-days with the exact words said about it, and what is left of the day. */
class FaultyDayTest {
    private static final Path FOLDER = Path.of("..", "examples", "faulty-days");
    private static final String REST = ". Nothing of this file is taken, the other files are judged.";
    private static final String HELD =
            ". This line is left out and the results that rest on it are held; the other lines are taken.";
    private static final String SOIL_HELD =
            ". This line is left out and the results of its soil are held; the other lines are taken.";
    private static final String NO_RUN = ". This run is left out, the other runs are judged.";
    private static final String RUN_LOST = ". The readings of this run are left out, the other files are judged.";
    private static final String UNITS =
            "mV Cel g mL mS/cm dS/m mg/L mg/kg cmol/kg mmol/L meq/L mol/L g/L g/kg mg/dm3 cm [lb_av]/[acr_us] [ston_av]/[acr_us] kg/har t/har % [pH] /s {A} 1 h";

    private record Expected(List<String> said, Set<String> runs) {}

    private static final Map<String, Expected> EXPECTED = new TreeMap<>();

    private static void expect(String fault, String runs, String... said) {
        EXPECTED.put(fault, new Expected(List.of(said), Set.of(runs.split(" "))));
    }

    static {
        expect("nothing-wrong", "PH-1 LOI-1 ICP-1");
        expect(
                "empty-file",
                "PH-1 LOI-1",
                "samples.csv: found an empty file, expected a header row with at least lab_number" + REST);
        expect(
                "wrong-encoding",
                "PH-1 LOI-1",
                "submissions.csv, line 3: found byte 0xF6, which is not UTF-8, expected a file saved as UTF-8" + REST);
        expect(
                "missing-column",
                "PH-1 LOI-1",
                "materials.csv, line 1, sd: found no such column among \"material,method,analyte,mean,unit,n\","
                        + " expected the required column sd" + REST);
        expect(
                "text-for-number",
                "LOI-1",
                "readings/PH-1.csv, line 8, value: found \"n/a\", expected a number with . as the decimal mark"
                        + RUN_LOST);
        expect(
                "decimal-comma",
                "PH-1 LOI-1",
                "readings/ICP-1.csv, line 10, value: found \"1378,5\", expected a number with . as the decimal mark"
                        + RUN_LOST);
        expect(
                "decimal-comma-unquoted",
                "PH-1 LOI-1",
                "readings/ICP-1.csv, line 10: found 10 fields, expected 9 fields, as in the header"
                        + " (a decimal comma splits a number in two)" + RUN_LOST);
        expect(
                "two-decimal-points",
                "PH-1 LOI-1",
                "readings/ICP-1.csv, line 10, value: found \"1.378.00\", expected a number with . as the decimal mark"
                        + RUN_LOST);
        expect(
                "duplicate-lab-number",
                "PH-1 LOI-1",
                "samples.csv, line 9, lab_number: found \"26329-0002-3\" a second time, expected each lab number once;"
                        + " it stands on line 3 already. Both lines say the same; this one is left out, the first is taken.");
        expect(
                "well-used-twice",
                "PH-1 LOI-1",
                "trays.csv, line 6, tray: found \"T-1 A2\" a second time, expected each well of a tray once;"
                        + " it stands on line 3 already. Both lines are left out, the other lines are taken.");
        expect(
                "unknown-material",
                "PH-1 LOI-1",
                "controls.csv, line 2, material: found \"ASH-9\", expected a material of materials.csv" + HELD);
        expect(
                "unknown-open-control",
                "LOI-1",
                "readings/PH-1.csv, line 42, identity: found control \"ASH-7\" at position 21,"
                        + " expected a material of materials.csv, such as \"ASH-1\"" + RUN_LOST);
        expect(
                "unknown-lab-number",
                "LOI-1",
                "readings/PH-1.csv, line 54, identity: found sample \"26329-0999-Z\" at position 27,"
                        + " expected a lab number of samples.csv or controls.csv" + RUN_LOST);
        expect(
                "unknown-position",
                "LOI-1",
                "readings/PH-1.csv, line 54, position: found \"0\", expected a whole number of 1 or more" + RUN_LOST,
                "readings/PH-1.csv, line 55, position: found \"0\", expected a whole number of 1 or more" + RUN_LOST);
        expect(
                "unknown-standard",
                "LOI-1",
                "readings/PH-1.csv, line 34, identity: found verification \"9.00\" at position 17,"
                        + " expected a standard of method ph-water-1-1 in standards.csv" + RUN_LOST);
        expect(
                "unknown-method",
                "PH-1",
                "runs.csv, line 3, method: found \"om-loi-550\", expected a method that tenmesh methods lists,"
                        + " such as om-loi-360" + NO_RUN);
        expect(
                "unknown-submission",
                "PH-1 LOI-1",
                "samples.csv, line 2, submission: found \"S-7\", expected a submission of submissions.csv" + SOIL_HELD);
        expect(
                "unknown-role",
                "PH-1",
                "readings/LOI-1.csv, line 2, role: found \"known\", expected one of standard, verification, blank, control,"
                        + " sample, duplicate, wash" + RUN_LOST);
        expect(
                "unknown-unit",
                "PH-1",
                "readings/LOI-1.csv, line 5, unit: found \"grams\", expected one of the UCUM codes " + UNITS
                        + RUN_LOST);
        // Judged, not refused: its gate stays shut.
        expect("no-calibration", "PH-1 LOI-1");
        expect(
                "times-going-backwards",
                "LOI-1",
                "readings/PH-1.csv, line 62, at: found 2026-11-25T07:59+01:00 at position 31, expected a time not before"
                        + " 2026-11-25T08:03+01:00 of position 27 on line 54" + RUN_LOST,
                "readings/PH-1.csv, line 63, at: found 2026-11-25T07:59+01:00 at position 31, expected a time not before"
                        + " 2026-11-25T08:03+01:00 of position 27 on line 55" + RUN_LOST);
        expect(
                "time-without-offset",
                "LOI-1",
                "readings/PH-1.csv, line 4, at: found \"2026-11-25T08:00:00\", expected an ISO 8601 time with offset,"
                        + " such as 2026-11-25T08:30:00+01:00" + RUN_LOST);
        expect(
                "position-with-two-soils",
                "PH-1",
                "readings/LOI-1.csv, line 6, identity: found sample \"26329-0001-5\" at position 2,"
                        + " expected control \"ASH-1\" as on line 5" + RUN_LOST);
        expect(
                "run-without-readings",
                "PH-1",
                "runs.csv, line 3, run: found \"LOI-1\" without a file, expected readings/LOI-1.csv."
                        + " The run is left out, the other runs are judged.");
        expect(
                "readings-without-run",
                "PH-1 LOI-1",
                "readings/PH-9.csv: found readings of a run that is not in runs.csv, expected a run of runs.csv with this"
                        + " name. The file is left out, the other files are judged.");
        expect(
                "open-quote",
                "PH-1 LOI-1",
                "standards.csv, line 3: found 2 fields, one of them over several lines, expected 7 fields, as in the header"
                        + " (a quote may not be closed)" + REST);
        expect(
                "column-twice",
                "PH-1 LOI-1",
                "trays.csv, line 1, well: found the column twice, expected each column once" + REST);
        expect(
                "misspelt-setting",
                "PH-1 LOI-1",
                "laboratory.yaml, line 5, policy.retention_day: found an unknown setting, expected version"
                        + " or a setting listed in docs/policy.md (nearest: retention_days, a whole number from 0 to 36500"
                        + " (days)). This key is not used, the rest of the file is.");
        expect(
                "run-that-cannot-be-a-file",
                "PH-1 LOI-1",
                "runs.csv, line 4, run: found \"../PH-2\", expected a name that can be a file name" + NO_RUN);
        expect("accepted-byte-order-mark", "PH-1 LOI-1");
        expect("accepted-windows-line-ends", "PH-1 LOI-1");
        expect("accepted-quoted-fields", "PH-1 LOI-1");
        expect("accepted-unknown-columns", "PH-1 LOI-1");
    }

    static Stream<String> faults() {
        return EXPECTED.keySet().stream();
    }

    @ParameterizedTest
    @MethodSource("faults")
    void saysWhatIsWrongAndTakesTheRest(String fault) {
        DayReading reading = DayFolder.read(FOLDER.resolve(fault));
        Expected expected = EXPECTED.getOrDefault(fault, new Expected(List.of(), Set.of()));
        assertThat(reading.problems()).extracting(Problem::sentence).isEqualTo(expected.said());
        assertThat(reading.usable()).isTrue();
        assertThat(reading.day().runs().stream().map(run -> run.run()).collect(Collectors.toSet()))
                .isEqualTo(expected.runs().equals(Set.of("")) ? Set.of() : expected.runs());
    }

    @Test
    void everyFolderIsExpected() throws IOException {
        try (Stream<Path> folders = Files.list(FOLDER)) {
            Set<String> names = folders.filter(Files::isDirectory)
                    .map(folder -> folder.getFileName().toString())
                    .collect(Collectors.toCollection(TreeSet::new));
            names.remove("not-a-day");
            assertThat(names).isEqualTo(EXPECTED.keySet());
        }
    }

    @Test
    void aFolderThatIsNotADayIsNotUsable() {
        DayReading reading = DayFolder.read(FOLDER.resolve("not-a-day"));
        assertThat(reading.usable()).isFalse();
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        ".: found a folder with none of the day's files, expected a day folder with runs.csv and"
                                + " readings/RUN.csv. Nothing is judged.");
    }

    @Test
    void aFolderThatIsNotThereIsNotUsable() {
        DayReading reading = DayFolder.read(FOLDER.resolve("nowhere"));
        assertThat(reading.usable()).isFalse();
        assertThat(reading.problems()).extracting(Problem::found).containsExactly("no such folder");
    }

    @ParameterizedTest
    @MethodSource("faults")
    void aFaultyLineCostsItselfAndAFaultyFileItself(String fault) {
        DayReading whole = DayFolder.read(FOLDER.resolve("nothing-wrong"));
        DayReading reading = DayFolder.read(FOLDER.resolve(fault));
        Set<String> refused = reading.problems().stream()
                .filter(problem -> problem.consequence().startsWith("Nothing of this file"))
                .map(Problem::file)
                .collect(Collectors.toSet());
        Map<String, Integer> lost = Map.of(
                "duplicate-lab-number samples.csv", 0,
                "unknown-submission samples.csv", 1,
                "unknown-method runs.csv", 1,
                "run-that-cannot-be-a-file runs.csv", 0);
        Day day = reading.day();
        int soils = refused.contains("samples.csv") ? 0 : whole.day().soils().size();
        assertThat(day.soils()).hasSize(soils - lost.getOrDefault(fault + " samples.csv", 0));
        assertThat(day.submissions())
                .hasSize(
                        refused.contains("submissions.csv")
                                ? 0
                                : whole.day().submissions().size());
        assertThat(day.trays())
                .hasSize(refused.contains("trays.csv") ? 0 : whole.day().trays().size());
        // A hidden control of an unknown material is a control all the same, never a soil.
        assertThat(day.controls()).hasSize(refused.contains("controls.csv") ? 0 : 1);
        assertThat(day.materials().isEmpty()).isEqualTo(refused.contains("materials.csv"));
        assertThat(day.standards().isEmpty()).isEqualTo(refused.contains("standards.csv"));
        assertThat(day.laboratory()).isEqualTo(whole.day().laboratory());
        assertThat(reading.rows()).as("the account adds up").allMatch(RowsOfFile::addsUp);
    }

    @Test
    void acceptedFormsGiveTheSameReadings() {
        Day plain = DayFolder.read(FOLDER.resolve("nothing-wrong")).day();
        for (String form : List.of(
                "accepted-byte-order-mark",
                "accepted-windows-line-ends",
                "accepted-quoted-fields",
                "accepted-unknown-columns")) {
            Day day = DayFolder.read(FOLDER.resolve(form)).day();
            assertThat(day.soils()).as(form).isEqualTo(plain.soils());
            assertThat(day.submissions()).as(form).isEqualTo(plain.submissions());
            for (int i = 0; i < day.runs().size(); i++) {
                assertThat(Days.same(
                                day.runs().get(i).readings(),
                                plain.runs().get(i).readings()))
                        .as(form)
                        .isTrue();
            }
        }
    }

    @Test
    void aRunWithoutCalibrationKeepsItsReadings() {
        Day day = DayFolder.read(FOLDER.resolve("no-calibration")).day();
        var readings = day.runs().get(0).readings();
        assertThat(readings.size()).isPositive();
        for (int i = 0; i < readings.size(); i++) {
            assertThat(readings.role(i)).isNotEqualTo(Role.STANDARD);
        }
    }

    @Test
    void keepsUnknownColumnsForTheExport(@TempDir Path out) throws IOException {
        Path folder = FOLDER.resolve("accepted-unknown-columns");
        DayReading reading = DayFolder.read(folder);
        DayFolder.write(reading.day(), reading.extras(), out);
        assertThat(Files.readString(out.resolve("samples.csv")))
                .startsWith(
                        "lab_number,submission,ordinal,client_label,top_cm,bottom_cm,package,regulated,matter,crop\n")
                .contains(",barley 3\n");
        assertThat(Files.readAllLines(out.resolve("readings/PH-1.csv")))
                .allMatch(line -> line.endsWith(",stirred") || line.endsWith(",yes"));
        assertThat(DayFolder.read(out).extras()).isEqualTo(reading.extras());
    }

    @Test
    void refusesAFileAboveTheLimitUnread(@TempDir Path day) throws IOException {
        DayFolder.write(Days.of(30, 8), day);
        try (RandomAccessFile large =
                new RandomAccessFile(day.resolve("readings/PH-1.csv").toFile(), "rw")) {
            large.setLength(200_000_000);
        }
        long before = System.nanoTime();
        DayReading reading = DayFolder.read(day);
        assertThat(System.nanoTime() - before).isLessThan(5_000_000_000L);
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly("readings/PH-1.csv: found a file of 200 MB, expected at most 100 MB" + RUN_LOST);
        assertThat(reading.day().runs()).hasSize(2);

        DayReading small = DayFolder.read(day, MethodFiles.shipped(), new Limits(100, 10));
        assertThat(small.usable()).isTrue();
        assertThat(small.day().runs()).isEmpty();
        assertThat(small.problems())
                .extracting(Problem::found)
                .anyMatch(found -> found.matches("a file of \\d+ bytes"));
    }

    @Test
    void tellsTwentyProblemsOfAFileAndCountsTheRest(@TempDir Path day) throws IOException {
        DayFolder.write(Days.of(200, 9), day);
        Path samples = day.resolve("samples.csv");
        Files.writeString(samples, Files.readString(samples).replace(",15.5,", ",fifteen,"));
        List<Problem> problems = DayFolder.read(day).problems();
        assertThat(problems).hasSize(21);
        assertThat(problems.get(0).sentence())
                .isEqualTo(
                        "samples.csv, line 4, bottom_cm: found \"fifteen\", expected a number with . as the decimal mark"
                                + SOIL_HELD);
        assertThat(problems.get(20).found()).matches("\\d+ more problems");
    }
}
