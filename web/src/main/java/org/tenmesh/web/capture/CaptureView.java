package org.tenmesh.web.capture;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.state.SourceState;
import org.tenmesh.web.words.Words;

/**
 * How the sources stand.
 *
 * @param warnings what is wrong beside the sources, one sentence each
 * @param rows one for each source
 * @param problems what is wrong in the settings
 * @param pieces what came last from the source that is looked at
 * @param looked its name; empty when none is looked at
 * @param waiting orders among which somebody may choose for it
 * @param counts whether somebody may say which position comes next
 * @param takesFiles whether an export may be dropped for it
 * @param said what was done just now; empty when nothing was
 * @param wrong what was refused just now; empty when nothing was
 */
public record CaptureView(
        List<String> warnings,
        List<Row> rows,
        List<String> problems,
        List<PieceRow> pieces,
        String looked,
        List<String> waiting,
        boolean counts,
        boolean takesFiles,
        String said,
        String wrong) {

    /** One source. */
    public record Row(
            String source,
            String href,
            String what,
            boolean fine,
            String says,
            List<String> wrong,
            String run,
            String lastPiece,
            String lastReading,
            String waits,
            String account) {
        static Row of(SourceState state, ZoneId zone) {
            return new Row(
                    state.source(),
                    "/capture?source=" + Words.part(state.source()),
                    state.kind() + ", " + state.instrument() + ", "
                            + (state.method().isEmpty() ? "temperatures of charges" : state.method()),
                    state.wrong().isEmpty(),
                    state.says(),
                    state.wrong(),
                    state.run()
                            .map(run -> run + ", " + Words.of(state.positions(), "position"))
                            .orElse(""),
                    moment(state.lastPiece(), zone),
                    moment(state.lastReading(), zone),
                    Words.count(state.queued()),
                    Words.count(state.kept()) + " taken, " + Words.count(state.keptBefore()) + " again, "
                            + Words.count(state.setAside()) + " set aside");
        }
    }

    /** One piece that came. */
    public record PieceRow(
            String name,
            String href,
            String key,
            String came,
            String became,
            boolean aside,
            String digest,
            String actor) {
        static PieceRow of(Inbox.Listed piece, ZoneId zone) {
            return new PieceRow(
                    piece.name(),
                    "/capture/piece?source=" + Words.part(piece.source()) + "&key=" + Words.part(piece.key()),
                    piece.key(),
                    Words.moment(piece.receivedAt(), zone),
                    piece.setAside()
                            .orElseGet(() -> Words.of(piece.readings(), "reading")
                                    + (piece.runs().isEmpty() ? "" : " of " + String.join(", ", piece.runs()))),
                    piece.setAside().isPresent(),
                    piece.sha256(),
                    piece.actor());
        }
    }

    private static String moment(Optional<Instant> at, ZoneId zone) {
        return at.map(one -> Words.moment(one, zone)).orElse("");
    }
}
