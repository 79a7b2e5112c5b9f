package org.tenmesh.capture.runs;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.Temperatures;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.exchange.readers.TemperatureLines;

/** Makes pieces of what the temperature recorder of a device sends. May be used by several threads. */
public final class RecorderPieces implements LinePieces {
    private final Source source;
    private final ZoneId zone;

    /** @param source a recorder */
    public RecorderPieces(Source source, ZoneId zone) {
        this.source = source;
        this.zone = zone;
    }

    @Override
    public Optional<Piece> piece(Arrived line) {
        Piece piece = read(Piece.of(
                source.name(),
                line.key(),
                source.name() + " "
                        + line.receivedAt().atZone(zone).toLocalTime().withNano(0),
                line.receivedAt(),
                line.bytes()));
        return piece.setAside().isEmpty() && piece.readings() == 0 ? Optional.empty() : Optional.of(piece);
    }

    @Override
    public Optional<Piece> silent(Duration silence, Instant now) {
        return Optional.empty();
    }

    /** The piece with the readings in its bytes, or set aside with all of them: a reading that the device cannot have made yet makes its clock doubtful. */
    Piece read(Piece piece) {
        List<Charge.Point> points;
        try {
            points = TemperatureLines.read(new String(piece.bytes(), source.encoding()), zone);
        } catch (IllegalArgumentException wrong) {
            return piece.aside(String.valueOf(wrong.getMessage()));
        }
        Instant latest = piece.receivedAt().plus(source.clockWithin());
        Optional<Charge.Point> ahead =
                points.stream().filter(one -> one.at().isAfter(latest)).findFirst();
        return ahead.map(one -> piece.aside("a reading of " + one.at() + " came at " + piece.receivedAt()
                        + ": expected none from later than "
                        + source.clockWithin().toSeconds()
                        + " s after it came; set the clock of the recorder (its times are of " + zone
                        + " where they have no offset)"))
                .orElseGet(() -> piece.adds(new Temperatures(source.instrument(), points)));
    }
}
