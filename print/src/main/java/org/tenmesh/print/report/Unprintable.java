package org.tenmesh.print.report;

import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.report.ClientReport;

/** What of a report the shipped faces cannot print. */
public final class Unprintable {
    private Unprintable() {}

    /**
     * Names, labels and other texts of people's own of which the PDF prints some character as an empty square, because no shipped face
     * has it. The report says so; its files of results give them in full.
     */
    public static List<String> of(ClientReport report) {
        Submission submission = report.submission();
        Stream<String> own = Stream.of(
                        Stream.of(
                                report.laboratory().name(),
                                report.laboratory().address(),
                                submission.client(),
                                submission.submission(),
                                submission.packageName().orElse(""),
                                submission.originRegion().orElse(""),
                                submission.note().orElse(""),
                                report.release().signedBy(),
                                report.release().reason()),
                        report.soils().stream()
                                .map(soil -> soil.soil().clientLabel().orElse("")))
                .flatMap(texts -> texts);
        return own.filter(Glyphs::lacks).distinct().toList();
    }
}
