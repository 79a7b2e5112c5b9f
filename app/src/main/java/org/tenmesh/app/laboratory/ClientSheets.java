package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.worksheets.SentSubmission;
import org.tenmesh.exchange.worksheets.Worksheet;
import org.tenmesh.exchange.worksheets.Worksheets;
import org.tenmesh.web.days.SheetReader;

/** Clients' worksheets and submissions of other programs for the pages, read by the readers that the program has. */
public final class ClientSheets implements SheetReader {
    private static final long MOST_BYTES = 2_000_000;
    private static final int MOST_ROWS = 5_000;
    private static final Limits LIMITS = new Limits(MOST_BYTES, MOST_ROWS);

    @Override
    public Sheet read(String fileName, byte[] bytes) {
        if (fileName.endsWith(".json")) {
            return sheet(SentSubmission.read(fileName, bytes, LIMITS).sheet());
        }
        try {
            Path folder = Files.createTempDirectory("tenmesh-sheet");
            Path file = folder.resolve("worksheet");
            try {
                Files.write(file, bytes);
                return sheet(Worksheets.read(file, LIMITS));
            } finally {
                Files.deleteIfExists(file);
                Files.deleteIfExists(folder);
            }
        } catch (IOException failed) {
            throw new UncheckedIOException("the worksheet " + fileName + " cannot be put aside to be read", failed);
        }
    }

    private static Sheet sheet(Worksheet read) {
        return new Sheet(
                read.client(),
                read.originCountry(),
                read.originRegion(),
                read.packageName(),
                read.waterSupplied(),
                read.note(),
                read.samples().stream()
                        .map(one -> new Sample(
                                one.ordinal(), one.clientLabel(), one.topCm(), one.bottomCm(), one.packageName()))
                        .toList(),
                read.columnsNotRead(),
                read.problems().stream()
                        .map(one -> new Problem(one.line(), one.column(), one.found(), one.expected()))
                        .toList());
    }
}
