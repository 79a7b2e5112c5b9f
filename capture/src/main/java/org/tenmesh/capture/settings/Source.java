package org.tenmesh.capture.settings;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.readers.InstrumentReader;

/**
 * One place from which readings come.
 *
 * @param name unique in the file
 * @param recorder whether it sends the temperatures of a device that destroys regulated soil, which belong to no run: it has neither method nor
 *     reader
 * @param instrument the instrument whose runs they are; the device, for a recorder
 * @param method the id of the method; empty text for a recorder
 * @param operator who runs the instrument, where that is always the same person
 * @param reader what the bytes mean; empty for readings by hand and for a recorder
 * @param way how they come
 * @param runs how they become runs
 * @param expectWithin while a run is under way the next piece comes within this time, else the source counts as silent
 * @param clockWithin how far the device's clock may be from this machine's
 * @param queue most pieces that wait to be stored; the sender waits when there are as many
 */
public record Source(
        String name,
        boolean recorder,
        String instrument,
        String method,
        Optional<String> operator,
        Optional<InstrumentReader> reader,
        Way way,
        Runs runs,
        Duration expectWithin,
        Duration clockWithin,
        int queue) {
    /** How its text is written. */
    public Charset encoding() {
        return reader.map(InstrumentReader::encoding).orElse(StandardCharsets.UTF_8);
    }

    /** How pieces come. */
    public sealed interface Way {
        /** The word for it in the file and on pages. */
        String word();
    }

    /**
     * A folder into which files are put.
     *
     * @param folder the folder
     * @param files which names are taken, such as {@code *.csv}
     * @param quiet how long size and time of a file must stay the same
     * @param look how often the folder is looked at when it says nothing by itself
     * @param move whether taken files are moved to {@code taken}; else they stay where they are
     * @param mostBytes the largest file
     */
    public record Folder(Path folder, String files, Duration quiet, Duration look, boolean move, long mostBytes)
            implements Way {
        @Override
        public String word() {
            return "folder";
        }
    }

    /**
     * One line a reading.
     *
     * @param link where they come from
     * @param ending what ends a line
     * @param idle a connection that sends nothing for so long is closed; zero = never
     * @param mostBytes the longest line
     * @param reply sent back when a line is stored; empty = nothing
     */
    public record Lines(Link link, String ending, Duration idle, int mostBytes, Optional<String> reply) implements Way {
        @Override
        public String word() {
            return "lines";
        }
    }

    /** The frame protocol: what is acknowledged is stored. */
    public record Frames(Link link) implements Way {
        @Override
        public String word() {
            return "frames";
        }
    }

    /**
     * Sent by HTTP.
     *
     * @param tokenSha256 SHA-256 of a token that opens this source, 64 lower-case hexadecimal digits; empty where only the laboratory's
     *     tokens with the scope capture do
     * @param mostBytes the largest piece
     */
    public record Http(Optional<String> tokenSha256, int mostBytes) implements Way {
        @Override
        public String word() {
            return "http";
        }
    }

    /**
     * Typed at a form.
     *
     * @param asked what is typed at each position
     * @param twice whether each value is typed twice
     */
    public record Hand(List<Asked> asked, boolean twice) implements Way {
        public Hand {
            asked = List.copyOf(asked);
        }

        @Override
        public String word() {
            return "hand";
        }
    }

    /** A quantity that is typed, with its unit. */
    public record Asked(String quantity, Unit unit) {}

    /** Where bytes come from. */
    public sealed interface Link {}

    /** The program connects to the device. */
    public record Connect(String host, int port) implements Link {}

    /** The device connects to the program. */
    public record Listen(String host, int port) implements Link {}

    /** A serial port. */
    public record Port(String port, int baud, int dataBits, Parity parity, int stopBits) implements Link {}

    /** The parity bit of a serial port. */
    public enum Parity {
        NONE,
        EVEN,
        ODD
    }

    /**
     * When a run begins and ends, what it is called, and what says what is at its positions.
     *
     * @param name with {@code {file}}, {@code {date}}, {@code {source}}, {@code {number}} or a header entry in braces
     * @param order whether a run order must say what is at a position
     * @param begins a line that begins a run; its first group, if it has one, is the run's name
     * @param ends a line that ends the run
     * @param silence a run ends when nothing came for so long; zero = never
     * @param openEnd whether a file may end without a line break; else it counts as cut
     */
    public record Runs(
            String name,
            Order order,
            Optional<Pattern> begins,
            Optional<Pattern> ends,
            Duration silence,
            boolean openEnd) {}

    /** What a run order means to a source. */
    public enum Order {
        /** Where there is one of the run's name, what is read must agree with it. */
        PLANNED,
        /** Without one nothing is taken. */
        REQUIRED,
        /** None is looked for. */
        NONE
    }
}
