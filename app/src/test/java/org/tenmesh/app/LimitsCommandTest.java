package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;

class LimitsCommandTest {
    private static final String HEAD = "run,position,method,analyte,instrument,day,known,value\n";

    @TempDir
    @SuppressWarnings("NullAway.Init") // given by JUnit
    private Path days;

    private record Ran(int status, String said) {}

    private static Ran run(Object... typed) {
        StringWriter text = new StringWriter();
        PrintWriter writer = new PrintWriter(text);
        String[] words = Arrays.stream(typed).map(Object::toString).toArray(String[]::new);
        return new Ran(Main.run(new Console(writer, writer, false), words), text.toString());
    }

    // Two blanks a run, so far apart.
    private void day(String name, double apart) throws IOException {
        Path folder = Files.createDirectories(days.resolve(name).resolve("judged"));
        Files.writeString(
                folder.resolve("low-readings.csv"),
                HEAD + "P1,6,mehlich3-icp,P,icp-1," + name + ",,0.5\n" + "P1,7,mehlich3-icp,P,icp-1," + name + ",,"
                        + (0.5 + apart) + "\n");
    }

    @Test
    void marksAReportingLimitBelowTheDetectionLimit() throws IOException {
        for (int day = 1; day <= 4; day++) {
            day("2026-11-0" + day, 0.2);
        }
        Ran fine = run("limits", days);
        assertThat(fine.status()).isEqualTo(Status.DONE);
        // 3.747 sqrt(0.02) sqrt(1.5) = 0.649; the method reports from 3 mg/kg.
        assertThat(fine.said()).containsPattern("mehlich3-icp P +mg/kg +8 +4 +0\\.14 +0 +- +0\\.65 +3 ");

        for (int day = 1; day <= 4; day++) {
            day("2026-11-0" + day, 2);
        }
        Ran wide = run("limits", days);
        assertThat(wide.status()).isEqualTo(Status.HELD);
        assertThat(wide.said()).contains("reporting limit below detection limit", "Judged days: 4");
        assertThat(run("limits", days, "--json").said())
                .contains("\"detection_limit\": \"6.49\"", "\"reporting_below_detection\": true");
    }

    @Test
    void saysWhatCouldNotBeTakenAndCountsTheRest() throws IOException {
        for (int day = 1; day <= 4; day++) {
            day("2026-11-0" + day, 0.2);
        }
        Files.createDirectories(days.resolve("2026-11-05"));
        Files.writeString(
                days.resolve("2026-11-04/judged/low-readings.csv"),
                HEAD + "P1,6,mehlich3-icp,P,icp-1,2026-11-04,,much\n");
        Ran ran = run("limits", days);
        assertThat(ran.status()).isEqualTo(Status.UNUSABLE);
        assertThat(ran.said())
                .contains(
                        "mehlich3-icp P",
                        "Input that could not be taken: 2",
                        "2026-11-05/low-readings.csv",
                        "\"much\"");
    }

    @Test
    void refusesAFolderWithoutReadings() {
        Ran ran = run("limits", days);
        assertThat(ran.status()).isEqualTo(Status.UNUSABLE);
        assertThat(ran.said()).contains("no blank and no low check solution");
    }
}
