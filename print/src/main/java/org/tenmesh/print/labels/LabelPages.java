package org.tenmesh.print.labels;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.List;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;
import org.tenmesh.core.layout.Well;
import uk.org.okapibarcode.backend.Code128;
import uk.org.okapibarcode.graphics.Rectangle;

/** Labels as PDF for a sheet or a label printer, black on white. */
public final class LabelPages {
    private static final double POINTS_PER_MM = 72 / 25.4; // a point is 1/72 inch, exact
    /** Width of one module where there is room, mm (common practice for hand scanners), and the least that is printed. */
    private static final double MODULE_MM = 0.33;

    private static final double LEAST_MODULE_MM = 0.19;
    private static final double EDGE_MM = 2;
    private static final double REGULATED_MM = 5;

    private LabelPages() {}

    /**
     * As many pages as the labels need.
     *
     * @param start place of the first label on the first sheet, from 1, row by row: the places before it are used up already
     * @throws IllegalArgumentException where there is no label, the start is not on the sheet, or the bars of a label are wider than it is
     */
    public static byte[] pdf(List<Label> labels, LabelSheet sheet, int start) {
        if (labels.isEmpty() || start < 1 || start > sheet.size()) {
            throw new IllegalArgumentException(labels.size() + " labels from place " + start
                    + ": expected one label or more and a place from 1 to " + sheet.size());
        }
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (PDDocument document = new PDDocument()) {
            PDFont bold = font(document, "NotoSans-Bold.ttf");
            PDFont regular = font(document, "NotoSans-Regular.ttf");
            int place = start - 1;
            int next = 0;
            while (next < labels.size()) {
                PDPage page = new PDPage(new PDRectangle(points(sheet.pageWidthMm()), points(sheet.pageHeightMm())));
                document.addPage(page);
                try (PDPageContentStream out = new PDPageContentStream(document, page)) {
                    for (; place < sheet.size() && next < labels.size(); place++) {
                        double left = sheet.leftMm() + place % sheet.columns() * sheet.acrossMm();
                        double top = sheet.topMm() + place / sheet.columns() * sheet.downMm();
                        new Drawn(out, bold, regular, sheet, left, top).label(labels.get(next++));
                    }
                }
                place = 0;
            }
            document.getDocumentInformation().setProducer("Tenmesh");
            document.save(bytes);
        } catch (IOException failed) {
            throw new UncheckedIOException("the labels cannot be written", failed);
        }
        return bytes.toByteArray();
    }

    static PDFont font(PDDocument document, String name) throws IOException {
        try (InputStream file = LabelPages.class.getResourceAsStream("/org/tenmesh/print/report/" + name)) {
            if (file == null) {
                throw new IllegalStateException("the face " + name + " is not in the program");
            }
            return PDType0Font.load(document, file);
        }
    }

    static float points(double mm) {
        return (float) (mm * POINTS_PER_MM);
    }

    /** What the face has; anything else is shown as a question mark. */
    static String shown(PDFont font, String text) {
        StringBuilder out = new StringBuilder();
        text.codePoints().forEach(point -> {
            String one = Character.toString(point);
            try {
                font.encode(one);
                out.append(one);
            } catch (IOException | IllegalArgumentException absent) {
                out.append('?');
            }
        });
        return out.toString();
    }

    /** One label; x and y in mm from its upper left corner. */
    private record Drawn(
            PDPageContentStream out, PDFont bold, PDFont regular, LabelSheet sheet, double left, double top) {
        void label(Label label) throws IOException {
            double width = sheet.widthMm() - 2 * EDGE_MM;
            double head = label.regulated() ? REGULATED_MM : 0;
            if (label.regulated()) {
                regulated();
            }
            boolean plated = label.keyWell().isPresent() && sheet.widthMm() >= 50;
            double plate = plated ? 15 : 0;
            Code128 symbol = Labels.encoded(label.bars());
            int modules = symbol.getWidth() + 2 * Labels.QUIET_MODULES;
            double module = Math.min(MODULE_MM, (width - plate) / modules);
            if (module < LEAST_MODULE_MM) {
                throw new IllegalArgumentException("the bars of " + label.bars() + " need "
                        + Math.round(modules * LEAST_MODULE_MM) + " mm, the label has " + Math.round(width - plate)
                        + " mm: take a wider label");
            }
            double text = label.line().isEmpty() ? 5.5 : 9;
            double bars = Math.max(4, Math.min(14, sheet.heightMm() - 2 * EDGE_MM - head - text));
            double barsTop = EDGE_MM + head;
            for (Rectangle bar : symbol.getRectangles()) {
                rectangle(EDGE_MM + (Labels.QUIET_MODULES + bar.x) * module, barsTop, bar.width * module, bars);
            }
            if (plated) {
                plate(label.keyWell().getAsInt(), sheet.widthMm() - EDGE_MM - 14, barsTop);
            }
            words(bold, 11, EDGE_MM + 1, barsTop + bars + 4.3, width - 2, label.large());
            if (!label.line().isEmpty()) {
                words(regular, 7.5, EDGE_MM + 1, barsTop + bars + 7.9, width - 2, label.line());
            }
        }

        /** A dashed frame, two diamonds and the words: known without colour. */
        private void regulated() throws IOException {
            out.setLineWidth(points(0.6));
            out.setLineDashPattern(new float[] {points(2.5), points(1.2)}, 0);
            out.addRect(
                    x(0.7), y(sheet.heightMm() - 0.7), points(sheet.widthMm() - 1.4), points(sheet.heightMm() - 1.4));
            out.stroke();
            out.setLineDashPattern(new float[0], 0);
            for (double middle : new double[] {4.5, sheet.widthMm() - 4.5}) {
                out.moveTo(x(middle), y(1.8));
                out.lineTo(x(middle + 2), y(3.8));
                out.lineTo(x(middle), y(5.8));
                out.lineTo(x(middle - 2), y(3.8));
                out.fill();
            }
            words(bold, 9, 8, 5.2, sheet.widthMm() - 16, "REGULATED SOIL");
        }

        private void plate(int keyWell, double from, double at) throws IOException {
            out.setLineWidth(points(0.2));
            for (int well = 0; well < Well.PER_TRAY; well++) {
                circle(from + 1.8 + 3.5 * (well % 4), at + 1.8 + 3.5 * (well / 4), 1.3, well == keyWell);
            }
        }

        private void circle(double middle, double at, double radius, boolean filled) throws IOException {
            double k = 0.5522847498 * radius; // a quarter circle as a Bézier curve
            out.moveTo(x(middle + radius), y(at));
            out.curveTo(x(middle + radius), y(at + k), x(middle + k), y(at + radius), x(middle), y(at + radius));
            out.curveTo(x(middle - k), y(at + radius), x(middle - radius), y(at + k), x(middle - radius), y(at));
            out.curveTo(x(middle - radius), y(at - k), x(middle - k), y(at - radius), x(middle), y(at - radius));
            out.curveTo(x(middle + k), y(at - radius), x(middle + radius), y(at - k), x(middle + radius), y(at));
            if (filled) {
                out.fill();
            } else {
                out.stroke();
            }
        }

        private void rectangle(double from, double at, double width, double height) throws IOException {
            out.addRect(x(from), y(at + height), points(width), points(height));
            out.fill();
        }

        /** A line of words, smaller where it would be too long, and cut where that is not enough. */
        private void words(PDFont font, double size, double from, double base, double room, String text)
                throws IOException {
            String shown = shown(font, text);
            double wide = font.getStringWidth(shown) / 1000 * size;
            double fitted = Math.max(size * 0.6, Math.min(size, size * points(room) / Math.max(1, wide)));
            while (shown.length() > 1 && font.getStringWidth(shown) / 1000 * fitted > points(room) + 0.5) {
                shown = shown.substring(0, shown.length() - 2) + "…";
            }
            out.beginText();
            out.setFont(font, (float) fitted);
            out.newLineAtOffset(x(from), y(base));
            out.showText(shown);
            out.endText();
        }

        private float x(double mm) {
            return points(left + mm);
        }

        private float y(double mm) {
            return points(sheet.pageHeightMm() - top - mm);
        }
    }
}
