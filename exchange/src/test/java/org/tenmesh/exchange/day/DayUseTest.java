package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.exchange.file.Problem;

/** What a day folder holds that nothing uses is told; what cannot be a day's file is not opened. */
class DayUseTest {
    @TempDir
    private Path day;

    @BeforeEach
    void write() throws IOException {
        DayFolder.write(Days.of(30, 8), day);
    }

    private void replace(String file, String regex, String with) throws IOException {
        Path path = day.resolve(file);
        String text = Files.readString(path);
        String changed = text.replaceAll(regex, with);
        assertThat(changed).isNotEqualTo(text);
        Files.writeString(path, changed);
    }

    private List<String> problems() {
        return DayFolder.read(day).problems().stream().map(Problem::sentence).toList();
    }

    private List<String> notes() {
        return DayFolder.read(day).notes().stream().map(Problem::sentence).toList();
    }

    @Test
    void aWholeDayNeedsNoWord() {
        assertThat(problems()).isEmpty();
        assertThat(notes()).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(strings = {"K 766.490", "k 766.491", "K 766.491 "})
    void readsALineUnderAnotherSpellingAndSaysSo(String written) throws IOException {
        replace("readings/ICP-1.csv", "K 766\\.491", written);
        assertThat(problems()).isEmpty();
        assertThat(notes())
                .singleElement()
                .satisfies(note -> assertThat(note)
                        .startsWith("readings/ICP-1.csv, line 3, quantity: found line `" + written + "`")
                        .contains("not in method mehlich3-icp", "`K 766.491`")
                        .endsWith("It is read as potassium."));
        assertThat(DayFolder.read(day).day().runs()).hasSize(3);
    }

    @Test
    void saysThatARunHoldsNoSoil() throws IOException {
        replace("readings/ICP-1.csv", "(?m)^\\d+,(sample|duplicate),.*\\R", "");
        assertThat(notes())
                .contains(
                        "readings/ICP-1.csv, role: found no soil, only checks, standards and controls, expected soils."
                                + " Run ICP-1 gives no result.");
    }

    @Test
    void saysHowFarTheNearestLineLies() throws IOException {
        replace("readings/ICP-1.csv", "K 766\\.491", "K 766.490");
        assertThat(notes())
                .containsExactly("readings/ICP-1.csv, line 3, quantity: found line `K 766.490`, which is not in method"
                        + " mehlich3-icp, expected `K 766.491` (nearest, 0.001 nm away). It is read as potassium.");
    }

    @Test
    void aLineBeyondTheWindowIsAProblem() throws IOException {
        replace("readings/ICP-1.csv", "P 213\\.618", "P 214.914");
        assertThat(problems())
                .anySatisfy(said -> assertThat(said)
                        .contains("line `P 214.914`", "`P 213.618` (nearest, 1.296 nm away)", "not used"))
                .anySatisfy(said -> assertThat(said).contains("no reading of `P 213.618`", "standards.csv states P"));
        assertThat(DayFolder.read(day).day().runs()).hasSize(3);
    }

    @Test
    void aMissingInternalStandardIsAProblem() throws IOException {
        replace("readings/ICP-1.csv", "(?m)^.*Y 371\\.029.*\n", "");
        assertThat(problems())
                .containsExactly("readings/ICP-1.csv, quantity: found no reading of the internal standard `Y 371.029`,"
                        + " expected readings of `Y 371.029`. The signals of this run are not corrected by an internal"
                        + " standard.");
    }

    @Test
    void aLineOfAnotherElementIsOnlyNoted() throws IOException {
        replace("readings/ICP-1.csv", "Al 394\\.401", "Ti 336.122");
        assertThat(problems()).isEmpty();
        assertThat(notes()).singleElement().asString().contains("line `Ti 336.122`", "not used");
    }

    @Test
    void aMisspeltQuantityIsAProblem() throws IOException {
        replace("readings/PH-1.csv", ",potential,", ",potentiel,");
        assertThat(problems()).singleElement().asString().contains("quantity `potentiel`", "`potential`");
    }

    @ParameterizedTest
    @CsvSource({
        "samples.csv, regulated, regulated_",
        "standards.csv, tolerance_pct, tolerance_pc",
        "trays.csv, purpose, Purpose",
        "readings/PH-1.csv, channel, chanel",
        "readings/PH-1.csv, dilution, dilutoin"
    })
    void asksAboutAColumnCloseToAKnownOne(String file, String column, String written) throws IOException {
        replace(file, "\\A(.*)\\b" + column + "\\b", "$1" + written);
        assertThat(problems())
                .containsExactly(file + ", line 1, " + written + ": found a column of this name and no column " + column
                        + ", expected " + column + ", if that is what is meant. The column is kept and not used.");
    }

    @ParameterizedTest
    @CsvSource({
        "laboratory.yaml, laboratory.yml",
        "controls.csv, Controls.csv",
        "controls.csv, control.csv",
        "trays.csv, trays.txt"
    })
    void asksAboutAFileCloseToAKnownOne(String file, String written) throws IOException {
        Files.move(day.resolve(file), day.resolve(written));
        assertThat(problems())
                .anySatisfy(said -> assertThat(said)
                        .startsWith(written + ": found a file of this name and no " + file)
                        .endsWith("The file is not read."));
    }

    @Test
    void asksAboutReadingsThatAreNotCsv() throws IOException {
        Files.move(day.resolve("readings/PH-1.csv"), day.resolve("readings/PH-1.CSV"));
        assertThat(problems()).anySatisfy(said -> assertThat(said).startsWith("readings/PH-1.CSV: found a file"));
    }

    @Test
    void tellsAPackageThatNobodyDescribed() throws IOException {
        Files.writeString(
                day.resolve("packages.csv"), "package,title,method,analytes\nstandart,Standard,mehlich3-icp,\n");
        assertThat(problems()).singleElement().asString().contains("\"standard\" of S1", "\"standart\" is close");
    }

    @Test
    void asksAboutANoteThatIsTheNameOfAPackage() throws IOException {
        Files.writeString(
                day.resolve("packages.csv"), "package,title,method,analytes\nstandard,Standard,mehlich3-icp,\n");
        Files.writeString(
                day.resolve("submissions.csv"),
                "submission,client,received_at,note\nS1,invented client,2026-11-24T09:00:00-06:00,standard\nS2,invented client,2026-11-24T09:00:00-06:00,\n");
        assertThat(problems())
                .singleElement()
                .asString()
                .startsWith("submissions.csv, note: found \"standard\" as the note of S1, without a package");
    }

    @Test
    void tellsSoilsThatNobodyReadAlthoughTheirPackageAsks() throws IOException {
        Files.writeString(day.resolve("packages.csv"), "package,title,method,analytes\nstandard,Standard,olsen-p,\n");
        assertThat(notes()).singleElement().asString().contains("25 more not read by olsen-p", "No run of this day");
    }

    @Test
    void tellsASoilThatNoRunHasRead() throws IOException {
        Files.writeString(day.resolve("samples.csv"), Files.readString(day.resolve("samples.csv")) + "X-1,S1,,,,,,,\n");
        assertThat(notes())
                .containsExactly(
                        "samples.csv, lab_number: found X-1 that no run has read, expected a reading of each. They have no result.",
                        "trays.csv, lab_number: found X-1 in no tray, expected a well for each lab number of samples.csv."
                                + " Turned and exchanged trays are not looked for among them, and a reading that is missing may go unseen.");
        assertThat(account("samples.csv").aside()).containsExactly(Map.entry("a soil that no run has read", 1));
    }

    private RowsOfFile account(String file) {
        return DayFolder.read(day).rows().stream()
                .filter(one -> one.file().equals(file))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void accountsForEveryRowOfEveryFile() throws IOException {
        List<RowsOfFile> rows = DayFolder.read(day).rows();
        assertThat(rows).allMatch(RowsOfFile::addsUp).allMatch(one -> one.setAside() == 0);
        for (RowsOfFile one : rows) {
            long lines = Files.readAllLines(day.resolve(one.file())).size() - 1;
            assertThat(one.read()).as(one.file()).isEqualTo((int) lines);
        }
        assertThat(rows).extracting(RowsOfFile::file).contains("samples.csv", "runs.csv", "readings/ICP-1.csv");
        replace("readings/PH-1.csv", "(?m)^1,standard", "one,standard");
        assertThat(account("readings/PH-1.csv").aside())
                .hasSize(1)
                .containsEntry(
                        "the file could not be taken, line 2",
                        account("readings/PH-1.csv").read());
        assertThat(account("readings/PH-1.csv").addsUp()).isTrue();
    }

    @Test
    void asksAboutPositionsThatAreNotThere() throws IOException {
        replace("readings/LOI-1.csv", "(?m)^3,.*\\n", "");
        assertThat(notes())
                .anySatisfy(note -> assertThat(note).contains("LOI-1.csv, position: found no reading of position 3"));
    }

    @Test
    void asksAboutReadingsOfOneTimeThatCameTwice() throws IOException {
        replace("readings/LOI-1.csv", "(?m)^(3,.*\\n)", "$1$1");
        assertThat(notes())
                .anySatisfy(note -> assertThat(note).contains("that has one of the same time", "as repeats"));
    }

    @Test
    void asksAboutTimesFarFromTheRunAndTheDay() throws IOException {
        replace("runs.csv", "(?m)^(PH-1,.*)2026-11", "$12026-01");
        assertThat(notes())
                .anySatisfy(note -> assertThat(note).contains("runs.csv, started_at: found run PH-1 of 2026-01"))
                .anySatisfy(note -> assertThat(note).contains("PH-1.csv", "after the run started by runs.csv"));
    }

    @Test
    void asksAboutSubmissionsThatCameAfterTheyWereReadOrWerePromisedBefore() throws IOException {
        replace("submissions.csv", "(?m)^(S1,.*?,)2026-11-2\\d", "$12026-12-24");
        assertThat(notes())
                .anySatisfy(
                        note -> assertThat(note).contains("received_at: found S1 received after a soil of it was read"))
                .anySatisfy(note -> assertThat(note).contains("promised for a day before it was received"));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "samples.csv | top_cm | 99999 | a depth from 0 to 1000 cm",
                "samples.csv | top_cm | -5 | a depth from 0 to 1000 cm",
                "materials.csv | mean | -2 | a content of 0 or more",
                "materials.csv | sd | 900000 | a standard deviation not above the mean",
                "standards.csv | value | -3 | a content of 0 or more",
                "standards.csv | tolerance_pct | 500 | at most 100 %",
            })
    void refusesWhatCannotBe(String file, String column, String written, String expected) throws IOException {
        Path path = day.resolve(file);
        List<String> lines = new ArrayList<>(Files.readAllLines(path));
        int at = List.of(lines.get(0).split(",", -1)).indexOf(column);
        int row = 1;
        while (lines.get(row).contains(",pH,")) {
            row++;
        }
        String[] cells = lines.get(row).split(",", -1);
        cells[at] = written;
        lines.set(row, String.join(",", cells));
        Files.write(path, lines);
        assertThat(problems())
                .anySatisfy(said -> assertThat(said).contains(file + ", line " + (row0(lines, written) + 1), expected));
    }

    private static int row0(List<String> lines, String written) {
        int row = 0;
        while (!("," + lines.get(row) + ",").contains("," + written + ",")) {
            row++;
        }
        return row;
    }

    @Test
    void tellsATableInAnotherFolderAndOneOfAnotherName() throws IOException {
        Files.createDirectory(day.resolve("old"));
        Files.move(day.resolve("trays.csv"), day.resolve("old/trays.csv"));
        Files.copy(day.resolve("samples.csv"), day.resolve("samples (copy).csv"));
        assertThat(problems())
                .anySatisfy(said -> assertThat(said).startsWith("old/trays.csv: found a file of this name"));
        assertThat(notes())
                .anySatisfy(said -> assertThat(said).startsWith("samples (copy).csv: found a table that is none"))
                .anySatisfy(said -> assertThat(said).startsWith("trays.csv, lab_number: found no tray"));
    }

    @Test
    void tellsARunThatIsMissingAltogether() throws IOException {
        replace("runs.csv", "(?m)^ICP-1,.*\n", "");
        Files.delete(day.resolve("readings/ICP-1.csv"));
        assertThat(notes()).singleElement().asString().contains("standards of mehlich3-icp and no run of it");
    }

    @Test
    void tellsALabNumberInTwoTrays() throws IOException {
        Path trays = day.resolve("trays.csv");
        String number = Days.of(30, 8).soils().get(0).labNumber().text();
        Files.writeString(trays, Files.readString(trays) + "T9,A1," + number + ",soil\n");
        assertThat(notes()).singleElement().asString().contains(number + " in trays T1 and T9");
    }

    @Test
    void tellsRowsOfARoleThatNothingUses() throws IOException {
        replace("readings/PH-1.csv", ",standard,4\\.01,", ",wash,4.01,");
        assertThat(notes())
                .singleElement()
                .asString()
                .contains("rows of role wash, which method ph-water-1-1 does not use");
    }

    @ParameterizedTest
    @CsvSource({
        "readings/PH-1.csv, mV, g",
        "readings/LOI-1.csv, g, {A}",
        "readings/ICP-1.csv, /s, 1",
        "materials.csv, '%', g",
        "standards.csv, mg/L, '%'",
        "standards.csv, '\\[pH\\]', '%'"
    })
    void refusesAUnitOfAnotherKind(String file, String unit, String written) throws IOException {
        replace(file, "," + (unit.equals("{A}") ? "\\{A\\}" : unit) + ",", "," + written + ",");
        assertThat(problems()).isNotEmpty().allSatisfy(said -> assertThat(said).contains(", unit: found \"" + written));
    }

    @Test
    void convertsAUnitThatStatesTheSame() throws IOException {
        replace("materials.csv", "31\\.25,1\\.5,mg/kg", "0.03125,0.0015,g/kg");
        replace("standards.csv", ",5,mg/L,", ",0.005,g/L,");
        DayReading read = DayFolder.read(day);
        assertThat(read.problems()).isEmpty();
        assertThat(read.day().materials()).isEqualTo(Days.of(30, 8).materials());
        assertThat(read.day().standards()).isEqualTo(Days.of(30, 8).standards());
    }

    @ParameterizedTest
    @CsvSource({
        "materials.csv, ',31.25,', ',1e300,'",
        "materials.csv, ',1.5,', ',1e-320,'",
        "standards.csv, ',0.05,', ',0,'",
        "readings/PH-1.csv, ',mV,2026', ',mV,+9999999992026'",
        "readings/PH-1.csv, '(?m),[0-9.-]+,mV', ',1e300,mV'",
        "submissions.csv, ',2026-11-24T', ',+999999999-11-24T'"
    })
    void refusesWhatNobodyCanHaveMeasured(String file, String what, String with) throws IOException {
        replace(file, what, with.replace("+9999999992026", "+999999999"));
        assertThat(problems()).isNotEmpty().allSatisfy(said -> assertThat(said).startsWith(file));
        assertThat(problems().get(0)).startsWith(file + ", line ").contains("expected a ");
    }

    @Test
    void refusesYamlOfThousandsOfLevels() throws IOException {
        Files.writeString(day.resolve("laboratory.yaml"), "name: " + "[".repeat(5000) + "]".repeat(5000) + "\n");
        assertThat(problems()).singleElement().asString().contains("YAML of more than 50 levels");
        Files.writeString(day.resolve("laboratory.yaml"), "name:\n" + "- ".repeat(5000) + "x\n");
        assertThat(problems()).singleElement().asString().contains("YAML of more than 50 levels");
    }

    @Test
    void anUnknownSettingCostsOnlyItself() throws IOException {
        replace("laboratory.yaml", "policy:\n", "policy:\n  control_interval: 20\n");
        DayReading read = DayFolder.read(day);
        assertThat(read.problems()).singleElement().extracting(Problem::column).isEqualTo("policy.control_interval");
        assertThat(read.day().laboratory()).isEqualTo(Days.of(30, 8).laboratory());
    }

    @EnabledOnOs({OS.LINUX, OS.MAC})
    @ParameterizedTest
    @ValueSource(strings = {"samples.csv", "laboratory.yaml", "readings/PH-1.csv"})
    void doesNotFollowALinkOutOfTheFolder(String file, @TempDir Path elsewhere) throws IOException {
        Path secret = Files.writeString(elsewhere.resolve("secret"), "root:x:0\n");
        for (Path target : List.of(secret, Path.of("/dev/zero"))) {
            Files.delete(day.resolve(file));
            Files.createSymbolicLink(day.resolve(file), target);
            Assertions.assertTimeoutPreemptively(
                    Duration.ofSeconds(20),
                    () -> assertThat(problems())
                            .isNotEmpty()
                            .noneMatch(said -> said.contains("root:x"))
                            .anyMatch(said -> said.startsWith(file + ": found a link to a file outside the folder")));
        }
    }

    @EnabledOnOs({OS.LINUX, OS.MAC})
    @Test
    void doesNotWaitForAPipe() throws Exception {
        Path samples = day.resolve("samples.csv");
        Files.delete(samples);
        int made = new ProcessBuilder("mkfifo", samples.toString()).start().waitFor();
        assertThat(made).isZero();
        Assertions.assertTimeoutPreemptively(
                Duration.ofSeconds(20),
                () -> assertThat(problems()).anyMatch(said -> said.startsWith("samples.csv: found a pipe")));
        try (Stream<Path> files = Files.list(day)) {
            assertThat(files).contains(samples);
        }
    }

    @Test
    void tellsHiddenControlsWithoutTheirKeyAndMaterialsOfNoControl() throws IOException {
        Files.delete(day.resolve("controls.csv"));
        assertThat(problems()).isEmpty();
        assertThat(notes())
                .singleElement()
                .asString()
                .contains("26329-0018-", "without a submission and not in controls.csv", "judged as soils");
        write();
        replace("materials.csv", "LOAM-A,mehlich3-icp", "LOAMM-A,mehlich3-icp");
        assertThat(notes())
                .hasSize(2)
                .anySatisfy(note -> assertThat(note).contains("\"LOAMM-A\"", "\"LOAM-A\", if that is what is meant"))
                .anySatisfy(note -> assertThat(note)
                        .contains(
                                "no content of \"LOAM-A\" for mehlich3-icp",
                                "although hidden controls of it were read"));
    }
}
