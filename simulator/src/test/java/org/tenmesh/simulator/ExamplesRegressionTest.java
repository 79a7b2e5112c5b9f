package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.exchange.day.DayFolder;

/**
 * The example days are made again and compared byte for byte. With {@code -Dtenmesh.rewriteExamples=true} they are written in
 * place instead.
 */
class ExamplesRegressionTest {
    static Path examples() {
        for (Path folder = Path.of("").toAbsolutePath(); folder != null; folder = folder.getParent()) {
            if (Files.isDirectory(folder.resolve("examples"))) {
                return folder.resolve("examples");
            }
        }
        throw new IllegalStateException("no folder above the working one holds examples");
    }

    private static Path target(Path temporary, Path kept) {
        return Boolean.getBoolean("tenmesh.rewriteExamples") ? kept : temporary;
    }

    @Test
    void makesTheRealSoilsAgain(@TempDir Path temporary) throws IOException {
        Path kept = examples().resolve("real-soils");
        RealSoils made = RealSoils.of(kept.resolve("tables"));
        Path again = target(temporary, kept);
        DayFolder.write(made.day().day(), again);
        Files.createDirectories(again.resolve("tables"));
        made.writeOrigins(again.resolve("tables").resolve("origin.csv"));
        same(again, kept);
    }

    @Test
    void makesThePublishedCalibrationsAgain(@TempDir Path temporary) throws IOException {
        Path kept = examples().resolve("published-calibrations");
        Path again = target(temporary, kept);
        DayFolder.write(PublishedCalibrations.of(kept.resolve("tables").resolve("calibration-datasets.csv")), again);
        same(again, kept);
    }

    private static void same(Path again, Path kept) throws IOException {
        try (Stream<Path> files = Files.walk(again)) {
            List<Path> made = files.filter(Files::isRegularFile).toList();
            assertThat(made).hasSizeGreaterThan(8);
            for (Path file : made) {
                Path before = kept.resolve(again.relativize(file));
                assertThat(before).exists();
                assertThat(file).hasSameBinaryContentAs(before);
            }
        }
    }
}
