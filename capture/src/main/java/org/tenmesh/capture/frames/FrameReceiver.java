package org.tenmesh.capture.frames;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The receiving side of the frame protocol, without threads and clock: bytes go in, answers come out. A frame is acknowledged when the records
 * that it ends are durable; else it is answered NAK, and the sender sends it again, up to six times. Used by one thread.
 */
final class FrameReceiver {
    /** Without a frame for so long the session is over; from memory of LIS01-A2. */
    static final Duration SESSION_LIMIT = Duration.ofSeconds(30);

    /** The longest text of a frame in LIS01-A2. */
    static final int LONGEST_TEXT = 64_000;

    private static final int LONGEST_RECORD = 1_000_000;

    /** Keeps records. */
    interface Records {
        /** Keeps a record; false when it is not known to be durable, so that it comes again. */
        boolean keep(String record) throws InterruptedException;

        /** Something was wrong on the line, in words. */
        void tell(String what);
    }

    private enum At {
        IDLE,
        BETWEEN,
        TEXT,
        CHECK_1,
        CHECK_2,
        CARRIAGE,
        FEED
    }

    private final Records records;
    private At at = At.IDLE;
    private final StringBuilder text = new StringBuilder();
    private final StringBuilder record = new StringBuilder();
    private String check = "";
    private boolean last;
    private int expected = 1;
    private Optional<Frame> before = Optional.empty();
    private int keptOfFrame;

    FrameReceiver(Records records) {
        this.records = records;
    }

    /** Whether a session is open. */
    boolean inSession() {
        return at != At.IDLE;
    }

    /** Takes a byte; the byte to answer, if one is due. */
    Optional<Integer> next(int value) throws InterruptedException {
        if (value == Frame.ENQ && (at == At.IDLE || at == At.BETWEEN)) {
            begin();
            return Optional.of(Frame.ACK);
        }
        switch (at) {
            case IDLE -> {
                return Optional.empty();
            }
            case BETWEEN -> {
                if (value == Frame.STX) {
                    text.setLength(0);
                    at = At.TEXT;
                } else if (value == Frame.EOT) {
                    end();
                }
                return Optional.empty();
            }
            case TEXT -> {
                if (value == Frame.ETX || value == Frame.ETB) {
                    last = value == Frame.ETX;
                    at = At.CHECK_1;
                } else if (value == Frame.STX || value == Frame.ENQ || value == Frame.EOT) {
                    return Optional.of(refuse("a frame was cut"));
                } else {
                    text.append((char) value);
                    if (text.length() > LONGEST_TEXT + 1) {
                        return Optional.of(refuse("a frame of more than " + LONGEST_TEXT + " characters"));
                    }
                }
                return Optional.empty();
            }
            case CHECK_1 -> {
                check = Character.toString((char) value);
                at = At.CHECK_2;
                return Optional.empty();
            }
            case CHECK_2 -> {
                check += (char) value;
                at = At.CARRIAGE;
                return Optional.empty();
            }
            case CARRIAGE -> {
                at = At.FEED;
                return value == Frame.CR
                        ? Optional.empty()
                        : Optional.of(refuse("a frame that does not end with CR LF"));
            }
            default -> {
                return Optional.of(value == Frame.LF ? whole() : refuse("a frame that does not end with CR LF"));
            }
        }
    }

    /** Nothing came for so long. */
    void quiet(Duration silence) {
        if (inSession() && silence.compareTo(SESSION_LIMIT) >= 0) {
            records.tell("no frame for " + silence.toSeconds()
                    + " s in the middle of a session; what was not acknowledged comes" + " again");
            end();
        }
    }

    /** The connection was lost. */
    void lost() {
        if (at != At.IDLE) {
            records.tell("the connection was lost in the middle of a session; what was not acknowledged comes again");
        }
        end();
    }

    private void begin() {
        at = At.BETWEEN;
        expected = 1;
        before = Optional.empty();
        record.setLength(0);
        keptOfFrame = 0;
    }

    private void end() {
        at = At.IDLE;
        record.setLength(0);
    }

    private int refuse(String why) {
        at = At.BETWEEN;
        records.tell(why);
        return Frame.NAK;
    }

    private int whole() throws InterruptedException {
        at = At.BETWEEN;
        if (text.length() == 0 || text.charAt(0) < '0' || text.charAt(0) > '7') {
            return refuse("a frame without its number");
        }
        Frame frame = new Frame(text.charAt(0) - '0', text.substring(1), last);
        if (!frame.checksum().equals(check)) {
            return refuse("checksum " + check.replaceAll("[^ -~]", "?") + " of frame " + frame.number() + ": expected "
                    + frame.checksum());
        }
        if (before.filter(frame::equals).isPresent() && frame.number() != expected) {
            // Our answer was lost: it is durable already.
            return Frame.ACK;
        }
        if (frame.number() != expected) {
            return refuse("frame " + frame.number() + ": expected frame " + expected);
        }
        if (!kept(frame)) {
            return Frame.NAK;
        }
        before = Optional.of(frame);
        expected = Frame.after(frame.number());
        return Frame.ACK;
    }

    /** Keeps the records that a frame ends. The part of one that goes on is held until its end. */
    private boolean kept(Frame frame) throws InterruptedException {
        String all = record + frame.text();
        List<String> ended = new ArrayList<>();
        int from = 0;
        for (int i = all.indexOf('\r'); i >= 0; i = all.indexOf('\r', from)) {
            ended.add(all.substring(from, i));
            from = i + 1;
        }
        String rest = all.substring(from);
        if (frame.last() && !rest.isEmpty()) {
            ended.add(rest);
            rest = "";
        }
        if (rest.length() > LONGEST_RECORD) {
            records.tell("a record of more than " + LONGEST_RECORD + " characters is left out");
            rest = "";
        }
        for (int i = keptOfFrame; i < ended.size(); i++) {
            if (!ended.get(i).isBlank() && !records.keep(ended.get(i))) {
                return false;
            }
            // The same frame comes again when a later record of it was not kept.
            keptOfFrame = i + 1;
        }
        keptOfFrame = 0;
        record.setLength(0);
        record.append(rest);
        return true;
    }
}
