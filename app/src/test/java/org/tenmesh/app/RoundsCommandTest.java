package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;

class RoundsCommandTest {
    private static final Path EXAMPLE = Path.of("..", "examples", "rounds", "2026.csv");

    @TempDir
    @SuppressWarnings("NullAway.Init") // given by JUnit
    private Path out;

    private record Ran(int status, String said) {}

    private static Ran run(Object... typed) {
        StringWriter text = new StringWriter();
        PrintWriter writer = new PrintWriter(text);
        String[] words = Arrays.stream(typed).map(Object::toString).toArray(String[]::new);
        return new Ran(Main.run(new Console(writer, writer, false), words), text.toString());
    }

    @Test
    void scoresTheExample() throws IOException {
        Ran ran = run("rounds", EXAMPLE, "--out", out.resolve("scored"));
        assertThat(ran.status()).isEqualTo(Status.HELD);
        assertThat(ran.said())
                .contains(
                        "mehlich3-icp P, round 2026-4 of 2026-11-10: beyond 3",
                        "since round 2026-2 of 2026-05-12 (182 days)")
                .doesNotContain("ph-water-1-1 pH, round");
        assertThat(Files.readAllLines(out.resolve("scored/scores.csv"))).hasSize(25);
        assertThat(Files.readAllLines(out.resolve("scored/actions.csv"))).hasSize(3);
    }

    /** Two samples' results changed places in the file: the command names them and says so in a file of its own. */
    @Test
    void namesTwoSamplesTakenForEachOther() throws IOException {
        List<String> lines = Files.readAllLines(EXAMPLE);
        String header =
                lines.stream().filter(line -> !line.startsWith("#")).findFirst().orElseThrow();
        List<String> columns = List.of(header.split(",", -1));
        int value = columns.indexOf("value");
        int round = columns.indexOf("round");
        int sample = columns.indexOf("sample");
        String analyte = "pH";
        List<String[]> rows = lines.stream()
                .filter(line -> !line.startsWith("#") && !line.equals(header))
                .map(line -> line.split(",", -1))
                .toList();
        List<String[]> ph = rows.stream()
                .filter(row -> row[columns.indexOf("analyte")].equals(analyte) && row[round].equals(rows.get(0)[round]))
                .toList();
        String[] one = ph.get(0);
        String[] other = ph.get(ph.size() - 1);
        String kept = one[value];
        one[value] = other[value];
        other[value] = kept;
        Path file = Files.write(
                out.resolve("exchanged.csv"),
                Stream.concat(Stream.of(header), rows.stream().map(row -> String.join(",", row)))
                        .toList());
        Ran ran = run("rounds", file, "--out", out.resolve("scored"));
        assertThat(ran.said()).contains("have been exchanged in ph-water-1-1");
        assertThat(Files.readAllLines(out.resolve("scored/exchanged.csv")))
                .hasSize(2)
                .last()
                .asString()
                .contains(one[sample], other[sample]);
    }

    @Test
    void takesSeveralFilesAndSaysWhatItCannotTake() throws IOException {
        Path bad = Files.writeString(out.resolve("bad.csv"), "round,date\n");
        Ran ran = run("rounds", bad, EXAMPLE, "--out", out.resolve("scored"), "--json");
        assertThat(ran.status()).isEqualTo(Status.UNUSABLE);
        assertThat(ran.said()).contains("bad.csv, line 1, sample", "\"look_back_days\": 182", "\"action\": 3");
        assertThat(out.resolve("scored/scores.csv")).exists();
        Ran none = run("rounds", bad, "--out", out.resolve("none"));
        assertThat(none.status()).isEqualTo(Status.UNUSABLE);
        assertThat(none.said()).contains("nothing was written");
        assertThat(out.resolve("none")).doesNotExist();
        assertThat(run("rounds", "--out", out).said()).contains("FILE… is missing");
    }
}
