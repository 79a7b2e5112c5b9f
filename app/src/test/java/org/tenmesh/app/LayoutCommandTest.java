package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;

class LayoutCommandTest {
    @TempDir
    @SuppressWarnings("NullAway.Init") // given by JUnit
    private Path temporary;

    private record Ran(int status, String said) {}

    private static Ran run(String... typed) {
        StringWriter text = new StringWriter();
        PrintWriter writer = new PrintWriter(text);
        int status = Main.run(new Console(writer, writer, false), typed);
        return new Ran(status, text.toString());
    }

    private Ran layOut(String folder, String... more) {
        List<String> typed = new java.util.ArrayList<>(List.of(
                "layout",
                "--soils",
                "400",
                "--every",
                "50",
                "--day",
                "2026-11-25",
                "--materials",
                "loam,sand",
                "--out"));
        typed.add(temporary.resolve(folder).toString());
        typed.addAll(List.of(more));
        return run(typed.toArray(new String[0]));
    }

    private Map<String, String> controls(String folder) throws Exception {
        Map<String, String> controls = new TreeMap<>();
        for (String line : Files.readAllLines(temporary.resolve(folder).resolve("controls.csv"))) {
            String[] cells = line.split(",", -1);
            controls.put(cells[0], cells[1]);
        }
        controls.remove("lab_number");
        return controls;
    }

    @Test
    void advisesWithoutWriting() {
        Ran ran = run("layout", "--soils", "4000", "--shift", "3", "--accept", "100");
        assertThat(ran.status()).isEqualTo(Status.DONE);
        assertThat(ran.said())
                .contains(
                        "limit of one result 3.48",
                        "each control by itself: one control in 50",
                        "wrong results released");
    }

    @Test
    void laysOutADayThatCanBeReadAndNamesNoControl() throws Exception {
        Ran ran = layOut("day");
        assertThat(ran.status()).as(ran.said()).isEqualTo(Status.DONE);
        Path day = temporary.resolve("day");
        Map<String, String> controls = controls("day");
        List<String> samples = Files.readAllLines(day.resolve("samples.csv"));
        assertThat(controls).hasSizeBetween(4, 20);
        assertThat(Set.of("loam", "sand")).containsAll(controls.values());
        assertThat(samples).hasSize(1 + 400 + controls.size());
        assertThat(ran.said()).doesNotContain(controls.keySet()).doesNotContain("loam");
        // Nothing but the number tells the lines apart.
        Set<String> rests = new HashSet<>();
        samples.subList(1, samples.size()).forEach(line -> rests.add(line.substring(line.indexOf(','))));
        assertThat(rests).hasSize(1);
        if (Files.getFileStore(day).supportsFileAttributeView(PosixFileAttributeView.class)) {
            assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(day.resolve("controls.csv"))))
                    .isEqualTo("rw-------");
        }
    }

    @Test
    void drawsAnewUnlessASeedIsGiven() throws Exception {
        assertThat(layOut("one").status()).isZero();
        assertThat(layOut("two").status()).isZero();
        assertThat(controls("one").keySet()).isNotEqualTo(controls("two").keySet());
        assertThat(layOut("three", "--seed", "5").status()).isZero();
        assertThat(layOut("four", "--seed", "5").status()).isZero();
        assertThat(controls("three")).isEqualTo(controls("four"));
    }

    @Test
    void leavesAWellEmptyInEachTrayUnlessToldNotTo() throws Exception {
        layOut("keyed", "--seed", "5");
        layOut("full", "--seed", "5", "--no-key-wells");
        assertThat(keyWells("keyed")).isPositive();
        assertThat(keyWells("full")).isZero();
    }

    private long keyWells(String folder) throws Exception {
        return Files.readAllLines(temporary.resolve(folder).resolve("trays.csv")).stream()
                .filter(line -> line.contains("key"))
                .count();
    }

    @Test
    void goesOnNumberingWhereItIsTold() throws Exception {
        assertThat(layOut("day", "--serial", "1001", "--tray", "90").status()).isZero();
        assertThat(Files.readAllLines(temporary.resolve("day").resolve("samples.csv"))
                        .get(1))
                .startsWith("26329-1001-");
        assertThat(Files.readAllLines(temporary.resolve("day").resolve("trays.csv"))
                        .get(1))
                .startsWith("T0090,");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "--soils 0 | --soils takes a whole number from 1 to 90000",
                "--soils 10 --shift -1 | --shift takes a number above 0, found \"-1\"",
                "--soils 10 --watch eye | --watch takes single, mean or average",
                "--soils 10 --seed 4 | --seed belongs to a layout",
                "--soils 10 --out new --every 50 --day 2026-11-25 | --materials A,B,… is missing",
                "--soils 10 --out new --every 50 --materials a | --day DATE is missing",
                "--soils 10 --out new --every 50 --materials a,a --day 2026-11-25 | each once, found \"a,a\"",
                "--soils 10 --out new --every 50 --materials a --day yesterday | --day takes a date",
                "--soils 10 --out new --accept 0.001 --materials a --day 2026-11-25 | no interval of the table releases as few",
            })
    void saysWhatItCannotUse(String typed, String said) {
        Ran ran = run(("layout " + typed.replace(" new", " " + temporary.resolve("new"))).split(" "));
        assertThat(ran.said()).contains(said);
        assertThat(ran.status()).isEqualTo(Status.UNUSABLE);
        assertThat(temporary.resolve("new")).doesNotExist();
    }

    @Test
    void saysWhenNoIntervalIsEnough() {
        Ran ran = run("layout", "--soils", "4000", "--shift", "1", "--accept", "1");
        assertThat(ran.said()).contains("no interval here does");
        assertThat(ran.status()).isEqualTo(Status.HELD);
    }
}
