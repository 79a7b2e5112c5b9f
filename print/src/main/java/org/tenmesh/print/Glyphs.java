package org.tenmesh.print;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;

/** The shipped fonts, and which characters they can print. */
final class Glyphs {
    static final byte[] REGULAR = bytes("NotoSans-Regular.ttf");
    static final byte[] BOLD = bytes("NotoSans-Bold.ttf");
    static final byte[] FALLBACK = bytes("DejaVuSans.ttf");

    /** Printed for a character that no shipped font has: a reader sees that something is missing. */
    static final int MISSING = 0x25A1;

    private static final CmapLookup[] COVERAGE = {coverage(REGULAR), coverage(FALLBACK)};

    private Glyphs() {}

    /** The text with control characters as spaces and characters that no shipped font has as empty squares. */
    static String printable(String text) {
        StringBuilder safe = new StringBuilder(text.length());
        text.codePoints().forEach(point -> {
            if (point == '\n' || point == '\t' || Character.getType(point) == Character.CONTROL) {
                safe.append(' ');
            } else if (Character.getType(point) == Character.FORMAT) {
                // direction marks and the like: nothing to see
            } else {
                safe.appendCodePoint(isCovered(point) ? point : MISSING);
            }
        });
        return safe.toString().strip();
    }

    private static boolean isCovered(int point) {
        for (CmapLookup font : COVERAGE) {
            if (font.getGlyphId(point) > 0) {
                return true;
            }
        }
        return false;
    }

    private static CmapLookup coverage(byte[] font) {
        try {
            return parsed(font).getUnicodeCmapLookup();
        } catch (IOException broken) {
            throw new UncheckedIOException("a shipped font cannot be read", broken);
        }
    }

    static TrueTypeFont parsed(byte[] font) {
        try {
            return new TTFParser().parse(new RandomAccessReadBuffer(font));
        } catch (IOException broken) {
            throw new UncheckedIOException("a shipped font cannot be read", broken);
        }
    }

    private static byte[] bytes(String name) {
        try (InputStream stream = Glyphs.class.getResourceAsStream(name)) {
            if (stream == null) {
                throw new IllegalStateException("the shipped font " + name + " is missing from the program");
            }
            return lean(stream.readAllBytes());
        } catch (IOException broken) {
            throw new UncheckedIOException("the shipped font " + name + " cannot be read", broken);
        }
    }

    /**
     * Hides two tables that a report has no use for, each by a changed mark: glyph substitutions, because the PDF writer would
     * compile a pattern of every ligature for each piece of text, and the names of glyphs, which are a fifth of what reading
     * a font takes. The shapes and widths stay as they are.
     */
    private static byte[] lean(byte[] font) {
        int tables = (font[4] & 0xFF) << 8 | font[5] & 0xFF;
        for (int entry = 0; entry < tables; entry++) {
            int at = 12 + 16 * entry;
            String tag = new String(font, at, 4, StandardCharsets.US_ASCII);
            if (tag.equals("GSUB")) {
                font[at] = 'x';
            } else if (tag.equals("post")) {
                // version 3.0: a table without names
                ByteBuffer bytes = ByteBuffer.wrap(font);
                bytes.putInt(bytes.getInt(at + 8), 0x0003_0000);
            }
        }
        return font;
    }
}
