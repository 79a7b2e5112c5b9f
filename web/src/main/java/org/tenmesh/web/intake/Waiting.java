package org.tenmesh.web.intake;

import java.time.ZoneId;
import java.util.List;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.words.Words;

/**
 * A worksheet that waits to be laid out.
 *
 * @param version of what the dock says of it
 * @param notRead headers of the sheet that mean nothing here
 */
public record Waiting(
        String submission,
        String client,
        String promisedOn,
        String packageName,
        String note,
        String origin,
        String came,
        int version,
        List<Line> soils,
        List<String> notRead) {
    /** One soil of the sheet. */
    public record Line(int ordinal, String label, String layer, String packageName) {}

    static Waiting of(KeptSheet kept, SheetReader.Sheet sheet, ZoneId zone) {
        return new Waiting(
                kept.submission(),
                kept.said().client(),
                kept.said().promisedOn().map(Object::toString).orElse(""),
                kept.said().packageName().orElse(""),
                kept.said().note().orElse(""),
                sheet.originCountry().orElse("not stated")
                        + sheet.originRegion().map(region -> ", " + region).orElse(""),
                Words.moment(kept.receivedAt(), zone) + " as " + kept.fileName(),
                kept.version(),
                sheet.samples().stream()
                        .map(one -> new Line(
                                one.ordinal(),
                                one.label(),
                                one.bottomCm().isEmpty()
                                        ? ""
                                        : Words.plain(one.topCm().orElse(0)) + " to "
                                                + Words.plain(one.bottomCm().getAsDouble()) + " cm",
                                one.packageName().orElse("")))
                        .toList(),
                sheet.columnsNotRead());
    }
}
