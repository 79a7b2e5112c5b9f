package org.tenmesh.proof.command;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What cannot be used is said with its place, ends with 2, and does not keep the rest of the day from being judged. */
final class BadInputTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private Path day = Path.of("");
    private Path out = Path.of("");

    @BeforeEach
    void simulate() {
        day = temp.resolve("day");
        out = temp.resolve("out");
        assertThat(Ran.tenmesh("simulate", "--seed", 3, "--soils", 60, "--out", day)
                        .status())
                .isZero();
    }

    @Test
    void aDecimalCommaCostsItsRunOnly() throws IOException {
        Path readings = firstReadings();
        change(readings, text -> text.replaceFirst("(\\d)\\.(\\d+),mV", "\"$1,$2\",mV"));
        judgedButForProblem(String.valueOf(readings.getFileName()));
    }

    @Test
    void aMissingColumnIsNamed() throws IOException {
        change(firstReadings(), text -> text.replaceFirst("value", "valeur"));
        judgedButForProblem("value");
    }

    @Test
    void anEmptyFileIsNamed() throws IOException {
        Path readings = firstReadings();
        Files.writeString(readings, "");
        judgedButForProblem(String.valueOf(readings.getFileName()));
    }

    @Test
    void anotherEncodingIsNamed() throws IOException {
        Path submissions = day.resolve("submissions.csv");
        String text = Files.readString(submissions, UTF_8);
        Files.write(
                submissions, text.replaceFirst("\n", "\n#").replace("#", "é").getBytes(ISO_8859_1));
        Ran ran = Ran.tenmesh("judge", day, "--out", out);
        assertThat(ran.status()).isEqualTo(2);
        assertThat(ran.out() + ran.err()).contains("submissions.csv");
    }

    @Test
    void aFolderThatIsNoDayWritesNothing() {
        Ran ran = Ran.tenmesh("judge", temp.resolve("day").resolve("readings"), "--out", out);
        assertThat(ran.status()).isEqualTo(2);
        assertThat(out).doesNotExist();
        assertThat(Ran.tenmesh("judge", temp.resolve("nowhere"), "--out", out).status())
                .isEqualTo(2);
    }

    @Test
    void wrongWordsAreAnsweredWithTheRightOnes() {
        assertThat(Ran.tenmesh("jugde", day).err()).contains("no command \"jugde\"");
        assertThat(Ran.tenmesh("judge", day).err())
                .contains("--out DIR is missing")
                .contains("tenmesh judge DAY");
        assertThat(Ran.tenmesh("judge", day, "--out").err()).contains("--out needs DIR");
        assertThat(Ran.tenmesh("judge", day, "more", "--out", out).err()).contains("\"more\" is one word too many");
        assertThat(Ran.tenmesh("simulate", "--seed", "x", "--soils", 3, "--out", out)
                        .err())
                .contains("--seed takes a whole number");
        assertThat(Ran.tenmesh("simulate", "--seed", 1, "--soils", 3, "--ground", "moon", "--out", out)
                        .err())
                .contains("\"moon\"", "volcanic");
        assertThat(Ran.tenmesh("simulate", "--seed", 1, "--soils", 3, "--alike", "1/1/1", "--out", out)
                        .err())
                .contains("--alike", "add up to 1");
        assertThat(Ran.tenmesh("simulate", "--seed", 1, "--soils", 3, "--fault", "gremlins", "--out", out)
                        .err())
                .contains("gremlins")
                .contains("drift");
        assertThat(Ran.tenmesh("simulate", "--seed", 1, "--soils", 3, "--out", day)
                        .err())
                .contains("is not empty");
        assertThat(Ran.tenmesh("explain", day, "no-such-number", "ph-water-1-1", "pH")
                        .status())
                .isEqualTo(2);
        assertThat(Ran.tenmesh("explain", day, "x", "ph-water-1-1", "K").err()).contains("it reports pH");
    }

    private void judgedButForProblem(String named) throws IOException {
        Ran ran = Ran.tenmesh("judge", day, "--out", out);
        assertThat(ran.status()).isEqualTo(2);
        assertThat(ran.out()).contains("Input that could not be taken").contains(named);
        assertThat(Csv.rows(out.resolve("results.csv"))).isNotEmpty();
        assertThat(Csv.rows(out.resolve("problems.csv"))).isNotEmpty();
    }

    private Path firstReadings() throws IOException {
        List<Path> files;
        try (Stream<Path> list = Files.list(day.resolve("readings"))) {
            files = list.sorted().toList();
        }
        for (Path file : files) {
            if (Files.readString(file, UTF_8).contains(",mV")) {
                return file;
            }
        }
        throw new IllegalStateException("no run of potentials in " + files);
    }

    private static void change(Path file, UnaryOperator<String> how) throws IOException {
        String before = Files.readString(file, UTF_8);
        String after = how.apply(before);
        assertThat(after).isNotEqualTo(before);
        Files.writeString(file, after);
    }
}
