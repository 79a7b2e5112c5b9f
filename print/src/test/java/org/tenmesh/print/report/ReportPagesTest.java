package org.tenmesh.print.report;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.report.ClientReport;

/** Pages are filled, no head stands without its rows, and what cannot be printed is said. */
class ReportPagesTest {
    private static final String ROW = "26\\d{3}-\\d{4}-\\w .*";

    private static List<List<String>> pages(byte[] pdf) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            List<List<String>> pages = new ArrayList<>();
            for (int page = 1; page <= document.getNumberOfPages(); page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setSortByPosition(true);
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                pages.add(stripper.getText(document).lines().map(String::strip).toList());
            }
            return pages;
        }
    }

    private static long rows(List<String> page) {
        return page.stream().filter(line -> line.matches(ROW)).count();
    }

    /** Of 31 columns in three bands; a page of A4 across has room for some thirty soils. */
    @Test
    void fillsItsPagesAndLeavesNoHeadAloneAtTheFootOfOne() throws IOException {
        List<List<String>> pages = pages(Reports.pdf(SampleReports.whole(48)));
        List<List<String>> results = pages.stream()
                .takeWhile(page -> page.stream().noneMatch(line -> line.contains("Regional advice")))
                .toList();
        assertThat(results).hasSizeLessThanOrEqualTo(5);
        assertThat(results.stream().mapToLong(ReportPagesTest::rows).sum()).isEqualTo(3 * 48);
        for (List<String> page : results.subList(0, results.size() - 1)) {
            assertThat(rows(page)).as(String.join("\n", page)).isGreaterThanOrEqualTo(28);
            int lastHead = -1;
            int lastRow = -1;
            for (int i = 0; i < page.size(); i++) {
                lastHead = page.get(i).contains("lab number") ? i : lastHead;
                lastRow = page.get(i).matches(ROW) ? i : lastRow;
            }
            assertThat(lastRow).isGreaterThan(lastHead);
        }
    }

    /** A class of three words takes one line: three lines for each soil were a third of the pages. */
    @Test
    void setsTheTextureOfASoilInOneLine() throws IOException {
        assertThat(pages(Reports.pdf(SampleReports.whole(12))).stream()
                        .flatMap(List::stream)
                        .filter(line -> line.contains("sandy clay loam")))
                .isNotEmpty()
                .allMatch(line -> line.matches(ROW));
    }

    @Test
    void saysWhichCharactersItCannotPrint() throws IOException {
        String client = "農場 สวน 토양 Ωμέγα \uD83C\uDF3E";
        ClientReport odd = SampleReports.report(3, client, "北 %d", true);
        assertThat(Unprintable.of(odd)).containsExactly(client, "北 1", "北 2", "北 3");
        assertThat(pages(Reports.pdf(odd)).get(0)).anyMatch(line -> line.startsWith("□ stands for a character"));
        assertThat(pages(Reports.preview(odd, ReportForm.defaults())).get(0))
                .anyMatch(line -> line.startsWith("□ stands for a character"));
        assertThat(new String(ReportFiles.csv(odd), UTF_8)).contains("北 1");

        ClientReport plain = SampleReports.report(3, "Gärtnerei Łąka, Полина, Ωμέγα, שדה, □", "F %d", true);
        assertThat(Unprintable.of(plain)).isEmpty();
        assertThat(pages(Reports.pdf(plain)).get(0)).noneMatch(line -> line.contains("stands for a character"));
    }
}
