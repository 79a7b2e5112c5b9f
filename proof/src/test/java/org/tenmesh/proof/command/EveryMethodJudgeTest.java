package org.tenmesh.proof.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.HashSet;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A day of every method goes through its folder: written, read and judged by the commands. */
class EveryMethodJudgeTest {
    @TempDir
    private Path temp = Path.of("");

    @Test
    void judgesEveryMethodOfTheDayFromItsFolder() throws Exception {
        Path day = temp.resolve("day");
        Path out = temp.resolve("judged");
        Ran made = Ran.tenmesh("simulate", "--seed", 31, "--soils", 400, "--every-method", "--out", day);
        assertThat(made.status()).as(made.err()).isZero();
        Ran judged = Ran.tenmesh("judge", day, "--out", out);
        assertThat(judged.status()).as(judged.err()).isLessThan(2);

        assertThat(Csv.rows(out.resolve("problems.csv"))).isEmpty();
        Set<String> read = new HashSet<>();
        for (Csv.Row row : Csv.rows(day.resolve("runs.csv"))) {
            read.add(row.of("method"));
        }
        Set<String> resulted = new HashSet<>();
        for (Csv.Row row : Csv.rows(out.resolve("results.csv"))) {
            resulted.add(row.of("method"));
        }
        assertThat(read).hasSizeGreaterThan(20);
        assertThat(resulted).containsAll(read).contains("base-saturation", "cec-sum-smp");
    }
}
