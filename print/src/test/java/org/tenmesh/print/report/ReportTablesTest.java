package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import com.openhtmltopdf.newtable.TableCellBox;
import com.openhtmltopdf.render.Box;
import com.openhtmltopdf.render.InlineLayoutBox;
import com.openhtmltopdf.render.InlineText;
import com.openhtmltopdf.render.LineBox;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.report.ClientReport;
import org.w3c.dom.Element;

/** The tables of a report of many soils: what stands in one line, what stands together, and how many pages it takes. */
class ReportTablesTest {
    @ParameterizedTest
    @EnumSource(ReportForm.Paper.class)
    void everyWordOfAHeadAndEveryNumberStandsInItsColumn(ReportForm.Paper paper) {
        List<String> broken = new ArrayList<>();
        List<String> seen = new ArrayList<>();
        for (ClientReport report :
                List.of(SampleReports.report(12), SampleReports.report(48), SampleReports.whole(12))) {
            Reports.layOut(report, new ReportForm(paper, ReportForm.Layout.TABLE), root -> cells(root, seen, broken));
        }
        assertThat(broken).isEmpty();
        assertThat(seen).contains("calcium", "cmol/kg", "phosphorus");
    }

    private static void cells(Box box, List<String> seen, List<String> broken) {
        if (box instanceof TableCellBox cell && cell.getElement() != null && inBand(cell.getElement())) {
            boolean head = cell.getElement().getTagName().equals("th");
            List<LineBox> lines = new ArrayList<>();
            lines(cell, lines);
            boolean below = table(cell.getElement()).getAttribute("class").contains("below");
            for (LineBox line : lines) {
                String words = words(line).strip();
                if (line.getContentWidth() > cell.getContentWidth() + 1) {
                    broken.add(words + " is wider than its column");
                }
                if (head) {
                    seen.addAll(List.of(words.split("[ \u2009]")));
                }
            }
            boolean number = cell.getElement().getAttribute("class").equals("n");
            if (number && lines.size() > (below ? 2 : 1)) {
                broken.add(words(cell) + " takes " + lines.size() + " lines");
            }
        }
        box.getChildren().forEach(child -> cells(child, seen, broken));
    }

    private static Element table(Element cell) {
        return (Element) cell.getParentNode().getParentNode().getParentNode();
    }

    private static boolean inBand(Element cell) {
        return table(cell).getAttribute("class").startsWith("band");
    }

    private static void lines(Box box, List<LineBox> lines) {
        if (box instanceof LineBox line) {
            lines.add(line);
        }
        box.getChildren().forEach(child -> lines(child, lines));
    }

    private static String words(Box box) {
        StringBuilder words = new StringBuilder();
        if (box instanceof InlineLayoutBox inline) {
            for (Object child : inline.getInlineChildren()) {
                words.append(child instanceof InlineText text ? text.getSubstring() : words((Box) child));
            }
        }
        box.getChildren().forEach(child -> words.append(words(child)));
        return words.toString();
    }

    /** Soils to pages; a wider column must not cost pages without anybody noticing. */
    @ParameterizedTest
    @CsvSource({"12,4", "50,9"})
    void takesNoMorePagesThanItsColumnsNeed(int soils, int pages) throws IOException {
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.whole(soils)))) {
            assertThat(document.getNumberOfPages()).isEqualTo(pages);
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {20, 23, 26, 29, 32, 35, 38, 41})
    void keepsTheHeadOfATableWithARowOfIt(int soils) throws IOException {
        int heads = 0;
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.whole(soils)))) {
            for (int page = 1; page <= document.getNumberOfPages(); page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setSortByPosition(true);
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                String[] parts = stripper.getText(document).split("(?m)^lab number", -1);
                for (int part = 1; part < parts.length; part++) {
                    heads++;
                    assertThat(parts[part]).as("page %d", page).containsPattern("26329-\\d{4}-");
                }
            }
        }
        assertThat(heads).isGreaterThanOrEqualTo(3);
    }

    @Test
    void aColumnIsAsWideAsItsUnitAndTheLongestWordOfItsName() {
        for (Unit unit : Unit.values()) {
            assertThat(ColumnWidths.head("K", "1", unit.spelling()))
                    .isGreaterThan(Glyphs.widthPt(unit.spelling(), ColumnWidths.UNIT_PT, false));
        }
        assertThat(ColumnWidths.head("exchangeable potassium", "12", ""))
                .isGreaterThan(Glyphs.widthPt("exchangeable", ColumnWidths.NAME_PT, false))
                .isLessThan(Glyphs.widthPt("exchangeable potassium", ColumnWidths.NAME_PT, false));
    }

    /** In the shipped fonts a figure space is as wide as a digit, and a punctuation space as wide as a point. */
    @Test
    void numbersOfAColumnAreEquallyWideAfterTheirPoint() {
        DecimalColumn column = new DecimalColumn(2, 4, 1);
        double width = Glyphs.widthPt(".12", 8, false);
        for (String text : List.of("6", "6.1", "6.12", "< 0.1", "12345.1")) {
            String laid = column.value(text);
            int end = text.indexOf('.') < 0 ? text.length() : laid.indexOf('.');
            assertThat(Glyphs.widthPt(laid.substring(end), 8, false)).as(text).isCloseTo(width, Offset.offset(1e-9));
        }
        double uncertain = Glyphs.widthPt(column.uncertainty("1234.5"), 6, false);
        for (String text : List.of("", "1", "12", "123.4", "1234")) {
            assertThat(Glyphs.widthPt(column.uncertainty(text), 6, false))
                    .as(text)
                    .isCloseTo(uncertain, Offset.offset(1e-9));
        }
        assertThat(DecimalColumn.grouped("1234567.891")).isEqualTo("1\u2009234\u2009567.891");
        assertThat(DecimalColumn.grouped("< 1000")).isEqualTo("< 1\u2009000");
        assertThat(DecimalColumn.grouped("999")).isEqualTo("999");
    }

    @Test
    void roomIsSharedSoThatNarrowColumnsComeNearWideOnes() {
        assertThat(ColumnWidths.shared(List.of(38.0, 30.0, 25.0), 105, 44))
                .containsExactly(new double[] {38, 33.5, 33.5}, Offset.offset(1e-6));
        assertThat(ColumnWidths.shared(List.of(20.0, 20.0), 300, 44))
                .containsExactly(new double[] {44, 44}, Offset.offset(1e-6));
        assertThat(ColumnWidths.shared(List.of(60.0, 40.0), 50, 44))
                .containsExactly(new double[] {30, 20}, Offset.offset(1e-6));
    }
}
