package org.tenmesh.exchange.readers;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.yaml.YamlText;

/**
 * A description, in YAML, of what one instrument's export means: how its rows are cut, which cell is the position, the identity,
 * the channel, the value and the time, and how roles are told. Immutable.
 */
public final class InstrumentReader {
    private static final List<String> SHIPPED =
            List.of("plasma-wide-table", "weighing-list", "probe-lines", "meter-lines", "analyser-records");
    private static final String REFUSED = "The reader is not taken";

    /**
     * What an export gave.
     *
     * @param header entries found above the rows, by name
     * @param readings of every row that could be read; not to be stored when there are problems
     * @param problems everything that could not be read
     * @param notes signs that the file holds more than was taken, or less than was read
     */
    public record Taken(Map<String, String> header, Readings readings, List<Problem> problems, List<Problem> notes) {
        public Taken {
            header = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(header));
            problems = List.copyOf(problems);
            notes = List.copyOf(notes);
        }

        /** Whether all of the file could be read. */
        public boolean whole() {
            return problems.isEmpty();
        }
    }

    private final ReaderDescription says;

    private InstrumentReader(ReaderDescription says) {
        this.says = says;
    }

    /**
     * Loads a reader from a laboratory's own file.
     *
     * @throws UnusableFile with everything that is wrong in it
     */
    public static InstrumentReader load(Path path) {
        String file = String.valueOf(path.getFileName());
        List<Problem> problems = new ArrayList<>();
        Optional<String> text = TextFile.read(path, file, 1_000_000, problems, REFUSED);
        if (text.isEmpty()) {
            throw new UnusableFile(problems);
        }
        return parse(file, text.get());
    }

    /** The readers that ship with the program, all for made-up exports, by name. */
    public static Map<String, InstrumentReader> shipped() {
        Map<String, InstrumentReader> readers = new LinkedHashMap<>();
        for (String name : SHIPPED) {
            String file = "readers/" + name + ".yaml";
            try (InputStream in = InstrumentReader.class.getResourceAsStream("/org/tenmesh/exchange/" + file)) {
                if (in == null) {
                    throw new IllegalStateException(file + " is not in the program");
                }
                readers.put(name, parse(file, new String(in.readAllBytes(), StandardCharsets.UTF_8)));
            } catch (IOException unreadable) {
                throw new UncheckedIOException(file + " of the program cannot be read", unreadable);
            }
        }
        return readers;
    }

    static InstrumentReader parse(String file, String text) {
        List<Problem> problems = new ArrayList<>();
        Optional<InstrumentReader> reader = YamlText.read(file, text, problems, REFUSED)
                .map(ReaderDescription::new)
                .map(InstrumentReader::new);
        if (reader.isEmpty() || !problems.isEmpty()) {
            throw new UnusableFile(problems);
        }
        return reader.get();
    }

    /** Its name, as given on the command line. */
    public String name() {
        return says.name;
    }

    /** What it reads, in words. */
    public String title() {
        return says.title;
    }

    /** Reads an export within the default size limit. Never throws for what is in the file. */
    public Taken read(Path export) {
        return read(export, Limits.defaults());
    }

    /** Reads an export. Never throws for what is in the file. */
    public Taken read(Path export, Limits limits) {
        String file = String.valueOf(export.getFileName());
        FileProblems problems = new FileProblems(file, "Nothing of this file is taken");
        Optional<String> text = TextFile.bytes(
                        export, file, limits.fileBytes(), problems.told(), problems.consequence())
                .flatMap(bytes -> decode(bytes, problems));
        return read(text, file, Arriving.UNKNOWN, problems);
    }

    /** Reads what came, such as a file's bytes or one line. Never throws for what is in it. */
    public Taken read(String name, byte[] bytes, Arriving arriving) {
        FileProblems problems = new FileProblems(name, "Nothing of it is taken");
        return read(decode(bytes, problems), name, arriving, problems);
    }

    private Taken read(Optional<String> text, String file, Arriving arriving, FileProblems problems) {
        if (text.isEmpty()) {
            return new Taken(Map.of(), Readings.builder().build(), problems.all(), List.of());
        }
        ExportTable table = ExportTable.of(text.get(), says.frame, says.form, problems);
        ExportReading reading = new ExportReading(says, table, arriving, problems);
        Readings readings = reading.readings();
        List<Problem> notes = notes(text.get(), table, reading, file);
        return new Taken(table.header(), readings, problems.all(), notes);
    }

    /** Whether it can read one line alone: nothing it needs stands on another line. */
    public boolean readsSingleLines() {
        return (says.form instanceof ExportTable.Lines || says.form instanceof ExportTable.Fixed)
                && says.frame.header().isEmpty()
                && says.frame.skipRows() == 0
                && says.frame.startsAfter().isEmpty()
                && says.frame.endsBefore().isEmpty()
                && says.frame.announced().isEmpty();
    }

    /** Whether it reads the records of the frame protocol. */
    public boolean readsRecords() {
        return says.form instanceof ExportTable.Records;
    }

    /** Whether the run order says what is at a position. */
    public boolean needsOrder() {
        return says.identity.isEmpty();
    }

    /** Whether an export is told to be cut: it ends without a line break and says nowhere how many rows it has. */
    public boolean mayBeCut(byte[] bytes) {
        return says.frame.announced().isEmpty() && bytes.length > 0 && bytes[bytes.length - 1] != '\n';
    }

    /** Whether positions are counted: a line that is lost moves all that follow. */
    public boolean countsPositions() {
        return says.position.isEmpty();
    }

    /** The encoding of what it reads. */
    public Charset encoding() {
        return says.encoding;
    }

    /** Whether this line is a remark that it leaves out. */
    public boolean skips(String line) {
        return line.isBlank()
                || says.frame.skip().stream()
                        .anyMatch(skip -> skip.matcher(line).find());
    }

    // What may be wrong with a file that could be read to its end.
    private List<Problem> notes(String text, ExportTable table, ExportReading reading, String file) {
        List<Problem> notes = new ArrayList<>();
        if (says.frame.announced().isEmpty()
                && !table.rows().isEmpty()
                && !text.endsWith("\n")
                && text.contains("\n")) {
            notes.add(new Problem(
                    file,
                    (int) text.lines().count(),
                    "",
                    "a last line without a line break",
                    "a line break, or a line that tells how many rows there are (announced_rows)",
                    "The file may be cut, and its last number with it"));
        }
        // Analysers send many fields that are nobody's readings.
        for (String column : says.form instanceof ExportTable.Records ? List.<String>of() : reading.unused()) {
            notes.add(new Problem(
                    file,
                    0,
                    column,
                    "a column that this reader does not use",
                    "a column named in the reader",
                    "Nothing of it is taken"));
        }
        return notes;
    }

    private Optional<String> decode(byte[] bytes, FileProblems problems) {
        if (says.encoding.equals(StandardCharsets.UTF_8)) {
            return TextFile.decode(bytes, problems.file(), problems.told(), problems.consequence());
        }
        try {
            return Optional.of(
                    says.encoding.newDecoder().decode(ByteBuffer.wrap(bytes)).toString());
        } catch (CharacterCodingException other) {
            problems.add(0, "", "bytes that are not " + says.encoding, "a file in " + says.encoding);
            return Optional.empty();
        }
    }
}
