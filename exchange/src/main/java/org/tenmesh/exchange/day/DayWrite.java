package org.tenmesh.exchange.day;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.csv.ExtraColumns;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextOut;

/** Writes the files of a day folder. */
final class DayWrite {
    private final Day day;
    private final Map<String, ExtraColumns> extras;
    private final Path folder;

    DayWrite(Day day, Map<String, ExtraColumns> extras, Path folder) {
        this.day = day;
        this.extras = extras;
        this.folder = folder;
    }

    void write() throws IOException {
        table(DayTable.SUBMISSIONS, day.submissions());
        table(DayTable.SAMPLES, day.soils());
        if (!day.packages().isEmpty()) {
            table(
                    DayTable.PACKAGES,
                    day.packages().stream()
                            .flatMap(one -> one.asked().stream()
                                    .map(asked -> new DayTable.Asking(one.name(), Optional.of(one.title()), asked)))
                            .toList());
        }
        if (!day.shortages().isEmpty()) {
            table(DayTable.SHORTAGES, day.shortages());
        }
        trays();
        controls();
        table(DayTable.MATERIALS, day.materials());
        table(DayTable.STANDARDS, day.standards());
        table(DayTable.RUNS, day.runs());
        Files.createDirectories(folder.resolve(DayFiles.READINGS));
        for (Run run : day.runs()) {
            if (!DayFiles.namesARun(run.run())) {
                throw new IllegalArgumentException("run " + Problem.quoted(run.run()) + " cannot name a file");
            }
            readings(run);
        }
        if (!day.laboratory().equals(Laboratory.unnamed())) {
            LaboratoryFile.write(day.laboratory(), folder.resolve(DayFiles.LABORATORY));
        }
    }

    /** Only what a layout decides; the sealed file first, so that an order of times tells nothing. */
    void writeLayout() throws IOException {
        controls();
        trays();
        table(DayTable.SAMPLES, day.soils());
    }

    private void trays() throws IOException {
        table(
                DayTable.TRAYS,
                day.trays().stream()
                        .flatMap(tray -> tray.wells().stream().map(place -> new DayTable.InTray(tray.tray(), place)))
                        .toList());
    }

    private void controls() throws IOException {
        table(
                DayTable.CONTROLS,
                new TreeMap<>(day.controls())
                        .entrySet().stream()
                                .map(one -> new DayTable.Control(one.getKey(), one.getValue()))
                                .toList());
    }

    private <T> void table(DayTable<T> table, List<T> rows) throws IOException {
        file(table.file(), table.columns(), out -> {
            for (T row : rows) {
                out.fields(table.cells(row));
                end(out, table.file(), table.key(row));
            }
        });
    }

    private void readings(Run run) throws IOException {
        String name = DayFiles.READINGS + "/" + run.run() + ".csv";
        Readings rows = run.readings();
        Stamp stamp = new Stamp();
        boolean kept = extras.containsKey(name);
        file(name, ReadingsColumns.ALL, out -> {
            for (int i = 0; i < rows.size(); i++) {
                out.field(rows.position(i))
                        .field(rows.role(i).word())
                        .field(rows.identity(i))
                        .field(rows.channel(i))
                        .field(rows.quantity(i))
                        .field(rows.value(i))
                        .field(rows.unit(i).ucum())
                        .field(stamp.of(rows, i))
                        .field(rows.dilution(i) == 1 ? "" : DecimalText.of(rows.dilution(i)));
                if (kept) {
                    end(out, name, Integer.toString(i));
                } else {
                    out.end();
                }
            }
        });
    }

    /** Times as text; neighbouring readings mostly share theirs. */
    private static final class Stamp {
        private static final DateTimeFormatter FORMAT = DateTimeFormatter.ISO_OFFSET_DATE_TIME;
        private long millis = Long.MIN_VALUE;
        private Optional<ZoneOffset> offset = Optional.empty();
        private String text = "";

        String of(Readings rows, int i) {
            ZoneOffset its = rows.at(i).getOffset();
            if (rows.atMillis(i) != millis || !offset.equals(Optional.of(its))) {
                millis = rows.atMillis(i);
                offset = Optional.of(its);
                text = FORMAT.format(Instant.ofEpochMilli(millis).atOffset(its));
            }
            return text;
        }
    }

    private interface Rows {
        void write(TextOut out) throws IOException;
    }

    private void file(String name, List<String> columns, Rows rows) throws IOException {
        try (TextOut out = new TextOut(folder.resolve(name))) {
            out.fields(columns);
            ExtraColumns extra = extras.get(name);
            if (extra != null) {
                out.fields(extra.columns());
            }
            out.end();
            rows.write(out);
            out.complete();
        }
    }

    private void end(TextOut out, String name, String key) throws IOException {
        ExtraColumns extra = extras.get(name);
        if (extra != null) {
            out.fields(extra.cells(key));
        }
        out.end();
    }
}
