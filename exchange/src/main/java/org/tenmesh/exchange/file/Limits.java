package org.tenmesh.exchange.file;

/**
 * How much a file may hold before it is refused unread.
 *
 * @param fileBytes largest file, bytes
 * @param worksheetRows most rows of a client's sheet
 */
public record Limits(long fileBytes, int worksheetRows) {
    /** 100 MB a file, 10 000 rows a worksheet. */
    public static Limits defaults() {
        return new Limits(100_000_000, 10_000);
    }
}
