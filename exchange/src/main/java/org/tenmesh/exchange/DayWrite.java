package org.tenmesh.exchange;

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
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

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
        file(DayFolder.SUBMISSIONS, DayRead.SUBMISSION_COLUMNS, out -> {
            for (Submission s : day.submissions()) {
                out.field(s.submission())
                        .field(s.client())
                        .field(s.receivedAt())
                        .field(s.promisedOn().map(Object::toString))
                        .field(s.originCountry())
                        .field(s.originRegion())
                        .field(s.packageName())
                        .yesNo(s.waterSupplied())
                        .field(s.note());
                end(out, DayFolder.SUBMISSIONS, s.submission());
            }
        });
        samples();
        if (!day.packages().isEmpty()) {
            file(DayFolder.PACKAGES, DayRead.PACKAGE_COLUMNS, out -> {
                for (TestPackage one : day.packages()) {
                    for (TestPackage.Asked asked : one.asked()) {
                        out.field(one.name())
                                .field(one.title())
                                .field(asked.method())
                                .field(String.join(";", asked.analytes()));
                        end(out, DayFolder.PACKAGES, one.name() + "\n" + asked.method());
                    }
                }
            });
        }
        if (!day.shortages().isEmpty()) {
            file(DayFolder.SHORTAGES, DayRead.SHORTAGE_COLUMNS, out -> {
                for (Shortage one : day.shortages()) {
                    out.field(one.labNumber().text()).field(one.method());
                    end(out, DayFolder.SHORTAGES, one.labNumber().text() + "\n" + one.method());
                }
            });
        }
        trays();
        controls();
        file(DayFolder.MATERIALS, DayRead.MATERIAL_COLUMNS, out -> {
            for (Material m : day.materials()) {
                out.field(m.material())
                        .field(m.method())
                        .field(m.analyte())
                        .field(m.mean())
                        .field(m.sd())
                        .field(m.unit().ucum())
                        .field(m.n().isPresent() ? Integer.toString(m.n().getAsInt()) : "");
                end(out, DayFolder.MATERIALS, m.material() + "\n" + m.method() + "\n" + m.analyte());
            }
        });
        file(DayFolder.STANDARDS, DayRead.STANDARD_COLUMNS, out -> {
            for (Standard s : day.standards()) {
                out.field(s.method())
                        .field(s.standard())
                        .field(s.analyte())
                        .field(s.value())
                        .field(s.unit().ucum())
                        .field(s.tolerance())
                        .field(s.tolerancePct());
                end(out, DayFolder.STANDARDS, s.method() + "\n" + s.standard() + "\n" + s.analyte());
            }
        });
        file(DayFolder.RUNS, DayRead.RUN_COLUMNS, out -> {
            for (Run r : day.runs()) {
                out.field(r.run())
                        .field(r.method())
                        .field(r.instrument())
                        .field(r.operator())
                        .field(r.startedAt());
                end(out, DayFolder.RUNS, r.run());
            }
        });
        Files.createDirectories(folder.resolve(DayFolder.READINGS));
        for (Run run : day.runs()) {
            if (!DayFolder.namesARun(run.run())) {
                throw new IllegalArgumentException("run " + Problem.quoted(run.run()) + " cannot name a file");
            }
            readings(run);
        }
        if (!day.laboratory().equals(Laboratory.unnamed())) {
            LaboratoryFile.write(day.laboratory(), folder.resolve(DayFolder.LABORATORY));
        }
    }

    /** Only what a layout decides; the sealed file first, so that an order of times tells nothing. */
    void writeLayout() throws IOException {
        controls();
        trays();
        samples();
    }

    private void samples() throws IOException {
        file(DayFolder.SAMPLES, DayRead.SAMPLE_COLUMNS, out -> {
            for (Soil s : day.soils()) {
                out.field(s.labNumber().text())
                        .field(s.submission())
                        .field(
                                s.ordinal().isPresent()
                                        ? Integer.toString(s.ordinal().getAsInt())
                                        : "")
                        .field(s.clientLabel())
                        .field(s.topCm())
                        .field(s.bottomCm())
                        .field(s.packageName())
                        .yesNo(s.regulated())
                        .field(s.matter() == Soil.Matter.WATER ? "water" : "");
                end(out, DayFolder.SAMPLES, s.labNumber().text());
            }
        });
    }

    private void trays() throws IOException {
        file(DayFolder.TRAYS, DayRead.TRAY_COLUMNS, out -> {
            for (Tray tray : day.trays()) {
                for (Tray.Place place : tray.wells()) {
                    String well = place.well().toString();
                    out.field(tray.tray())
                            .field(well)
                            .field(place.labNumber().map(number -> number.text()))
                            .field(place.purpose().word());
                    end(out, DayFolder.TRAYS, tray.tray() + "\n" + well);
                }
            }
        });
    }

    private void controls() throws IOException {
        file(DayFolder.CONTROLS, DayRead.CONTROL_COLUMNS, out -> {
            for (var control : new TreeMap<>(day.controls()).entrySet()) {
                out.field(control.getKey().text()).field(control.getValue());
                end(out, DayFolder.CONTROLS, control.getKey().text());
            }
        });
    }

    private void readings(Run run) throws IOException {
        String name = DayFolder.READINGS + "/" + run.run() + ".csv";
        Readings rows = run.readings();
        Stamp stamp = new Stamp();
        boolean kept = extras.containsKey(name);
        file(name, ReadingsFile.COLUMNS, out -> {
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
