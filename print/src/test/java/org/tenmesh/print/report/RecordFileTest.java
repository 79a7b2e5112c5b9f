package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.tables.TableFiles;

final class RecordFileTest {
    private static RecordFile file(String by, String mass) {
        String codes = IntStream.range(0, 150)
                .mapToObj(i -> "26334-%04d-X.suspension-1-1.suspension".formatted(i))
                .collect(Collectors.joining(", "));
        return new RecordFile(
                "An invented laboratory",
                true,
                "Regulated soil, parcel R26334-1",
                List.of("Received 2026-11-30 <under> permit P-1 & its conditions."),
                List.of(
                        new TableFiles.Table(
                                "Lines of the account",
                                List.of(
                                        "when",
                                        "who",
                                        "what",
                                        "portions",
                                        "place or charge",
                                        "soil, g",
                                        "pieces",
                                        "note"),
                                List.of(List.of(
                                        "30 Nov 2026 12:05", "R. Quill", "loaded", codes, "CH-1", mass, "172", ""))),
                        new TableFiles.Table("Missing", List.of("portion"), List.of())),
                List.of(new RecordFile.Picture(
                        "Record of charge CH-1",
                        "The coldest sensor, door, reached 122 °C.",
                        Svg.ofPoints(Palette.SCREEN, "along", 200, 60, "Temperature", "by time")
                                .words(10, 20, 12, "start", false, Palette.Tone.QUIET, "121 degrees, the limit")
                                .end())),
                OffsetDateTime.parse("2026-11-30T12:05:00Z"),
                by);
    }

    @Test
    void keepsNumbersAndWordsWholeBesideALongListOfCodes() throws IOException {
        try (PDDocument document = Loader.loadPDF(file("D. Yarrow", "9600").pdf())) {
            String text = new PDFTextStripper().getText(document);
            assertThat(text)
                    .contains(
                            "9600",
                            "loaded",
                            "Record of charge CH-1",
                            "The coldest sensor, door, reached 122 °C.",
                            "R. Quill",
                            "30 Nov 2026 12:05",
                            "26334-0149-X",
                            "<under> permit P-1 & its conditions")
                    .contains("Everything in it is invented")
                    .contains("None.");
        }
    }

    @Test
    void itsDigestFollowsWhatItSaysAndNotWhoAsked() {
        assertThat(file("D. Yarrow", "9600").sha256())
                .isEqualTo(file("R. Quill", "9600").sha256());
        assertThat(file("D. Yarrow", "9600").sha256())
                .isNotEqualTo(file("D. Yarrow", "9601").sha256());
    }
}
