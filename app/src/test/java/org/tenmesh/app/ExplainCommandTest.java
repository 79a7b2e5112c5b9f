package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;

/** The example of the README works on the day that the example before it makes, and a mistyped number is answered. */
final class ExplainCommandTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private final StringWriter said = new StringWriter();

    private int tenmesh(String... typed) {
        said.getBuffer().setLength(0);
        PrintWriter writer = new PrintWriter(said);
        return Main.run(new Console(writer, writer, false), typed);
    }

    private static String[] example(String command) throws java.io.IOException {
        return Files.readAllLines(Path.of("..", "README.md")).stream()
                .filter(line -> line.startsWith("./tenmesh " + command + " "))
                .findFirst()
                .map(line -> line.replaceFirst("\\s*#.*", "")
                        .substring("./tenmesh ".length())
                        .split(" "))
                .orElseThrow();
    }

    @Test
    void theReadmesExampleWorksAndAMistypedNumberIsAnswered() throws Exception {
        String day = temp.resolve("day").toString();
        String[] simulate = example("simulate");
        simulate = Arrays.stream(simulate)
                .map(word -> word.equals("day") ? day : word)
                .toArray(String[]::new);
        assertThat(tenmesh(simulate)).as(said.toString()).isZero();
        String[] explain = example("explain");
        explain[1] = day;
        assertThat(tenmesh(explain)).as(said.toString()).isZero();
        assertThat(said.toString()).startsWith(explain[2] + "  phosphorus");

        String right = explain[2];
        explain[2] = right.substring(0, right.length() - 1) + (right.endsWith("K") ? "L" : "K");
        assertThat(tenmesh(explain)).isEqualTo(Status.UNUSABLE);
        assertThat(said.toString()).contains("check character is wrong", "Most likely " + right);
    }
}
