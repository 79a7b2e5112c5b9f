package org.tenmesh.exchange.history;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.judged.JudgedTable;

/**
 * Blanks and low check solutions of many judged days: {@code low-readings.csv} of every folder in one, or of the folder {@code judged} in it. A
 * line that cannot be taken is a problem, and the others count; so is a folder without the file.
 *
 * @param days folders that were taken
 */
public record LowReadingsFolder(List<LowReading> readings, int days, List<Problem> problems) {
    private static final JudgedTable<LowReading> TABLE = JudgedTable.LOW_READINGS;

    public LowReadingsFolder {
        readings = List.copyOf(readings);
        problems = List.copyOf(problems);
    }

    /** Reads every day in the order of the folders' names. */
    public static LowReadingsFolder read(Path folder, Limits limits) throws IOException {
        List<Path> days;
        try (Stream<Path> inside = Files.list(folder)) {
            days = inside.filter(Files::isDirectory).sorted().toList();
        }
        List<LowReading> readings = new ArrayList<>();
        List<Problem> problems = new ArrayList<>();
        int taken = 0;
        for (Path day : days) {
            FileProblems wrong = new FileProblems(
                    day.getFileName() + "/" + TABLE.file(), "What is named is not taken; the rest counts");
            Optional<CsvFile> csv = TextFile.readInside(
                            folder,
                            EarlierDaySoils.judged(day, TABLE.file()),
                            wrong.file(),
                            limits.fileBytes(),
                            wrong.told(),
                            wrong.consequence())
                    .flatMap(text -> CsvFile.open(
                            text,
                            TABLE.needing(
                                    "run", "position", "method", "analyte", "instrument", "day", "known", "value"),
                            wrong));
            csv.ifPresent(file -> file.forEach(row -> of(row).ifPresent(readings::add)));
            taken += csv.isPresent() ? 1 : 0;
            problems.addAll(wrong.all());
        }
        return new LowReadingsFolder(readings, taken, problems);
    }

    private static Optional<LowReading> of(CsvFile.Row row) {
        Optional<LocalDate> day = row.optionalDate("day");
        OptionalDouble known = row.optionalNumber("known");
        double value = row.number("value");
        if (day.isEmpty() || !Double.isFinite(value)) {
            row.text("day");
            return Optional.empty();
        }
        return Optional.of(new LowReading(
                row.text("method"),
                row.text("analyte"),
                row.text("instrument"),
                day.get(),
                row.text("run"),
                row.optionalWhole("position", 1).orElse(0),
                known,
                value));
    }
}
