package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureElement;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureNode;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.graphics.form.PDFormXObject;
import org.apache.pdfbox.text.PDFTextStripper;
import org.apache.pdfbox.text.TextPosition;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.svg.Svg;

class ReportsTest {
    private static String text(byte[] pdf) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            PDFTextStripper stripper = new PDFTextStripper();
            stripper.setSortByPosition(true);
            return plain(stripper.getText(document));
        }
    }

    private static String plain(String text) {
        return text.replaceAll("[\\s\\u00a0]+", " ");
    }

    @ParameterizedTest
    @CsvSource({"1,2", "4,3", "12,2", "60,4"})
    void printsEveryResultWithItsUncertaintyOnTheExpectedNumberOfPages(int soils, int pages) throws Exception {
        ClientReport report = SampleReports.report(soils);
        byte[] pdf = Reports.pdf(report);
        String text = text(pdf);
        for (ReportedSoil soil : report.soils()) {
            assertThat(text).contains(soil.soil().labNumber().text());
            assertThat(text).contains(soil.soil().clientLabel().orElseThrow());
            for (Line line : soil.lines()) {
                ReleasedResult result = line.result();
                if (!result.reported().isEmpty()) {
                    assertThat(text).contains(result.reported());
                }
                if (!result.uncertainty().isEmpty()) {
                    assertThat(text).contains("± " + result.uncertainty());
                }
            }
        }
        try (PDDocument document = Loader.loadPDF(pdf)) {
            assertThat(document.getNumberOfPages()).isEqualTo(pages);
            for (int page = 1; page <= pages; page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                assertThat(plain(stripper.getText(document)))
                        .contains("page " + page + " of " + pages)
                        .contains("invented")
                        .contains("submission 2207 · Revision");
            }
        }
    }

    @Test
    void printsEachSoilsResultsInItsOwnRow() throws Exception {
        ClientReport report = SampleReports.report(12);
        String text = text(Reports.pdf(report));
        for (ReportedSoil soil : report.soils()) {
            StringBuilder row = new StringBuilder(soil.soil().labNumber() + " 0 to "
                    + Svg.number(soil.soil().bottomCm().orElseThrow()) + " cm");
            boolean held = false;
            for (Line line : soil.lines()) {
                held |= line.result().reported().isEmpty();
                row.append(' ').append(line.result().reported());
            }
            if (!held) {
                assertThat(text).contains(row);
            }
        }
    }

    @Test
    void saysWhatWasHeldAndWhy() throws Exception {
        String text = text(Reports.pdf(SampleReports.report(12)));
        assertThat(text)
                .contains("Held back, and why")
                .contains("a " + SampleReports.LITTLE)
                .contains("organic matter: 26329-0418-R")
                .contains("b " + SampleReports.DRIFT)
                .contains("potassium, magnesium: 26329-0425-T, 26329-0426-R, 26329-0427-P, 26329-0428-N");
        assertThat(text.split("▲ held", -1))
                .as("one mark in a cell for each held result")
                .hasSize(1 + 9);
    }

    @Test
    void saysNothingOfHoldingWhenNothingWasHeld() throws Exception {
        assertThat(text(Reports.pdf(SampleReports.report(1)))).doesNotContain("Held back");
    }

    @Test
    void carriesWhatAReaderMustKnow() throws Exception {
        String text = text(Reports.pdf(SampleReports.report(1)));
        assertThat(text)
                .contains("Ashgrove Soil Laboratory", "3 Millrace Lane", "County Nowhere")
                .contains("Furrow & Field Agronomy", "Received 23 November 2026, 09:12 Europe/Dublin")
                .contains("Revision 2: redo of potassium")
                .contains("This revision replaces revision 1 of the same submission in full.")
                .contains("Results relate to the items as received. Sampling")
                .contains("The scale is no interpretation")
                .contains("local recommendations, the law of the place, and licensed or certified practice")
                .contains("coverage factor k = 2")
                .contains("Mehlich-3 extract, plasma emission version of 1 March 2026")
                .contains("keeps the sources of each method")
                .doesNotContain("from memory", "common practice")
                .contains("Phosphorus read by plasma emission is usually higher")
                .contains("Released by M. Quill, quality, 25 November 2026, 16:41 Europe/Dublin");
    }

    @Test
    void marksOnlyAMadeUpLaboratoryAsInvented() throws Exception {
        byte[] real = Reports.pdf(SampleReports.report(3, "Client", "Field %d", false));
        assertThat(text(real)).doesNotContain("invented");
    }

    @Test
    void isTaggedTitledAndInEnglish() throws Exception {
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.report(12)))) {
            assertThat(document.getDocumentInformation().getTitle())
                    .isEqualTo("Soil report 2207, Furrow & Field Agronomy");
            assertThat(document.getDocumentCatalog().getLanguage()).isEqualTo("en");
            assertThat(document.getDocumentCatalog().getMarkInfo().isMarked()).isTrue();
            List<String> types = new ArrayList<>();
            collect(document.getDocumentCatalog().getStructureTreeRoot(), types);
            assertThat(types).contains("Document", "H1", "H2", "Table", "TR", "TH", "TD", "L", "LI");
            assertThat(types.stream().filter("TD"::equals).count())
                    .as("a cell for each of 12 x 14 results at least")
                    .isGreaterThanOrEqualTo(168);
            assertThat(document.getDocumentCatalog().getDocumentOutline().children())
                    .hasSize(4);
        }
    }

    @Test
    void describesEveryDrawingInWords() throws Exception {
        ClientReport report = SampleReports.report(2);
        List<String> described = new ArrayList<>();
        try (PDDocument document = Loader.loadPDF(Reports.pdf(report))) {
            describe(document.getDocumentCatalog().getStructureTreeRoot(), described);
        }
        assertThat(described)
                .hasSize(28)
                .contains("pH 6.7: 53 % of the scale", "sulfur < 4 mg/kg: below the reporting limit");
    }

    @Test
    void drawsInEveryDrawing() throws Exception {
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.report(1)))) {
            int drawn = 0;
            for (PDPage page : document.getPages()) {
                for (COSName name : page.getResources().getXObjectNames()) {
                    if (page.getResources().getXObject(name) instanceof PDFormXObject drawing) {
                        assertThat(drawing.getContents().readAllBytes()).hasSizeGreaterThan(100);
                        drawn++;
                    }
                }
            }
            assertThat(drawn).isEqualTo(14);
        }
    }

    private static void describe(PDStructureNode node, List<String> described) {
        for (Object kid : node.getKids()) {
            if (kid instanceof PDStructureElement element) {
                if (element.getStructureType().equals("Figure")) {
                    described.add(element.getAlternateDescription());
                }
                describe(element, described);
            }
        }
    }

    private static void collect(PDStructureNode node, List<String> types) {
        for (Object kid : node.getKids()) {
            if (kid instanceof PDStructureElement element) {
                types.add(element.getStructureType());
                collect(element, types);
            }
        }
    }

    @Test
    void embedsEveryFontItUses() throws Exception {
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.report(12)))) {
            Set<String> fonts = new HashSet<>();
            for (PDPage page : document.getPages()) {
                for (COSName name : page.getResources().getFontNames()) {
                    PDFont font = page.getResources().getFont(name);
                    assertThat(font.isEmbedded()).as(font.getName()).isTrue();
                    fonts.add(font.getName().replaceAll("^[A-Z]+\\+", ""));
                }
            }
            assertThat(fonts).containsExactlyInAnyOrder("NotoSans-Regular", "NotoSans-Bold", "DejaVuSans");
        }
    }

    @Test
    void reachesForNothingOutside() throws Exception {
        String address = "http://198.51.100.7/x.png";
        byte[] pdf =
                Reports.pdf(SampleReports.report(2, "<img src=\"" + address + "\"/>", "<object data='x'> %d", true));
        assertThat(text(pdf)).contains("<img src=\"" + address + "\"/>").contains("<object data='x'> 1");
        try (PDDocument document = Loader.loadPDF(pdf)) {
            for (PDPage page : document.getPages()) {
                for (COSName name : page.getResources().getXObjectNames()) {
                    assertThat(page.getResources().isImageXObject(name)).isFalse();
                }
            }
        }
    }

    @Test
    void givesTheSameBytesForTheSameRelease() {
        ClientReport report = SampleReports.report(5);
        assertThat(Reports.pdf(report)).isEqualTo(Reports.pdf(report));
    }

    @Test
    void datesTheDocumentByItsRelease() throws Exception {
        ClientReport report = SampleReports.report(1);
        try (PDDocument document = Loader.loadPDF(Reports.pdf(report))) {
            assertThat(document.getDocumentInformation().getCreationDate().toInstant())
                    .isEqualTo(report.release().signedAt().toInstant());
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"A4", "LETTER"})
    void keepsEveryWordInsideTheMarginsHoweverLongTheLabels(String paper) throws Exception {
        String endless = "Lower-Meadow-behind-the-old-mill-along-the-river-as-far-as-the-third-gate-%d";
        String unbroken = "Wiesengrundstücksverwaltungsgesellschaftsnachfolgerinnenverzeichnisnummernfolge%d";
        for (int soils : new int[] {2, 12}) {
            for (String label : List.of(endless, unbroken)) {
                byte[] pdf = Reports.pdf(
                        SampleReports.report(soils, unbroken + " & " + unbroken, label, true), Paper.valueOf(paper));
                assertInside(pdf, Paper.valueOf(paper));
            }
        }
    }

    private static void assertInside(byte[] pdf, Paper paper) throws IOException {
        PDRectangle size = paper == Paper.A4 ? PDRectangle.A4 : PDRectangle.LETTER;
        try (PDDocument document = Loader.loadPDF(pdf)) {
            for (PDPage page : document.getPages()) {
                assertThat(page.getMediaBox().getWidth()).isCloseTo(size.getWidth(), Offset.offset(0.5f));
                assertThat(page.getMediaBox().getHeight()).isCloseTo(size.getHeight(), Offset.offset(0.5f));
            }
            PDFTextStripper stripper = new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    if (!text.getUnicode().isBlank()) {
                        assertThat((double) text.getXDirAdj())
                                .as("left of \"%s\"", text.getUnicode())
                                .isGreaterThanOrEqualTo(40);
                        assertThat((double) text.getXDirAdj() + text.getWidthDirAdj())
                                .as("right of \"%s\"", text.getUnicode())
                                .isLessThanOrEqualTo(size.getWidth() - 40);
                        assertThat((double) text.getYDirAdj()).isBetween(10.0, size.getHeight() - 10.0);
                    }
                    super.processTextPosition(text);
                }
            };
            assertThat(stripper.getText(document)).isNotEmpty();
        }
    }

    @Test
    void printsNamesOfOtherScriptsAndShowsWhereACharacterIsMissing() throws Exception {
        byte[] pdf = Reports.pdf(SampleReports.report(2, "Žďár & Łąka, Ωμέγα, Полина, 農場", "Øvre Åker %d", true));
        assertThat(text(pdf)).contains("Žďár & Łąka, Ωμέγα, Полина, □□").contains("Øvre Åker 1");
        assertThat(Glyphs.printable("a\u0000b\u200Fc\nd\uD83C\uDF3E")).isEqualTo("a bc d□");
    }

    @Test
    void printsAReportOfNothing() throws Exception {
        ClientReport empty = new ClientReport(
                MadeLaboratory.named("L")
                        .in("Nowhere/Zone")
                        .policy(Laboratory.unnamed().policy())
                        .laboratory(),
                MadeSubmission.named("1")
                        .client("")
                        .receivedAt(OffsetDateTime.parse("2026-11-23T09:12:00Z"))
                        .submission(),
                new Release("1", 1, "", OffsetDateTime.parse("2026-11-25T16:41:00Z"), "", List.of()),
                List.of(),
                List.of());
        assertThat(text(Reports.pdf(empty))).contains("Soil report L Revision 1", "09:12 UTC");
    }

    @Test
    void leavesOpenWhatASoilWasNotAskedFor() throws Exception {
        ClientReport report = SampleReports.report(6);
        List<ReportedSoil> soils = new ArrayList<>(report.soils());
        Soil bare = MadeSoil.numbered(new LabNumber("X-1")).regulated(true).soil();
        soils.add(new ReportedSoil(bare, soils.get(0).lines().subList(0, 1)));
        String text = text(Reports.pdf(
                new ClientReport(report.laboratory(), report.submission(), report.release(), soils, report.methods())));
        assertThat(text).contains("X-1 6.7 – – – – – – – – – – – – –").contains("regulated soil");
    }

    @Test
    void splitsMoreAnalytesThanAPageIsWideIntoTwoTables() throws Exception {
        ClientReport report = SampleReports.report(6);
        List<ReportedSoil> doubled = new ArrayList<>();
        Method again = report.methods().get(2);
        for (ReportedSoil soil : report.soils()) {
            List<Line> lines = new ArrayList<>(soil.lines());
            for (Line line : soil.lines()) {
                if (line.method().equals(again)) {
                    lines.add(new Line(report.methods().get(0), line.analyte(), line.result(), line.share()));
                }
            }
            doubled.add(new ReportedSoil(soil.soil(), lines));
        }
        byte[] pdf = Reports.pdf(new ClientReport(
                report.laboratory(), report.submission(), report.release(), doubled, report.methods()));
        assertThat(text(pdf)).contains("Results, continued");
        assertInside(pdf, Paper.A4);
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 12})
    void setsWhatIsCalculatedAndAdviceApart(int soils) throws Exception {
        byte[] pdf = Reports.pdf(SampleReports.whole(soils));
        String text = text(pdf);
        int calculated =
                text.indexOf(soils > 5 ? "Calculated from these results" : "Exchange capacity by summation", 600);
        int advice = text.indexOf("Regional advice");
        assertThat(calculated).isPositive();
        assertThat(advice).isGreaterThan(calculated);
        assertThat(text.substring(advice))
                .contains("for County Nowhere (invented) and nowhere else. " + SampleReports.DEFERENCE)
                .contains("Advice signed by M. Quill, quality, 25 November 2026");
        assertThat(text)
                .contains("Advice in this report stands apart")
                .doesNotContain("advises no rates")
                .contains("pastes were made with deionised")
                .contains("CEC = k / mg")
                .contains("Base saturation version of 1 November 2026");
        assertInside(pdf, Paper.A4);
    }

    @Test
    void tellsApartWhatStandsInPlaceOfANumber() throws Exception {
        String matrix = text(Reports.pdf(SampleReports.whole(12)));
        assertThat(matrix)
                .contains("< below the reporting limit;", "> above what the method can state;")
                .contains("sat.: saturated, more than the detector can measure;")
                .contains("too little: not enough soil was sent for this portion;")
                .contains("– not asked for;", "held back, the reason stands below");
        String single = text(Reports.pdf(SampleReports.whole(2)));
        assertThat(single)
                .contains("nitrate nitrogen 5 saturated", "moisture 9 not enough soil", "texture class 10 silt loam")
                .doesNotContain("sat.:", "not asked for");
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 12})
    void saysWhereAnUncertaintyIsNotStated(int soils) throws Exception {
        String text = text(Reports.pdf(withFirst(soils, ReleasedCase.NUMBER_AT_END, "")));
        assertThat(text).contains("± n.s.: uncertainty not stated").doesNotContain("± 0 ");
        assertThat(text.split("± n\\.s\\.", -1)).hasSize(1 + 1 + soils);
        assertThat(text(Reports.pdf(SampleReports.report(soils)))).doesNotContain("n.s.");
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 12})
    void marksNumbersBelowTheLowestStandard(int soils) throws Exception {
        String text = text(Reports.pdf(withFirst(soils, ReleasedCase.NUMBER_BELOW_STANDARDS, "12")));
        assertThat(text).contains("† below the lowest standard that the instrument was calibrated with: extrapolated");
        assertThat(text.split("± 12 †", -1)).hasSize(1 + soils);
        assertThat(text(Reports.pdf(SampleReports.report(soils)))).doesNotContain("†");
    }

    /** A report of which the first result of every soil is of this kind. */
    private static ClientReport withFirst(int soils, ReleasedCase kind, String uncertainty) {
        ClientReport report = SampleReports.report(soils);
        List<ReportedSoil> atEnd = new ArrayList<>();
        for (ReportedSoil soil : report.soils()) {
            List<Line> lines = new ArrayList<>(soil.lines());
            Line first = lines.get(0);
            ReleasedResult result = first.result();
            lines.set(
                    0,
                    new Line(
                            first.method(),
                            first.analyte(),
                            new ReleasedResult(
                                    result.labNumber(),
                                    result.method(),
                                    result.methodVersion(),
                                    result.analyte(),
                                    kind,
                                    OptionalDouble.of(100),
                                    result.unit(),
                                    "100",
                                    uncertainty,
                                    ""),
                            first.share()));
            atEnd.add(new ReportedSoil(soil.soil(), lines));
        }
        return new ClientReport(report.laboratory(), report.submission(), report.release(), atEnd, report.methods());
    }

    @Test
    void saysWhichResultsStandAlthoughACheckFailed() throws Exception {
        ClientReport report = SampleReports.report(2);
        List<ReportedSoil> soils = new ArrayList<>();
        for (ReportedSoil soil : report.soils()) {
            List<Line> lines = new ArrayList<>(soil.lines());
            Line first = lines.get(0);
            ReleasedResult result = first.result();
            lines.set(
                    0,
                    new Line(
                            first.method(),
                            first.analyte(),
                            new ReleasedResult(
                                    result.labNumber(),
                                    result.method(),
                                    result.methodVersion(),
                                    result.analyte(),
                                    result.kind(),
                                    result.value(),
                                    result.unit(),
                                    result.reported(),
                                    result.uncertainty(),
                                    "",
                                    "calibration rejected"),
                            first.share()));
            soils.add(new ReportedSoil(soil.soil(), lines));
        }
        Laboratory told = report.laboratory();
        Laboratory untold = MadeLaboratory.like(told)
                .acceptedFailures(new AcceptedFailures(false, false))
                .laboratory();
        String analyte = report.soils().get(0).lines().get(0).analyte().name();
        assertThat(text(Reports.pdf(
                        new ClientReport(told, report.submission(), report.release(), soils, report.methods()))))
                .contains(
                        "Stands although a check failed",
                        "Check that failed: calibration rejected",
                        analyte + ": all 2 soils");
        assertThat(text(Reports.pdf(
                        new ClientReport(untold, report.submission(), report.release(), soils, report.methods()))))
                .doesNotContain("a check failed");
        assertThat(text(Reports.pdf(report))).doesNotContain("a check failed");
    }

    @Test
    void saysWithWhichWaterPastesWereMade() throws Exception {
        ClientReport report = SampleReports.whole(2);
        Soil water = MadeSoil.numbered(new LabNumber("W-1"))
                .of("2207")
                .labelled("well")
                .water()
                .soil();
        List<ReportedSoil> soils = new ArrayList<>(report.soils());
        soils.add(new ReportedSoil(water, report.soils().get(0).lines().subList(14, 15)));
        assertThat(text(Reports.pdf(new ClientReport(
                        report.laboratory(), report.submission(), report.release(), soils, report.methods()))))
                .contains("lab number W-1", "W-1 · well · client's water");
    }

    @Test
    void digestsEveryFieldOfARelease() {
        Release release = SampleReports.report(2).release();
        String digest = Reports.digest(release);
        assertThat(digest).matches("[0-9a-f]{64}");
        assertThat(Reports.digest(new Release(
                        release.submission(),
                        release.revision() + 1,
                        release.signedBy(),
                        release.signedAt(),
                        release.reason(),
                        release.results())))
                .isNotEqualTo(digest);
        // a text moved from one field to the next is another release
        assertThat(Reports.digest(new Release(
                        release.submission(),
                        release.revision(),
                        release.signedBy() + "x",
                        release.signedAt(),
                        release.reason(),
                        release.results())))
                .isNotEqualTo(Reports.digest(new Release(
                        release.submission(),
                        release.revision(),
                        release.signedBy(),
                        release.signedAt(),
                        "x" + release.reason(),
                        release.results())));
    }
}
