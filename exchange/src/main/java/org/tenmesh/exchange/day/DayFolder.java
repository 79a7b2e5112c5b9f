package org.tenmesh.exchange.day;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.csv.ExtraColumns;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.TextOut;
import org.tenmesh.exchange.methods.MethodFiles;

/**
 * The plain-text form of one laboratory day: a folder of CSV files. What every file holds is said in the day folder's own
 * page of the documentation.
 *
 * <pre>{@code
 * DayReading reading = DayFolder.read(Path.of("day"));
 * reading.problems().forEach(problem -> System.err.println(problem.sentence()));
 * if (reading.usable()) {
 *     DayFolder.write(reading.day(), Path.of("copy"));
 * }
 * }</pre>
 */
public final class DayFolder {
    private DayFolder() {}

    /** Reads a day by the shipped methods and limits. Never throws for what is in the folder. */
    public static DayReading read(Path folder) {
        // The methods are read while another thread already parses readings.
        return new DayRead(folder, MethodFiles::shipped, Limits.defaults(), Known.NOTHING).read();
    }

    /**
     * Reads a day. A faulty line of a table costs that line, and the day says which lines are lost; a faulty file of readings costs that
     * run.
     *
     * @param methods the methods that runs, materials and standards may name
     */
    public static DayReading read(Path folder, MethodBook methods, Limits limits) {
        return read(folder, methods, limits, Known.NOTHING);
    }

    /** The same for a folder that goes on with earlier ones: its runs may read what those brought. */
    public static DayReading read(Path folder, MethodBook methods, Limits limits, Known known) {
        return new DayRead(folder, () -> methods, limits, known).read();
    }

    /** Writes a day; the same day always gives the same bytes. */
    public static void write(Day day, Path folder) throws IOException {
        write(day, Map.of(), folder);
    }

    /** Writes a day together with the columns that were kept when it was read. */
    public static void write(Day day, Map<String, ExtraColumns> extras, Path folder) throws IOException {
        Files.createDirectories(folder);
        new DayWrite(day, extras, folder).write();
    }

    /**
     * Writes what a layout decides: samples.csv, trays.csv, and controls.csv, which only its owner may read where the system
     * knows owners. A hidden control has its line in samples.csv like every soil.
     */
    public static void writeLayout(Layout.Plan plan, Path folder) throws IOException {
        Files.createDirectories(folder);
        Path sealed = TextOut.part(folder.resolve(DayFiles.CONTROLS));
        if (Files.getFileStore(folder).supportsFileAttributeView(PosixFileAttributeView.class)) {
            Files.createFile(
                    sealed, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        }
        List<Soil> soils = plan.trays().stream()
                .flatMap(tray -> tray.wells().stream())
                .flatMap(place -> place.labNumber().stream())
                .map(number -> new Soil(
                        number,
                        Optional.empty(),
                        OptionalInt.empty(),
                        Optional.empty(),
                        OptionalDouble.empty(),
                        OptionalDouble.empty(),
                        Optional.empty(),
                        Optional.empty()))
                .toList();
        Day day = new Day(
                Laboratory.unnamed(), List.of(), soils, plan.trays(), plan.controls(), List.of(), List.of(), List.of());
        new DayWrite(day, Map.of(), folder).writeLayout();
    }
}
