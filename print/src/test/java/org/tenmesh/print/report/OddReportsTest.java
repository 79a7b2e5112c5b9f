package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import com.openhtmltopdf.css.constants.CSSName;
import com.openhtmltopdf.newtable.TableBox;
import com.openhtmltopdf.render.Box;
import com.openhtmltopdf.render.InlineLayoutBox;
import com.openhtmltopdf.render.InlineText;
import com.openhtmltopdf.render.LineBox;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;

/** A report can be made of whatever was released: reports of many odd shapes are made, opened and read. */
class OddReportsTest {
    private static final int REPORTS = Integer.getInteger("odd.reports", 200);

    /** The renderer lays out in twentieths of a CSS pixel. */
    private static final double UNITS_IN_PT = 20 * 96 / 72.0;

    private static final List<String> LABELS = List.of(
            "",
            "F1-%d",
            "שדה צפוני %d",
            "الحقل الشمالي رقم %d",
            "north \u202Eback to front\u202C %d",
            "Wiesengrundstücksverwaltungsgesellschaftsnachfolgerinnenverzeichnisnummernfolge%d",
            "a label of many short words that a client wrote on the sheet for lack of any better place, row %d",
            "農場 🌾 %d",
            "<b>%d</b> & \"it's\" 'so' ]]>",
            "line\nbreak\tand\u0000control %d");

    private static final List<String> TEXTS = List.of(
            "", "1", "-0.3", "< 0.2", "> 60.0", "12345678.9", "saturated", "not enough soil", "silty clay loam");

    @Test
    void madeOfWhateverWasReleased() {
        IntStream.rangeClosed(1, REPORTS).parallel().forEach(OddReportsTest::make);
    }

    private static void make(int seed) {
        ClientReport report = odd(seed);
        ReportForm form = form(seed);
        byte[] pdf;
        try {
            pdf = Reports.pdf(report, form);
        } catch (RuntimeException failed) {
            throw new AssertionError("the report of seed " + seed + " cannot be made", failed);
        }
        try (PDDocument document = Loader.loadPDF(pdf)) {
            String text = new PDFTextStripper().getText(document).replaceAll("[\\s\u00a0\u2002-\u200a]+", "");
            String of = "report of seed " + seed;
            assertThat(text)
                    .as(of)
                    .contains("Releasedby", ReportDigest.of(report).substring(0, 8));
            int pages = document.getNumberOfPages();
            assertThat(text.split("page\\d+of" + pages, -1)).as(of).hasSize(pages + 1);
            boolean below =
                    form.layout() == ReportForm.Layout.TABLE && report.soils().size() > 1;
            for (ReportedSoil soil : report.soils()) {
                if (soil.lines().isEmpty()) {
                    continue;
                }
                assertThat(text).as(of).contains(soil.soil().labNumber().text());
                for (Line line : soil.lines()) {
                    ReleasedResult result = line.result();
                    boolean shortened = below
                            && (result.kind() == ReleasedCase.SATURATED
                                    || result.kind() == ReleasedCase.NOT_ENOUGH_SOIL);
                    if (!shortened) {
                        assertThat(text).as(of).contains(result.reported().replace(" ", ""));
                    }
                    if (result.kind().isNumeric()) {
                        assertThat(text).as(of).contains(result.uncertainty().replace(" ", ""));
                    }
                }
            }
            report.soils().stream()
                    .flatMap(soil -> soil.lines().stream())
                    .map(line -> line.result().heldBecause())
                    .filter(reason -> !reason.isEmpty())
                    .distinct()
                    .forEach(reason -> assertThat(text).as(of).containsIgnoringCase(reason.replace(" ", "")));
        } catch (IOException unread) {
            throw new AssertionError("the report of seed " + seed + " cannot be read", unread);
        }
    }

    static ReportForm form(int seed) {
        return new ReportForm(
                ReportForm.Paper.values()[seed % 2],
                seed % 5 == 0 ? ReportForm.Layout.SOIL_PAGES : ReportForm.Layout.TABLE);
    }

    /**
     * A table at the upper edge of a page whose text reaches over its own edge is painted, and tagged, a page before the table
     * itself; the tagging then fails. So what a table leaves free above its first row must hold every text of that row.
     */
    @Test
    void keepsEveryTextInsideItsTable() {
        for (ClientReport report : List.of(
                SampleReports.report(1), SampleReports.report(12), SampleReports.whole(2), SampleReports.whole(12))) {
            List<String> outside = new ArrayList<>();
            Reports.layOut(report, ReportForm.defaults(), root -> collect(root, Integer.MIN_VALUE, outside));
            assertThat(outside).isEmpty();
        }
    }

    private static void collect(Box box, double edge, List<String> outside) {
        double own = edge;
        if (box instanceof TableBox table) {
            own = table.getChild(0).getAbsY() - UNITS_IN_PT * table.getStyle().asFloat(CSSName.PADDING_TOP);
        }
        if (box instanceof LineBox line && line.getAbsY() + line.getPaintingTop() < own) {
            outside.add("\"" + words(line) + "\" begins " + (own - line.getAbsY() - line.getPaintingTop())
                    + " above its table");
        }
        for (Box child : box.getChildren()) {
            collect(child, own, outside);
        }
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

    static ClientReport odd(int seed) {
        SplittableRandom random = new SplittableRandom(seed);
        int soils = seed == 1 ? 300 : List.of(1, 1, 2, 2, 3, 4, 5, 6, 8, 17).get(random.nextInt(10));
        ClientReport base = SampleReports.whole(soils);
        int kind = random.nextInt(6);
        Set<Method> shown = base.methods().stream()
                .filter(method -> kind == 0 || random.nextInt(3) > 0)
                .collect(Collectors.toSet());
        String label = LABELS.get(random.nextInt(LABELS.size()));
        double words = kind == 1 ? 1 : kind == 2 ? 0.2 : 0;
        double held = kind == 3 ? 1 : kind == 4 ? 0.3 : 0;
        List<ReportedSoil> reported = new ArrayList<>();
        List<ReleasedResult> all = new ArrayList<>();
        int number = 0;
        for (ReportedSoil soil : base.soils()) {
            number++;
            List<Line> lines = new ArrayList<>();
            boolean bare = kind == 5 && random.nextInt(3) == 0;
            for (Line line : soil.lines()) {
                if (bare || !shown.contains(line.method())) {
                    continue;
                }
                ReleasedResult result = line.result();
                Optional<Double> share = line.share();
                if (random.nextDouble() < held) {
                    result = result(result, "", "", "reason " + random.nextInt(40) + " for holding this back");
                    share = Optional.empty();
                } else if (random.nextDouble() < words) {
                    result = result(result, TEXTS.get(random.nextInt(TEXTS.size())), "0.12345", "");
                }
                all.add(result);
                lines.add(new Line(line.method(), line.analyte(), result, share));
            }
            reported.add(new ReportedSoil(soil(soil.soil(), label.replace("%d", Integer.toString(number))), lines));
        }
        Laboratory its = base.laboratory();
        return new ClientReport(
                MadeLaboratory.like(its)
                        .in(random.nextBoolean() ? its.zone() : "Nowhere/At all")
                        .at(its.address() + "\nline".repeat(random.nextInt(12)))
                        .invented(random.nextBoolean())
                        .laboratory(),
                MadeSubmission.named("2207")
                        .client(label)
                        .receivedAt(base.submission().receivedAt())
                        .asking(label)
                        .note("what the client wrote beside. ".repeat(random.nextInt(30)))
                        .submission(),
                new Release("2207", 1, "M. Quill", base.release().signedAt(), label, all),
                reported,
                base.methods().stream().filter(shown::contains).toList());
    }

    private static ReleasedResult result(ReleasedResult of, String reported, String uncertainty, String held) {
        return new ReleasedResult(
                of.labNumber(),
                of.method(),
                of.methodVersion(),
                of.analyte(),
                OptionalDouble.empty(),
                of.unit(),
                reported,
                uncertainty,
                held);
    }

    private static Soil soil(Soil of, String label) {
        return new Soil(
                new LabNumber(of.labNumber().text()),
                of.submission(),
                OptionalInt.empty(),
                label.isEmpty() ? Optional.empty() : Optional.of(label),
                OptionalDouble.empty(),
                of.bottomCm(),
                Optional.empty(),
                Optional.empty());
    }
}
