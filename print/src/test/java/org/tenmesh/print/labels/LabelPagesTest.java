package org.tenmesh.print.labels;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.google.zxing.BarcodeFormat;
import com.google.zxing.BinaryBitmap;
import com.google.zxing.DecodeHintType;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.Result;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.oned.Code128Reader;
import java.awt.image.BufferedImage;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Layout;

/** Labels are read back by a general bar code library from the rendered page, at the place where the sheet has its labels. */
class LabelPagesTest {
    private static final int DPI = 300;

    static List<String> sheets() {
        return List.copyOf(LabelSheet.common().keySet());
    }

    private static List<Label> labels() {
        return List.of(
                Label.soil(LabNumber.of(LocalDate.of(2026, 11, 25), 417), "T0001 B3", false),
                Label.tray("T0001", OptionalInt.of(5), false),
                Label.tray("T0002", OptionalInt.of(0), true),
                Label.soil(LabNumber.of(LocalDate.of(2026, 11, 25), 12345), "T0100 A1", true),
                Label.rack("R-012", true),
                Label.box("SUB-2201", "Hollow Lane Farm (invented), 14 soils", false),
                Label.badge("B7K2M9Q4", "M. Whelan (invented)", "bench"));
    }

    @ParameterizedTest
    @MethodSource("sheets")
    void everyLabelIsReadWhereTheSheetHasIt(String name) throws Exception {
        LabelSheet sheet = LabelSheet.of(name).orElseThrow();
        int start = Math.min(3, sheet.size());
        List<Label> labels = labels();
        try (PDDocument document = Loader.loadPDF(LabelPages.pdf(labels, sheet, start))) {
            int place = start - 1;
            int page = 0;
            List<BufferedImage> pages = new ArrayList<>();
            for (int i = 0; i < document.getNumberOfPages(); i++) {
                pages.add(new PDFRenderer(document).renderImageWithDPI(i, DPI));
            }
            for (Label label : labels) {
                if (place == sheet.size()) {
                    place = 0;
                    page++;
                }
                assertThat(read(pages.get(page), sheet, place)).isEqualTo(label.bars());
                place++;
            }
            assertThat(page).isEqualTo(document.getNumberOfPages() - 1);
            String text = new PDFTextStripper().getText(document);
            labels.forEach(label -> assertThat(text).contains(label.large()));
            assertThat(text.split("REGULATED SOIL", -1)).hasSize(4);
        }
    }

    @Test
    void placesUsedUpStayEmpty() throws Exception {
        LabelSheet sheet = LabelSheet.of("A4, 3 x 8").orElseThrow();
        try (PDDocument document = Loader.loadPDF(LabelPages.pdf(labels().subList(0, 1), sheet, 5))) {
            BufferedImage image = new PDFRenderer(document).renderImageWithDPI(0, 100);
            for (int place = 0; place < sheet.size(); place++) {
                assertThat(dark(image, sheet, place)).as("place " + place).isEqualTo(place == 4);
            }
        }
    }

    @Test
    void whatCannotBeReadIsNotPrinted() {
        LabelSheet small = LabelSheet.of("Printer, 57 x 32 mm").orElseThrow();
        assertThatThrownBy(() -> LabelPages.pdf(List.of(Label.rack("R".repeat(40), false)), small, 1))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("take a wider label");
        assertThatThrownBy(() -> LabelPages.pdf(labels(), small, 2)).isInstanceOf(IllegalArgumentException.class);
        assertThatThrownBy(() -> Label.rack("", false)).isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void aSheetOfOnesOwnIsWrittenInMillimetresAndMustFit() {
        assertThat(LabelSheet.of("210x297 3x8 63.5x33.9 at 7.2,12.9 every 66x33.9"))
                .isEqualTo(LabelSheet.of("A4, 3 x 8"));
        assertThat(LabelSheet.of("210x297 4x8 63.5x33.9 at 7.2,12.9 every 66x33.9"))
                .isEmpty();
        assertThat(LabelSheet.of("210x297 3x8 63.5x33.9 at 7.2,12.9 every 60x33.9"))
                .isEmpty();
        assertThat(LabelSheet.of("anything")).isEmpty();
    }

    @Test
    void theLayoutSheetNamesEveryWellAndEveryControl() throws Exception {
        Layout.Plan plan = Layout.plan(
                100,
                List.of("LOAM", "SAND"),
                new Layout.Start(LocalDate.of(2026, 11, 25), 1, 1),
                Layout.Rules.defaults(),
                9);
        try (PDDocument document =
                Loader.loadPDF(LayoutSheet.pdf("Layout of 2026-11-25", plan.trays(), plan.controls()))) {
            String text = new PDFTextStripper().getText(document);
            plan.soils().forEach(soil -> assertThat(text).contains(soil.text()));
            for (Map.Entry<LabNumber, String> control : plan.controls().entrySet()) {
                assertThat(text).contains(control.getKey().text() + "   " + control.getValue());
            }
        }
    }

    private static BufferedImage cut(BufferedImage page, LabelSheet sheet, int place, int dpi) {
        double left = sheet.leftMm() + place % sheet.columns() * sheet.acrossMm();
        double top = sheet.topMm() + place / sheet.columns() * sheet.downMm();
        int x = (int) (left / 25.4 * dpi);
        int y = (int) (top / 25.4 * dpi);
        return page.getSubimage(
                x,
                y,
                Math.min(page.getWidth() - x, (int) (sheet.widthMm() / 25.4 * dpi)),
                Math.min(page.getHeight() - y, (int) (sheet.heightMm() / 25.4 * dpi)));
    }

    private static boolean dark(BufferedImage page, LabelSheet sheet, int place) {
        BufferedImage label = cut(page, sheet, place, 100);
        for (int y = 2; y < label.getHeight() - 2; y++) {
            for (int x = 2; x < label.getWidth() - 2; x++) {
                if ((label.getRGB(x, y) & 0xff) < 128) {
                    return true;
                }
            }
        }
        return false;
    }

    private static String read(BufferedImage page, LabelSheet sheet, int place) throws Exception {
        BufferedImage label = cut(page, sheet, place, DPI);
        int[] pixels = label.getRGB(0, 0, label.getWidth(), label.getHeight(), null, 0, label.getWidth());
        Result result = new Code128Reader()
                .decode(
                        new BinaryBitmap(new HybridBinarizer(
                                new RGBLuminanceSource(label.getWidth(), label.getHeight(), pixels))),
                        Map.of(DecodeHintType.TRY_HARDER, Boolean.TRUE));
        assertThat(result.getBarcodeFormat()).isEqualTo(BarcodeFormat.CODE_128);
        return result.getText();
    }
}
