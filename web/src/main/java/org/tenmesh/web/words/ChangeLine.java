package org.tenmesh.web.words;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;

/**
 * One value that was changed, as a line of a table.
 *
 * @param what which value
 * @param first what it was before, with who said it and when
 * @param now what stands in its place
 * @param reason of the change
 * @param by who changed it, and when
 */
public record ChangeLine(String what, String first, String now, String reason, String by) {
    private static final String NONE = "none";

    /**
     * Every value that one version of what the dock said changed, the newest change first.
     *
     * @param versions the newest first, the one with which the submission came among them
     */
    public static List<ChangeLine> of(List<SaidAnew> versions, ZoneId zone) {
        List<ChangeLine> lines = new ArrayList<>();
        for (int i = 0; i + 1 < versions.size(); i++) {
            SaidAnew now = versions.get(i);
            SaidAnew before = versions.get(i + 1);
            add(lines, "client", before, now, KeptSheet.Said::client, zone);
            add(
                    lines,
                    "promised on",
                    before,
                    now,
                    said -> said.promisedOn().map(Words::day).orElse(NONE),
                    zone);
            add(lines, "package", before, now, said -> said.packageName().orElse(NONE), zone);
            add(lines, "note", before, now, said -> said.note().orElse(NONE), zone);
        }
        return lines;
    }

    private static void add(
            List<ChangeLine> lines,
            String what,
            SaidAnew before,
            SaidAnew now,
            Function<KeptSheet.Said, String> value,
            ZoneId zone) {
        String first = value.apply(before.said());
        String then = value.apply(now.said());
        if (!first.equals(then)) {
            lines.add(new ChangeLine(what, first + " (" + by(before, zone) + ")", then, now.reason(), by(now, zone)));
        }
    }

    private static String by(SaidAnew one, ZoneId zone) {
        return one.actor().isEmpty()
                ? "as it came, " + Words.moment(one.at(), zone)
                : one.actor() + ", " + Words.moment(one.at(), zone);
    }
}
