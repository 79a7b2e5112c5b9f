package org.tenmesh.exchange.worksheets;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.exchange.file.Problem;

/**
 * What a client's sheet says.
 *
 * @param client who sent it, where the sheet says so
 * @param samples in the order of the sheet; empty when there are problems
 * @param columnsNotRead headers that mean nothing here
 * @param problems everything that could not be read, with the address of the cell
 */
public record Worksheet(
        Optional<String> client,
        Optional<String> originCountry,
        Optional<String> originRegion,
        Optional<String> packageName,
        Optional<Boolean> waterSupplied,
        Optional<String> note,
        List<Sample> samples,
        List<String> columnsNotRead,
        List<Problem> problems) {
    public Worksheet {
        samples = List.copyOf(samples);
        columnsNotRead = List.copyOf(columnsNotRead);
        problems = List.copyOf(problems);
    }

    /**
     * One line of the sheet.
     *
     * @param ordinal place on the sheet, from 1
     * @param topCm upper edge of the layer, cm
     * @param bottomCm lower edge of the layer, cm
     * @param row row of the sheet, from 1
     */
    public record Sample(
            int ordinal,
            String clientLabel,
            OptionalDouble topCm,
            OptionalDouble bottomCm,
            Optional<String> packageName,
            int row) {}

    /**
     * The submission that the sheet and the dock make together.
     *
     * @param submission the laboratory's name for it
     * @param clientOtherwise who sent it, when the sheet does not say
     */
    public Submission submission(
            String submission, String clientOtherwise, OffsetDateTime receivedAt, Optional<LocalDate> promisedOn) {
        return new Submission(
                submission,
                client.orElse(clientOtherwise),
                receivedAt,
                promisedOn,
                originCountry,
                originRegion,
                packageName,
                waterSupplied,
                note);
    }
}
