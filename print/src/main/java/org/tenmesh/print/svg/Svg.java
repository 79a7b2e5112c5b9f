package org.tenmesh.print.svg;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette.Tone;

/** Writes one SVG picture as text: same calls, same characters. Not safe for use by several threads. */
public final class Svg {
    private final StringBuilder text = new StringBuilder(512);
    private final Palette palette;

    /**
     * Begins a picture.
     *
     * @param kind the class on the svg element, for the page's own rules
     * @param title what it is, read aloud first
     * @param description what it shows; may be empty
     */
    public Svg(Palette palette, String kind, double width, double height, String title, String description) {
        this(palette, kind, width, height, title, description, "img");
    }

    /** Begins a picture whose {@link #point points} can each be reached: a group, because nothing inside an image can. */
    public static Svg ofPoints(
            Palette palette, String kind, double width, double height, String title, String description) {
        return new Svg(palette, kind, width, height, title, description, "group");
    }

    private Svg(
            Palette palette, String kind, double width, double height, String title, String description, String role) {
        this.palette = palette;
        text.append("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"")
                .append(kind)
                .append("\" role=\"")
                .append(role)
                .append('"');
        attribute("width", width).attribute("height", height);
        text.append(" viewBox=\"0 0 ")
                .append(number(width))
                .append(' ')
                .append(number(height))
                .append('"');
        if (palette == Palette.PAPER) {
            text.append(" font-family=\"'Noto Sans', sans-serif\"");
            // what the report's renderer puts beside the figure in the tagged document
            text.append(" alt=\"").append(escape(title)).append('"');
        }
        text.append("><title>").append(escape(title)).append("</title>");
        if (!description.isEmpty()) {
            text.append("<desc>").append(escape(description)).append("</desc>");
        }
    }

    public String end() {
        return text.append("</svg>").toString();
    }

    public Svg circle(double x, double y, double radius, Paint paint) {
        text.append("<circle");
        attribute("cx", x).attribute("cy", y).attribute("r", radius);
        return close("circle", paint, "");
    }

    public Svg rectangle(double x, double y, double width, double height, double corner, Paint paint) {
        text.append("<rect");
        attribute("x", x).attribute("y", y).attribute("width", width).attribute("height", height);
        if (corner > 0) {
            attribute("rx", corner);
        }
        return close("rect", paint, "");
    }

    public Svg path(String d, Paint paint) {
        return path(d, paint, "");
    }

    /** A path with a title of its own, shown where a pointer rests on it. */
    public Svg path(String d, Paint paint, String title) {
        text.append("<path d=\"").append(d).append('"');
        return close("path", paint, title);
    }

    /**
     * A point that keyboard and pointer reach, with what stands there in words.
     *
     * @param href where it leads; empty text for nowhere
     * @param x what is drawn, in the units of its axis, for programs that read the picture
     * @param y the same of the other axis
     */
    public Svg point(String href, String d, Paint paint, String title, double x, double y) {
        text.append(href.isEmpty() ? "<g tabindex=\"0\" role=\"img\"" : "<a href=\"" + escape(href) + '"')
                .append(" class=\"point\" data-x=\"")
                .append(x)
                .append("\" data-y=\"")
                .append(y)
                .append("\"><title>")
                .append(escape(title))
                .append("</title>");
        path(d, paint);
        text.append(href.isEmpty() ? "</g>" : "</a>");
        return this;
    }

    /** One line of text; {@code anchor} is start, middle or end. */
    public Svg words(double x, double y, double size, String anchor, boolean strong, Tone tone, String words) {
        text.append("<text");
        attribute("x", x).attribute("y", y).attribute("font-size", size);
        if (!anchor.equals("start")) {
            text.append(" text-anchor=\"").append(anchor).append('"');
        }
        if (strong) {
            text.append(" font-weight=\"")
                    .append(palette == Palette.PAPER ? "bold" : "600")
                    .append('"');
        }
        text.append(" fill=\"")
                .append(palette.of(tone))
                .append("\">")
                .append(escape(words))
                .append("</text>");
        return this;
    }

    private Svg close(String element, Paint paint, String title) {
        text.append(" fill=\"")
                .append(paint.fill == null ? "none" : palette.of(paint.fill))
                .append('"');
        if (paint.stroke != null) {
            text.append(" stroke=\"").append(palette.of(paint.stroke)).append('"');
            attribute("stroke-width", paint.width);
            if (!paint.dashes.isEmpty()) {
                text.append(" stroke-dasharray=\"").append(paint.dashes).append('"');
            }
            if (paint.round) {
                text.append(" stroke-linecap=\"round\"");
            }
        }
        if (title.isEmpty()) {
            text.append("/>");
        } else {
            text.append("><title>")
                    .append(escape(title))
                    .append("</title></")
                    .append(element)
                    .append('>');
        }
        return this;
    }

    private Svg attribute(String name, double value) {
        text.append(' ').append(name).append("=\"").append(number(value)).append('"');
        return this;
    }

    /** How a shape is filled and outlined. */
    public record Paint(@Nullable Tone fill, @Nullable Tone stroke, double width, String dashes, boolean round) {
        public static Paint fill(Tone tone) {
            return new Paint(tone, null, 0, "", false);
        }

        public static Paint line(Tone tone, double width) {
            return new Paint(null, tone, width, "", false);
        }

        public static Paint dashed(Tone tone, double width, String dashes) {
            return new Paint(null, tone, width, dashes, false);
        }

        public Paint filled(Tone tone) {
            return new Paint(tone, stroke, width, dashes, round);
        }

        public Paint rounded() {
            return new Paint(fill, stroke, width, dashes, true);
        }
    }

    /** The colour that goes with a verdict; never the only sign of it. */
    public static Tone tone(Verdict verdict) {
        return switch (verdict) {
            case FIT -> Tone.INK;
            case HOLD -> Tone.HOLD;
            case REDO -> Tone.REDO;
        };
    }

    /** The ground of a stretch with that verdict. */
    public static Tone ground(Verdict verdict) {
        return switch (verdict) {
            case FIT -> Tone.HAIR;
            case HOLD -> Tone.HOLD_GROUND;
            case REDO -> Tone.REDO_GROUND;
        };
    }

    /** The shape of a verdict about a centre: dot, triangle, square, about {@code radius} large. */
    public static String shape(Verdict verdict, double x, double y, double radius) {
        return switch (verdict) {
            case FIT -> dot(x, y, radius);
            case HOLD -> triangle(x, y, radius);
            case REDO -> square(x, y, radius);
        };
    }

    public static String dot(double x, double y, double r) {
        String radius = number(r);
        String arc = "a" + radius + " " + radius + " 0 1 0 ";
        return "M" + number(x - r) + " " + number(y) + arc + number(2 * r) + " 0" + arc + number(-2 * r) + " 0z";
    }

    public static String triangle(double x, double y, double r) {
        double half = 1.25 * r;
        return "M" + number(x) + " " + number(y - 1.3 * r) + "l" + number(half) + " " + number(2.2 * r) + "h"
                + number(-2 * half) + "z";
    }

    public static String square(double x, double y, double r) {
        String side = number(2 * r);
        return "M" + number(x - r) + " " + number(y - r) + "h" + side + "v" + side + "h-" + side + "z";
    }

    public static String diamond(double x, double y, double r) {
        double high = 1.25 * r;
        return "M" + number(x) + " " + number(y - high) + "l" + number(r) + " " + number(high) + " " + number(-r) + " "
                + number(high) + " " + number(-r) + " " + number(-high) + "z";
    }

    public static String across(double x, double y, double width) {
        return "M" + number(x) + " " + number(y) + "h" + number(width);
    }

    public static String down(double x, double y, double height) {
        return "M" + number(x) + " " + number(y) + "v" + number(height);
    }

    /** Two decimals at most, no exponent, no trailing zeros, the same in every country. */
    public static String number(double value) {
        long hundredths = Math.round(value * 100);
        long whole = Math.abs(hundredths) / 100;
        long rest = Math.abs(hundredths) % 100;
        String sign = hundredths < 0 ? "-" : "";
        if (rest == 0) {
            return sign + whole;
        }
        return sign + whole + (rest % 10 == 0 ? "." + rest / 10 : (rest < 10 ? ".0" : ".") + rest);
    }

    /** A number for people: at most as many significant digits as asked, no exponent, a true minus, thin spaces in thousands. */
    public static String figure(double value, int digits) {
        if (value == 0) {
            return "0";
        }
        BigDecimal exact = BigDecimal.valueOf(value);
        int places = Math.max(0, digits - exact.precision() + exact.scale());
        BigDecimal rounded = exact.setScale(places, RoundingMode.HALF_UP);
        return grouped(
                rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString());
    }

    /** Thin spaces in thousands from five digits on, and a true minus: "12345.6" becomes "12 345.6". */
    public static String grouped(String plain) {
        boolean negative = plain.startsWith("-");
        String magnitude = negative ? plain.substring(1) : plain;
        int point = magnitude.indexOf('.');
        String whole = point < 0 ? magnitude : magnitude.substring(0, point);
        StringBuilder spaced = new StringBuilder(magnitude);
        if (whole.length() > 4) {
            for (int at = whole.length() - 3; at > 0; at -= 3) {
                spaced.insert(at, '\u2009');
            }
        }
        return (negative ? "\u2212" : "") + spaced;
    }

    public static String escape(String plain) {
        StringBuilder safe = new StringBuilder(plain.length() + 8);
        plain.codePoints().forEach(point -> {
            switch (point) {
                case '<' -> safe.append("&lt;");
                case '>' -> safe.append("&gt;");
                case '&' -> safe.append("&amp;");
                case '"' -> safe.append("&quot;");
                case '\'' -> safe.append("&#39;");
                default -> {
                    // XML has no place for other control characters; a client may have typed one
                    boolean allowed = point >= 0x20 && point < 0xD800
                            || point == '\t'
                            || point == '\n'
                            || point >= 0xE000 && point != 0xFFFE && point != 0xFFFF;
                    safe.appendCodePoint(allowed ? point : 0xFFFD);
                }
            }
        });
        return safe.toString();
    }
}
