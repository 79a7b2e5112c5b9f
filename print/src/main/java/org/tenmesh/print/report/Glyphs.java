package org.tenmesh.print.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.HorizontalMetricsTable;
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

    private static final Face[] REGULAR_FACES = {face(REGULAR), face(FALLBACK)};
    private static final Face[] BOLD_FACES = {face(BOLD), REGULAR_FACES[1]};

    /** What a font says of its characters; read once, then safe for several threads. */
    private record Face(CmapLookup characters, HorizontalMetricsTable widths, int unitsPerEm) {}

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

    /** Whether some character of the text has no glyph and is printed as an empty square. */
    static boolean lacks(String text) {
        return squares(printable(text)) > squares(text);
    }

    private static long squares(String text) {
        return text.codePoints().filter(point -> point == MISSING).count();
    }

    private static boolean isCovered(int point) {
        for (Face face : REGULAR_FACES) {
            if (face.characters().getGlyphId(point) > 0) {
                return true;
            }
        }
        return false;
    }

    /** The width of a text in one line, pt: its characters' advances, each from the first shipped font that has it. */
    static double widthPt(String text, double sizePt, boolean bold) {
        double em = 0;
        for (int point : text.codePoints().toArray()) {
            for (Face face : bold ? BOLD_FACES : REGULAR_FACES) {
                int glyph = face.characters().getGlyphId(point);
                if (glyph > 0) {
                    em += (double) face.widths().getAdvanceWidth(glyph) / face.unitsPerEm();
                    break;
                }
            }
        }
        return em * sizePt;
    }

    private static Face face(byte[] font) {
        try {
            TrueTypeFont parsed = parsed(font);
            return new Face(parsed.getUnicodeCmapLookup(), parsed.getHorizontalMetrics(), parsed.getUnitsPerEm());
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
