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
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.report.ClientReport;
import org.w3c.dom.Element;

/** The tables of a report of many soils: what stands in one line, what stands together, and how many pages it takes. */
class ReportTablesTest {
    @ParameterizedTest
    @EnumSource(Paper.class)
    void headsOfColumnsStandInTwoLinesAndNumbersInTheirCells(Paper paper) {
        List<String> broken = new ArrayList<>();
        List<String> seen = new ArrayList<>();
        for (ClientReport report : List.of(SampleReports.report(12), SampleReports.whole(12))) {
            Reports.layOut(report, paper, root -> cells(root, seen, broken));
        }
        assertThat(broken).isEmpty();
        assertThat(seen).contains("Ca_sat", "acidity", "mg/kg", "cmol/kg");
    }

    private static void cells(Box box, List<String> seen, List<String> broken) {
        if (box instanceof TableCellBox cell && cell.getElement() != null) {
            String kind = cell.getElement().getAttribute("class");
            boolean head = kind.startsWith("column");
            boolean number = cell.getElement().getTagName().equals("td")
                    && cell.getElement().getParentNode().getParentNode().getParentNode() instanceof Element table
                    && table.getAttribute("class").equals("matrix")
                    && cell.getElement().getElementsByTagName("div").getLength() == 0;
            if (head || number) {
                List<LineBox> lines = new ArrayList<>();
                lines(cell, lines);
                String text = "";
                for (LineBox line : lines) {
                    String words = words(line).strip();
                    text += words + "|";
                    if (line.getContentWidth() > cell.getContentWidth() + 1) {
                        broken.add(words + " is wider than its column");
                    }
                    if (head) {
                        seen.addAll(List.of(words.split("[ \u00a0]")));
                    }
                }
                if (lines.size() > 2) {
                    broken.add(text + " takes " + lines.size() + " lines");
                }
            }
        }
        box.getChildren().forEach(child -> cells(child, seen, broken));
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
    @CsvSource({"12,6", "50,13"})
    void takesNoMorePagesThanItsColumnsNeed(int soils, int pages) throws IOException {
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.whole(soils)))) {
            assertThat(document.getNumberOfPages()).isEqualTo(pages);
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {20, 23, 26, 29, 32, 35, 38, 41})
    void keepsAHeadingWithTheFirstRowOfItsTable(int soils) throws IOException {
        ClientReport report = SampleReports.whole(soils);
        String firstSoil = report.soils().get(0).soil().labNumber().text();
        int headings = 0;
        try (PDDocument document = Loader.loadPDF(Reports.pdf(report))) {
            for (int page = 1; page <= document.getNumberOfPages(); page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setSortByPosition(true);
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                String text = stripper.getText(document);
                for (String heading : List.of(
                        "Results\\R", "Results, continued", "Calculated from these results", "Calculated, continued")) {
                    String[] parts = text.split("(?m)^" + heading, -1);
                    for (int part = 1; part < parts.length; part++) {
                        headings++;
                        assertThat(parts[part])
                                .as("page %d, under %s", page, heading)
                                .contains(firstSoil);
                    }
                }
            }
        }
        assertThat(headings).isGreaterThanOrEqualTo(3);
    }

    @Test
    void aColumnIsAsWideAsItsUnit() {
        for (Unit unit : Unit.values()) {
            assertThat(ColumnWidths.head("K", "1", unit))
                    .isGreaterThan(Glyphs.widthPt(unit.spelling(), ColumnWidths.UNIT_PT, false));
        }
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
