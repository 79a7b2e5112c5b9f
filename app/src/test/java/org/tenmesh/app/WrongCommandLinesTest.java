package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;

/** A command line that a newcomer gets wrong ends with status 2 and names the nearest right thing. */
final class WrongCommandLinesTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    private record Ran(int status, String out, String err) {}

    private static Ran tenmesh(boolean watched, String... typed) {
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        int status = Main.run(new Console(new PrintWriter(out), new PrintWriter(err), watched), typed);
        return new Ran(status, out.toString(), err.toString());
    }

    @BeforeAll
    static void aDay() throws IOException {
        Ran made = tenmesh(
                false,
                "simulate",
                "--seed",
                "7",
                "--soils",
                "40",
                "--out",
                temp.resolve("harvest").toString());
        assertThat(made.status()).as(made.err()).isZero();
        Files.createDirectory(temp.resolve("empty"));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            juge HARVEST --out J                          | perhaps judge was meant
            Judge HARVEST --out J                         | perhaps judge was meant
            --judge HARVEST                               | perhaps judge was meant
            -v                                            | --version
            help juge                                     | perhaps judge was meant
            power                                         | checkout of the sources
            judge                                         | DAY is missing
            judge                                         | --out DIR is missing
            judge HARVEST J                               | "J" is one word too many
            judge HARVEST J                               | --out DIR is missing
            judge HARVEST -o J                            | perhaps --out was meant
            judge HARVEST --output J                      | perhaps --out was meant
            judge HARVEST --out J --josn                  | perhaps --json was meant
            judge HARVETS --out J                         | perhaps harvest was meant
            judge HARVEST/samples.csv --out J             | is a file; expected a day folder
            judge HARVEST --out J --methods NOSUCH        | expected a folder of method files
            judge HARVEST --out J --history NOSUCH        | a folder for each earlier day
            explain HARVEST 26329-0017-Q mehlich3 P       | perhaps mehlich3-icp or mehlich3-icp-scooped was meant
            explain HARVEST 26329-0017-Q Mehlich3-ICP P   | perhaps mehlich3-icp was meant
            explain HARVEST 26329-0017-Q mehlich3-icp p   | perhaps P was meant
            explain HARVEST 26329-0017-Q mehlich3-icp phosphorus | perhaps P was meant
            explain HARVEST 26329-0017 ph-water-1-1 pH    | perhaps 26329-0017-Q was meant
            explain HARVEST 26329-0017-q ph-water-1-1 pH  | perhaps 26329-0017-Q was meant
            explain HARVEST 26329-0017-Z ph-water-1-1 pH  | Most likely 26329-0017-Q is meant
            explain HARVEST 26329-9999-X ph-water-1-1 pH  | is no lab number of this day
            methods --show mehlich                        | perhaps mehlich3-icp or
            methods --file olsen                          | perhaps olsen-p was meant
            methods mehlich3-icp                          | --show ID shows one method
            policy NOSUCH                                 | expected a day folder
            read HARVEST/samples.csv                      | the reader comes before it
            read plasma HARVEST/samples.csv               | perhaps plasma-wide-table was meant
            read probe-lines NOSUCH                   | there is no file
            read probe-lines HARVEST                      | is a folder
            simulate --faults drift                       | perhaps --fault was meant
            simulate --out J                              | --seed N is missing
            simulate --out J                              | --soils N is missing
            simulate --seed 1 --soils 9 --out J --fault drfit | perhaps drift was meant
            layout --soils 100 --out J                    | --day DATE is missing
            layout --soils 100 --out J                    | --materials A,B,… is missing
            serve --data S --take NOSUCH                  | expected a day folder
            demo --prot 0                                 | perhaps --port was meant
            """)
    void namesTheNearestRightThing(String line, String said) {
        String[] typed = Arrays.stream(line.split(" "))
                .map(word -> word.matches("(HARVE|NOSUCH|S$).*") ? inTemp(word) : word)
                .toArray(String[]::new);
        Ran ran = tenmesh(false, typed);
        assertThat(ran.status()).as(ran.err()).isEqualTo(Status.UNUSABLE);
        assertThat(ran.err()).contains(said);
        assertThat(temp.resolve("s")).doesNotExist();
    }

    // Folders of the examples stand in capitals.
    private static String inTemp(String word) {
        String folder = word.replaceFirst("/.*", "");
        return temp.resolve(folder.toLowerCase(Locale.ROOT) + word.substring(folder.length()))
                .toString();
    }

    @Test
    void aFileThatIsNoExportIsSaidOnceAndTheReaderThatReadsItIsNamed() {
        String samples = temp.resolve("harvest").resolve("samples.csv").toString();
        Ran ran = tenmesh(false, "read", "probe-lines", samples);
        assertThat(ran.status()).isEqualTo(Status.UNUSABLE);
        assertThat(ran.out().split("of the form", -1)).as(ran.out()).hasSize(2);
        assertThat(ran.out()).contains("none of ", "lines that give time, vessel, probe");
    }

    @Test
    void progressIsForSomebodyWhoWatches() throws IOException {
        String day = temp.resolve("harvest").toString();
        Ran watched =
                tenmesh(true, "judge", day, "--out", temp.resolve("judged").toString());
        assertThat(watched.err())
                .contains("\r\u001b[KReading", "Judging", "Writing")
                .endsWith("\r\u001b[K");
        Ran piped = tenmesh(false, "judge", day, "--out", temp.resolve("judged").toString());
        assertThat(piped.err()).isEmpty();
        Ran made = tenmesh(
                true,
                "simulate",
                "--seed",
                "1",
                "--soils",
                "12",
                "--out",
                temp.resolve("second").toString());
        assertThat(made.err()).contains("Making 12 soils");
    }

    @Test
    void longWorkTellsItsSeconds() throws IOException {
        StringWriter err = new StringWriter();
        Console console = new Console(new PrintWriter(new StringWriter()), new PrintWriter(err), true);
        String got = console.during("Judging", () -> {
            long until = System.nanoTime() + 1_600_000_000L;
            while (System.nanoTime() < until) {
                Thread.onSpinWait();
            }
            return "done";
        });
        assertThat(got).isEqualTo("done");
        assertThat(err.toString()).contains("Judging, 1 s").endsWith("\r\u001b[K");
    }
}
