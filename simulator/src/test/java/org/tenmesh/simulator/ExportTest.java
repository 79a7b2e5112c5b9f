package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.readers.InstrumentReader;
import org.tenmesh.simulator.exports.Export;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;

/** What the invented instruments write is read back as it was read. */
class ExportTest {
    private static final Map<String, Export> EXPORTS = Map.of(
            ElectrodeModel.METHOD, Export.PROBES,
            EmissionModel.METHOD, Export.PLASMA,
            IgnitionModel.METHOD, Export.WEIGHINGS);

    @TempDir
    Path folder;

    @Test
    void everyReadingComesBack() throws IOException {
        List<Run> runs = Simulator.simulate(Scenario.of(7, 60, LocalDate.of(2026, 11, 25)))
                .day()
                .runs();
        assertThat(runs).extracting(Run::method).containsAll(EXPORTS.keySet());
        for (Run run : runs) {
            Export export = Objects.requireNonNull(EXPORTS.get(run.method()));
            List<String> lines = new ArrayList<>(export.head(run.readings()));
            lines.addAll(export.rows(run.readings()));
            assertThat(rows(read(export, lines))).containsExactlyInAnyOrderElementsOf(rows(run.readings()));
        }
    }

    @Test
    void aPlayedRunWrittenPieceByPieceIsTheRun() throws IOException {
        Run run = Simulator.simulate(Scenario.of(7, 60, LocalDate.of(2026, 11, 25))).day().runs().stream()
                .filter(one -> one.method().equals(EmissionModel.METHOD))
                .findFirst()
                .orElseThrow();
        List<String> lines = new ArrayList<>(Export.PLASMA.head(run.readings()));
        List<String> expected = new ArrayList<>();
        for (Played played : Played.of(run, OffsetDateTime.parse("2026-11-25T09:00:00Z"), 40, Duration.ofMinutes(5))) {
            lines.addAll(Export.PLASMA.rows(played.readings(), run.readings().quantities()));
            expected.addAll(rows(played.readings()));
        }
        assertThat(rows(read(Export.PLASMA, lines))).containsExactlyInAnyOrderElementsOf(expected);
    }

    private Readings read(Export export, List<String> lines) throws IOException {
        Path reader = Files.writeString(folder.resolve(export.readerName() + ".yaml"), export.reader());
        Path file = Files.writeString(folder.resolve("export.txt"), String.join("\n", lines) + "\n");
        InstrumentReader.Taken taken = InstrumentReader.load(reader).read(file);
        assertThat(taken.problems()).isEmpty();
        assertThat(taken.notes()).isEmpty();
        return taken.readings();
    }

    private static List<String> rows(Readings readings) {
        List<String> rows = new ArrayList<>();
        for (int i = 0; i < readings.size(); i++) {
            rows.add(readings.position(i) + " " + readings.role(i) + " " + readings.identity(i) + " "
                    + readings.channel(i) + " " + readings.quantity(i) + " " + readings.value(i) + " "
                    + readings.unit(i) + " " + readings.atMillis(i) + " " + readings.dilution(i));
        }
        return rows;
    }
}
