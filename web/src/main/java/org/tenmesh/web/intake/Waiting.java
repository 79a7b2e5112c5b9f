package org.tenmesh.web.intake;

import java.time.ZoneId;
import java.util.List;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.words.ChangeLine;
import org.tenmesh.web.words.Words;

/**
 * A worksheet that waits to be laid out.
 *
 * @param version of what the dock says of it
 * @param atDock how it stands there, in a word or two
 * @param changed what the dock said before, with the reason of each change
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
        String atDock,
        boolean bookedIn,
        List<Line> soils,
        List<ChangeLine> changed,
        List<String> notRead) {
    /** One soil of the sheet. */
    public record Line(int ordinal, String label, String layer, String packageName) {}

    static Waiting of(AtDock at, List<SaidAnew> versions, ZoneId zone) {
        KeptSheet kept = at.kept();
        SheetReader.Sheet sheet = at.read();
        return new Waiting(
                kept.submission(),
                kept.said().client(),
                kept.said().promisedOn().map(Object::toString).orElse(""),
                kept.said().packageName().orElse(""),
                kept.said().note().orElse(""),
                at.booking().arrival().origin().toString(),
                Words.moment(kept.receivedAt(), zone) + " as " + kept.fileName(),
                kept.version(),
                DockView.word(at.booking()),
                at.booking().mayBeLaidOut(),
                sheet.samples().stream()
                        .map(one -> new Line(
                                one.ordinal(),
                                one.label(),
                                Dock.layer(one),
                                one.packageName().orElse("")))
                        .toList(),
                ChangeLine.of(versions, zone),
                sheet.columnsNotRead());
    }
}
