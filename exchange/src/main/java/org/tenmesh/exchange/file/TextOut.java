package org.tenmesh.exchange.file;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Writes a text file of UTF-8 CSV records, quickly and always the same way: {@code ,} between, a line feed at the end, quotes
 * only where needed. The file appears under its name when it is complete. Not for use by several threads.
 */
public final class TextOut implements AutoCloseable {
    private final Path path;
    private final Path part;
    private final OutputStream out;
    private byte[] buffer = new byte[1 << 16];
    private int size;
    private boolean lineBegun;
    private boolean complete;

    public TextOut(Path path) throws IOException {
        this.path = path;
        this.part = part(path);
        this.out = Files.newOutputStream(part);
    }

    /** What a file is called until it is complete. */
    public static Path part(Path path) {
        return path.resolveSibling(path.getFileName() + ".part");
    }

    /** One field of text. */
    public TextOut field(String text) throws IOException {
        separate();
        int length = text.length();
        room(length + 2);
        int mark = size;
        for (int i = 0; i < length; i++) {
            char c = text.charAt(i);
            if (c >= 0x80 || c == '"' || c == ',' || c == '\n' || c == '\r') {
                size = mark;
                return carefully(text);
            }
            buffer[size++] = (byte) c;
        }
        return this;
    }

    private TextOut carefully(String text) throws IOException {
        boolean quotes =
                text.indexOf(',') >= 0 || text.indexOf('"') >= 0 || text.indexOf('\n') >= 0 || text.indexOf('\r') >= 0;
        byte[] bytes = (quotes ? '"' + text.replace("\"", "\"\"") + '"' : text).getBytes(StandardCharsets.UTF_8);
        return append(bytes);
    }

    /** Bytes of a field prepared before: no separator, no check. */
    public TextOut append(byte[] bytes) throws IOException {
        room(bytes.length);
        System.arraycopy(bytes, 0, buffer, size, bytes.length);
        size += bytes.length;
        return this;
    }

    public TextOut field(Optional<String> text) throws IOException {
        return field(text.orElse(""));
    }

    public TextOut field(long whole) throws IOException {
        separate();
        room(20);
        size = DecimalText.whole(buffer, size, whole);
        return this;
    }

    /** A finite number in the shortest decimal text that reads back as the same number. */
    public TextOut field(double value) throws IOException {
        separate();
        room(DecimalText.MOST);
        size = DecimalText.write(buffer, size, value);
        return this;
    }

    /** A number, an empty field where there is none. */
    public TextOut field(OptionalDouble value) throws IOException {
        return finite(value.orElse(Double.NaN));
    }

    /** A number, an empty field where it is infinite or none at all: a limit of what computers hold is not a number to read. */
    public TextOut finite(double value) throws IOException {
        return Double.isFinite(value) ? field(value) : field("");
    }

    public TextOut yesNo(Optional<Boolean> value) throws IOException {
        return field(value.map(yes -> yes ? "yes" : "no").orElse(""));
    }

    public TextOut field(OffsetDateTime time) throws IOException {
        return field(DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(time));
    }

    public TextOut fields(Iterable<String> texts) throws IOException {
        for (String text : texts) {
            field(text);
        }
        return this;
    }

    /** Ends the record. */
    public TextOut end() throws IOException {
        room(1);
        buffer[size++] = '\n';
        lineBegun = false;
        return this;
    }

    /** Text as it is, outside any record. */
    public TextOut raw(String text) throws IOException {
        return append(text.getBytes(StandardCharsets.UTF_8));
    }

    /** Says that nothing is missing; without it closing drops the file. */
    public void complete() {
        complete = true;
    }

    private void separate() throws IOException {
        if (lineBegun) {
            room(1);
            buffer[size++] = ',';
        }
        lineBegun = true;
    }

    private void room(int bytes) throws IOException {
        if (buffer.length - size < bytes) {
            out.write(buffer, 0, size);
            size = 0;
            if (buffer.length < bytes) {
                buffer = new byte[bytes];
            }
        }
    }

    @Override
    public void close() throws IOException {
        try {
            if (complete) {
                out.write(buffer, 0, size);
            }
        } finally {
            out.close();
        }
        if (complete) {
            Files.move(part, path, StandardCopyOption.REPLACE_EXISTING);
        } else {
            Files.deleteIfExists(part);
        }
    }
}
