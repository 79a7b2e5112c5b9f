package org.tenmesh.print.labels;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Map;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;

/** The sheet by which trays are filled: which lab number lies in which well, and which control soil a hidden control is. Sealed. */
public final class LayoutSheet {
    private static final double MARGIN_MM = 15;
    private static final double LINE_MM = 5.2;
    private static final int TRAYS_ACROSS = 3;
    private static final int WELLS = 13;

    private LayoutSheet() {}

    /**
     * @param title what the sheet is of, on every page
     * @param controls material by lab number
     */
    public static byte[] pdf(String title, List<Tray> trays, Map<LabNumber, String> controls) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (PDDocument document = new PDDocument()) {
            PDFont bold = LabelPages.font(document, "NotoSans-Bold.ttf");
            PDFont regular = LabelPages.font(document, "NotoSans-Regular.ttf");
            double height = 297;
            int down = (int) ((height - 2 * MARGIN_MM - 3 * LINE_MM) / ((WELLS + 1) * LINE_MM));
            int each = TRAYS_ACROSS * down;
            for (int from = 0; from < Math.max(1, trays.size()); from += each) {
                PDPage page = new PDPage(PDRectangle.A4);
                document.addPage(page);
                try (PDPageContentStream out = new PDPageContentStream(document, page)) {
                    words(out, bold, 11, MARGIN_MM, height - MARGIN_MM, title);
                    words(
                            out,
                            regular,
                            8,
                            MARGIN_MM,
                            height - MARGIN_MM - LINE_MM,
                            "Sealed: for the person who lays out trays. Destroy it when the trays are filled. A line in bold is a hidden control.");
                    for (int i = from; i < Math.min(trays.size(), from + each); i++) {
                        double x = MARGIN_MM + (i - from) % TRAYS_ACROSS * 62;
                        double y = height - MARGIN_MM - 3 * LINE_MM - (i - from) / TRAYS_ACROSS * (WELLS + 1) * LINE_MM;
                        tray(out, bold, regular, trays.get(i), controls, x, y);
                    }
                }
            }
            document.getDocumentInformation().setProducer("Tenmesh");
            document.save(bytes);
        } catch (IOException failed) {
            throw new UncheckedIOException("the layout sheet cannot be written", failed);
        }
        return bytes.toByteArray();
    }

    private static void tray(
            PDPageContentStream out,
            PDFont bold,
            PDFont regular,
            Tray tray,
            Map<LabNumber, String> controls,
            double x,
            double y)
            throws IOException {
        words(out, bold, 9, x, y, "Tray " + tray.tray());
        int line = 1;
        for (Tray.Place place : tray.wells()) {
            String material = place.labNumber().map(controls::get).orElse(null);
            String says = place.purpose() == Tray.Purpose.KEY
                    ? "leave empty (key well)"
                    : place.labNumber().map(LabNumber::text).orElse("empty");
            words(
                    out,
                    material == null ? regular : bold,
                    8,
                    x,
                    y - line++ * LINE_MM,
                    place.well() + "   " + says + (material == null ? "" : "   " + material));
        }
    }

    private static void words(PDPageContentStream out, PDFont font, float size, double x, double y, String text)
            throws IOException {
        out.beginText();
        out.setFont(font, size);
        out.newLineAtOffset(LabelPages.points(x), LabelPages.points(y));
        out.showText(LabelPages.shown(font, text));
        out.endText();
    }
}
