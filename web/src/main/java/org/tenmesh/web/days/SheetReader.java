package org.tenmesh.web.days;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/** Reads clients' worksheets. Never throws for what is in one. */
public interface SheetReader {
    /**
     * @param fileName for its ending and for what is said of problems
     */
    Sheet read(String fileName, byte[] bytes);

    /**
     * What a worksheet says.
     *
     * @param samples empty where there are problems
     * @param columnsNotRead headers that mean nothing here
     * @param problems what could not be read, each with its place
     */
    record Sheet(
            Optional<String> client,
            Optional<String> originCountry,
            Optional<String> originRegion,
            Optional<String> packageName,
            Optional<Boolean> waterSupplied,
            Optional<String> note,
            List<Sample> samples,
            List<String> columnsNotRead,
            List<Problem> problems) {
        public Sheet {
            samples = List.copyOf(samples);
            columnsNotRead = List.copyOf(columnsNotRead);
            problems = List.copyOf(problems);
        }
    }

    /**
     * One soil of a sheet.
     *
     * @param topCm upper edge of the layer, cm
     * @param bottomCm lower edge of the layer, cm
     */
    record Sample(
            int ordinal, String label, OptionalDouble topCm, OptionalDouble bottomCm, Optional<String> packageName) {}

    /**
     * Something that could not be read.
     *
     * @param line of the sheet, from 1; 0 where it concerns the sheet as a whole
     * @param cell address such as B7; may be empty
     */
    record Problem(int line, String cell, String found, String expected) {}
}
