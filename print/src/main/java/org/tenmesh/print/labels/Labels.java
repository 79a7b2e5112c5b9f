package org.tenmesh.print.labels;

import java.util.OptionalInt;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Well;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;
import uk.org.okapibarcode.backend.Code128;
import uk.org.okapibarcode.backend.HumanReadableLocation;
import uk.org.okapibarcode.graphics.Rectangle;

/**
 * Labels for bags and trays as SVG text, dark on white whatever the page looks like. A regulated label has a dashed frame,
 * a diamond and the word, so that it is known without colour. A label carries nothing a control could be told from.
 */
public final class Labels {
    /** Width of one module, CSS px: 0.33 mm, which a hand scanner reads at arm's length (common practice). */
    static final double MODULE = 1.25;

    /** Clear modules on either side of the bars (ISO/IEC 15417, from memory). */
    static final int QUIET_MODULES = 10;

    private static final double BARS = 46;
    private static final double LINE = 20;
    private static final double FRAME = 8;

    private Labels() {}

    /**
     * A Code 128 symbol with its text beneath.
     *
     * @param text 1 to 48 printable ASCII characters
     */
    public static String code128(String text) {
        Code128 symbol = encoded(text);
        double width = width(symbol);
        Svg svg = new Svg(Palette.PAPER, "label", width, BARS + LINE + 6, "Code 128: " + text, "");
        svg.rectangle(0, 0, width, BARS + LINE + 6, 0, Paint.fill(Tone.RAISED));
        bars(svg, symbol, 0, 4);
        svg.words(width / 2, 4 + BARS + 16, 15, "middle", true, Tone.INK, text);
        return svg.end();
    }

    /**
     * The label of a soil's bag or tub.
     *
     * @param line a second line, such as the client's own label; may be empty
     */
    public static String soil(LabNumber labNumber, String line, boolean regulated) {
        return label(labNumber.text(), labNumber.text(), line, regulated, OptionalInt.empty());
    }

    /**
     * The label of a tray, with a small plate that shows where its key well lies.
     *
     * @param keyWell index 0 to 11; empty when the tray has none
     */
    public static String tray(String tray, OptionalInt keyWell, boolean regulated) {
        String line = keyWell.isPresent() ? "key well " + new Well(keyWell.getAsInt()) : "";
        return label(tray, "Tray " + tray, line, regulated, keyWell);
    }

    /** The badge of somebody who works at the bench: its bars, the holder's name in place of the code. */
    public static String badge(String code, String name) {
        return label(code, name, "bench badge", false, OptionalInt.empty());
    }

    private static String label(String text, String large, String line, boolean regulated, OptionalInt keyWell) {
        Code128 symbol = encoded(text);
        double plate = keyWell.isPresent() ? 64 : 0;
        double width = Math.max(width(symbol) + plate, regulated ? 216 : 150) + 2 * FRAME;
        double head = regulated ? 24 : 0;
        double height = FRAME + head + BARS + 4 + 22 + (line.isEmpty() ? 0 : 15) + FRAME;
        String title = large + (line.isEmpty() ? "" : ", " + line) + (regulated ? ", regulated" : "");
        Svg svg = new Svg(Palette.PAPER, "label", width, height, title, "Code 128 of " + text);
        svg.rectangle(0, 0, width, height, 0, Paint.fill(Tone.RAISED));
        if (regulated) {
            svg.rectangle(2, 2, width - 4, height - 4, 4, Paint.dashed(Tone.INK, 3, "10 5"));
            svg.path(Svg.diamond(FRAME + 10, FRAME + 10, 7), Paint.fill(Tone.INK));
            svg.path(Svg.diamond(width - FRAME - 10, FRAME + 10, 7), Paint.fill(Tone.INK));
            svg.words(width / 2, FRAME + 16, 17, "middle", true, Tone.INK, "REGULATED SOIL");
        }
        double top = FRAME + head;
        bars(svg, symbol, FRAME, top);
        if (keyWell.isPresent()) {
            plate(svg, keyWell.getAsInt(), width - FRAME - 58, top + 2);
        }
        double start = FRAME + QUIET_MODULES * MODULE;
        svg.words(start, top + BARS + 20, 19, "start", true, Tone.INK, large);
        if (!line.isEmpty()) {
            int room = (int) ((width - start - FRAME) / 6.2);
            String shown = line.length() > room ? line.substring(0, Math.max(0, room - 1)) + "…" : line;
            svg.words(start, top + BARS + 35, 12, "start", false, Tone.INK, shown);
        }
        return svg.end();
    }

    /** Twelve rings with the key well filled: on paper the one place that must be found. */
    private static void plate(Svg svg, int keyWell, double left, double top) {
        svg.path("M" + Svg.number(left + 9) + " " + Svg.number(top) + "h47v42h-56v-33z", Paint.line(Tone.INK, 1.2));
        for (int well = 0; well < Well.PER_TRAY; well++) {
            double x = left + 9 + 12.7 * (well % 4);
            double y = top + 9 + 12 * (well / 4);
            svg.circle(x, y, 4, well == keyWell ? Paint.fill(Tone.INK) : Paint.line(Tone.INK, 0.8));
        }
    }

    private static void bars(Svg svg, Code128 symbol, double left, double top) {
        StringBuilder path = new StringBuilder();
        for (Rectangle bar : symbol.getRectangles()) {
            double x = left + (QUIET_MODULES + bar.x) * MODULE;
            String width = Svg.number(bar.width * MODULE);
            path.append('M')
                    .append(Svg.number(x))
                    .append(' ')
                    .append(Svg.number(top))
                    .append('h')
                    .append(width);
            path.append('v').append(Svg.number(BARS)).append("h-").append(width).append('z');
        }
        svg.path(path.toString(), Paint.fill(Tone.INK));
    }

    private static double width(Code128 symbol) {
        return (symbol.getWidth() + 2 * QUIET_MODULES) * MODULE;
    }

    /** The symbol with one unit to a module and no text of its own. */
    static Code128 encoded(String text) {
        if (text.isEmpty() || text.length() > 48 || text.chars().anyMatch(c -> c < ' ' || c > '~')) {
            throw new IllegalArgumentException(
                    "a label's bars take 1 to 48 printable ASCII characters, found \"" + text + "\"");
        }
        Code128 symbol = new Code128();
        symbol.setModuleWidth(1);
        symbol.setHumanReadableLocation(HumanReadableLocation.NONE);
        symbol.setContent(text);
        return symbol;
    }
}
