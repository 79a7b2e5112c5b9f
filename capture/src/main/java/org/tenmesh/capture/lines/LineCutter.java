package org.tenmesh.capture.lines;

import java.io.ByteArrayOutputStream;
import java.util.Optional;

/** Cuts bytes into lines. A line that is too long is given in pieces of the limit, each marked. Used by one thread. */
final class LineCutter {
    /**
     * A line without its ending.
     *
     * @param tooLong whether it is only a part of what was sent
     */
    record Line(byte[] bytes, boolean tooLong) {}

    private final byte[] ending;
    private final int most;
    private final ByteArrayOutputStream line = new ByteArrayOutputStream();
    private int matched;
    private boolean tooLong;

    LineCutter(byte[] ending, int most) {
        this.ending = ending.clone();
        this.most = most;
    }

    /** Takes a byte; the line that it ends, if it ends one. */
    Optional<Line> next(int value) {
        if (value == (ending[matched] & 0xff)) {
            matched++;
            if (matched == ending.length) {
                matched = 0;
                return Optional.of(cut());
            }
            return Optional.empty();
        }
        // Endings are CR, LF or CR LF: what was taken for a beginning of one is a part of the line.
        line.write(ending, 0, matched);
        matched = value == (ending[0] & 0xff) ? 1 : 0;
        if (matched == 0) {
            line.write(value);
        }
        if (line.size() >= most) {
            tooLong = true;
            return Optional.of(cut());
        }
        return Optional.empty();
    }

    /** What came after the last ending, when no more is to come; empty when nothing did. */
    Optional<Line> rest() {
        line.write(ending, 0, matched);
        matched = 0;
        return line.size() == 0 ? Optional.empty() : Optional.of(cut());
    }

    private Line cut() {
        Line whole = new Line(line.toByteArray(), tooLong);
        // The end of a line that was too long is a part of it as well.
        tooLong = tooLong && line.size() >= most;
        line.reset();
        return whole;
    }
}
