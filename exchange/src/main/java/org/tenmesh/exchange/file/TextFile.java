package org.tenmesh.exchange.file;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.List;
import java.util.Optional;

/** Whole files as bytes or strict UTF-8, with a limit on their size. */
public final class TextFile {
    private TextFile() {}

    /** The text of a UTF-8 file without its byte-order mark, or empty with the reason among the problems. */
    public static Optional<String> read(
            Path path, String name, long mostBytes, List<Problem> problems, String consequence) {
        return bytes(path, name, mostBytes, problems, consequence)
                .flatMap(bytes -> decode(bytes, name, problems, consequence));
    }

    /** As {@link #read}, of a file that lies in a folder; one that a link takes out of the folder is not opened. */
    public static Optional<String> readInside(
            Path folder, String name, long mostBytes, List<Problem> problems, String consequence) {
        return readInside(folder, folder.resolve(name), name, mostBytes, problems, consequence);
    }

    /** The same of a path whose name in messages is another than its place in the folder. */
    public static Optional<String> readInside(
            Path folder, Path path, String name, long mostBytes, List<Problem> problems, String consequence) {
        return bytesInside(folder, path, name, mostBytes, problems, consequence)
                .flatMap(bytes -> decode(bytes, name, problems, consequence));
    }

    /** As {@link #bytes}, of a file that lies in a folder; one that a link takes out of the folder is not opened. */
    public static Optional<byte[]> bytesInside(
            Path folder, String name, long mostBytes, List<Problem> problems, String consequence) {
        return bytesInside(folder, folder.resolve(name), name, mostBytes, problems, consequence);
    }

    private static Optional<byte[]> bytesInside(
            Path folder, Path path, String name, long mostBytes, List<Problem> problems, String consequence) {
        try {
            if (!path.toRealPath().startsWith(folder.toRealPath())) {
                problems.add(new Problem(
                        name, 0, "", "a link to a file outside the folder", "a file in the folder", consequence));
                return Optional.empty();
            }
        } catch (IOException notThere) {
            // Told below, where the same file is opened.
        }
        return bytes(path, name, mostBytes, problems, consequence);
    }

    /**
     * The bytes of a file, or empty with the reason among the problems. Only regular files are opened: a pipe or a device may have no
     * end.
     */
    public static Optional<byte[]> bytes(
            Path path, String name, long mostBytes, List<Problem> problems, String consequence) {
        try {
            BasicFileAttributes found = Files.readAttributes(path, BasicFileAttributes.class);
            if (!found.isRegularFile()) {
                problems.add(new Problem(
                        name,
                        0,
                        "",
                        found.isDirectory() ? "a folder" : "a pipe, a device or another thing that is no file",
                        "a file",
                        consequence));
                return Optional.empty();
            }
            long size = found.size();
            byte[] bytes = {};
            if (size <= mostBytes) {
                // One byte more than is allowed: what says that it is empty, or grows, is not read to its end.
                try (InputStream in = Files.newInputStream(path)) {
                    bytes = in.readNBytes((int) Math.min(mostBytes + 1, Integer.MAX_VALUE - 8));
                }
                size = bytes.length;
            }
            if (size > mostBytes) {
                problems.add(new Problem(
                        name, 0, "", "a file of " + megabytes(size), "at most " + megabytes(mostBytes), consequence));
                return Optional.empty();
            }
            return Optional.of(bytes);
        } catch (NoSuchFileException gone) {
            problems.add(new Problem(name, 0, "", "no such file", "a file", consequence));
        } catch (IOException unreadable) {
            problems.add(new Problem(
                    name,
                    0,
                    "",
                    "a file that cannot be read: " + unreadable.getMessage(),
                    "a readable file",
                    consequence));
        }
        return Optional.empty();
    }

    /** Bytes as text by strict UTF-8, without a byte-order mark, or empty with the place of the first wrong byte. */
    public static Optional<String> decode(byte[] bytes, String name, List<Problem> problems, String consequence) {
        int start = startOfText(bytes);
        try {
            return Optional.of(StandardCharsets.UTF_8
                    .newDecoder()
                    .decode(ByteBuffer.wrap(bytes, start, bytes.length - start))
                    .toString());
        } catch (CharacterCodingException notUtf8) {
            int at = firstWrongByte(bytes, start);
            int line = 1;
            for (int i = 0; i < at; i++) {
                if (bytes[i] == '\n') {
                    line++;
                }
            }
            problems.add(new Problem(
                    name,
                    line,
                    "",
                    String.format("byte 0x%02X, which is not UTF-8", bytes[at] & 0xff),
                    "a file saved as UTF-8",
                    consequence));
            return Optional.empty();
        }
    }

    /** Index of the first byte after a UTF-8 byte-order mark, 0 when there is none. */
    public static int startOfText(byte[] bytes) {
        return bytes.length >= 3 && bytes[0] == (byte) 0xEF && bytes[1] == (byte) 0xBB && bytes[2] == (byte) 0xBF
                ? 3
                : 0;
    }

    private static int firstWrongByte(byte[] bytes, int start) {
        CharsetDecoder decoder = StandardCharsets.UTF_8.newDecoder();
        ByteBuffer in = ByteBuffer.wrap(bytes, start, bytes.length - start);
        java.nio.CharBuffer out = java.nio.CharBuffer.allocate(4096);
        while (true) {
            CoderResult result = decoder.decode(in, out, true);
            if (result.isError()) {
                return in.position();
            }
            if (result.isUnderflow()) {
                return Math.min(in.position(), bytes.length - 1);
            }
            out.clear();
        }
    }

    public static String megabytes(long size) {
        return size < 1_000_000 ? size + " bytes" : size / 1_000_000 + " MB";
    }
}
