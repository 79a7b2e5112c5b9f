package org.tenmesh.print.pictures;

import java.awt.Font;
import java.awt.FontFormatException;
import java.awt.font.TextAttribute;
import java.io.IOException;
import java.io.InputStream;
import java.text.AttributedCharacterIterator;
import java.util.Map;
import org.apache.batik.bridge.FontFace;
import org.apache.batik.bridge.FontFamilyResolver;
import org.apache.batik.gvt.font.AWTFontFamily;
import org.apache.batik.gvt.font.AWTGVTFont;
import org.apache.batik.gvt.font.GVTFont;
import org.apache.batik.gvt.font.GVTFontFace;
import org.apache.batik.gvt.font.GVTFontFamily;
import org.jspecify.annotations.Nullable;

/** Answers every request for a font with the shipped ones, so that a picture is the same on every machine. */
final class ShippedFaces implements FontFamilyResolver {
    static final ShippedFaces ALL = new ShippedFaces();

    private final Family usual = new Family("Noto Sans", read("NotoSans-Regular.ttf"), read("NotoSans-Bold.ttf"));
    private final Family fallback = new Family("DejaVu Sans", read("DejaVuSans.ttf"), read("DejaVuSans.ttf"));

    private ShippedFaces() {}

    private static Font read(String name) {
        try (InputStream in = ShippedFaces.class.getResourceAsStream("/org/tenmesh/print/report/" + name)) {
            if (in == null) {
                throw new IllegalStateException("the program lacks its own file " + name);
            }
            return Font.createFont(Font.TRUETYPE_FONT, in);
        } catch (IOException | FontFormatException e) {
            throw new IllegalStateException("the program cannot read its own file " + name, e);
        }
    }

    /** One face with its bold. */
    private static final class Family extends AWTFontFamily {
        private final Font bold;

        Family(String name, Font regular, Font bold) {
            super(new GVTFontFace(name), regular);
            this.bold = bold;
        }

        boolean has(char character) {
            return font.canDisplay(character);
        }

        @Override
        public GVTFont deriveFont(float size, AttributedCharacterIterator text) {
            return deriveFont(size, text.getAttributes());
        }

        @Override
        @SuppressWarnings("rawtypes") // as the library has it
        public GVTFont deriveFont(float size, Map attributes) {
            boolean heavy = attributes.get(TextAttribute.WEIGHT) instanceof Float weight
                    && weight >= TextAttribute.WEIGHT_DEMIBOLD;
            return new AWTGVTFont(heavy ? bold : font, size);
        }
    }

    @Override
    public GVTFontFamily resolve(String familyName) {
        return usual;
    }

    @Override
    public GVTFontFamily resolve(String familyName, FontFace fontFace) {
        return usual;
    }

    @Override
    public @Nullable GVTFontFamily loadFont(InputStream in, FontFace fontFace) {
        return null;
    }

    @Override
    public GVTFontFamily getDefault() {
        return usual;
    }

    @Override
    public GVTFontFamily getFamilyThatCanDisplay(char character) {
        return usual.has(character) ? usual : fallback;
    }
}
