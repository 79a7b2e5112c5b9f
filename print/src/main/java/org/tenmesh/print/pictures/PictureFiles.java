package org.tenmesh.print.pictures;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.StringReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.imageio.ImageIO;
import org.apache.batik.bridge.UserAgent;
import org.apache.batik.transcoder.TranscoderException;
import org.apache.batik.transcoder.TranscoderInput;
import org.apache.batik.transcoder.TranscoderOutput;
import org.apache.batik.transcoder.image.ImageTranscoder;
import org.jspecify.annotations.Nullable;
import org.tenmesh.print.svg.Palette;

/**
 * A picture that was drawn for a page, as a file that is read without the page: light colours on a light ground, no links. Only pictures
 * of {@link org.tenmesh.print.svg.Svg} are taken. May be used by several threads.
 */
public final class PictureFiles {
    /** Pixels of a PNG for each unit of the drawing: sharp on paper and on screens of twice the resolution. */
    private static final float SHARPNESS = 2;
    /** A larger picture is drawn less sharply, so that it fits into 64 MB. */
    private static final double MOST_PIXELS = 16e6;

    private static final Pattern HEAD = Pattern.compile(
            "^<svg xmlns=\"http://www\\.w3\\.org/2000/svg\"[^>]*? width=\"([\\d.]+)\" height=\"([\\d.]+)\"[^>]*>");
    private static final Pattern LINK = Pattern.compile("<a href=\"[^\"]*\"");

    private PictureFiles() {}

    /**
     * The picture as an SVG file, UTF-8.
     *
     * @param drawn as it stands on the page
     * @throws IllegalArgumentException for anything but such a picture
     */
    public static byte[] svg(String drawn) {
        return ("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + standalone(drawn)).getBytes(StandardCharsets.UTF_8);
    }

    /**
     * The picture to stand within a document that is printed.
     *
     * @param drawn as it stands on the page
     * @throws IllegalArgumentException for anything but such a picture
     */
    public static String inline(String drawn) {
        return standalone(drawn);
    }

    /**
     * The picture as a PNG file, two pixels for each unit of the drawing.
     *
     * @param drawn as it stands on the page
     * @throws IllegalArgumentException for anything but such a picture
     */
    public static byte[] png(String drawn) {
        String svg = standalone(drawn);
        Matcher head = head(svg);
        double width = Double.parseDouble(head.group(1));
        double height = Double.parseDouble(head.group(2));
        double sharpness = Math.min(SHARPNESS, Math.sqrt(MOST_PIXELS / (width * height)));
        Pixels pixels = new Pixels();
        pixels.addTranscodingHint(ImageTranscoder.KEY_WIDTH, (float) Math.round(width * sharpness));
        pixels.addTranscodingHint(ImageTranscoder.KEY_HEIGHT, (float) Math.round(height * sharpness));
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try {
            pixels.transcode(new TranscoderInput(new StringReader(svg)), new TranscoderOutput(out));
        } catch (TranscoderException e) {
            throw new IllegalArgumentException("the picture cannot be drawn: " + e.getMessage(), e);
        }
        return out.toByteArray();
    }

    private static Matcher head(String svg) {
        Matcher head = HEAD.matcher(svg);
        if (!head.find()) {
            throw new IllegalArgumentException("no picture of a page; one that begins with its size was expected");
        }
        return head;
    }

    private static String standalone(String drawn) {
        Matcher head = head(drawn);
        String body = LINK.matcher(drawn.substring(head.end()))
                .replaceAll("<g")
                .replace("</a>", "</g>")
                .replace(" tabindex=\"0\"", "");
        int words = body.lastIndexOf("</desc>");
        int begin = words >= 0 ? words + "</desc>".length() : body.indexOf("</title>") + "</title>".length();
        String ground = "<rect width=\"" + head.group(1) + "\" height=\"" + head.group(2) + "\" fill=\""
                + Palette.PAPER.of(Palette.Tone.RAISED) + "\"/>";
        String opened = head.group()
                .replace(" role=\"group\"", " role=\"img\"")
                .replace(">", " font-family=\"'Noto Sans', sans-serif\">");
        return Palette.onPaper(opened + body.substring(0, begin) + ground + body.substring(begin));
    }

    /** Draws with the shipped fonts, whatever the machine has; runs no script and fetches nothing. */
    private static final class Pixels extends ImageTranscoder {
        Pixels() {
            addTranscodingHint(KEY_EXECUTE_ONLOAD, false);
            addTranscodingHint(KEY_ALLOWED_SCRIPT_TYPES, "");
            addTranscodingHint(KEY_ALLOW_EXTERNAL_RESOURCES, false);
        }

        @Override
        public BufferedImage createImage(int width, int height) {
            return new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
        }

        @Override
        public void writeImage(BufferedImage image, @Nullable TranscoderOutput out) {
            if (out == null) {
                throw new IllegalArgumentException("no place to write the picture to");
            }
            try {
                ImageIO.write(image, "png", out.getOutputStream());
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }

        @Override
        protected UserAgent createUserAgent() {
            return new SVGAbstractTranscoderUserAgent() {
                @Override
                public org.apache.batik.bridge.FontFamilyResolver getFontFamilyResolver() {
                    return ShippedFaces.ALL;
                }
            };
        }
    }
}
