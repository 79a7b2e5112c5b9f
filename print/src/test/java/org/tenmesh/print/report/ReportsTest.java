package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
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
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.svg.Svg;

class ReportsTest {
    private static final ReportForm SOIL_PAGES = ReportForm.defaults().with(ReportForm.Layout.SOIL_PAGES);

    private static String text(byte[] pdf) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            PDFTextStripper stripper = new PDFTextStripper();
            stripper.setSortByPosition(true);
            return plain(stripper.getText(document));
        }
    }

    private static String plain(String text) {
        return text.replaceAll("[\\s\\u00a0\\u2002-\\u200a]+", " ");
    }

    /** Without any blanks: thousands stand apart, and numbers are filled up with blanks to line up. */
    private static String bare(String text) {
        return plain(text).replace(" ", "");
    }

    @ParameterizedTest
    @CsvSource({"1,2", "4,1", "12,2", "48,3", "60,3", "300,10"})
    void printsEveryResultWithItsUncertaintyOnTheExpectedNumberOfPages(int soils, int pages) throws Exception {
        ClientReport report = SampleReports.report(soils);
        byte[] pdf = Reports.pdf(report);
        String text = text(pdf);
        String bare = bare(text);
        for (ReportedSoil soil : report.soils()) {
            assertThat(text).contains(soil.soil().labNumber().text());
            assertThat(text).contains(soil.soil().clientLabel().orElseThrow());
            for (Line line : soil.lines()) {
                ReleasedResult result = line.result();
                assertThat(bare).contains(bare(result.reported()));
                if (!result.uncertainty().isEmpty() && soils > 1) {
                    assertThat(bare).contains("±" + result.uncertainty());
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
                        .contains("2207, revision " + report.release().revision());
            }
        }
    }

    /** An ordinary package: pH, organic matter and twelve nutrients of 48 soils. */
    @Test
    void takesAtMostThreePagesForFortyEightSoilsOfAnOrdinaryPackage() throws Exception {
        for (ReportForm.Paper paper : ReportForm.Paper.values()) {
            byte[] pdf = Reports.pdf(SampleReports.report(48), new ReportForm(paper, ReportForm.Layout.TABLE));
            try (PDDocument document = Loader.loadPDF(pdf)) {
                assertThat(document.getNumberOfPages()).as("pages of %s", paper).isLessThanOrEqualTo(3);
            }
        }
    }

    @Test
    void printsEachSoilsResultsInItsOwnRow() throws Exception {
        ClientReport report = SampleReports.report(12);
        String bare = bare(text(Reports.pdf(report)));
        for (ReportedSoil soil : report.soils()) {
            StringBuilder row = new StringBuilder(
                    soil.soil().labNumber() + soil.soil().clientLabel().orElseThrow() + "0 to "
                            + Svg.number(soil.soil().bottomCm().orElseThrow()) + " cm");
            for (Line line : soil.lines()) {
                row.append(line.result().reported());
                row.append(
                        line.result().uncertainty().isEmpty()
                                ? ""
                                : "±" + line.result().uncertainty());
            }
            if (soil.lines().stream().noneMatch(line -> line.result().reported().isEmpty())) {
                assertThat(bare).contains(bare(row.toString()));
            }
        }
    }

    /** The points of a column's numbers lie one under the other, as the text positions in the document say. */
    @ParameterizedTest
    @ValueSource(ints = {12, 48})
    void linesNumbersUpAtTheirDecimalPoints(int soils) throws Exception {
        List<double[]> points = new ArrayList<>();
        try (PDDocument document = Loader.loadPDF(Reports.pdf(SampleReports.report(soils)))) {
            PDFTextStripper stripper = new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    if (text.getUnicode().equals(".") && text.getXScale() > 8.1 && text.getXScale() < 8.4) {
                        points.add(new double[] {text.getXDirAdj(), text.getYDirAdj()});
                    }
                    super.processTextPosition(text);
                }
            };
            stripper.setEndPage(1);
            stripper.getText(document);
        }
        // pH, organic matter, boron, copper and zinc have decimals
        Set<Long> columns = new HashSet<>();
        points.forEach(point -> columns.add(Math.round(point[0])));
        assertThat(points).hasSizeGreaterThan(40);
        assertThat(columns).hasSizeBetween(5, 7);
    }

    @Test
    void saysWhatWasHeldAndWhy() throws Exception {
        String text = text(Reports.pdf(SampleReports.report(12)));
        assertThat(text)
                .contains("Held back, and why")
                .containsIgnoringCase("▲ a " + SampleReports.LITTLE)
                .contains("organic matter: 26329-0418-R")
                .containsIgnoringCase("▲ b " + SampleReports.DRIFT)
                .contains("potassium, magnesium: 26329-0425-T to 26329-0428-N (4 soils)");
        assertThat(text.split("▲ [ab]", -1))
                .as("a mark in a cell for each held result, and one at each reason")
                .hasSize(1 + 9 + 2);
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
                .contains(
                        "Furrow & Field Agronomy",
                        "Received Reported Revision Released by Package 23 November 2026 25 November 2026 2, redo of potassium")
                .contains("This revision replaces revision 1 of the same submission in full.")
                .contains("Results relate to the items as received. Sampling")
                .contains("The scale places a result between two plain ends; it is no rating")
                .contains("local recommendations, the law of the place, and licensed or certified practice")
                .contains("coverage factor of k = 2")
                .contains("Mehlich-3 extract, plasma emission")
                .contains("keeps the sources and formulas of each method")
                .doesNotContain("from memory", "common practice")
                .contains("Phosphorus read by plasma emission is usually higher")
                .contains("M. Quill, quality", "25 November 2026, 16:41 Europe/Dublin");
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
            assertThat(types).contains("Document", "H1", "H2", "Table", "TR", "TH", "TD");
            assertThat(types.stream().filter("TD"::equals).count())
                    .as("a cell for each of 12 x 14 results at least")
                    .isGreaterThanOrEqualTo(168);
            assertThat(document.getDocumentCatalog().getDocumentOutline().children())
                    .hasSize(3);
        }
    }

    @Test
    void describesEveryDrawingInWords() throws Exception {
        ClientReport report = SampleReports.report(2);
        byte[] pdf = Reports.pdf(report, SOIL_PAGES);
        List<String> described = new ArrayList<>();
        try (PDDocument document = Loader.loadPDF(pdf)) {
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
    @EnumSource(ReportForm.Paper.class)
    void keepsEveryWordInsideTheMarginsHoweverLongTheLabels(ReportForm.Paper paper) throws Exception {
        String endless = "Lower-Meadow-behind-the-old-mill-along-the-river-as-far-as-the-third-gate-%d";
        String unbroken = "Wiesengrundstücksverwaltungsgesellschaftsnachfolgerinnenverzeichnisnummernfolge%d";
        for (ReportForm.Layout layout : ReportForm.Layout.values()) {
            for (String label : List.of(endless, unbroken)) {
                ReportForm form = new ReportForm(paper, layout);
                byte[] pdf = Reports.pdf(SampleReports.report(12, unbroken + " & " + unbroken, label, true), form);
                assertInside(pdf, form);
                String bare = bare(text(pdf));
                assertThat(bare).contains(bare(label.replace("%d", "12")).substring(0, 12));
            }
        }
    }

    private static void assertInside(byte[] pdf, ReportForm form) throws IOException {
        Sheet size = Sheet.of(form.paper());
        try (PDDocument document = Loader.loadPDF(pdf)) {
            for (PDPage page : document.getPages()) {
                assertThat((double) page.getMediaBox().getWidth()).isCloseTo(size.widthPt(), Offset.offset(0.5));
                assertThat((double) page.getMediaBox().getHeight()).isCloseTo(size.heightPt(), Offset.offset(0.5));
            }
            PDFTextStripper stripper = new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    if (!text.getUnicode().isBlank()) {
                        assertThat((double) text.getXDirAdj())
                                .as("left of \"%s\"", text.getUnicode())
                                .isGreaterThanOrEqualTo(Sheet.SIDE_PT - 0.5);
                        assertThat((double) text.getXDirAdj() + text.getWidthDirAdj())
                                .as("right of \"%s\"", text.getUnicode())
                                .isLessThanOrEqualTo(size.widthPt() - Sheet.SIDE_PT + 0.8);
                        assertThat((double) text.getYDirAdj()).isBetween(10.0, size.heightPt() - 10.0);
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

    /** Read back in logical order by the PDF library, with joined letters taken for the letters they are (Unicode, UAX 9). */
    @Test
    void printsNamesWrittenFromRightToLeft() throws Exception {
        byte[] pdf = Reports.pdf(SampleReports.report(2, "שדה צפוני", "الحقل الشمالي", true));
        assertThat(text(pdf)).contains("שדה צפוני").contains("الحقل الشمالي");
        assertThat(shown(pdf))
                .as("joined letters, from the last to the first")
                .contains("\uFEDE\uFED8\uFEA4\uFEDF\uFE8D");
    }

    /** The characters in the order in which they stand on the page. */
    private static String shown(byte[] pdf) throws IOException {
        StringBuilder shown = new StringBuilder();
        try (PDDocument document = Loader.loadPDF(pdf)) {
            new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    shown.append(text.getUnicode());
                }
            }.getText(document);
        }
        return shown.toString();
    }

    @Test
    void marksAPreviewOnEveryPage() throws Exception {
        byte[] preview = Reports.preview(SampleReports.report(48), ReportForm.defaults());
        try (PDDocument document = Loader.loadPDF(preview)) {
            for (int page = 1; page <= document.getNumberOfPages(); page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                assertThat(plain(stripper.getText(document))).contains("preview: not signed, not for the client");
            }
        }
        assertThat(text(preview)).doesNotContain("digest of the content", "M. Quill");
        assertThat(text(Reports.pdf(SampleReports.report(48)))).doesNotContain("preview");
    }

    @Test
    void printsTheDigestOfWhatItSays() throws Exception {
        ClientReport report = SampleReports.report(12);
        String digest = ReportDigest.of(report);
        byte[] pdf = Reports.pdf(report);
        assertThat(bare(text(pdf))).contains(digest);
        try (PDDocument document = Loader.loadPDF(pdf)) {
            PDFTextStripper stripper = new PDFTextStripper();
            stripper.setEndPage(1);
            assertThat(bare(stripper.getText(document))).contains("content" + digest.substring(0, 16));
        }
    }

    @Test
    void givesEachSoilAPageOfItsOwn() throws Exception {
        ClientReport report = SampleReports.report(4);
        try (PDDocument document = Loader.loadPDF(Reports.pdf(report, SOIL_PAGES))) {
            for (int page = 1; page <= 4; page++) {
                PDFTextStripper stripper = new PDFTextStripper();
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                String text = stripper.getText(document);
                for (int soil = 0; soil < 4; soil++) {
                    String heading = report.soils().get(soil).soil().labNumber().text() + " · ";
                    assertThat(text.contains(heading))
                            .as("page %d, soil %d", page, soil)
                            .isEqualTo(soil == page - 1);
                }
            }
        }
    }

    @Test
    void namesWhatARevisionChangedWithBothValues() throws Exception {
        ClientReport report = SampleReports.report(12);
        List<ReleasedResult> earlier = new ArrayList<>(report.release().results());
        ReleasedResult first = earlier.get(0);
        earlier.set(
                0,
                new ReleasedResult(
                        first.labNumber(),
                        first.method(),
                        first.methodVersion(),
                        first.analyte(),
                        OptionalDouble.of(9.9),
                        first.unit(),
                        "9.9",
                        "0.5",
                        ""));
        Release release = report.release();
        Release before = new Release("2207", 1, release.signedBy(), release.signedAt(), release.reason(), earlier);
        Release after = new Release("2207", 2, release.signedBy(), release.signedAt(), "read again", release.results());
        String text = text(Reports.pdf(new ClientReport(
                report.laboratory(),
                report.submission(),
                after,
                report.soils(),
                report.methods(),
                Optional.of(Amendment.between(before, after)))));
        assertThat(text)
                .contains("This revision replaces revision 1 of the same submission in full.")
                .contains("One result has changed; it is marked r")
                .contains("Changed since the revision before")
                .contains("pH (1) 26329-0417-T was 9.9 ± 0.5, now " + first.reported() + " ± " + first.uncertainty())
                .contains("26329-0417-T North bench 1 0 to 15 cm r " + first.reported());
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
        assertThat(text(Reports.pdf(empty)))
                .contains("Soil report 1", "This submission has no results.", "25 November 2026, 16:41 UTC");
    }

    @Test
    void leavesOpenWhatASoilWasNotAskedFor() throws Exception {
        ClientReport report = SampleReports.report(6);
        List<ReportedSoil> soils = new ArrayList<>(report.soils());
        Soil bare = MadeSoil.numbered(new LabNumber("X-1")).regulated(true).soil();
        soils.add(new ReportedSoil(bare, soils.get(0).lines().subList(0, 1)));
        String text = text(Reports.pdf(
                new ClientReport(report.laboratory(), report.submission(), report.release(), soils, report.methods())));
        assertThat(text).contains("X-1 6.7 ± 0.4 – – – – – – – – – – – – –").contains("regulated soil");
    }

    @Test
    void breaksMoreColumnsThanAPageIsWideIntoBandsWithTheSoilsRepeated() throws Exception {
        ClientReport report = SampleReports.whole(12);
        byte[] pdf = Reports.pdf(report);
        String text = text(pdf);
        for (String last : List.of("aluminium", "sodium adsorption ratio")) {
            assertThat(text).contains(last);
        }
        for (ReportedSoil soil : report.soils()) {
            assertThat(text.split(soil.soil().labNumber() + " North", -1).length - 1)
                    .as("bands that name %s", soil.soil().labNumber())
                    .isGreaterThanOrEqualTo(3);
        }
        assertInside(pdf, ReportForm.defaults());
    }

    @ParameterizedTest
    @EnumSource(ReportForm.Layout.class)
    void setsAdviceApart(ReportForm.Layout layout) throws Exception {
        ReportForm form = ReportForm.defaults().with(layout);
        byte[] pdf = Reports.pdf(SampleReports.whole(12), form);
        String text = text(pdf);
        int advice = text.indexOf("Regional advice No measurement");
        assertThat(advice).isGreaterThan(text.indexOf("clay"));
        assertThat(text.substring(advice))
                .contains("for County Nowhere (invented) and nowhere else. " + SampleReports.DEFERENCE)
                .contains("Advice signed by M. Quill, quality, 25 November 2026");
        assertThat(text)
                .contains("Advice in this report stands apart")
                .doesNotContain("advises no rates")
                .contains("pastes were made with deionised")
                .contains("Calculated from other results of this report.")
                .contains("Base saturation");
        assertInside(pdf, form);
    }

    @Test
    void tellsApartWhatStandsInPlaceOfANumber() throws Exception {
        String table = text(Reports.pdf(SampleReports.whole(12)));
        assertThat(table)
                .contains("<: below the reporting limit that follows.", ">: above what the method can state.")
                .contains("sat.: more than the detector can measure.")
                .contains("too little: not enough soil was sent for this portion.")
                .contains("–: not asked for.", "held back, for the reason that stands below");
        String pages = text(Reports.pdf(SampleReports.whole(2), SOIL_PAGES));
        assertThat(pages)
                .contains("nitrate nitrogen 5 saturated", "moisture 9 not enough soil", "texture class 10 silt loam")
                .doesNotContain("sat.:", "not asked for");
    }

    @ParameterizedTest
    @EnumSource(ReportForm.Layout.class)
    void saysWhereAnUncertaintyIsNotStated(ReportForm.Layout layout) throws Exception {
        ReportForm form = ReportForm.defaults().with(layout);
        String text = text(Reports.pdf(withFirst(12, ReleasedCase.NUMBER_AT_END, ""), form));
        assertThat(text).contains("± n.s.: uncertainty not stated").doesNotContain("± 0 ");
        assertThat(text.split("n\\.s\\.", -1)).hasSize(1 + 1 + 12);
        assertThat(text(Reports.pdf(SampleReports.report(12), form))).doesNotContain("n.s.");
    }

    @ParameterizedTest
    @EnumSource(ReportForm.Layout.class)
    void marksNumbersBelowTheLowestStandard(ReportForm.Layout layout) throws Exception {
        ReportForm form = ReportForm.defaults().with(layout);
        String text = text(Reports.pdf(withFirst(12, ReleasedCase.NUMBER_BELOW_STANDARDS, "12"), form));
        assertThat(text).contains("†: below the lowest standard that the instrument was calibrated with, extrapolated");
        assertThat(text.split("† 100", -1)).hasSize(1 + 12);
        assertThat(text(Reports.pdf(SampleReports.report(12), form))).doesNotContain("†");
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
                .contains("Released although a check failed", "Calibration rejected " + analyte + ": all 2 soils");
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
                .contains("W-1 well client's water");
    }

    @Test
    void digestsEveryFieldOfARelease() {
        ClientReport report = SampleReports.report(2);
        Release release = report.release();
        String digest = ReportDigest.of(report);
        assertThat(digest).matches("[0-9a-f]{64}");
        assertThat(digest(report, release.revision() + 1, release.signedBy(), release.reason()))
                .isNotEqualTo(digest);
        // a text moved from one field to the next is another release
        assertThat(digest(report, release.revision(), release.signedBy() + "x", release.reason()))
                .isNotEqualTo(digest(report, release.revision(), release.signedBy(), "x" + release.reason()));
        List<ReportedSoil> fewer = report.soils().subList(0, 1);
        assertThat(ReportDigest.of(
                        new ClientReport(report.laboratory(), report.submission(), release, fewer, report.methods())))
                .isNotEqualTo(digest);
    }

    private static String digest(ClientReport of, int revision, String signedBy, String reason) {
        Release release = of.release();
        return ReportDigest.of(new ClientReport(
                of.laboratory(),
                of.submission(),
                new Release(release.submission(), revision, signedBy, release.signedAt(), reason, release.results()),
                of.soils(),
                of.methods()));
    }
}
